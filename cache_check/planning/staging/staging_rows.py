"""The programme of ready sets: the sets left built, and the rows of each scene.

Scenes are written in two ways.  While sets are chosen a scene's rows are those that every choice keeps: its struts,
taken for themselves, need no more than there is; and the runs they keep come from sets.  That sets also tie up loose
pieces, pins and bases with points is written only of what is *counted*, which begins with nothing and grows with what
was seen to run out.  Once the sets are chosen each scene is written by itself, and all is counted that could run out.

A strut grows from the ground, a run at a time.  Struts that begin alike share their lower ends, and as many of each
are made as grow on or stand; so a few thousand columns say every way to put every strut together.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from cache_check.planning.staging.runs import Opening, Pinned, Run
from cache_check.planning.staging.staging import Base, Grown, Lower, Plan, Stager, Strut, Terms

Alike = list[tuple[tuple[Opening, ...], list[int]]]
"""Classes of candidates that yield alike in a scene: how they may be opened, and which they are."""


def plan_of(stager: Stager, counted: Sequence[frozenset[str]]) -> Plan:
    """The programme of the sets and of all scenes, each with what is counted in it."""
    plan = Plan()
    every = range(len(stager.candidates))
    alike = [_alike(stager, s, every, counted[s]) for s in range(len(stager.scenes))]
    useful = {c for classes in alike for _, members in classes for c in members}
    stager.leave(plan, [place for place in stager.places if place[0] in useful])
    there: dict[int, list[int]] = {}
    for (c, _), x in plan.left.items():
        there.setdefault(c, []).append(x)
    for s, classes in enumerate(alike):
        SceneRows(stager, plan, s, counted[s], there, {}).write(classes)
    return plan


def scene_of(stager: Stager, s: int, sets: Mapping[int, int], least: int | None) -> Plan:
    """The programme of one scene with these sets, by candidate; no strut leaves less margin than ``least``."""
    plan, counted = Plan(), stager.scarce(s, sets)
    there: dict[int, list[int]] = {c: [] for c in sets}
    SceneRows(stager, plan, s, counted, there, sets, least).write(_alike(stager, s, sets, counted))
    return plan


def _alike(stager: Stager, s: int, candidates: Iterable[int], counted: frozenset[str]) -> Alike:
    """The candidates that are worth opening, those that yield alike together."""
    classes: dict[object, tuple[tuple[Opening, ...], list[int]]] = {}
    for c in candidates:
        found = stager.openings(c, s, counted)
        if found:
            key = tuple([(one.yields, one.pins, one.split.joints) for one in found])
            classes.setdefault(key, (found, []))[1].append(c)
    return list(classes.values())


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
        there: Mapping[int, list[int]],
        fixed: Mapping[int, int],
        least: int | None = None,
    ) -> None:
        self.stager = stager
        self.plan = plan
        self.s = s
        self.counted = counted
        self.there = there
        self.fixed = fixed
        self.scene = stager.scenes[s]
        self.have = stager.muster.usable.counts
        self._openings: list[tuple[Opening, int]] = []
        every = enumerate(stager.answering[s].struts)
        self._struts = [
            (strut, n, plan.draft.column(self.scene.needs[strut.need].count))
            for n, strut in every
            if least is None or strut.margin >= least
        ]
        self._lower: dict[Lower, Terms] = {}
        self._grown: list[tuple[Grown, int, bool]] = []

    def write(self, alike: Alike) -> None:
        """Write its columns and rows."""
        self._opened(alike)
        self._built()
        self._served()
        self._runs()
        self._stock()
        self._held()
        self._loose()
        self._pins()

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
            self.plan.draft.row([*opened, *there], None, sum(self.fixed.get(c, 0) for c in members))

    def _built(self) -> None:
        """As many of each lower end are made as grow on or stand as struts."""
        yielded = {run for one, _ in self._openings for run, _ in one.yields if len(run) > 1}
        apart = {base for base in self.stager.muster.columns.pointed if self._apart(base)}
        for strut, n, x in self._struts:
            lower = strut.stack, strut.base[0] in apart and self._is_held(strut)
            self.plan.struts[self.s, n] = x, lower
            self._grow(lower, self.stager.pins_of(strut.assembly), yielded).append((x, -1))
        for terms in self._lower.values():
            self.plan.draft.row(terms, 0, 0)

    def _grow(self, lower: Lower, pins: Pinned, yielded: set[Run]) -> Terms:
        """The terms of a lower end of struts, with every run that may be the last put on it."""
        if lower in self._lower:
            return self._lower[lower]
        terms = self._lower[lower] = []
        stack, held = lower
        for at in range(len(stack) // 2 + 1):
            run = stack[2 * at :]
            if len(run) == 1 or run in yielded:
                grown = Grown(run, pins[at - 1] if at else None, int(at > 0))
                x = self.plan.draft.column(self.stager.served[self.s])
                self.plan.grown[self.s, lower, at] = x, grown
                self._grown.append((grown, x, held))
                terms.append((x, 1))
                if at:
                    self._grow((stack[: 2 * at - 1], held), pins, yielded).append((x, -1))
        return terms

    def _served(self) -> None:
        for n, served in enumerate(self.stager.by_need[self.s]):
            mine = [(x, 1) for strut, _, x in self._struts if strut.need == n]
            self.plan.draft.row(mine, served, served)

    def _runs(self) -> None:
        """A run of two or more parts comes from a set."""
        rows: dict[Run, Terms] = {}
        for grown, x, _ in self._grown:
            if len(grown.run) > 1:
                rows.setdefault(grown.run, []).append((x, 1))
        for one, x in self._openings:
            for run, n in one.yields:
                if run in rows:
                    rows[run].append((x, -n))
        for _, terms in sorted(rows.items()):
            self.plan.draft.row(terms, None, 0)

    def _stock(self) -> None:
        """All struts together need no more pieces and pins than there are."""
        rows: dict[str, Terms] = {}
        for strut, _, x in self._struts:
            for part, n in strut.takes:
                rows.setdefault(part, []).append((x, n))
        most = self.stager.served[self.s]
        for part, terms in rows.items():
            if most * max(n for _, n in terms) > self.have[part]:
                self.plan.draft.row(terms, None, self.have[part])

    def _held(self) -> None:
        """Each restrained base is held in one way; straps, chains, hardware and bases with points are enough."""
        columns, stock = self.stager.muster.columns, self.stager.muster.stock
        bases: dict[tuple[int, Base], list[int]] = {}
        for strut, _, x in self._struts:
            bases.setdefault((strut.need, strut.base), []).append(x)
        rows: dict[str, Terms] = {}
        for (n, base), holds in self.stager.answering[self.s].holds.items():
            ways = []
            for hold in holds:
                x = self.plan.held[self.s, n, base, hold] = self.plan.draft.column(self.scene.needs[n].count)
                ways.append((x, -1))
                for name, number in columns.held(base[0], hold, base[1]):
                    rows.setdefault(name, []).append((x, number))
            self.plan.draft.row([*((x, 1) for x in bases.get((n, base), ())), *ways], 0, 0)
        for name, terms in sorted(rows.items()):
            self.plan.draft.row(terms, None, stock[columns.row[name]])

    def _loose(self) -> None:
        """A single part that is counted comes from what is loose, or from a set that is opened for it."""
        rows: dict[str, Terms] = {part: [] for part in self.counted}
        for grown, x, _ in self._grown if rows else ():
            if len(grown.run) == 1 and grown.run[0] in rows:
                rows[grown.run[0]].append((x, 1))
        singles = ((run[0], x, n) for one, x in self._openings for run, n in one.yields if len(run) == 1)
        for part, x, n in singles:
            rows[part].append((x, -n))
        for part, terms in sorted(rows.items()):
            if terms:
                each = {c: self._parts(c).count(part) for c in self.there}
                self._beside_sets(terms, self.have[part], each)
        for base in self.stager.muster.columns.pointed:
            if self._apart(base):
                self._loose_points(base)

    def _beside_sets(self, terms: Terms, have: int, each: Mapping[int, int]) -> None:
        """What is taken beside the sets, of which each candidate has so much, is no more than there is."""
        sets = [(x, n) for c, n in each.items() if n for x in self.there[c]]
        fixed = sum(n * self.fixed.get(c, 0) for c, n in each.items())
        self.plan.draft.row([*terms, *sets], None, have - fixed)

    def _parts(self, c: int) -> tuple[str, ...]:
        return self.stager.candidates[c].parts

    def _apart(self, base: str) -> bool:
        """Whether bases with points are counted, and some have none."""
        pointed = self.stager.muster.usable.pointed.get(base, 0)
        return f"points: {base}" in self.counted and self.have[base] > pointed > 0

    def _is_held(self, strut: Strut) -> bool:
        return any(n == strut.need and base == strut.base[0] for n, (base, _) in self.stager.answering[self.s].holds)

    def _loose_points(self, base: str) -> None:
        """A base that is held and loose must itself have the points; sets are built on bases that have them."""
        terms = [(x, 1) for grown, x, held in self._grown if held and grown.run == (base,)]
        terms += [(x, -dict(one.yields).get((base,), 0)) for one, x in self._openings]
        each = {c: int(self._parts(c)[0] == base) for c in self.there}
        self._beside_sets(terms, self.stager.muster.usable.pointed[base], each)

    def _pins(self) -> None:
        """Counted pins in joints of sets that stay made, and in those of joints made, are no more than there are."""
        kinds = self.stager.catalogue.by_id
        rows: dict[str, Terms] = {p: [] for p in self.counted if p in kinds and kinds[p].kind == "pin"}
        if not rows:
            return
        for one, x in self._openings:
            for pin, n in one.pins:
                rows[pin].append((x, -n))
        for grown, x, _ in self._grown:
            if grown.pin is not None and grown.pin[0] in rows:
                rows[grown.pin[0]].append((x, grown.pin[1]))
        for pin, terms in sorted(rows.items()):
            each = {c: dict(self.stager.candidates[c].assembly.pins).get(pin, 0) for c in self.there}
            self._beside_sets(terms, self.have[pin], each)
