"""The programme of ready sets: the sets left built, and the rows of each scene.

Scenes are written in two ways.  While sets are chosen, ways to stand up a strut are told apart only by what is
*counted* (``ways.py``), which begins with little and grows with what was seen to run out.  Once the sets are chosen
each scene is written by itself, every strut and way apart, and all is counted that could run out.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import chain
from math import inf
from typing import NamedTuple

from cache_check.model.cache import Compartment
from cache_check.planning.packing.rows import points_row
from cache_check.planning.staging.runs import Opening
from cache_check.planning.staging.staging import Base, Plan, Stager, Terms
from cache_check.planning.staging.ways import Counted, Told, Use, Ways, ways_of

Openings = tuple[Opening, ...]
Alike = list[tuple[Openings, dict[int, Openings]]]
"""Classes of candidates that yield alike in a scene: how the first may be opened, and all with their own openings."""
Shut = dict[int, set[tuple[int, ...]]]
"""By candidate the joints at which it is opened in no choice of a cost that is known, in one scene."""


class Laid(NamedTuple):
    """What a scene is written of: what is counted in it, its ways, and the candidates that yield alike in it."""

    counted: Counted
    ways: Ways
    alike: Alike


def laid(
    stager: Stager, counted: Sequence[Counted], among: Collection[int], most: float = inf, least: int | None = None, *,
    told: Told = "alike", shut: Sequence[Shut] = (), had: dict[object, Laid] | None = None,
) -> list[Laid]:  # fmt: skip
    """The scenes, each with what is counted in it, for sets of the candidates ``among`` all.

    With sets nothing is there that alone takes more than ``most`` joints, weighted, nor what is ``shut``, by scene; no
    strut leaves less margin than ``least``.  Scenes that were ``had`` with the same are not laid anew.
    """
    scenes, had, among = [], {} if had is None else had, tuple(among)
    for s, one in enumerate(counted):
        key = s, one, among, most, least, told
        if key not in had:
            joints, gone = most / stager.scenes[s].weight, shut[s] if shut else {}
            ways = ways_of(stager, s, one, stager.yielded(among, joints, gone), joints, least, told=told)
            had[key] = Laid(one, ways, _alike(stager, among, ways, one, joints, gone))
        scenes.append(had[key])
    return scenes


def shut_of(scenes: Sequence[Laid], plan: Plan, within: Collection[int], shut: Sequence[Shut]) -> None:
    """Shut the openings of each scene of a programme whose columns are not among these.

    Not the ways: one that no choice so good takes by this programme may take a run of an opening that is not in it.
    """
    for (s, number, place), (x, _) in plan.opened.items():
        if x not in within:
            for c, own in scenes[s].alike[number][1].items():
                shut[s].setdefault(c, set()).add(own[place].split.at)


def plan_of(stager: Stager, scenes: Sequence[Laid], among: Collection[int]) -> Plan:
    """The programme of the sets and of all scenes, with no sets but of the candidates ``among`` those laid."""
    plan, wanted = Plan(), frozenset(among)
    alike = [
        [(found, {c: own for c, own in members.items() if c in wanted}) for found, members in one.alike]
        for one in scenes
    ]
    useful = {c for classes in alike for _, members in classes for c in members}
    leave(stager, plan, [place for place in stager.places if place[0] in useful])
    there: dict[int, list[int]] = {}
    for (c, _), x in plan.left.items():
        there.setdefault(c, []).append(x)
    for s, (one, classes) in enumerate(zip(scenes, alike, strict=True)):
        rows = SceneRows(stager, plan, s, one.counted, there, {})
        rows.write(one.ways, [(found, members) for found, members in classes if members])
    return plan


def leave(stager: Stager, plan: Plan, places: Iterable[tuple[int, int]]) -> None:
    """The sets left built: no more than asked, each rig's from its own pieces, each where it fits.

    Each is built on a base with as many points as any that is held in the scenes must have, where there are such.
    """
    rigs = stager.rigs
    stock: dict[tuple[str, str], Terms] = {}
    for c, k in places:
        candidate = stager.candidates[c]
        lie = candidate.lies[k]
        column = plan.left[c, k] = plan.draft.column(1 if lie.diagonal else stager.sets)
        rig = lie.compartment.rig if lie.compartment else ""
        points = [(points_row(name), 1) for name in stager.stricter(candidate.assembly.ground)]
        for part, number in (*rigs.taken(candidate.assembly), *points):
            stock.setdefault((rig, part), []).append((column, number))
    plan.draft.row([(column, 1) for column in plan.left.values()], None, stager.sets)
    for (rig, part), terms in stock.items():
        if rig and len(rigs.names) > 1:
            plan.draft.row(terms, None, rigs.have(rig, part))
    for part in dict.fromkeys(part for _, part in stock):
        every = [term for (_, other), terms in stock.items() if other == part for term in terms]
        plan.draft.row(every, None, rigs.have("", part))
    for place in stager.muster.cache.compartments:
        _compartment(stager, plan, place)


def _compartment(stager: Stager, plan: Plan, place: Compartment) -> None:
    every = [(x, stager.candidates[c].assembly, stager.candidates[c].lies[k]) for (c, k), x in plan.left.items()]
    here = [(x, assembly, lie) for x, assembly, lie in every if lie.compartment is place]
    if place.width is not None:
        straight = [(x, (lie.width or 0) // stager.width_step) for x, _, lie in here if not lie.diagonal]
        plan.draft.row(straight, None, place.width // stager.width_step)
    if place.carries is not None:
        masses = [(x, int((assembly.mass or 0) / stager.mass_step)) for x, assembly, _ in here]
        plan.draft.row(masses, None, int(place.carries / stager.mass_step))
    across = [(x, stager.sets) for x, _, lie in here if lie.diagonal]
    straight = [(x, 1) for x, _, lie in here if not lie.diagonal]
    if across:
        plan.draft.row([*across, *straight], None, stager.sets)


def scene_of(
    stager: Stager, s: int, sets: Mapping[int, int], least: int | None, counted: Counted | None = None
) -> Plan:
    """The programme of one scene with these sets, by candidate; no strut leaves less margin than ``least``.

    All is counted that could run out, every way apart; or no more than ``counted``.
    """
    plan = Plan()
    told: Told = "apart" if counted is None else "alike"
    counted = counted or Counted(stager.short(s), stager.scarce(s, sets))
    there: dict[int, list[int]] = {c: [] for c in sets}
    ways = ways_of(stager, s, counted, stager.yielded(sets), inf, least, told=told)
    SceneRows(stager, plan, s, counted, there, sets).write(ways, _alike(stager, sets, ways, counted))
    return plan


def _alike(
    stager: Stager, candidates: Iterable[int], ways: Ways, counted: Counted, most: float = inf,
    shut: Shut | None = None,
) -> Alike:  # fmt: skip
    """The candidates that are worth opening, those that yield alike together."""
    classes: dict[object, tuple[Openings, dict[int, Openings]]] = {}
    for c in candidates:
        found = stager.openings(c, ways.kinds, counted.loose, most)
        if shut and (gone := shut.get(c)):
            found = tuple([one for one in found if one.split.at not in gone])
        if found:
            key = tuple([(one.yields, one.pins, len(one.split.at)) for one in found])
            classes.setdefault(key, (found, {}))[1][c] = found
    return list(classes.values())


class SceneRows:
    """The rows of one scene: ``there`` are columns that leave a candidate built, ``fixed`` how often it is besides."""

    def __init__(
        self, stager: Stager, plan: Plan, s: int, counted: Counted, there: Mapping[int, list[int]],
        fixed: Mapping[int, int],
    ) -> None:  # fmt: skip
        self.stager, self.plan, self.s, self.counted, self.there, self.fixed = stager, plan, s, counted, there, fixed
        self.scene = stager.scenes[s]
        self._openings: list[tuple[Opening, int]] = []
        self._runs: dict[int, Terms] = {}
        self._uses: dict[Use, Terms] = {}

    def write(self, ways: Ways, alike: Alike) -> None:
        """Write its columns and rows."""
        self._opened(alike)
        self._stood(ways)
        self._taken()
        self._held()

    def _opened(self, alike: Alike) -> None:
        """Sets that yield alike in this scene are counted together."""
        for number, (found, members) in enumerate(alike):
            self.plan.alike[self.s, number] = tuple(members)
            opened = []
            for place, one in enumerate(found):
                x = self.plan.draft.column(self.stager.sets)
                self.plan.opened[self.s, number, place] = (x, one)
                self._openings.append((one, x))
                opened.append((x, 1))
            there = [(x, -1) for c in members for x in self.there[c]]
            self.plan.rows[self.s, number] = len(self.plan.draft.rows)
            self.plan.draft.row([*opened, *there], None, sum(self.fixed.get(c, 0) for c in members))

    def _stood(self, ways: Ways) -> None:
        """As many struts as are served; their runs come from sets."""
        needs: list[Terms] = [[] for _ in self.scene.needs]
        for i, stand in enumerate(ways.stands):
            need = stand.strut.need
            x = self.plan.draft.column(self.scene.needs[need].count)
            self.plan.stood[self.s, i] = x, stand
            needs[need].append((x, 1))
            for run in stand.runs:
                self._runs.setdefault(run, []).append((x, 1))
            for use, n in stand.takes:
                self._uses.setdefault(use, []).append((x, n))
        for one, x in self._openings:
            for run, n in one.yields:
                if run in self._runs:
                    self._runs[run].append((x, -n))
        for served, terms in zip(self.stager.by_need[self.s], needs, strict=True):
            self.plan.draft.row(terms, served, served)
        for _, terms in sorted(self._runs.items()):
            self.plan.draft.row(terms, None, 0)

    def _taken(self) -> None:
        """What is counted: all struts need no more than there is, and no more than is loose or comes from sets."""
        usable, singles = self.stager.muster.usable, {~self.stager.number((part,)): part for part in self.counted.loose}
        yields: dict[str, Terms] = {}
        for one, x in self._openings:
            for run, n in one.yields:
                if run in singles:
                    yields.setdefault(singles[run], []).append((x, -n))
            for pin, n in one.pins:
                yields.setdefault(pin, []).append((x, -n))
        for part in sorted(self.counted.all):
            self.plan.draft.row(self._uses.get(("all", part), []), None, usable.counts[part])
        kinds = self.stager.catalogue.by_id
        for part in sorted(self.counted.loose & kinds.keys()):
            terms = [*self._uses.get(("loose", part), []), *yields.get(part, [])]
            each = {c: self._of(c, part) for c in self.there}
            if terms:
                self._beside_sets(terms, usable.counts[part], each)
        wanted = frozenset(chain.from_iterable(self.stager.answering[self.s].points.values()))
        for name, base in self.stager.points.items():
            if name in wanted and self.stager.apart(name, self.counted.loose):
                # A base that is held and loose must itself have the points; sets are built on bases that have them, and
                # give them back where that base, not a head of the same part, is taken off.
                off = [(x, -1) for one, x in self._openings if one.split.runs[0] == (base,)]
                terms = [*self._uses.get(("points", name), []), *off]
                each = {c: int(self.stager.candidates[c].assembly.ground == base) for c in self.there}
                self._beside_sets(terms, usable.pointed[name], each)

    def _of(self, c: int, part: str) -> int:
        """How much of a part or pin a candidate has."""
        assembly = self.stager.candidates[c].assembly
        return assembly.parts.count(part) + dict(assembly.pins).get(part, 0)

    def _beside_sets(self, terms: Terms, have: int, each: Mapping[int, int]) -> None:
        """What is taken beside the sets, of which each candidate has so much, is no more than there is."""
        sets = [(x, n) for c, n in each.items() if n for x in self.there[c]]
        fixed = sum(n * self.fixed.get(c, 0) for c, n in each.items())
        self.plan.draft.row([*terms, *sets], None, have - fixed)

    def _held(self) -> None:
        """Each restrained base is held in one way; straps, chains, hardware and bases with points are enough."""
        columns, stock = self.stager.muster.columns, self.stager.muster.stock
        bases: dict[tuple[int, Base], Terms] = {}
        for (s, _), (x, stand) in self.plan.stood.items():
            if s == self.s:
                bases.setdefault((stand.strut.need, stand.strut.base), []).append((x, 1))
        rows: dict[str, Terms] = {}
        for (n, base), holds in self.stager.answering[self.s].holds.items():
            ways = []
            for hold in holds:
                x = self.plan.held[self.s, n, base, hold] = self.plan.draft.column(self.scene.needs[n].count)
                ways.append((x, -1))
                for name, number in columns.held(base[0], hold, base[1]):
                    rows.setdefault(name, []).append((x, number))
            self.plan.draft.row([*bases.get((n, base), ()), *ways], 0, 0)
        for name, terms in sorted(rows.items()):
            self.plan.draft.row(terms, None, stock[columns.row[name]])
