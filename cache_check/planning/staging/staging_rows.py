"""The programme of ready sets: the sets left built, and the rows of each scene.

Scenes are written in two ways.  While sets are chosen a scene's rows are those that every choice keeps: its struts,
taken for themselves, need no more than there is; and the runs they keep come from sets.  That sets also tie up loose
pieces, pins and bases with points is written only of what is *counted*, which begins with nothing and grows with what
was seen to run out.  Once the sets are chosen each scene is written by itself, and all is counted that could run out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Protocol

from cache_check.frozen import dataclass
from cache_check.planning.staging.runs import Opening, Run, Split, splits_within
from cache_check.planning.staging.staging import Base, Name, Plan, Stager, Strut, Terms, Way


class Within(Protocol):
    """What a programme of sets is written of."""

    @property
    def places(self) -> Sequence[tuple[int, int]]:
        """The (candidate, way to lie) that may be left."""

    def struts(self, s: int) -> Sequence[int]:
        """The struts of a scene, by place among those that answer it."""

    def takes(self, s: int, strut: int, split: Split) -> bool:
        """Whether a strut is put together so."""

    def opens(self, s: int, c: int, opening: Opening) -> bool:
        """Whether a candidate is opened so."""


@dataclass(frozen=True)
class Every:
    """Everything, with these places."""

    stager: Stager
    places: Sequence[tuple[int, int]]

    def struts(self, s: int) -> Sequence[int]:
        """All that answer the scene."""
        return range(len(self.stager.answering[s].struts))

    def takes(self, s: int, strut: int, split: Split) -> bool:
        """Each way."""
        return True

    def opens(self, s: int, c: int, opening: Opening) -> bool:
        """Each opening."""
        return True


def plan_of(stager: Stager, counted: Sequence[frozenset[str]], within: Within, *, open_: bool = False) -> Plan:
    """The programme of the sets and of all scenes, each with what is counted in it."""
    plan = Plan(open_=open_)
    stager.leave(plan, within.places)
    there: dict[int, list[int]] = {}
    for (c, _), x in plan.left.items():
        there.setdefault(c, []).append(x)
    for s in range(len(stager.scenes)):
        SceneRows(stager, plan, s, counted[s], within, there, {}).write()
    return plan


def scene_of(stager: Stager, s: int, sets: Mapping[int, int], least: int | None) -> Plan:
    """The programme of one scene with these sets, by candidate; no strut leaves less margin than ``least``."""
    plan = Plan()
    there: dict[int, list[int]] = {c: [] for c in sets}
    SceneRows(stager, plan, s, stager.scarce(s, sets), Every(stager, ()), there, sets, least).write()
    return plan


class SceneRows:
    """The rows of one scene.

    ``there`` are the columns by which each candidate is left built, ``fixed`` how often it is beside that.
    """

    def __init__(
        self,
        stager: Stager,
        plan: Plan,
        s: int,
        counted: frozenset[str],
        within: Within,
        there: Mapping[int, list[int]],
        fixed: Mapping[int, int],
        least: int | None = None,
    ) -> None:
        self.stager = stager
        self.plan = plan
        self.s = s
        self.counted = counted
        self.within = within
        self.there = there
        self.fixed = fixed
        self.least = least
        self.scene = stager.scenes[s]
        self.have = stager.muster.usable.counts
        self._openings: list[tuple[Opening, int]] = []
        self._struts: list[tuple[Strut, list[int]]] = []
        self._own: list[tuple[Way, int]] = []

    def write(self) -> None:
        """Write its columns and rows."""
        self._opened()
        self._built()
        self._served()
        self._runs()
        self._stock()
        self._held()
        self._loose()
        self._pins()

    def _opened(self) -> None:
        """Sets that yield alike in this scene are counted together."""
        classes: dict[object, tuple[tuple[Opening, ...], list[int]]] = {}
        for c in self.there:
            every = self.stager.openings(c, self.s, self.counted)
            found = tuple([one for one in every if self.within.opens(self.s, c, one)])
            if found:
                key = tuple((one.yields, one.pins, one.split.joints) for one in found)
                classes.setdefault(key, (found, []))[1].append(c)
        for number, (found, members) in enumerate(classes.values()):
            self.plan.alike[self.s, number] = tuple(members)
            opened = []
            for place, one in enumerate(found):
                x = self.plan.draft.column(self.stager.sets)
                self.plan.opened[self.s, number, place] = (x, one)
                self._openings.append((one, x))
                opened.append((x, 1))
            there = [(x, -1) for c in members for x in self.there[c]]
            self._row(("opened", number), [*opened, *there], None, sum(self.fixed.get(c, 0) for c in members))

    def _row(self, name: Name, terms: Iterable[tuple[int, int]], low: int | None, high: int | None) -> None:
        self.plan.row((*name, self.s), terms, low, high)

    def _built(self) -> None:
        yielded = {run for one, _ in self._openings for run, _ in one.yields if len(run) > 1}
        every = self.stager.answering[self.s].struts
        for strut in self.within.struts(self.s):
            one = every[strut]
            if self.least is not None and one.margin < self.least:
                continue
            own = []
            for split in splits_within(one.stack, yielded):
                if self.within.takes(self.s, strut, split):
                    x = self.plan.draft.column(self.scene.needs[one.need].count)
                    way = Way(one.need, one.assembly, split, one.margin)
                    self.plan.built[self.s, way] = x
                    self._own.append((way, x))
                    own.append(x)
            if own:
                self._struts.append((one, own))

    def _served(self) -> None:
        for n, served in enumerate(self.stager.by_need[self.s]):
            mine = [(x, 1) for strut, own in self._struts if strut.need == n for x in own]
            self._row(("served", n), mine, served, served)

    def _runs(self) -> None:
        """A run of two or more parts comes from a set."""
        rows: dict[Run, Terms] = {}
        for way, x in self._own:
            for run, n in way.split.counted.items():
                if len(run) > 1:
                    rows.setdefault(run, []).append((x, n))
        for one, x in self._openings:
            for run, n in one.yields:
                if run in rows:
                    rows[run].append((x, -n))
        for run, terms in sorted(rows.items()):
            self._row(("run", run), terms, None, 0)

    def _stock(self) -> None:
        """All struts together need no more pieces and pins than there are."""
        rows: dict[str, Terms] = {}
        for strut, own in self._struts:
            for part, n in strut.takes:
                rows.setdefault(part, []).extend([(x, n) for x in own])
        most = self.stager.served[self.s]
        for part, terms in rows.items():
            if most * max(n for _, n in terms) > self.have[part]:
                self._row(("in struts", part), terms, None, self.have[part])

    def _held(self) -> None:
        """Each restrained base is held in one way; straps, chains, hardware and bases with points are enough."""
        columns, stock = self.stager.muster.columns, self.stager.muster.stock
        bases: dict[tuple[int, Base], list[int]] = {}
        for strut, own in self._struts:
            bases.setdefault((strut.need, strut.base), []).extend(own)
        rows: dict[str, Terms] = {}
        for (n, base), holds in self.stager.answering[self.s].holds.items():
            ways = []
            for hold in holds:
                x = self.plan.held[self.s, n, base, hold] = self.plan.draft.column(self.scene.needs[n].count)
                ways.append((x, -1))
                for name, number in columns.held(base[0], hold, base[1]):
                    rows.setdefault(name, []).append((x, number))
            self._row(("held", n, base), [*((x, 1) for x in bases.get((n, base), ())), *ways], 0, 0)
        for name, terms in sorted(rows.items()):
            self._row(("holding", name), terms, None, stock[columns.row[name]])

    def _loose(self) -> None:
        """A single part that is counted comes from what is loose, or from a set that is opened for it."""
        rows: dict[str, Terms] = {part: [] for part in self.counted}
        for way, x in self._own if rows else ():
            for run, n in way.split.counted.items():
                if len(run) == 1 and run[0] in rows:
                    rows[run[0]].append((x, n))
        singles = ((run[0], x, n) for one, x in self._openings for run, n in one.yields if len(run) == 1)
        for part, x, n in singles:
            rows[part].append((x, -n))
        for part, terms in sorted(rows.items()):
            if terms:
                each = {c: self._parts(c).count(part) for c in self.there}
                self._beside_sets(("loose", part), terms, self.have[part], each)
        for base in self.stager.muster.columns.pointed:
            if f"points: {base}" in self.counted:
                self._loose_points(base)

    def _beside_sets(self, name: Name, terms: Terms, have: int, each: Mapping[int, int]) -> None:
        """What is taken beside the sets, of which each candidate has so much, is no more than there is."""
        sets = [(x, n) for c, n in each.items() if n for x in self.there[c]]
        fixed = sum(n * self.fixed.get(c, 0) for c, n in each.items())
        self._row(name, [*terms, *sets], None, have - fixed)

    def _parts(self, c: int) -> tuple[str, ...]:
        return self.stager.candidates[c].parts

    def _loose_points(self, base: str) -> None:
        """A base that is held and loose must itself have the points; sets are built on bases that have them."""
        pointed = self.stager.muster.usable.pointed.get(base, 0)
        if not self.have[base] > pointed > 0:
            return
        held = {n for n, (ground, _) in self.stager.answering[self.s].holds if ground == base}
        terms = [(x, 1) for way, x in self._own if way.need in held and way.split.runs[0] == (base,)]
        terms += [(x, -dict(one.yields).get((base,), 0)) for one, x in self._openings]
        each = {c: int(self._parts(c)[0] == base) for c in self.there}
        self._beside_sets(("points", base), terms, pointed, each)

    def _pins(self) -> None:
        """Counted pins in joints of sets that stay made, and in those of joints made, are no more than there are."""
        kinds = self.stager.catalogue.by_id
        rows: dict[str, Terms] = {p: [] for p in self.counted if p in kinds and kinds[p].kind == "pin"}
        if not rows:
            return
        for one, x in self._openings:
            for pin, n in one.pins:
                rows[pin].append((x, -n))
        for way, x in self._own:
            pins = self.stager.pins_of(way.assembly)
            for place in way.split.at:
                there = pins[place]
                if there is not None and there[0] in rows:
                    rows[there[0]].append((x, there[1]))
        for pin, terms in sorted(rows.items()):
            each = {c: dict(self.stager.candidates[c].assembly.pins).get(pin, 0) for c in self.there}
            self._beside_sets(("pins", pin), terms, self.have[pin], each)
