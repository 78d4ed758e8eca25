"""Ready sets: the best choice by all its goals in order, each proven.

The goals: struts served on their steps (as many as the loose cache serves); fewest joints made or broken on scene,
weighted; the largest least margin; the lightest heaviest set; fewest pieces; a fixed order.

Pins are left out of the first programme, since they seldom bind.  If the choice it makes has a pin for every
joint it is the best with pins too; else the programme is written again with them.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from cache_check.errors import NoPlanError
from cache_check.model.assembly import Assembly
from cache_check.model.need import Scene
from cache_check.planning.packing.columns import Column
from cache_check.planning.packing.masks import bits
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.packing import Packer
from cache_check.planning.scenes import ask_of
from cache_check.planning.solving.programme import Clock, Programme, Progress, in_order, proven, silent
from cache_check.planning.solving.solvers import make_solver, solved, solver
from cache_check.planning.staging.runs import Split
from cache_check.planning.staging.staging import Candidate, Plan, Stager, Way
from cache_check.planning.staging.staging_rows import plan_of
from cache_check.planning.staging.stowing import Lie


@dataclass(frozen=True)
class Served:
    """One scene of a choice: how each set is taken (None: it is left alone), and a way for each strut."""

    opened: tuple[Split | None, ...]
    built: tuple[Way, ...]


@dataclass(frozen=True)
class Chosen:
    """A proven choice: each set with where it lies, how each scene is served, and the values of the goals."""

    sets: tuple[tuple[Candidate, Lie], ...]
    scenes: tuple[Served, ...]
    goals: tuple[tuple[str, int], ...]


def served(muster: Muster, scenes: tuple[Scene, ...]) -> tuple[int, ...]:
    """The struts of each scene that the loose cache serves at once."""
    return tuple(_served(muster, scene) for scene in scenes)


def _served(muster: Muster, scene: Scene) -> int:
    """The most struts; a row for each need holds as many as are wanted."""
    rows, columns = len(muster.stock), []
    for n, need in enumerate(scene.needs):
        ask = ask_of(need)
        for i in bits(muster.mask(ask, ask.top)):
            one = muster.columns.all[i]
            columns.append(Column(one.assembly, one.hold, (*one.uses, (rows + n, 1)), one.pieces))
    packer = Packer(tuple(columns), rows + len(scene.needs), make_solver)
    stock = (*muster.stock, *(need.count for need in scene.needs))
    return packer.most(stock, (1 << len(columns)) - 1).count


def choose(stager: Stager, *, seconds: float = 60.0, progress: Progress = silent) -> Chosen:
    """The best ready sets.

    Raises:
        NoPlanError: the limit was reached before every goal was proven.
    """
    clock = Clock(seconds)
    for pins in (False, True):
        plan = plan_of(stager, pins=pins)
        values, goals = _settled(stager, plan, clock, progress)
        chosen = _read(stager, plan, values, goals, pins=pins)
        if pins or _pinned(stager, chosen):
            return chosen
    raise AssertionError


def _settled(
    stager: Stager, plan: Plan, clock: Clock, progress: Progress
) -> tuple[tuple[int, ...], tuple[tuple[str, int], ...]]:
    joints = stager.joints(plan)
    programme, values, reached = in_order(plan.draft.done(), [joints], solver(), clock, progress)
    if values is None:
        raise NoPlanError("no choice of ready sets serves the scenes; the cache itself does not")
    margins, cap = stager.margins(plan), stager.margin_cap()
    programme, values, least = _widest(programme, values, margins, clock, progress, "largest least margin", cap)
    weights = stager.lightness(plan)
    programme, values, _ = _widest(programme, values, weights, clock, progress, "lightest heaviest set")
    programme, last, pieces = in_order(programme, [stager.pieces(plan), *stager.order(plan)], solver(), clock, progress)
    assert last is not None
    goals = ((joints.name, reached[0]), ("the largest least margin", least), ("the fewest pieces", pieces[0]))
    return last, goals


def _widest(
    programme: Programme,
    values: tuple[int, ...],
    worth: dict[int, int],
    clock: Clock,
    progress: Progress,
    goal: str,
    cap: int | None = None,
) -> tuple[Programme, tuple[int, ...], int]:
    """The programme without the columns that the best least worth leaves no room for, a choice, and that worth.

    The least worth of any column in use is raised step by step until there is no choice any more, or it is at
    ``cap``, which it is known not to pass.
    """
    progress(f"the {goal}")
    steps = sorted(set(worth.values()))

    def least(choice: tuple[int, ...]) -> int:
        return min((n for column, n in worth.items() if choice[column]), default=steps[-1] if steps else 0)

    now = least(values)
    while cap is None or now < cap:
        above = next((step for step in steps if step > now), None)
        if above is None:
            break
        answer = proven(solved(_without(programme, worth, above), clock.left), clock, f"the {goal}")
        if answer.values is None:
            break
        values = answer.values
        now = least(values)
    return _without(programme, worth, now), values, now


def _without(programme: Programme, worth: dict[int, int], least: int) -> Programme:
    """The programme with the columns of too little worth shut, and without a cost."""
    highs = tuple(0 if worth.get(i, least) < least else high for i, high in enumerate(programme.highs))
    return replace(programme, costs=(0,) * len(programme.costs), highs=highs)


def _pinned(stager: Stager, chosen: Chosen) -> bool:
    """Whether there is a loose pin for every joint of every scene: those that sets keep, and those made."""
    for served in chosen.scenes:
        pins: Counter[str] = Counter()
        for (candidate, _), split in zip(chosen.sets, served.opened, strict=True):
            pins.update(dict(candidate.assembly.pins))
            if split is not None:
                pins.subtract(_at(stager, candidate.assembly, split))
        for way in served.built:
            pins.update(_at(stager, way.assembly, way.split))
        if any(n > stager.muster.usable.counts[pin] for pin, n in pins.items()):
            return False
    return True


def _at(stager: Stager, assembly: Assembly, split: Split) -> Counter[str]:
    """The loose pins of the joints at which a stack is split."""
    pins = stager.pins_of(assembly)
    found: Counter[str] = Counter()
    for place in split.at:
        pin = pins[place]
        if pin is not None:
            found[pin[0]] += pin[1]
    return found


def _read(
    stager: Stager, plan: Plan, values: tuple[int, ...], goals: tuple[tuple[str, int], ...], *, pins: bool
) -> Chosen:
    """The choice that the columns stand for; sets that yield alike are opened in the order of the candidates."""
    numbered = [(c, k) for (c, k), x in plan.left.items() for _ in range(values[x])]
    scenes = []
    for s in range(len(stager.scenes)):
        opened: list[Split | None] = [None] * len(numbered)
        for (of, number, place), (x, _) in plan.opened.items():
            for _ in range(values[x] if of == s else 0):
                i = next(i for i, (c, _) in enumerate(numbered) if opened[i] is None and c in plan.alike[s, number])
                candidate = stager.candidates[numbered[i][0]]
                opened[i] = stager.openings(candidate, stager.useful[s], pins=pins)[place].split
        built = tuple(way for (of, way), x in plan.built.items() if of == s for _ in range(values[x]))
        scenes.append(Served(tuple(opened), built))
    sets = tuple((stager.candidates[c], stager.candidates[c].lies[k]) for c, k in numbered)
    return Chosen(sets, tuple(scenes), goals)
