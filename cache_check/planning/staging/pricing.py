"""Which sets and struts a best choice could take: the relaxation of ready sets, solved by cuts.

The whole programme of ready sets has hundreds of thousands of columns, one for each way to put a strut together and
each way to open a set.  Nearly none of them matters.  So sets are first chosen, in shares, by what each scene is known
to come to at least; each scene is then solved with those few sets, and its dual prices say what it comes to at least
with any others (``worth.py``).  The bound so found is that of the whole programme, whatever was left out; and what is
further from adding than the joints that are left to it is in no best choice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields
from math import ceil, floor, gcd

import numpy as np

from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly
from cache_check.planning.solving.clock import Clock
from cache_check.planning.solving.programme import Row
from cache_check.planning.solving.solver import Ending
from cache_check.planning.solving.tables import Array
from cache_check.planning.solving.whole_numbers import Opened, dual_prices
from cache_check.planning.staging.runs import Opening, Split
from cache_check.planning.staging.staging import Plan, Stager
from cache_check.planning.staging.staging_rows import SceneRows
from cache_check.planning.staging.worth import Names, Runs, Worth, Worths

_NEAR, _LITTLE = 1e-6, 1e-4
_GRAIN = 1000
"""In so many parts of a joint cuts are written."""
_OUT, _PATIENCE, _SLOW = 0.5, 10, 0.05
"""How near to the best for the cuts new ones are made; after so many rounds that closed so little it ends."""
_STRUTS = 6
"""Of each need so many struts are taken up at once."""


@dataclass(frozen=True)
class Cut:
    """What a scene's joints come to at least: ``sides``, less what ``each`` candidate that is left built brings.

    ``worth`` are the prices that prove it, ``beside`` what the pieces of each candidate are worth loose.
    """

    worth: Worth
    sides: float
    each: Array
    beside: Array


@dataclass(frozen=True)
class Prices:
    """One choice of prices, by scene; what each place takes of pieces and room, and what the rows' sides come to."""

    scenes: tuple[Worth, ...]
    places: Array
    sides: float


@dataclass(frozen=True)
class Judged:
    """Prices with the bound that they prove, what runs bring by scene, and what each place would then add.

    None of ``sets`` is less than nothing: what the best place would bring is off the bound.
    """

    prices: Prices
    bound: float
    brings: list[Array]
    sets: Array


class Narrow:
    """What is no further from adding to the bound than a gap; see ``staging_rows.Within``."""

    def __init__(self, pricing: Pricing, gap: float) -> None:
        self._pricing, self._gap = pricing, gap + 1e-5
        left = zip(pricing.stager.places, pricing.best.sets, strict=True)
        self.places = [place for place, reduced in left if reduced <= self._gap]
        self._sets: dict[int, float] = {}
        for (c, _), reduced in zip(pricing.stager.places, pricing.best.sets, strict=True):
            self._sets[c] = min(reduced, self._sets.get(c, np.inf))

    def struts(self, s: int) -> Sequence[int]:
        """The struts of a scene, by place among those that answer it."""
        return range(len(self._pricing.scenes[s].needs))

    def takes(self, s: int, strut: int, split: Split) -> bool:
        """Whether a strut is put together so."""
        scene, worth, number = self._pricing.scenes[s], self._pricing.best.prices.scenes[s], self._pricing.runs.number
        cost = scene.weight * split.joints - worth.own[strut]
        for run in split.runs:
            i = number[run]
            cost += worth.price[i] if len(run) > 1 else worth.singles[i] + worth.points[i] * scene.held[strut]
        return bool(cost + self._pins(s, scene.stacks[strut], split) <= self._gap)

    def _pins(self, s: int, stack: int, split: Split) -> float:
        prices, runs = self._pricing.best.prices.scenes[s].pins, self._pricing.runs
        if not prices.any():
            return 0.0
        pins = self._pricing.pins_of[stack]
        there = [pin for pin in (pins[place] for place in split.at) if pin]
        return float(sum(prices[runs.pins[name]] * number for name, number in there))

    def opens(self, s: int, c: int, opening: Opening) -> bool:
        """Whether a candidate is opened so."""
        prices, brings, runs = self._pricing.best.prices.scenes[s], self._pricing.best.brings[s], self._pricing.runs
        own = sum(brings[runs.number[run]] * n for run, n in opening.yields)
        own += sum(prices.pins[runs.pins[pin]] * n for pin, n in opening.pins)
        own -= self._pricing.scenes[s].weight * opening.split.joints
        return bool(brings[self._pricing.stacks[c]] - own <= self._gap - self._sets[c])


