"""The programme of ready sets: which assemblies to leave built, where, and how each scene is then served.

One choice of ready sets serves all scenes, since scenes are alternatives.  In each scene a ready set stays whole
or is opened at some joints (``runs.py``); each strut is put together from what that yields and from loose pieces.
A joint made or broken counts one, as often as its scene's weight says.

What a scene can serve does not depend on the sets, since all of them may be taken apart; so the struts served are
those of the loose cache, and held there.  The joints are made fewest among all ways to serve so many.

The *margin* of a strut is how far off the asked lengths may turn out, to either side, before it no longer fits.
The load has its margin in the design factor; a length measured by tape has none but this.
"""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from fractions import Fraction
from functools import cache, cached_property
from itertools import chain, combinations
from math import gcd, inf, lcm
from typing import NamedTuple

from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly
from cache_check.model.need import Need, Scene
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.rows import Hold, bits, points_row
from cache_check.planning.scenes import ask_of, split
from cache_check.planning.solving.programme import Draft, Goal, Sums, first_of
from cache_check.planning.staging.rigs import Rigs
from cache_check.planning.staging.runs import Opening, Pinned, Run, as_it_sits, every_run, longer, openings, parted
from cache_check.planning.staging.stowing import Lie, lies, may_be_carried
from cache_check.planning.staging.ways import Counted, Fields, Stand, Use

Terms = list[tuple[int, int]]
Base = tuple[str, frozenset[str]]  # a base, and the families in its strut: they say how it is held
COUNTED = ("body", "extension", "adapter", "fitting", "pin")  # kinds of part that runs and pins account for


@dataclass(frozen=True)
class Candidate:
    """An assembly that may be left built, and how it may lie."""

    assembly: Assembly
    lies: tuple[Lie, ...]


@dataclass
class Plan:
    """A programme of ready sets as it is written, and what its columns stand for."""

    draft: Draft = field(default_factory=Draft)
    left: dict[tuple[int, int], int] = field(default_factory=dict)  # sets by (candidate, way to lie)
    # Classes of candidates that yield alike in a scene, by scene and number; and the row of each.
    alike: dict[tuple[int, int], tuple[int, ...]] = field(default_factory=dict)
    rows: dict[tuple[int, int], int] = field(default_factory=dict)
    # Sets opened, by (scene, class, place among its openings); struts, by scene and the number of their way; and bases,
    # by (scene, need, base, way of holding it).
    opened: dict[tuple[int, int, int], tuple[int, Opening]] = field(default_factory=dict)
    stood: dict[tuple[int, int], tuple[int, Stand]] = field(default_factory=dict)
    held: dict[tuple[int, int, Base, Hold], int] = field(default_factory=dict)

    def made(self) -> Iterator[tuple[int, int, int]]:
        """The joints that one of each column breaks or makes: the scene, the column, how many."""
        yield from ((s, x, one.split.joints) for (s, _, _), (x, one) in self.opened.items())
        yield from ((s, x, stand.split.joints) for (s, _), (x, stand) in self.stood.items())

    def idle(self, shut: Collection[int]) -> list[int]:
        """The columns that open sets of classes of which none may be left built where these columns are shut."""
        left = {c for (c, _), x in self.left.items() if x not in shut}
        there = {key for key, members in self.alike.items() if not left.isdisjoint(members)}
        return [x for key, (x, _) in self.opened.items() if key[:2] not in there]

    def sums(self, candidates: Sequence[Candidate]) -> Sums:
        """Sums of the sets left built, by kind: each, all, those that have a part or two, and how many pieces of it.

        Those of one assembly too, and those that lie in one way.  The joints of each scene as well.
        """
        *kinds, joints = [defaultdict[object, Counter[int]](Counter) for _ in range(8)]
        for (c, k), x in self.left.items():
            stack = candidates[c].assembly.parts
            pairs = combinations(sorted(set(stack)), 2)
            every: tuple[Iterable[object], ...] = ([x], [0], dict.fromkeys(stack), stack, pairs, [stack], [k])
            for kind, keys in zip(kinds, every, strict=True):
                for key in keys:
                    kind[key][x] += 1
        for s, x, number in self.made():
            if number:
                joints[s][x] = number
        return [[tuple(terms.items()) for terms in kind.values()] for kind in (*kinds, joints)]


