"""The programme of ready sets: the sets left built, and the rows of each scene."""

from __future__ import annotations

from collections import Counter

from cache_check.planning.staging.runs import Opening, Run
from cache_check.planning.staging.staging import Plan, Stager, Terms, Way


def plan_of(stager: Stager, *, pins: bool) -> Plan:
    """The programme; with ``pins`` it also sees that there is a loose pin for every joint in every scene."""
    plan = Plan()
    stager.leave(plan)
    for s in range(len(stager.scenes)):
        SceneRows(stager, plan, s, pins=pins).write()
    return plan


class SceneRows:
    """The rows of one scene."""

    def __init__(self, stager: Stager, plan: Plan, s: int, *, pins: bool) -> None:
        self.stager = stager
        self.plan = plan
        self.s = s
        self.pins = pins
        self.scene = stager.scenes[s]
        self.ways = stager.ways[s]
        self.have = stager.muster.usable.counts
        self.scarce = stager.scarce[s]
        self._openings: list[tuple[Opening, int]] = []

    def write(self) -> None:
        """Write its columns and rows."""
        self._built()
        self._opened()
        self._served()
        self._runs()
        self._singles()
        self._held()
        if self.pins:
            self._pins()

    def _built(self) -> None:
        for way in self.ways:
            self.plan.built[self.s, way] = self.plan.draft.column(self.scene.needs[way.need].count)

    @property
    def _own(self) -> list[tuple[Way, int]]:
        return [(way, self.plan.built[self.s, way]) for way in self.ways]

    def _opened(self) -> None:
        """Sets that yield alike in this scene are counted together."""
        useful = self.stager.useful[self.s]
        classes: dict[object, tuple[tuple[Opening, ...], list[int]]] = {}
        for c, candidate in enumerate(self.stager.candidates):
            found = self.stager.openings(candidate, useful, pins=self.pins)
            key = tuple((one.yields, one.pins, one.split.joints) for one in found)
            classes.setdefault(key, (found, []))[1].append(c)
        for number, (found, members) in enumerate(classes.values()):
            self.plan.alike[self.s, number] = tuple(members)
            opened = []
            for place, one in enumerate(found):
                if one.yields or one.pins:
                    x = self.plan.draft.column(self.stager.sets)
                    self.plan.opened[self.s, number, place] = (x, one)
                    self._openings.append((one, x))
                    opened.append((x, 1))
            there = [(x, -1) for (c, _), x in self.plan.left.items() if c in set(members)]
            if opened:
                self.plan.draft.row([*opened, *there], None, 0)

    def _served(self) -> None:
        for n, need in enumerate(self.scene.needs):
            own = [(x, 1) for way, x in self._own if way.need == n]
            self.plan.draft.row(own, None, need.count)
        self.plan.draft.row([(x, 1) for _, x in self._own], self.stager.served[self.s], None)

    def _runs(self) -> None:
        """A run of two or more parts comes from a set."""
        rows: dict[Run, Terms] = {}
        for way, x in self._own:
            for run, n in way.split.counted.items():
                if len(run) > 1:
                    rows.setdefault(run, []).append((x, n))
        for one, x in self._openings:
            for run, n in one.yields:
                if len(run) > 1:
                    rows[run].append((x, -n))
        for _, terms in sorted(rows.items()):
            self.plan.draft.row(terms, None, 0)

    def _singles(self) -> None:
        """A single part comes from what is loose, or from a set that is opened for it."""
        terms: list[tuple[str, int, int]] = []
        for way, x in self._own:
            terms += [(run[0], x, n) for run, n in way.split.counted.items() if len(run) == 1]
        for one, x in self._openings:
            terms += [(run[0], x, -n) for run, n in one.yields if len(run) == 1]
        for (c, _), x in self.plan.left.items():
            terms += [(part, x, n) for part, n in Counter(self.stager.candidates[c].parts).items()]
        for part in sorted(self.scarce):
            self.plan.draft.row([(x, n) for other, x, n in terms if other == part], None, self.have[part])

    def _held(self) -> None:
        """Straps, chains, hardware and bases with points; a base that is loose must itself have the points."""
        columns, stock = self.stager.muster.columns, self.stager.muster.stock
        rows: dict[int, Terms] = {}
        for way, x in self._own:
            for row, n in way.column.uses:
                rows.setdefault(row, []).append((x, n))
        linear = {columns.row[part.id] for part in columns.joined.catalogue.parts if part.kind in _COUNTED}
        for row, terms in sorted(rows.items()):
            if row not in linear:
                self.plan.draft.row(terms, None, stock[row])
        for base in columns.pointed:
            if self.have[base] > self.stager.muster.usable.pointed.get(base, 0) > 0:
                self._loose_points(base)

    def _loose_points(self, base: str) -> None:
        terms = [(x, 1) for way, x in self._own if way.column.hold is not None and way.split.runs[0] == (base,)]
        terms += [(x, -dict(one.yields).get((base,), 0)) for one, x in self._openings]
        terms += [(x, 1) for (c, _), x in self.plan.left.items() if self.stager.candidates[c].assembly.ground == base]
        self.plan.draft.row(terms, None, self.stager.muster.usable.pointed[base])

    def _pins(self) -> None:
        """The pins in joints of sets that stay made, and those of joints made, are no more than there are."""
        rows: dict[str, Terms] = {}
        for (c, _), x in self.plan.left.items():
            for pin, n in self.stager.candidates[c].assembly.pins:
                rows.setdefault(pin, []).append((x, n))
        for one, x in self._openings:
            for pin, n in one.pins:
                rows.setdefault(pin, []).append((x, -n))
        for way, x in self._own:
            pins = self.stager.pins_of(way.assembly)
            for place in way.split.at:
                pin_there = pins[place]
                if pin_there is not None:
                    rows.setdefault(pin_there[0], []).append((x, pin_there[1]))
        for pin, terms in sorted(rows.items()):
            self.plan.draft.row(terms, None, self.have[pin])


_COUNTED = ("body", "extension", "adapter", "fitting", "pin")
"""Kinds of part that runs and pins account for."""
