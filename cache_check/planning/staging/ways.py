"""Ways to stand up the struts of a scene, told apart only by what the programme of ready sets counts.

A way takes a strut as runs: those of two or more parts come from sets, single parts are loose.  Many ways are alike to
the programme, or worse than others.  One is left out where another serves the same need with no more joints made, no
more of anything counted, and no run that it does not take too.  Runs are of one *kind* where each stands in for the
other in every way that is left.  Either leaves the best choice as it is, so long as nothing but what is counted can
run out; that is seen when the scenes are played.
"""

from bisect import bisect
from collections.abc import Callable, Collection, Iterable, Sequence
from functools import cache
from itertools import chain
from typing import TYPE_CHECKING, Literal, NamedTuple

from cache_check.planning.staging.runs import Split, alone, splits

if TYPE_CHECKING:
    from cache_check.planning.staging.staging import Base, Stager, Strut

Told = Literal["alike", "by margin", "apart"]
"""How ways are told apart: where the programme counts them otherwise, by their margin too, or every one."""
Use = tuple[str, str]
"""What a way takes of what is counted: "all" the pieces of a part, "loose" ones, "points": loose bases held by them."""
Best = tuple[int, int, int]
"""Joints made, the strut by number, the place among its splits: the first of several ways alike."""
Group = tuple[int, "Base | None", int]
"""The need, the base where it is restrained, and the strut where each is told apart (else -1)."""
Runs = tuple[int, ...]
Found = dict[Runs, dict[int, Best]]
"""The ways of one group: by the runs they take from sets and by what else they take (``Fields``)."""
Key = tuple[Group, Runs, int]


class Fields:
    """How much of every use is taken, side by side in one whole number; all are compared at once (``Fields.beats``).

    The margin comes last: by how many steps it falls short of the best.
    """

    def __init__(self, uses: Iterable[Use], most: int, margins: Sequence[int]) -> None:
        self._bits, self._margins = (bits := most.bit_length() + 1), margins
        self.unit = {use: 1 << bits * n for n, use in enumerate(uses)}
        self._uses, self._last = tuple(self.unit), 1 << bits * len(self.unit)
        # One bit of each field is free: it stays set where as much is taken off as there is, or less.
        spare = [unit << bits - 1 for unit in self.unit.values()]
        self._spare = sum(spare) + (self._last << len(margins).bit_length())
        self.taken = cache(self._taken)

    def short_of(self, margin: int) -> int:
        """The field of a margin."""
        return self._last * (len(self._margins) - bisect(self._margins, margin))

    def _taken(self, amounts: int) -> tuple[tuple[Use, int], ...]:
        """The uses of which something is taken, with how much."""
        found = []
        while (amounts := amounts & self._last - 1) > 0:
            at = ((amounts & -amounts).bit_length() - 1) // self._bits
            number = amounts // self.unit[self._uses[at]] & (1 << self._bits) - 1
            found.append((self._uses[at], number))
            amounts -= number * self.unit[self._uses[at]]
        return tuple(found)

    def beats(self, amounts: int) -> Callable[[int], bool]:
        """Whether others take no more of anything than these."""
        spare, over = self._spare, self._spare | amounts
        return lambda less: over - less & spare == spare


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
    stager: "Stager", s: int, counted: Counted, yielded: frozenset[int], most: float, least: int | None, *,
    told: Told,
) -> Ways:  # fmt: skip
    """The ways of a scene where sets yield these runs, by number.

    None makes more joints than ``most``, unless all is loose, so that there is a choice with no set left built; no
    strut leaves less margin than ``least``.
    """
    apart, groups = told == "apart", _Listing(stager, s, counted, told).groups(yielded, most, least)
    if not apart:
        groups = {group: _lean(found, stager.fields) for group, found in groups.items()}
    kinds = {run: run for found in groups.values() for runs in found for run in runs}
    if not apart:
        kinds = _kinds(groups, kinds)
    kinds |= {one: ~one for one in (stager.number((part,)) for part in counted.loose)}
    best: dict[Key, Best] = {}
    for group, found in groups.items():
        for runs, ways in found.items():
            of_kind = tuple(sorted([kinds[run] for run in runs]))
            for taken, way in ways.items():
                key = (group, of_kind, taken)
                best[key] = min(way, best.get(key, way))
    struts, stands = stager.answering[s].struts, list[Stand]()
    for (_, runs, taken), (_, n, place) in best.items():
        stands.append(Stand(struts[n], splits(struts[n].stack)[place], runs, stager.fields.taken(taken)))
    return Ways(tuple(stands), kinds)


