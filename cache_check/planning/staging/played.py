"""How each scene is served once the sets are chosen, exactly, with every piece and pin counted; and what a crew does.

That is which set serves as which strut, and every joint in order.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence

from cache_check.errors import NoPlanError
from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly
from cache_check.model.staging import SceneStaged, StepOnScene, StrutOnScene
from cache_check.planning.packing.choice import ties_of_holds
from cache_check.planning.packing.rows import Hold
from cache_check.planning.solving.programme import Goal, first_of, in_order
from cache_check.planning.solving.solver import Clock, solver
from cache_check.planning.staging.runs import Run, Split, split_at
from cache_check.planning.staging.staging import Base, Candidate, Plan, Stager
from cache_check.planning.staging.staging_rows import scene_of
from cache_check.planning.staging.stowing import Lie


@dataclass(frozen=True)
class Way:
    """One way to stand up a strut for a need: which assembly, and which runs it is put together from."""

    need: int
    assembly: Assembly
    split: Split
    margin: int


@dataclass(frozen=True)
class Served:
    """One scene of a choice: how each set is taken (None: it is left alone), and a way for each strut and its base."""

    opened: tuple[Split | None, ...]
    built: tuple[Way, ...]
    held: tuple[Hold | None, ...]

    @property
    def joints(self) -> int:
        """Joints made and broken, not weighted."""
        return sum(one.joints for one in self.opened if one) + sum(way.split.joints for way in self.built)


@dataclass(frozen=True)
class Chosen:
    """A choice: each set with where it lies, and how each scene is served."""

    sets: tuple[tuple[Candidate, Lie], ...]
    scenes: tuple[Served, ...]
    joints: int  # made and broken, weighted; no choice has fewer than ``bound``
    bound: int
    unproven: str = ""  # which goal was not proven, and why; empty: each was

    @property
    def least_margin(self) -> int | None:
        """The least margin of any strut."""
        return min((way.margin for one in self.scenes for way in one.built), default=None)


def played(
    stager: Stager, s: int, sets: tuple[int, ...], clock: Clock, least: int | None, *, whole: bool
) -> Served | None:
    """The fewest joints that serve a scene with sets of these candidates, none of its struts with less margin.

    With ``whole`` also the leanest struts, and of these the first in a fixed order.  None where it cannot be served.
    Raises NoPlanError where the limit was reached first.
    """
    plan = scene_of(stager, s, Counter(sets), least)
    goals = [stager.joints(plan)]
    if whole:
        lean = {x: len(stand.strut.assembly.parts) for x, stand in plan.stood.values()}
        taken = [x for columns in (plan.opened, plan.stood) for x, _ in columns.values()]
        goals += [Goal("the leanest struts", lean), *_first_of(taken), *_first_of(plan.held.values())]
    values, _ = in_order(plan.draft.done(), goals, solver(), clock)
    return None if values is None else _read(stager, plan, s, values, sets)


def _first_of(columns: Collection[int]) -> list[Goal]:
    return first_of({x: n for n, x in enumerate(columns)}, len(columns))


def _read(stager: Stager, plan: Plan, s: int, values: tuple[int, ...], sets: tuple[int, ...]) -> Served:
    """What the columns stand for; sets that yield alike are opened in their order."""
    opened: list[Split | None] = [None] * len(sets)
    for (_, number, _), (x, opening) in plan.opened.items():
        for _ in range(values[x]):
            i = next(i for i, c in enumerate(sets) if opened[i] is None and c in plan.alike[s, number])
            opened[i] = split_at(stager.stack(stager.candidates[sets[i]].assembly), opening.split.at)
    stood = [stand for x, stand in plan.stood.values() for _ in range(values[x])]
    built = [Way(stand.strut.need, stand.strut.assembly, stand.split, stand.strut.margin) for stand in stood]
    holds: dict[tuple[int, Base], list[Hold]] = {}
    for (_, n, base, hold), x in plan.held.items():
        holds.setdefault((n, base), []).extend([hold] * values[x])
    held = tuple(
        holds[key].pop(0) if (key := (way.need, stager.base(way.assembly))) in holds else None for way in built
    )
    return Served(tuple(opened), tuple(built), held)


def as_they_lie(stager: Stager, seconds: float) -> Chosen:
    """How sets that lie built serve each scene with the fewest joints (NoPlanError: the limit, or too few pieces)."""
    clock, numbers = Clock(seconds), tuple(range(len(stager.candidates)))
    taken = pieces_of(one.assembly for one in stager.candidates)
    if any(n > stager.muster.usable.counts[part] for part, n in taken.items()):
        raise NoPlanError("the sets on the book take more pieces than are usable")
    scenes = [played(stager, s, numbers, clock, None, whole=True) for s in range(len(stager.scenes))]
    found = tuple(one for one in scenes if one is not None)
    if len(found) < len(scenes):
        raise NoPlanError("the scenes are not served with the sets on the book; without them they are")
    joints = sum(scene.weight * one.joints for scene, one in zip(stager.scenes, found, strict=True))
    return Chosen(tuple((one, one.lies[0]) for one in stager.candidates), found, joints, joints)


def pieces_of(assemblies: Iterable[Assembly]) -> Counter[str]:
    """Their parts and pins."""
    return sum((one.pieces for one in assemblies), Counter())


def set_names(number: int) -> tuple[str, ...]:
    """Names of ready sets: A to Z, then A2 to Z2, and so on."""
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    return tuple(letters[i % 26] + (str(i // 26 + 1) if i >= 26 else "") for i in range(number))


def loose_of(stager: Stager, chosen: Chosen) -> dict[str, int]:
    """The usable pieces that are in no ready set, pins among them."""
    left = Counter(stager.muster.usable.counts)
    left.subtract(pieces_of(candidate.assembly for candidate, _ in chosen.sets))
    return dict(left)


def on_scene(stager: Stager, chosen: Chosen, names: Sequence[str] = ()) -> tuple[SceneStaged, ...]:
    """How each scene is served; the sets are called by ``names``, else by letters."""
    names = names or set_names(len(chosen.sets))
    return tuple(_Serving(stager, chosen, s, names).staged() for s in range(len(stager.scenes)))


class _Serving:
    """One scene being served: the runs that its opened sets yield, and the loose pieces, are handed out in order."""

    def __init__(self, stager: Stager, chosen: Chosen, s: int, names: Sequence[str]) -> None:
        self.stager, self.s, self.scene, self.served = stager, s, stager.scenes[s], chosen.scenes[s]
        self.loose = loose_of(stager, chosen)
        self.ties = Counter(stager.muster.usable.counts)
        self.yielded: list[tuple[Run, str]] = []
        self.steps: list[StepOnScene] = []
        for name, (candidate, _), split in zip(names, chosen.sets, self.served.opened, strict=True):
            if split is not None:
                parts = candidate.assembly.parts
                self.yielded += [(run, name) for run in split.runs]
                self.steps += [StepOnScene("break", parts[i], parts[i + 1], name) for i in split.at]

    def staged(self) -> SceneStaged:
        """The scene with its struts and steps."""
        struts = tuple(
            self._strut(n, *one) for n, one in enumerate(zip(self.served.built, self.served.held, strict=True), 1)
        )
        ties = sum((Counter(dict(strut.ties)) for strut in struts), Counter[str]())
        return SceneStaged(self.stager.told[self.s], struts, tuple(self.steps), tuple(ties.items()))

    def _strut(self, number: int, way: Way, hold: Hold | None) -> StrutOnScene:
        name = f"strut {number}"
        sets: list[str] = []
        single: list[str] = []
        for run in way.split.runs:
            whence = self._take(run)
            if whence is None:
                single.append(run[0])
            elif whence not in sets:
                sets.append(whence)
        ties = ties_of_holds(self.stager.muster.columns, [(hold, 1)], self.ties)
        self.ties.subtract(dict(ties))
        parts = way.assembly.parts
        self.steps += [StepOnScene("make", parts[i], parts[i + 1], name) for i in way.split.at]
        return StrutOnScene(
            name=name, need=self.scene.needs[way.need].id, assembly=way.assembly, restrained=hold is not None,
            sets=tuple(sets), loose=tuple(single), made=way.split.joints, margin=way.margin, ties=ties,
        )  # fmt: skip

    def _take(self, run: Run) -> str | None:
        """The set that a run comes from; None where it is a loose piece, which is taken first."""
        if len(run) == 1 and self.loose[run[0]] > 0:
            self.loose[run[0]] -= 1
            return None
        at = next(i for i, (there, _) in enumerate(self.yielded) if there == run)
        return self.yielded.pop(at)[1]
