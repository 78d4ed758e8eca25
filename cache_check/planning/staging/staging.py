"""The programme of ready sets: which assemblies to leave built, where, and how each scene is then served.

One choice of ready sets serves all scenes, since scenes are alternatives.  In each scene a ready set stays whole
or is opened at some joints (``runs.py``); each strut is put together from what that yields and from loose pieces.
A joint made or broken counts one, as often as its scene's weight says.

What a scene can serve does not depend on the sets, since all of them may be taken apart; so the struts served are
those of the loose cache, and held there.  The joints are made fewest among all ways to serve so many.

The *margin* of a strut is how far off the asked lengths may turn out, to either side, before it no longer fits.
The load has its margin in the design factor; a length measured by tape has none but this.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from math import lcm

from cache_check.model.assembly import Assembly
from cache_check.model.need import Scene
from cache_check.planning.packing.columns import Column
from cache_check.planning.packing.masks import bits
from cache_check.planning.packing.muster import Muster
from cache_check.planning.scenes import ask_of
from cache_check.planning.solving.programme import Draft, Goal
from cache_check.planning.staging.rigs import Rigs
from cache_check.planning.staging.runs import Opening, Run, Split, openings, runs_of, splits, stack_of
from cache_check.planning.staging.stowing import Lie, lies, may_be_carried

Terms = list[tuple[int, int]]


@dataclass(frozen=True)
class Candidate:
    """An assembly that may be left built, and how it may lie."""

    assembly: Assembly
    lies: tuple[Lie, ...]

    @property
    def parts(self) -> tuple[str, ...]:
        """Its parts, ground to load."""
        return self.assembly.parts


@dataclass(frozen=True)
class Way:
    """One way to stand up a strut for a need: its column, and which runs it is put together from."""

    need: int
    column: Column
    assembly: Assembly
    split: Split
    margin: int


@dataclass
class Plan:
    """A programme of ready sets as it is written, and what its columns stand for.

    ``left`` counts the sets by (candidate, way to lie); ``opened`` by (scene, class, place among its openings) those
    opened in a scene, where a class (``alike``, by scene and number) is of candidates that yield alike in it;
    ``built`` the struts of a scene.
    """

    draft: Draft = field(default_factory=Draft)
    left: dict[tuple[int, int], int] = field(default_factory=dict)
    alike: dict[tuple[int, int], tuple[int, ...]] = field(default_factory=dict)
    opened: dict[tuple[int, int, int], tuple[int, Opening]] = field(default_factory=dict)
    built: dict[tuple[int, Way], int] = field(default_factory=dict)


class Stager:
    """One muster, its scenes with how many struts each serves at most, and how many sets may be left built."""

    def __init__(self, muster: Muster, scenes: tuple[Scene, ...], served: tuple[int, ...], sets: int) -> None:
        self.muster = muster
        self.scenes = scenes
        self.served = served
        self.sets = sets
        self.catalogue = muster.cache.catalogue
        self._stacks: dict[Assembly, Run] = {}

    @cached_property
    def candidates(self) -> tuple[Candidate, ...]:
        """What may be left built: legal, carried, and lying somewhere."""
        places, book = self.muster.cache.compartments, self.muster.book
        found = []
        for assembly in self.muster.joined.assemblies(again=True):
            if may_be_carried(assembly, book):
                ways = lies(assembly, self.catalogue, places, book)
                if ways:
                    found.append(Candidate(assembly, ways))
        return tuple(found)

    @cached_property
    def ways(self) -> tuple[tuple[Way, ...], ...]:
        """For each scene every way to stand up a strut of it, from runs that some candidate has."""
        there = {run for candidate in self.candidates for run in runs_of(self.stack(candidate.assembly))}
        return tuple(tuple(self._ways(scene, there)) for scene in self.scenes)

    def _ways(self, scene: Scene, there: set[Run]) -> Iterable[Way]:
        columns = self.muster.columns
        for n, need in enumerate(scene.needs):
            ask = ask_of(need)
            for i in bits(self.muster.mask(ask, ask.top)):
                column = columns.all[i]
                assembly = columns.assemblies[column.assembly]
                for split in splits(self.stack(assembly)):
                    if all(len(run) == 1 or run in there for run in split.runs):
                        yield Way(n, column, assembly, split, margin(assembly, need.shortest, need.longest))

    def pins_of(self, assembly: Assembly) -> tuple[tuple[str, int] | None, ...]:
        """The loose pins of the joints of an assembly, ground to load."""
        parts = [self.catalogue.by_id[part] for part in assembly.parts]
        return self.muster.joined.joints.pins_along(parts, assembly.pins)

    def stack(self, assembly: Assembly) -> Run:
        """An assembly as one run; told apart by its pins, if its parts can sit another way."""
        if assembly not in self._stacks:
            self._stacks[assembly] = stack_of(assembly.parts, self.pins_of(assembly))
        return self._stacks[assembly]

    @cached_property
    def in_sets(self) -> Counter[str]:
        """The most pieces of each part that sets could take."""
        wanted: Counter[str] = Counter()
        for candidate in self.candidates:
            for part, n in Counter(candidate.parts).items():
                wanted[part] = max(wanted[part], n * self.sets)
        return wanted

    @cached_property
    def scarce(self) -> tuple[frozenset[str], ...]:
        """For each scene the parts that could run out: sets and struts could want more of them than there are."""
        return tuple(self._scarce(s) for s in range(len(self.scenes)))

    def _scarce(self, s: int) -> frozenset[str]:
        wanted = Counter(self.in_sets)
        for n, need in enumerate(self.scenes[s].needs):
            most: Counter[str] = Counter()
            for way in self.ways[s]:
                if way.need == n:
                    most |= Counter(way.assembly.parts)
            for part, number in most.items():
                wanted[part] += number * need.count
        return frozenset(part for part, n in wanted.items() if n > self.muster.usable.counts[part])

    @cached_property
    def useful(self) -> tuple[frozenset[Run], ...]:
        """For each scene the runs that a set could yield to some strut; single parts only where they could run out."""
        return tuple(
            frozenset(run for way in ways for run in way.split.runs if len(run) > 1 or run[0] in scarce)
            for ways, scarce in zip(self.ways, self.scarce, strict=True)
        )

    def openings(self, candidate: Candidate, useful: frozenset[Run], *, pins: bool) -> tuple[Opening, ...]:
        """The ways to open a candidate for a scene; ``pins``: whether pins set free are counted."""
        return openings(self.stack(candidate.assembly), self.pins_of(candidate.assembly) if pins else (), useful)

    def leave(self, plan: Plan) -> None:
        """The sets left built: no more than asked, each rig's from its own pieces, each where it fits."""
        rigs = Rigs(self.muster)
        stock: dict[tuple[str, str], Terms] = {}
        for c, candidate in enumerate(self.candidates):
            for k, lie in enumerate(candidate.lies):
                column = plan.left[c, k] = plan.draft.column(1 if lie.diagonal else self.sets)
                rig = lie.compartment.rig if lie.compartment else ""
                for part, number in rigs.taken(candidate.assembly):
                    stock.setdefault((rig, part), []).append((column, number))
        plan.draft.row([(column, 1) for column in plan.left.values()], None, self.sets)
        for (rig, part), terms in stock.items():
            if rig and len(rigs.names) > 1:
                plan.draft.row(terms, None, rigs.have(rig, part))
        for part in {part for _, part in stock}:
            every = [term for (_, other), terms in stock.items() if other == part for term in terms]
            plan.draft.row(every, None, rigs.have("", part))
        self._compartments(plan)

    def _compartments(self, plan: Plan) -> None:
        for place in self.muster.cache.compartments:
            here = [
                (column, self.candidates[c].assembly, self.candidates[c].lies[k])
                for (c, k), column in plan.left.items()
                if self.candidates[c].lies[k].compartment is place
            ]
            if place.width is not None:
                plan.draft.row([(x, lie.width or 0) for x, _, lie in here if not lie.diagonal], None, place.width)
            if place.carries is not None:
                masses = [(x, assembly.mass or Fraction(0)) for x, assembly, _ in here]
                grain = lcm(place.carries.denominator, *(mass.denominator for _, mass in masses))
                plan.draft.row([(x, int(mass * grain)) for x, mass in masses], None, int(place.carries * grain))
            across = [(x, self.sets) for x, _, lie in here if lie.diagonal]
            straight = [(x, 1) for x, _, lie in here if not lie.diagonal]
            if across:
                plan.draft.row([*across, *straight], None, self.sets)

    def joints(self, plan: Plan) -> Goal:
        """Joints made and broken on scene, weighted."""
        costs = {x: self.scenes[s].weight * one.split.joints for (s, _, _), (x, one) in plan.opened.items()}
        costs |= {x: self.scenes[s].weight * way.split.joints for (s, way), x in plan.built.items()}
        return Goal("the fewest joints made or broken on scene", costs)

    def margins(self, plan: Plan) -> dict[int, int]:
        """The margin (nm) that each column leaves."""
        return {x: way.margin for (_, way), x in plan.built.items()}

    def margin_cap(self) -> int | None:
        """A margin that no least margin passes: the best of the need that leaves least, where a scene is met whole."""
        best = [
            max(way.margin for way in self.ways[s] if way.need == n)
            for s, scene in enumerate(self.scenes)
            if self.served[s] == sum(need.count for need in scene.needs)
            for n in range(len(scene.needs))
        ]
        return min(best, default=None)

    def lightness(self, plan: Plan) -> dict[int, int]:
        """How light the set of each column is: less than nothing the heavier; an unknown weight is the heaviest."""
        masses = sorted({c.assembly.mass for c in self.candidates if c.assembly.mass is not None})
        place = {mass: n for n, mass in enumerate(masses)}
        return {
            x: -(len(masses) if mass is None else place[mass])
            for (c, _), x in plan.left.items()
            for mass in (self.candidates[c].assembly.mass,)
        }

    def pieces(self, plan: Plan) -> Goal:
        """The pieces in all ready sets."""
        return Goal("the fewest pieces", {x: len(self.candidates[c].parts) for (c, _), x in plan.left.items()})

    def order(self, plan: Plan) -> list[Goal]:
        """What is left open is settled by a fixed order: lean struts, then the places of all choices in their list.

        The places are squared, so that equal sums are rare; each is a whole number that follows from the caches.
        """
        lean = {x: len(way.assembly.parts) for (_, way), x in plan.built.items()}
        every = [*plan.left.values(), *(x for x, _ in plan.opened.values()), *plan.built.values()]
        first = {x: (n + 1) ** 2 for n, x in enumerate(every)}
        return [Goal("the leanest struts", lean), Goal("the first in order", first)]


def margin(assembly: Assembly, shortest: int, longest: int) -> int:
    """How far off the asked lengths may be, to either side, before the assembly no longer covers them (nm)."""
    return max(
        min(shortest - low, high - longest) for low, high in assembly.spans if low <= shortest and longest <= high
    )