class _Listing:
    """All ways of a scene."""

    def __init__(self, stager: "Stager", s: int, counted: Counted, told: Told) -> None:
        self.stager, self.s, self.told = stager, s, told
        self.held = stager.answering[s].points
        pointed = [name for name in stager.points if stager.apart(name, counted.loose)]
        uses = [("all", counted.all), ("loose", counted.loose & stager.everything.all), ("points", pointed)]
        self.uses: tuple[Use, ...] = tuple((kind, part) for kind, parts in uses for part in sorted(parts))
        self._unit = {use: stager.fields.unit[use] for use in self.uses}
        self._loosely = len(self.uses) > len(counted.all)

    def groups(self, yielded: frozenset[int], most: float, least: int | None) -> dict[Group, Found]:
        groups: dict[Group, Found] = {}
        apart, fields = self.told == "apart", self.stager.fields
        for n, strut in enumerate(self.stager.answering[self.s].struts):
            if least is not None and strut.margin < least:
                continue
            points = self.held.get((strut.need, strut.base))
            group = (strut.need, None if points is None else strut.base, n if apart else -1)
            here = groups.setdefault(group, {})
            fixed = sum(m * self._unit.get(("all", part), 0) for part, m in strut.takes.items())
            fixed += fields.short_of(strut.margin) if self.told == "by margin" else 0
            parts, pins, places = *self._loose(strut, points or ()), alone(len(strut.pins))
            cuts = self.stager.cuts(strut.stack)
            # Of a strut of which no set yields a run only the last split is left: all its parts apart.
            for runs, place, joints in cuts[-1:] if yielded.isdisjoint(self.stager.runs(strut.stack)) else cuts:
                if yielded.issuperset(runs) and (joints <= most or not runs):
                    taken = fixed
                    if self._loosely:
                        at, singles = places[place]
                        taken += sum([pins[i] for i in at]) + sum([parts[i] for i in singles])
                    ways = here.setdefault(runs, {})
                    if taken not in ways or joints < ways[taken][0]:
                        ways[taken] = joints, n, place
        return groups

    def _loose(self, strut: "Strut", points: Iterable[str]) -> tuple[list[int], list[int]]:
        """What each of its parts takes of what is counted beside the sets if it stands alone, and each joint made."""
        parts = [self._unit.get(("loose", part), 0) for part in strut.stack[::2]]
        parts[0] += sum(self._unit.get(("points", name), 0) for name in points)
        return parts, [pin[1] * self._unit.get(("loose", pin[0]), 0) if pin else 0 for pin in strut.pins]


def _lean(found: Found, fields: Fields) -> Found:
    """The ways of a group that no other beats."""
    kept: Found = {}
    for runs in sorted({(): {}} | found, key=len):
        fewer = [(), *((one,) for one in dict.fromkeys(runs) if len(runs) > 1 and (one,) in kept)] if runs else []
        ways: dict[int, Best] = {}
        for taken, way in sorted(found.get(runs, {}).items(), key=lambda one: (one[1][0], one[0])):
            beats, joints = fields.beats(taken), way[0]
            others = chain.from_iterable(one.items() for one in (*(kept[one] for one in fewer), ways))
            if not any(had[0] <= joints and beats(less) for less, had in others):
                ways[taken] = way
        if ways or not runs:
            kept[runs] = ways
    return kept


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
