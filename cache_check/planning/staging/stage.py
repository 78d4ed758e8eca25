"""Ready sets: the best choice by all its goals in order, each proven.

The goals: struts served on their steps (as many as the loose cache serves); fewest joints made or broken on scene,
weighted; the largest least margin; the lightest heaviest set; fewest pieces; a fixed order.  Each is made best and
held there while the next is made best, each in its own small whole numbers.

Sets are chosen by a programme in which little is counted that sets tie up (``staging_rows.py``), since that seldom
binds.  Each scene is then played exactly with the sets chosen.  Where all are served as the programme said the choice
is the best exactly too; else what ran out is counted from then on, and the sets are chosen anew.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from dataclasses import replace
from fractions import Fraction
from functools import partial

from cache_check.errors import NoPlanError
from cache_check.frozen import dataclass
from cache_check.planning.solving.clock import Clock
from cache_check.planning.solving.programme import Answer, AtSolver, Goal, Progress, Row, proven, silent
from cache_check.planning.solving.solver import Ending
from cache_check.planning.solving.solvers import solver
from cache_check.planning.staging.played import Served, played
from cache_check.planning.staging.reduced import raised
from cache_check.planning.staging.staging import Candidate, Plan, Stager
from cache_check.planning.staging.staging_rows import plan_of
from cache_check.planning.staging.stowing import Lie

_JOINTS = "the fewest joints made or broken on scene"
_AT_LEAST = 10.0
"""Seconds that the scenes of a choice may take to play whatever is left of the limit: there is always a plan."""


@dataclass(frozen=True)
class Chosen:
    """A choice: each set with where it lies, and how each scene is served.

    ``joints`` are those made and broken, weighted; no choice has fewer than ``bound``.  ``unproven`` says which goal
    was not proven and why; empty: each was.
    """

    sets: tuple[tuple[Candidate, Lie], ...]
    scenes: tuple[Served, ...]
    joints: int
    bound: int
    unproven: str = ""

    @property
    def least_margin(self) -> int | None:
        """The least margin of any strut."""
        return min((way.margin for one in self.scenes for way in one.built), default=None)

    @property
    def heaviest(self) -> Fraction:
        """The weight of the heaviest set (kg), as far as known."""
        return max((one.assembly.mass or Fraction(0) for one, _ in self.sets), default=Fraction(0))


def choose(stager: Stager, *, seconds: float = 60.0, progress: Progress = silent) -> Chosen:
    """The best ready sets; where the limit is reached first, the best that were found, and why no more is proven.

    Raises:
        NoPlanError: not even the scenes with no set left built could be worked out in time.
    """
    return _Choice(stager, Clock(seconds), progress).made()


def as_they_lie(stager: Stager, seconds: float) -> Chosen:
    """How each scene is served, with the fewest joints, where the sets are those that lie built.

    Raises:
        NoPlanError: the limit was reached first, or the sets take more pieces than are usable.
    """
    clock, numbers = Clock(seconds), tuple(range(len(stager.candidates)))
    taken: Counter[str] = Counter()
    for one in stager.candidates:
        taken.update(one.parts)
        taken.update(dict(one.assembly.pins))
    if any(n > stager.muster.usable.counts[part] for part, n in taken.items()):
        raise NoPlanError("the sets on the book take more pieces than are usable")
    scenes = [played(stager, s, numbers, clock, None, whole=True) for s in range(len(stager.scenes))]
    found = tuple(one for one in scenes if one is not None)
    if len(found) < len(scenes):
        raise NoPlanError("the scenes are not served with the sets on the book; without them they are")
    joints = sum(scene.weight * one.joints for scene, one in zip(stager.scenes, found, strict=True))
    return Chosen(tuple((one, one.lies[0]) for one in stager.candidates), found, joints, joints)


class _Choice:
    """The search for the best sets."""

    def __init__(self, stager: Stager, clock: Clock, progress: Progress) -> None:
        self.stager = stager
        self.clock = clock
        self.progress = progress
        self.counted: list[frozenset[str]] = [frozenset()] * len(stager.scenes)
        self.bound = 0
        self._plays: dict[tuple[int, tuple[int, ...], int | None, bool], Served | None] = {}

    def made(self) -> Chosen:
        """The best sets, or the best that were found."""
        self.progress("how the scenes are served with nothing left built")
        nothing = self._shown(())
        if nothing is None:
            raise NoPlanError("no choice of ready sets serves the scenes; the cache itself does not")
        self.best = nothing
        try:
            self._begin()
            while True:
                found = self._round()
                if found is not None:
                    return found
        except NoPlanError as error:
            return replace(self._shown(self.best.sets) or self.best, bound=self.bound, unproven=str(error))

    def _shown(self, sets: tuple[tuple[Candidate, Lie], ...]) -> Chosen | None:
        """Every scene with these sets and the leanest struts; with any struts where finding those takes too long."""
        try:
            return self._played(sets, None, whole=True)
        except NoPlanError:
            return self._played(sets, None, whole=False)

    def _begin(self) -> None:
        """Keep sets that stand whole in the scenes as these are served with nothing left built.

        Of those that fit, the ones that spare the most joints: soon found, and what is shown where time runs out before
        the programme of all sets finds any better.
        """
        stand = [Counter(way.assembly for way in one.built) for one in self.best.scenes]
        number = {one.assembly: c for c, one in enumerate(self.stager.candidates)}
        wanted = {number[one] for each in stand for one in each if one in number}
        plan, spared = Plan(), dict[int, int]()
        self.stager.leave(plan, [place for place in self.stager.places if place[0] in wanted])
        for scene, each in zip(self.stager.scenes, stand, strict=True):
            for one, often in each.items():
                left = [(x, -1) for (c, _), x in plan.left.items() if c == number.get(one)]
                whole = plan.draft.column(often)
                plan.draft.row([(whole, 1), *left], None, 0)
                spared[whole] = -scene.weight * one.joints
        self._try(plan, solver()(plan.draft.done()).least(spared, self.clock.left))

    def _round(self) -> Chosen | None:
        """The best choice with what is counted now; None where something else ran out, which is counted next."""
        plan, asked, values = self._fewest()
        joints = self.stager.joints(plan)
        if self.best.joints > self.bound:
            self._count_more(plan, values, None)
            return None
        asked.hold(_held(joints, self.bound))
        values, least = self._widest(asked, joints, values, self.stager.margins(plan), "largest least margin")
        values, _ = self._widest(asked, joints, values, self.stager.lightness(plan), "lightest heaviest set")
        for goal in (self.stager.pieces(plan), *self.stager.order(plan)):
            self.progress(goal.name)
            answer = proven(asked.least(goal.costs, self.clock.left, values), self.clock, goal.name)
            values = _known(answer)
            asked.hold(_held(goal, answer.cost or 0))
        chosen = self._played(self._sets(plan, values), least, whole=True)
        if chosen is not None and chosen.joints == self.bound:
            return replace(chosen, bound=self.bound)
        self._count_more(plan, values, least)
        return None

    def _fewest(self) -> tuple[Plan, AtSolver, tuple[int, ...]]:
        """A choice of the fewest joints with what is counted now, and the programme of all that come to so few."""
        self.progress(_JOINTS)
        plan = plan_of(self.stager, self.counted)
        asked = solver()(plan.draft.done(), partial(raised, plan))
        answer = asked.least(self.stager.joints(plan).costs, self.clock.left)
        self.bound = max(self.bound, answer.bound or 0)
        self._try(plan, answer)
        if answer.ending is Ending.LIMIT:
            raise NoPlanError(self._stopped())
        return plan, asked, _known(answer)

    def _stopped(self) -> str:
        best = f"the best found has {self.best.joints}, at least {self.bound} are proven"
        return f"the search for {_JOINTS} reached its limit of time after {self.clock.spent:.0f} s: {best}"

    def _widest(
        self, asked: AtSolver, joints: Goal, values: tuple[int, ...], worth: dict[int, int], name: str
    ) -> tuple[tuple[int, ...], int]:
        """A choice whose least worth of any column in use is largest, and that worth; what is worth less is shut.

        Margins are found by halving, from the greatest; weights by ever longer steps, since little less is hard to bar.
        """
        self.progress(f"the {name}")
        worth = {column: n for column, n in worth.items() if asked.may_take(column)}
        steps = sorted(set(worth.values()))
        top = self.stager.margin_cap() if "margin" in name else None

        def least(choice: tuple[int, ...]) -> int:
            return min((n for column, n in worth.items() if choice[column]), default=steps[-1] if steps else 0)

        now = least(values)
        above = [step for step in steps if step > now and (top is None or step <= top)]
        at = 0 if top is None else len(above) - 1
        while above:
            shut = [column for column, n in worth.items() if n < above[at]]
            answer = proven(asked.least(joints.costs, self.clock.left, None, shut), self.clock, f"the {name}")
            if answer.values is None:
                above, further = above[:at], 0
            else:
                values, further = answer.values, 2 * at + 1
                now = least(values)
                above = [step for step in above if step > now]
            at = len(above) // 2 if top is not None else min(further, len(above) - 1)
        asked.shut([column for column, n in worth.items() if n < now])
        return values, now

    def _try(self, plan: Plan, answer: Answer) -> None:
        """Play what was found, and keep its sets if they are better than what is known."""
        if answer.values is not None:
            found = self._played(self._sets(plan, answer.values), None, whole=False)
            if found is not None and found.joints < self.best.joints:
                self.best = found

    def _sets(self, plan: Plan, values: tuple[int, ...]) -> tuple[tuple[Candidate, Lie], ...]:
        candidates = self.stager.candidates
        return tuple(
            (candidates[c], candidates[c].lies[k]) for (c, k), x in plan.left.items() for _ in range(values[x])
        )

    def _played(self, sets: tuple[tuple[Candidate, Lie], ...], least: int | None, *, whole: bool) -> Chosen | None:
        """Every scene with these sets; None where one cannot be served."""
        numbers = tuple(self._number[id(candidate)] for candidate, _ in sets)
        clock = Clock(max(self.clock.left, _AT_LEAST))
        found = []
        for s in range(len(self.stager.scenes)):
            key = (s, numbers, least, whole)
            if key not in self._plays:
                self._plays[key] = played(self.stager, s, numbers, clock, least, whole=whole)
            one = self._plays[key]
            if one is None:
                return None
            found.append(one)
        joints = sum(scene.weight * one.joints for scene, one in zip(self.stager.scenes, found, strict=True))
        return Chosen(sets, tuple(found), joints, self.bound)

    @property
    def _number(self) -> dict[int, int]:
        return {id(candidate): c for c, candidate in enumerate(self.stager.candidates)}

    def _joints(self, plan: Plan, s: int, values: tuple[int, ...]) -> int:
        """The joints of a scene as the programme has them."""
        opened = sum(one.split.joints * values[x] for (of, _, _), (x, one) in plan.opened.items() if of == s)
        return opened + sum(one.joints * values[x] for (of, _, _), (x, one) in plan.grown.items() if of == s)

    def _count_more(self, plan: Plan, values: tuple[int, ...], least: int | None) -> None:
        """Count what the programme's own plan runs out of, in each scene that is served worse than it says."""
        sets = self._sets(plan, values)
        numbers = tuple(self._number[id(candidate)] for candidate, _ in sets)
        changed = False
        for s in range(len(self.stager.scenes)):
            key = (s, numbers, least, least is not None)
            one = self._plays.get(key)
            if one is None or one.joints > self._joints(plan, s, values):
                more = self._short(plan, s, values, sets) - self.counted[s]
                grown = self.counted[s] | more if more else self.stager.everything
                changed = changed or grown != self.counted[s]
                self.counted[s] = grown
        if not changed:
            self.counted = [self.stager.everything] * len(self.stager.scenes)

    def _short(
        self, plan: Plan, s: int, values: tuple[int, ...], sets: Collection[tuple[Candidate, Lie]]
    ) -> frozenset[str]:
        """The parts and pins of which a scene takes more beside its sets than there are."""
        taken: Counter[str] = Counter()
        for candidate, _ in sets:
            taken.update(candidate.parts)
            taken.update(dict(candidate.assembly.pins))
        for (of, _, _), (x, grown) in plan.grown.items():
            if of == s and values[x]:
                taken[grown.run[0]] += values[x] * (len(grown.run) == 1)
                if grown.pin is not None:
                    taken[grown.pin[0]] += values[x] * grown.pin[1]
        have = self.stager.muster.usable.counts
        return frozenset(part for part, n in taken.items() if n > have[part])


def _held(goal: Goal, cost: int) -> Row:
    return Row(tuple((c, n) for c, n in goal.costs.items() if n), cost, cost)


def _known(answer: Answer) -> tuple[int, ...]:
    if answer.values is None or answer.ending is not Ending.OPTIMAL:
        raise NoPlanError("no choice of ready sets serves the scenes; the cache itself does not")
    return answer.values