class Strut(NamedTuple):
    """An assembly that answers a need, with the pins of its joints, as one run, its base as held, and its pieces."""

    need: int
    assembly: Assembly
    margin: int
    pins: Pinned
    stack: Run
    base: Base
    takes: Counter[str]


@dataclass(frozen=True)
class Answering:
    """The struts that answer a scene, and by need and base the ways to hold it, and the points that it must have."""

    struts: tuple[Strut, ...]
    holds: dict[tuple[int, Base], tuple[Hold, ...]]
    # Names of counts of its bases by their points (see ``Usable.pointed``): as many as any way wants.
    points: dict[tuple[int, Base], frozenset[str]]


class Stager:
    """One muster, its scenes with how far each is met, and how many sets may be left built.

    ``lying`` are sets that lie built already: then these are the candidates, and no others.
    """

    def __init__(
        self, muster: Muster, scenes: tuple[Scene, ...], sets: int, lying: tuple[Assembly, ...] | None = None
    ) -> None:
        self.muster, self.scenes, self.catalogue = muster, scenes, muster.cache.catalogue
        self.told = tuple(split(muster, scene).served(scene) for scene in scenes)
        self.by_need = tuple(tuple(served for _, _, served in one.needs) for one in self.told)
        self.served = tuple(map(sum, self.by_need))
        self.sets, self.lying = sets, lying
        self._numbers: dict[Run, int] = {}
        self._stacked, self.cuts = cache(lambda assembly: as_it_sits(muster, assembly)), cache(self._cuts)
        self.runs = cache(lambda stack: tuple(map(self.number, every_run(stack))))
        self._most, self._yields = cache(self._most_of), cache(self._yields_of)

    @cached_property
    def candidates(self) -> tuple[Candidate, ...]:
        """What may be left built: legal, carried, and lying somewhere."""
        if self.lying is not None:
            return tuple(Candidate(one, (Lie(None, None, 0),)) for one in self.lying)
        places, book = self.muster.cache.compartments, self.muster.book
        carried = (one for one in self.muster.joined.assemblies(again=True) if may_be_carried(one, book))
        found = ((one, lies(one, self.catalogue, places, book)) for one in carried)
        return tuple(Candidate(one, ways) for one, ways in found if ways)

    @cached_property
    def unweighed(self) -> tuple[str, ...]:
        """The parts of unknown weight for which some assembly may not be left built."""
        barred = (one for one in self.muster.joined.assemblies() if not may_be_carried(one, self.muster.book))
        parts = {part for one in barred if one.mass is None for part in one.parts}
        return tuple(part.id for part in self.catalogue.parts if part.id in parts and part.mass is None)

    @cached_property
    def answering(self) -> tuple[Answering, ...]:
        """What answers each scene."""
        return tuple(map(self._answering, self.scenes))

    def _answering(self, scene: Scene) -> Answering:
        columns = self.muster.columns
        struts: dict[tuple[int, int], Assembly] = {}
        holds: dict[tuple[int, Base], dict[Hold, None]] = {}
        for n, ask in enumerate(map(ask_of, scene.needs)):
            for i in bits(self.muster.mask(ask, self.muster.top(ask))):
                column = columns.all[i]
                assembly = struts[n, column.assembly] = columns.assemblies[column.assembly]
                if column.hold is not None:
                    holds.setdefault((n, self.base(assembly)), {})[column.hold] = None
        return Answering(
            tuple(self._strut(n, one, scene.needs[n]) for (n, _), one in struts.items()),
            {key: tuple(found) for key, found in holds.items()},
            {key: frozenset(self._points(key[1], found)) for key, found in holds.items()},
        )

    def _points(self, base: Base, holds: Iterable[Hold]) -> Iterator[str]:
        rows = {row for hold in holds for row, _ in self.muster.columns.held(base[0], hold, base[1])}
        yield from (
            name for name, of in self.muster.columns.points.items() if of == base[0] and points_row(name) in rows
        )

    @cached_property
    def points(self) -> dict[str, str]:
        """The names of all counts by points that bases held in the scenes must be of, each with its base."""
        wanted = frozenset(chain.from_iterable(names for one in self.answering for names in one.points.values()))
        return {name: base for name, base in self.muster.columns.points.items() if name in wanted}

    def stricter(self, base: str) -> list[str]:
        """Of these counts of a base those by more points than its own family asks, and of which there is one."""
        return [name for name, of in self.points.items() if of == base != name and self.muster.usable.pointed[name]]

    def _strut(self, n: int, one: Assembly, need: Need) -> Strut:
        far = margin(one, need.shortest, need.longest)
        return Strut(n, one, far, *self._stacked(one), self.base(one), one.pieces)

    def base(self, assembly: Assembly) -> Base:
        """The base of an assembly, as it is held in it."""
        return assembly.ground, self.muster.columns.families(assembly)

    def stack(self, assembly: Assembly) -> Run:
        """An assembly as one run."""
        return self._stacked(assembly)[1]

    @cached_property
    def everything(self) -> Counted:
        """All that could run out in a scene: parts and pins, and the points of bases."""
        parts = frozenset(part.id for part in self.catalogue.parts if part.kind in COUNTED)
        return Counted(parts, parts | set(map(points_row, self.points)))

    @cached_property
    def fields(self) -> Fields:
        """What ways may take of, all that is ever counted."""
        kinds = ("all", self.everything.all), ("loose", self.everything.all), ("points", self.points)
        uses: list[Use] = [(kind, part) for kind, parts in kinds for part in sorted(parts)]
        most = (n for s in range(len(self.scenes)) for n in self._most(s).values())
        return Fields(uses, max(most, default=1), self.margins())

    def yielded(
        self, among: Iterable[int], most: float = inf, shut: Mapping[int, Collection[tuple[int, ...]]] | None = None
    ) -> frozenset[int]:
        """The runs that these candidates yield when no more than so many joints are broken, by number.

        None is opened at joints where it is shut.
        """
        found = set[int]()
        for c in among:
            stack = self.stack(self.candidates[c].assembly)
            joints = int(min(most, len(stack) // 2))
            if shut and (gone := shut.get(c)):
                cuts = zip(self.cuts(stack), parted(len(stack) // 2), strict=True)
                found.update(*[runs for (runs, _, number), (at, _) in cuts if number <= joints and at not in gone])
            else:
                found |= self._yields(stack, joints)
        return frozenset(found)

    def _yields_of(self, stack: Run, most: int) -> frozenset[int]:
        return frozenset(chain.from_iterable(runs for runs, _, joints in self.cuts(stack) if joints <= most))

    def short(self, s: int) -> frozenset[str]:
        """The parts and pins that the struts of a scene alone could run out of."""
        return frozenset(part for part, n in self._most(s).items() if n > self.muster.usable.counts[part])

    def _most_of(self, s: int) -> Counter[str]:
        """What the struts of a scene take, were each to take the most of every part and pin that any does."""
        most: Counter[str] = Counter()
        for strut in self.answering[s].struts:
            most |= strut.takes
        return Counter({part: n * self.served[s] for part, n in most.items()})

    def scarce(self, s: int, sets: Mapping[int, int]) -> frozenset[str]:
        """Of everything, what could run out in a scene with these sets, by candidate."""
        wanted = self._most(s).copy()
        for c, number in sets.items():
            for part, n in self.candidates[c].assembly.pieces.items():
                wanted[part] += n * number
        usable = self.muster.usable
        few = {part for part, n in wanted.items() if n > usable.counts[part]}
        pointed = {name: base for name, base in self.points.items() if wanted[base] > usable.pointed[name]}
        return frozenset(few | {*pointed.values()} | set(map(points_row, pointed)))

    def number(self, run: Run) -> int:
        """The number of a run."""
        return self._numbers.setdefault(run, len(self._numbers))

    def _cuts(self, stack: Run) -> tuple[tuple[tuple[int, ...], int, int], ...]:
        """For each of its splits the runs of two or more parts, ground to load, its place, and its joints between."""
        runs, every = self.runs(stack), enumerate(longer(len(stack) // 2))
        return tuple((tuple([runs[i] for i in own]), place, joints) for place, (joints, own) in every)

    def apart(self, name: str, loose: Collection[str]) -> bool:
        """Whether bases with so many points are counted, and some have fewer."""
        usable = self.muster.usable
        return points_row(name) in loose and usable.counts[self.points[name]] > usable.pointed[name] > 0

    def openings(self, c: int, kinds: Mapping[int, int], loose: frozenset[str], most: float) -> tuple[Opening, ...]:
        """The ways to open a candidate at no more than so many joints.

        Runs are of these kinds, and these parts and pins are counted loose.
        """
        pins, stack = self._stacked(self.candidates[c].assembly)
        found = openings(stack, self.runs(stack), pins, kinds, loose)
        return found if most >= len(pins) else tuple([one for one in found if one.split.joints <= most])

    @cached_property
    def places(self) -> tuple[tuple[int, int], ...]:
        """Every (candidate, way to lie), in their fixed order."""
        return tuple((c, k) for c, candidate in enumerate(self.candidates) for k in range(len(candidate.lies)))

    @cached_property
    def rigs(self) -> Rigs:
        """Whose pieces they are."""
        return Rigs(self.muster)

    @cached_property
    def width_step(self) -> int:
        """The largest width of which all that sets take are multiples (nm)."""
        return gcd(*(lie.width or 0 for one in self.candidates for lie in one.lies)) or 1

    @cached_property
    def mass_step(self) -> Fraction:
        """The largest mass of which all sets' are multiples (kg)."""
        masses = [one.assembly.mass for one in self.candidates if one.assembly.mass]
        parts = lcm(*(mass.denominator for mass in masses))
        return Fraction(gcd(*(int(mass * parts) for mass in masses)) or 1, parts)

    def joints(self, plan: Plan) -> Goal:
        """Joints made and broken on scene, weighted."""
        weights = [scene.weight for scene in self.scenes]
        costs = {x: weights[s] * number for s, x, number in plan.made()}
        return Goal("the fewest joints made or broken on scene", costs)

    def margins(self) -> list[int]:
        """What a least margin may be, rising: of struts of needs that are served, up to the best that some need has."""
        needs = [(s, n) for s, by_need in enumerate(self.by_need) for n, number in enumerate(by_need) if number]
        served = [[strut.margin for strut in self.answering[s].struts if strut.need == n] for s, n in needs]
        cap = min(map(max, served), default=0)
        return sorted({margin for each in served for margin in each if margin <= cap})

    @cached_property
    def lightness(self) -> tuple[int, ...]:
        """How light each candidate is: less than nothing the heavier; an unknown weight is the heaviest."""
        masses = [one.assembly.mass for one in self.candidates]
        place = {mass: -n for n, mass in enumerate(sorted({mass for mass in masses if mass is not None}))}
        return tuple(-len(place) if mass is None else place[mass] for mass in masses)

    def fewest(self, plan: Plan, order: Iterable[int]) -> list[Goal]:
        """Of what equal sets are to have the fewest: of joints in each scene, in this order, then of pieces."""
        joints: dict[int, dict[int, int]] = {s: {} for s in order}
        for s, x, number in plan.made():
            joints[s][x] = number
        pieces = {x: len(self.candidates[c].assembly.parts) for (c, _), x in plan.left.items()}
        names = [f"the fewest joints in scene {self.scenes[s].id}" for s in joints]
        return list(map(Goal, [*names, "the fewest pieces"], [*joints.values(), pieces]))

    def first(self, plan: Plan) -> list[Goal]:
        """The places of the sets among all that may be left: those of the first."""
        places = {plan.left[one]: n for n, one in enumerate(self.places) if one in plan.left}
        return first_of(places, len(self.places))


def margin(assembly: Assembly, shortest: int, longest: int) -> int:
    """How far off the asked lengths may be, to either side, before the assembly no longer covers them (nm)."""
    return max(
        min(shortest - low, high - longest) for low, high in assembly.spans if low <= shortest and longest <= high
    )
