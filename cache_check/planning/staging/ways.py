"""Ways to stand up the struts of a scene, told apart only by what the programme of ready sets counts.

A way takes a strut as runs: those of two or more parts come from sets, single parts are loose.  Many ways are alike to
the programme, or worse than others.  One is left out where another serves the same need with no more joints made, no
more of anything counted, and no run that it does not take too.  Runs are of one *kind* where each stands in for the
other in every way that is left.  Either leaves the best choice as it is, so long as nothing but what is counted can
run out; that is seen when the scenes are played.
"""

from collections.abc import Collection
from operator import le
from typing import TYPE_CHECKING, Literal, NamedTuple

from cache_check.planning.staging.runs import Split, splits

if TYPE_CHECKING:
    from cache_check.planning.staging.staging import Base, Stager, Strut

Told = Literal["alike", "by margin", "apart"]
"""How ways are told apart: where the programme counts them otherwise, by their margin too, or every one."""
Use = tuple[str, str]
"""What a way takes of what is counted: "all" the pieces of a part, "loose" ones, "points": loose bases held by them."""
Taken = tuple[int, ...]  # how much of each use
Best = tuple[int, int, int]
"""Joints made, the strut by number, the place among its splits: the first of several ways alike."""
Group = tuple[int, "Base | None", int]
"""The need, the base where it is restrained, and the strut where each is told apart (else -1)."""
Found = dict[tuple[int, ...], dict[Taken, Best]]
"""The ways of one group: by the runs they take from sets and by what else they take."""


class Counted(NamedTuple):
    """What is counted in a scene: parts and pins in all its struts, and those taken beside the sets."""

    all: frozenset[str] = frozenset()
    loose: frozenset[str] = frozenset()

    def more(self, other: "Counted") -> "Counted":
        """What either counts."""
        return Counted(self.all | other.all, self.loose | other.loose)


class Stand(NamedTuple):
    """One way, for all that are alike: its strut and how that is taken, the kinds of its runs, and what it takes."""

    strut: "Strut"
    split: Split
    runs: tuple[int, ...]
    takes: tuple[tuple[Use, int], ...]


class Ways(NamedTuple):
    """The ways of a scene, and by number the kind of every run of use; of a single part less than nothing."""

    stands: tuple[Stand, ...]
    kinds: dict[int, int]


def ways_of(
    stager: "Stager", s: int, counted: Counted, yielded: frozenset[int], most: float, least: int | None, *, told: Told
) -> Ways:
    """The ways of a scene where sets yield these runs, by number.

    None makes more joints than ``most`` unless all is loose, so that there is a choice with no set left built; no strut
    leaves less margin than ``least``.
    """
    apart, listing = told == "apart", _Listing(stager, s, counted, told)
    groups = listing.groups(yielded, most, least)
    if not apart:
        groups = {group: _lean(found) for group, found in groups.items()}
    kinds = {run: run for found in groups.values() for runs in found for run in runs}
    if not apart:
        kinds = _kinds(groups, kinds)
    kinds |= {one: ~one for one in (stager.number((part,)) for part in counted.loose)}
    best: dict[tuple[Group, tuple[int, ...], Taken], Best] = {}
    for group, found in groups.items():
        for runs, ways in found.items():
            for taken, way in ways.items():
                key = (group, tuple(sorted([kinds[run] for run in runs])), taken)
                best[key] = min(way, best.get(key, way))
    struts, stands = stager.answering[s].struts, list[Stand]()
    for (_, runs, taken), (_, n, place) in best.items():
        takes = tuple([(use, m) for use, m in zip(listing.uses, taken, strict=False) if m])
        stands.append(Stand(struts[n], splits(struts[n].stack)[place], runs, takes))
    return Ways(tuple(stands), kinds)


