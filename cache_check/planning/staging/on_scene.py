"""From a choice of ready sets to what a crew does: which set serves as which strut, and every joint in order."""

from collections import Counter
from collections.abc import Sequence

from cache_check.model.need import Scene
from cache_check.model.staging import SceneStaged, StepOnScene, StrutOnScene
from cache_check.planning.packing.choice import ties_of_holds
from cache_check.planning.packing.rows import Hold
from cache_check.planning.staging.played import Chosen, Way, pieces_of
from cache_check.planning.staging.runs import Run
from cache_check.planning.staging.staging import Stager


def set_names(number: int) -> tuple[str, ...]:
    """Names of ready sets: A to Z, then A2 to Z2, and so on."""
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    return tuple(letters[i % 26] + (str(i // 26 + 1) if i >= 26 else "") for i in range(number))


def loose(stager: Stager, chosen: Chosen) -> dict[str, int]:
    """The usable pieces that are in no ready set, pins among them."""
    left = Counter(stager.muster.usable.counts)
    left.subtract(pieces_of(candidate.assembly for candidate, _ in chosen.sets))
    return dict(left)


def scenes(stager: Stager, chosen: Chosen, names: Sequence[str] = ()) -> tuple[SceneStaged, ...]:
    """How each scene is served; the sets are called by ``names``, else by letters."""
    names = names or set_names(len(chosen.sets))
    return tuple(_Serving(stager, chosen, s, names).staged() for s in range(len(stager.scenes)))


class _Serving:
    """One scene being served: the runs that its opened sets yield, and the loose pieces, are handed out in order."""

    def __init__(self, stager: Stager, chosen: Chosen, s: int, names: Sequence[str]) -> None:
        self.stager = stager
        self.s = s
        self.scene: Scene = stager.scenes[s]
        self.served = chosen.scenes[s]
        self.loose = loose(stager, chosen)
        self.ties = Counter(stager.muster.usable.counts)
        self.yielded: list[tuple[Run, str]] = []
        self.steps: list[StepOnScene] = []
        for name, (candidate, _), split in zip(names, chosen.sets, self.served.opened, strict=True):
            if split is not None:
                self.yielded += [(run, name) for run in split.runs]
                self.steps += [StepOnScene("break", candidate.parts[i], candidate.parts[i + 1], name) for i in split.at]

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