@dataclass(frozen=True)
class _Taken:
    """Some struts of a scene; see ``staging_rows.Within``."""

    chosen: Sequence[int]
    places: Sequence[tuple[int, int]] = ()

    def struts(self, s: int) -> Sequence[int]:
        return self.chosen

    def takes(self, s: int, strut: int, split: Split) -> bool:
        return True

    def opens(self, s: int, c: int, opening: Opening) -> bool:
        return True


class Pricing:
    """The relaxation of one programme of ready sets.

    ``best`` are the prices with the highest bound that were found; it holds for every choice.
    """

    def __init__(self, stager: Stager, first: Sequence[Iterable[int]]) -> None:
        self.stager = stager
        assemblies = [one.assembly for one in stager.candidates]
        stacked = {stager.stack(one): stager.pins_of(one) for one in assemblies}
        stacked |= {one.stack: stager.pins_of(one.assembly) for own in stager.answering for one in own.struts}
        self.runs = Runs(stacked)
        self.pins_of = {self.runs.number[stack]: pins for stack, pins in stacked.items()}
        self.stacks = np.asarray([self.runs.number[stager.stack(one)] for one in assemblies], dtype=int)
        self.scenes = [Worths(stager, self.runs, s) for s in range(len(stager.scenes))]
        self._struts = [set(own) for own in first]
        self._of = np.asarray([c for c, _ in stager.places], dtype=int)
        self._left = Plan()
        stager.leave(self._left, stager.places)
        self._room = len(self._left.draft.rows)
        self._joints = [self._left.draft.column() for _ in self.scenes]
        self._cuts: list[tuple[int, Cut]] = []
        for s, scene in enumerate(self.scenes):
            for worth, paid in scene.at_first():
                sides = sum(served * each for served, each in zip(stager.by_need[s], paid, strict=True))
                self._cuts.append((s, self._cut(s, worth, sides, {})))
        self._left.draft.rows += [self._row(s, cut) for s, cut in self._cuts]
        self._opened = Opened(self._left.draft.done())
        self._costs = np.zeros(len(self._left.draft.costs))
        self._costs[self._joints] = 1.0
        self.best = self._judged(self._mixed(np.zeros(len(self._left.draft.rows))))

    def settle(self, counted: Sequence[frozenset[str]], clock: Clock) -> bool:
        """Cut until the bound cannot rise by a joint; False if the clock ran out first.

        The sets are chosen, in shares, by what the scenes are known to come to at least; each scene is then solved with
        those alone, and its prices say what it comes to at least with any others.
        """
        cheapest, inside, bounds = np.inf, np.zeros(len(self._of)), [-np.inf] * _PATIENCE
        self._inside = inside
        while (values := self._values(clock)) is not None:
            # Between what is best for the cuts and the best that was seen cuts are deeper than at the former alone.
            point = values[: len(self._of)]
            for tried in (_OUT * point + (1 - _OUT) * inside, point) if np.isfinite(cheapest) else (point,):
                cost, more = self._cut_at(tried, values, counted, clock)
                if cost < cheapest:
                    cheapest, inside = cost, tried
                    self._inside = tried
                if more:
                    break
            bounds.append(self.best.bound)
            slow = bounds[-1] - bounds[-_PATIENCE] < _SLOW * (cheapest - bounds[-1])
            if not more or slow or self.whole(cheapest) <= self.least:
                return True
            if clock.over:
                break
        return False

    @property
    def likely(self) -> tuple[int, ...]:
        """Places for sets that may well be good: those with the largest shares, as far as there are pieces and room."""
        table, room = self._opened.table, self._room
        chosen, taken = np.zeros(table.columns), []
        order = np.argsort(-self._inside, kind="stable").tolist()
        for place in [one for one in order for _ in range(ceil(self._inside[one] - _NEAR))]:
            chosen[place] += 1
            sums = np.bincount(table.row, weights=table.number * chosen[table.column], minlength=len(table.low))
            if (sums > table.high)[:room].any():
                chosen[place] -= 1
            else:
                taken.append(place)
        return tuple(sorted(taken))

    def _values(self, clock: Clock) -> Array | None:
        """The shares of sets that are best for the cuts, and what each scene then comes to; keeps the best bound."""
        relaxation, opened = self._opened.relaxation, self._opened
        if relaxation.solved(self._costs, opened.lows, opened.highs, clock.left) is not Ending.OPTIMAL:
            return None
        judged = self._judged(self._mixed(relaxation.prices()[0]))
        if judged.bound > self.best.bound:
            self.best = judged
        return relaxation.values

    def _cut_at(
        self, point: Array, values: Array, counted: Sequence[frozenset[str]], clock: Clock
    ) -> tuple[float, bool]:
        """What the scenes come to with these shares of sets; whether any cut was made that is broken now."""
        shares: dict[int, float] = {}
        for place in np.flatnonzero(point > _NEAR).tolist():
            c = int(self._of[place])
            shares[c] = shares.get(c, 0.0) + float(point[place])
        cost, made = 0.0, False
        taken = np.bincount(self._of, weights=values[: len(self._of)], minlength=len(self.stacks))
        for s, scene in enumerate(self.scenes):
            come_to = 0.0
            for come_to, cut in self._with(s, shares, counted[s], clock) if len(scene.needs) else ():  # noqa: B007
                if cut.sides - cut.each @ taken > values[self._joints[s]] / _GRAIN + _LITTLE:
                    made = True
                    self._cuts.append((s, cut))
                    self._opened.hold(self._row(s, cut))
                    break
            cost += come_to
        return cost, made

    def _with(
        self, s: int, shares: Mapping[int, float], counted: frozenset[str], clock: Clock
    ) -> Iterator[tuple[float, Cut]]:
        """What a scene comes to with shares of sets, and what its prices say of any others; of ever more struts."""
        stager, scene = self.stager, self.scenes[s]
        runs = [run for c in shares for run in self.runs.within(stager.stack(stager.candidates[c].assembly))]
        wanting = {strut for run in runs if (strut := scene.cheapest_with(run)) is not None}
        more = True
        while more:
            plan = Plan(open_=True)
            there = {c: [plan.draft.column()] for c in sorted(shares)}
            SceneRows(stager, plan, s, counted, _Taken(sorted(self._struts[s] | wanting)), there, {}).write()
            fixed = {x: shares[c] for c, (x,) in there.items()}
            found = dual_prices(plan.draft.done(), stager.joints(plan).costs, fixed, clock.left)
            if found is None:
                return
            cost, prices, sides, reduced = found
            names = {name[:-1]: float(prices[i]) for name, i in plan.names.items()}
            worth = scene.prices(names, stager.muster.columns.pointed)
            sides += sum(min(0.0, float(reduced[x])) * (plan.draft.highs[x] or 0) for x in plan.held.values())
            sides += sum(n * float(off) for n, off in zip(stager.by_need[s], scene.least(worth.adds), strict=True))
            more = self._more_struts(s, worth)
            yield cost, self._cut(s, worth, sides, names)

    def _more_struts(self, s: int, worth: Worth) -> bool:
        """Take up the struts of each need that add most; whether there are any."""
        scene, before = self.scenes[s], len(self._struts[s])
        for n in range(scene.wanted):
            own = np.flatnonzero((scene.needs == n) & (worth.adds < -_NEAR))
            self._struts[s].update(own[np.argsort(worth.adds[own], kind="stable")[:_STRUTS]].tolist())
        return len(self._struts[s]) > before

    def _cut(self, s: int, worth: Worth, sides: float, names: Names) -> Cut:
        beside = self._beside(names)
        return Cut(worth, sides, self.scenes[s].brings(worth)[self.stacks] - beside, beside)

    def _row(self, s: int, cut: Cut) -> Row:
        """A cut in whole grains of a joint, rounded so that it holds."""
        each = np.ceil(cut.each * _GRAIN - _NEAR)[self._of].astype(int)
        brings = [(int(x), int(each[x])) for x in np.flatnonzero(each)]
        return Row((*brings, (self._joints[s], 1)), floor(cut.sides * _GRAIN + _NEAR), None)

    @property
    def least(self) -> int:
        """The bound in whole joints."""
        return self.whole(self.best.bound)

    def whole(self, bound: float) -> int:
        """A bound rounded up to what weighted joints can come to."""
        step = gcd(*(scene.weight for scene in self.stager.scenes))
        return max(0, step * ceil(bound / step - _LITTLE))

    def _mixed(self, duals: Array) -> Prices:
        """The prices that the dual prices of room and of cuts come to; they are mixed of those of the cuts."""
        room = duals.copy()
        room[self._room :] = 0.0
        reach = np.isfinite(self._opened.table.high) & (room < 0)
        sides = float(self._opened.table.high[reach] @ room[reach]) / _GRAIN
        places = -self._opened.table.priced(room)[: len(self._of)] / _GRAIN
        scenes: list[Worth] = []
        mine: list[list[tuple[Cut, float]]] = [[] for _ in self.scenes]
        for (s, cut), share in zip(self._cuts, np.maximum(0.0, duals[self._room :]).tolist(), strict=True):
            if share or not mine[s]:
                mine[s].append((cut, share))
        for cuts in mine:
            whole = max(1.0, sum(share for _, share in cuts))
            sides += sum(cut.sides * share for cut, share in cuts) / whole
            places = places + sum(cut.beside * share for cut, share in cuts)[self._of] / whole
            each = [[getattr(cut.worth, one.name) * share / whole for cut, share in cuts] for one in fields(Worth)]
            scenes.append(Worth(*(sum(one) for one in each)))
        return Prices(tuple(scenes), places, sides)

    def _judged(self, prices: Prices) -> Judged:
        brings = [scene.brings(own) for scene, own in zip(self.scenes, prices.scenes, strict=True)]
        gain = sum((one[self.stacks] for one in brings), np.zeros(len(self.stacks)))
        sets = prices.places - gain[self._of]
        least = min(0.0, float(sets.min())) if len(sets) else 0.0
        return Judged(prices, prices.sides + self.stager.sets * least, brings, sets - least)

    def _beside(self, names: Names) -> Array:
        """What the pieces of each candidate are worth loose."""
        loose: dict[str, float] = {}
        for key, price in names.items():
            if key[0] in ("loose", "pins", "points"):
                name = f"points: {key[1]}" if key[0] == "points" else str(key[1])
                loose[name] = loose.get(name, 0.0) - price
        if not loose:
            return np.zeros(len(self.stacks))
        return np.asarray([_worth_loose(one.assembly, loose) for one in self.stager.candidates])


def _worth_loose(assembly: Assembly, loose: Mapping[str, float]) -> float:
    worth = sum(loose.get(part, 0.0) for part in assembly.parts) + loose.get(f"points: {assembly.ground}", 0.0)
    return worth + sum(loose.get(pin, 0.0) * number for pin, number in assembly.pins)