class _Listing:
    """All ways of a scene."""

    def __init__(self, stager: "Stager", s: int, counted: Counted, told: Told) -> None:
        self.stager, self.s, self.counted, self.told = stager, s, counted, told
        self.held = frozenset(stager.answering[s].holds)
        pointed = [base for base in stager.muster.columns.pointed if stager.apart(base, counted.loose)]
        self.all, self.loose, self.pointed = sorted(counted.all), sorted(counted.loose), sorted(pointed)
        uses = [("all", self.all), ("loose", self.loose), ("points", self.pointed)]
        self.uses: tuple[Use, ...] = tuple((kind, part) for kind, parts in uses for part in parts)

    def groups(self, yielded: frozenset[int], most: float, least: int | None) -> dict[Group, Found]:
        groups: dict[Group, Found] = {}
        apart, cap = self.told == "apart", max(self.stager.margins(), default=0)
        for n, strut in enumerate(self.stager.answering[self.s].struts):
            if least is not None and strut.margin < least:
                continue
            held = (strut.need, strut.base) in self.held
            group = (strut.need, strut.base if held else None, n if apart else -1)
            here = groups.setdefault(group, {})
            fixed = tuple([strut.takes.get(part, 0) for part in self.all])
            more = (-min(strut.margin, cap),) if self.told == "by margin" else ()
            for runs, place, joints in self.stager.cuts(strut.stack):
                if yielded.issuperset(runs) and (joints <= most or not runs):
                    taken = (*fixed, *self._loose(strut, place, held=held), *more) if self.loose else (*fixed, *more)
                    ways = here.setdefault(runs, {})
                    if taken not in ways or joints < ways[taken][0]:
                        ways[taken] = joints, n, place
        return groups

    def _loose(self, strut: "Strut", place: int, *, held: bool) -> list[int]:
        split, singles = splits(strut.stack)[place], dict[str, int]()
        alone = [(run[0], 1) for run in split.runs if len(run) == 1]
        for part, n in (*alone, *filter(None, [strut.pins[at] for at in split.at])):
            singles[part] = singles.get(part, 0) + n
        ground = [int(held and split.runs[0] == (part,)) for part in self.pointed]
        return [*[singles.get(part, 0) for part in self.loose], *ground]


def _lean(found: Found) -> Found:
    """The ways of a group that no other beats."""
    kept: Found = {(): _front(found.get((), {}), ())}
    for runs in sorted(found, key=len):
        if runs:
            fewer = [kept[()], *(kept[one,] for one in dict.fromkeys(runs) if len(runs) > 1 and (one,) in kept)]
            ways = _front(found[runs], fewer)
            if ways:
                kept[runs] = ways
    return kept


def _front(ways: dict[Taken, Best], others: Collection[dict[Taken, Best]]) -> dict[Taken, Best]:
    """The ways that none of them and none of the others beats."""
    kept: dict[Taken, Best] = {}
    for taken, way in sorted(ways.items(), key=lambda one: (one[1][0], one[0])):
        if not any(_beats(taken, way[0], beside) for beside in (*others, kept)):
            kept[taken] = way
    return kept


def _beats(taken: Taken, joints: int, others: dict[Taken, Best]) -> bool:
    return any(way[0] <= joints and all(map(le, less, taken)) for less, way in others.items())


def _kinds(groups: dict[Group, Found], runs: Collection[int]) -> dict[int, int]:
    """The kind of each run: those are of one that are found in the same ways, beside the same kinds of other runs."""
    kinds = {run: run for run in runs}
    while True:
        told: dict[int, set[object]] = {run: set() for run in runs}
        for group, found in groups.items():
            for taking, ways in found.items():
                for i, run in enumerate(taking):
                    beside = tuple(sorted([kinds[one] for one in (*taking[:i], *taking[i + 1 :])]))
                    told[run].update([(group, beside, taken, joints) for taken, (joints, _, _) in ways.items()])
        first: dict[object, int] = {}
        new = {run: first.setdefault(frozenset(ways), run) for run, ways in told.items()}
        if new == kinds:
            return kinds
        kinds = new
