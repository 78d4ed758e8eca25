"""Ready sets: the best choice by all its goals in order, each proven.

The goals: struts served on their steps (as many as the loose cache serves); fewest joints made or broken on scene,
weighted; the largest least margin; the lightest heaviest set; fewest joints in each scene in turn, from the one that
takes the most with nothing left built; fewest pieces, and a fixed order.  Each is made best and held there while the
next is made best, each in its own small whole numbers.

Sets are chosen by a programme in which little is counted (``staging_rows.py``): at first what runs out where nothing is
left built.  Each scene is then played exactly with the sets chosen.  Where all are served as the programme said the
choice is the best exactly too; else what ran out is counted from then on, and the sets are chosen anew.  What the bound
of one programme shows to be in no choice as good as the best known, sets and openings, is left out of the next.  Before
a proof a few sets that add least to the relaxation are tried, which soon shows most of what runs out.
"""

from bisect import bisect
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from math import inf

from cache_check.errors import NoPlanError
from cache_check.planning.packing.verify import FalsePlanError
from cache_check.planning.solving.programme import Answer, AtSolver, Goal, Progress, proven, silent
from cache_check.planning.solving.solver import Clock, Ending, solver
from cache_check.planning.staging.played import Chosen, Served, played
from cache_check.planning.staging.run_out import counted_for, joints_of, used_up
from cache_check.planning.staging.sifted import Sifted
from cache_check.planning.staging.staging import Candidate, Plan, Stager
from cache_check.planning.staging.staging_rows import Laid, Shut, laid, plan_of, shut_of
from cache_check.planning.staging.stowing import Lie
from cache_check.planning.staging.ways import Counted, Told

Values = tuple[int, ...]
Sets = tuple[tuple[Candidate, Lie], ...]
Found = tuple[Plan, Values]  # a programme, and a choice of it
_FALSE = "the proof of a bound failed its own verification"
_JOINTS = "the fewest joints made or broken on scene"
_NOTHING = "no choice of ready sets serves the scenes; the cache itself does not"
_FEW, _NEAR = 40, 8  # sets that are looked among by themselves, and how many times as many there must be
_AHEAD = 4  # steps, of which the relaxation is asked first: the nearest leave the most columns
_SOON = 2.0  # seconds, of which no proof is wanted: what is found among a few is only to be better than the best
_AT_LEAST = 10.0  # seconds that the scenes of a choice may take to play at the limit: there is always a plan


def choose(stager: Stager, *, seconds: float = 60.0, progress: Progress = silent) -> Chosen:
    """The best ready sets; where the limit is reached first, the best that were found, and why no more is proven.

    Raises NoPlanError if not even the scenes with no set left built could be worked out in time.
    """
    return _Choice(stager, Clock(seconds), progress).made()


class _Choice:
    """The search for the best sets."""

    def __init__(self, stager: Stager, clock: Clock, progress: Progress) -> None:
        self.stager, self.clock, self.progress = stager, clock, progress
        self.counted = [Counted()] * len(stager.scenes)
        self.among: Sequence[int] = ()
        self.shut: list[Shut] = [{} for _ in stager.scenes]
        self.bound = 0
        self._reached: dict[tuple[str, int | None], int] = {}
        self._had: dict[object, Laid] = {}
        self._plays: dict[tuple[int, tuple[int, ...], int | None, bool], Served | None] = {}

    def made(self) -> Chosen:
        """The best sets, or the best that were found."""
        self.progress("how the scenes are served with nothing left built")
        nothing = self._shown(())
        if nothing is None:
            raise NoPlanError(_NOTHING)
        self.best = nothing
        self.counted = [Counted(used_up(self.stager, one)) for one in nothing.scenes]
        each = zip(self.stager.scenes, nothing.scenes, strict=True)
        joints = [scene.weight * one.joints for scene, one in each]
        self.longest = sorted(range(len(joints)), key=lambda s: -joints[s])
        try:
            self.among = range(len(self.stager.candidates))
            self._begin()
            while (found := self._round()) is None:
                pass
            return found
        except NoPlanError as error:
            return replace(self._shown(self.best.sets) or self.best, bound=self.bound, unproven=str(error))

    def _shown(self, sets: Sets) -> Chosen | None:
        """Every scene with these sets and the leanest struts; with any struts where finding those takes too long."""
        try:
            return self._played(sets, None, whole=True)
        except NoPlanError:
            return self._played(sets, None, whole=False)

    def _begin(self) -> None:
        """Look among the sets that stand whole in the scenes as these are served with nothing left built.

        The best of them are soon found, and shown where time runs out before any better are.
        """
        number = {one.assembly: c for c, one in enumerate(self.stager.candidates)}
        stand = {number.get(way.assembly) for one in self.best.scenes for way in one.built}
        self.few = sorted(c for c in stand if c is not None)
        if self._many:
            self._look_among(self.few)

    def _round(self) -> Chosen | None:
        """The best choice with what is counted now; None where something else ran out, which is counted next."""
        if self.best.joints > self.bound and not self._fewest():
            return None
        if not self._widest():
            return None
        least = self.best.least_margin
        plan, found = self._lightest(self._laid(self.bound, least=least), least)
        values = self._leanest(plan, self._sets(*found) if found else self.best.sets)
        return replace(self.best, bound=self.bound) if self._as_said(plan, values, least, whole=True) else None

    def _leanest(self, plan: Plan, sets: Sets) -> Values:
        """Of all choices as good as these sets that of the fewest joints, scene by scene, then of pieces; the first.

        Whether fewer would do is asked for the fewest joints of all: held to fewer of something most choices soon cost
        the relaxation too many of them, where of themselves they would cost it nothing.
        """
        asked, joints = self._opened(plan), self.stager.joints(plan)
        here = {plan.left.get((self._number[id(one)], one.lies.index(lie))) for one, lie in sets}
        others = set(plan.left.values()) - here
        values = self._of_fewest(asked, joints, (*others, *plan.idle(others))) or self._of_fewest(asked, joints)
        if values is None:
            raise FalsePlanError(_FALSE)
        for goal in self.stager.fewest(plan, self.longest):
            self.progress(goal.name)
            asked.hold(goal.held(now := goal.of(values), better=True))
            while now:
                asked.cap(now - 1)
                if (fewer := self._of_fewest(asked, joints)) is None:
                    break
                values, now = fewer, goal.of(fewer)
            asked.cap(now)
            asked.keep(joints.costs, self.bound, self.clock.left)
        asked.hold(joints.held(self.bound))
        for goal in self.stager.first(plan):
            self.progress(goal.name)
            answer = asked.least(goal.costs, self.clock.left, under=goal.of(values))
            values = proven(answer, self.clock, goal.name).values or values
            asked.hold(goal.held(goal.of(values)))
        return values

    def _of_fewest(self, asked: AtSolver, joints: Goal, shut: Sequence[int] = ()) -> Values | None:
        """A choice of the fewest joints of all, if what is held leaves one."""
        answer = asked.least(joints.costs, self.clock.left, known=self.bound, under=self.bound + 1, shut=shut)
        return proven(answer, self.clock, joints.name).values

    def _as_said(self, plan: Plan, values: Values, least: int | None, *, whole: bool = False) -> bool:
        """Whether the scenes are served with the sets of a choice as the programme says; these are the best then.

        Where they take more joints what ran out is counted next.
        """
        found = self._played(self._sets(plan, values), least, whole=whole)
        if found is None or found.joints != self.bound:
            self._count_more(plan, values, least, whole=whole)
            return False
        self.best = found
        return True

    def _fewest(self) -> bool:
        """Look for fewer joints than the best's with what is counted now: whether the best has the fewest, then.

        No choice that could be the best takes sets that are not kept in ``among``, or what is put down in ``shut``.
        """
        self.progress(_JOINTS)
        scenes = self._laid(self.best.joints)
        plan = plan_of(self.stager, scenes, self.among)
        asked = self._opened(plan, Sifted(plan, self.few))
        costs = self.stager.joints(plan).costs
        if self._many and asked.may_be(costs, self.best.joints - 1, self.clock.left):
            self._leave_out(scenes, plan, asked)
            had, more = self.best.joints, self._near(asked, plan)
            if self.best.joints < had:
                self._leave_out(scenes, plan, asked)
            if more:
                return False
        under = self.best.joints
        answer = asked.least(costs, self.clock.left, known=self.bound, under=under)
        self.bound = max(self.bound, under if answer.ending is Ending.INFEASIBLE else answer.bound or 0)
        self._try(plan, answer)
        if answer.ending is Ending.LIMIT:
            raise NoPlanError(self._stopped())
        self._leave_out(scenes, plan, asked)
        if answer.values is not None and self.best.joints > self.bound:
            self._count_more(plan, answer.values, None)
            self._near(asked, plan, answer.values)
        return self.best.joints == self.bound

    def _opened(self, plan: Plan, late: Sifted | None = None) -> AtSolver:
        return solver()(plan.draft.done(), late, lambda: plan.sums(self.stager.candidates))

    def _leave_out(self, scenes: Sequence[Laid], plan: Plan, asked: AtSolver) -> None:
        """Leave out from now on what is in no choice as good as the best."""
        within = asked.within(self.best.joints)
        self.among = sorted({c for (c, _), x in plan.left.items() if x in within})
        shut_of(scenes, plan, within, self.shut)
        self._had.clear()

    def _near(self, asked: AtSolver, plan: Plan, found: Sequence[int] = ()) -> bool:
        """Find better sets among those ``found`` and the few that add least to the relaxation; whether more is counted.

        What runs out with them mostly does with the best of all, which is soon seen, without a proof.  Of the many that
        add nothing those are taken that are worth most in the scenes, by the prices of the rows that open them.
        """
        (adds, prices), dear, worth = asked.adds(), dict.fromkeys(self.among, inf), dict.fromkeys(self.among, 0.0)
        if not self._many:
            return False
        for (c, _), x in plan.left.items():
            if c in dear:
                dear[c] = min(dear[c], -inf if found and found[x] else round(adds[x], 6))
        for key, members in plan.alike.items():
            for c in members:
                if c in worth:
                    worth[c] += prices[plan.rows[key]]
        self.few = sorted(sorted(dear, key=lambda c: (dear[c], worth[c], c))[:_FEW])
        return self._look_among(self.few)

    @property
    def _many(self) -> bool:
        """Whether there are so many sets that to look among a few of them first is worth its time."""
        return len(self.among) >= _NEAR * _FEW

    def _look_among(self, few: Sequence[int]) -> bool:
        """Find better sets among these few, until no more runs out with the best of them; whether more is counted."""
        before = list(self.counted)
        while self.best.joints > self.bound:
            plan = plan_of(self.stager, self._laid(self.best.joints, few), few)
            asked = self._opened(plan)
            costs, under = self.stager.joints(plan).costs, self.best.joints
            answer = asked.least(costs, min(_SOON, self.clock.left), known=self.bound, under=under)
            if answer.values is None:
                break
            self._try(plan, answer)
            if answer.ending is Ending.LIMIT or self.best.joints == answer.cost:
                break
            self._count_more(plan, answer.values, None)
        return self.counted != before

    def _laid(
        self, most: int, among: Sequence[int] = (), least: int | None = None, told: Told = "alike"
    ) -> list[Laid]:  # fmt: skip
        among = among or self.among
        return laid(self.stager, self.counted, among, most, least, told=told, shut=self.shut, had=self._had)

    def _stopped(self) -> str:
        """Why no more is proven; where no sets are known yet those are looked among that are soon searched."""
        spent = self.clock.spent
        if not self.best.sets:
            self.clock = Clock(_SOON)
            self._look_among(self.few)
        best = f"the best found has {self.best.joints}, at least {self.bound} are proven"
        return f"the search for {_JOINTS} reached its limit of time after {spent:.0f} s: {best}"

    def _widest(self) -> bool:
        """Look for sets that leave the largest least margin with so few joints; False where too little was counted."""
        name, now = "the largest least margin", self.best.least_margin
        if now is None or not (steps := self._ahead(name, self.stager.margins(), now, None)):
            return True
        plan = plan_of(self.stager, self._laid(self.bound, least=steps[0], told="by margin"), self.among)
        margins = {x: stand.strut.margin for x, stand in plan.stood.values()}
        found, self._reached[name, None] = self._first_to_end(name, plan, margins, steps, now)
        return found is None or self._as_said(plan, found, self._reached[name, None])

    def _lightest(self, scenes: Sequence[Laid], least: int | None) -> tuple[Plan, Found | None]:
        """The programme without sets that are heavier than the heaviest need be, and where lighter ones were found."""
        name, lightness, found = "the lightest heaviest set", self.stager.lightness, None
        now = min((lightness[self._number[id(one)]] for one, _ in self.best.sets), default=0)
        if steps := self._ahead(name, sorted({lightness[c] for c in self.among}), now, least):
            plan = plan_of(self.stager, scenes, [c for c in self.among if lightness[c] >= steps[0]])
            light = {x: lightness[c] for (c, _), x in plan.left.items()}
            values, now = self._first_to_end(name, plan, light, steps, now)
            found = None if values is None else (plan, values)
        self._reached[name, least] = now
        return plan_of(self.stager, scenes, [c for c in self.among if lightness[c] >= now]), found

    def _ahead(self, name: str, steps: Sequence[int], now: int, least: int | None) -> list[int]:
        """The steps beyond what is reached; with less counted none reached further at that least margin."""
        self.progress(name)
        furthest = self._reached.get((name, least))
        return [step for step in steps if step > now and (furthest is None or step <= furthest)]

    def _first_to_end(
        self, name: str, plan: Plan, reaches: Mapping[int, int], steps: list[int], now: int
    ) -> tuple[Values | None, int]:
        """The choice of the fewest joints that reaches furthest, and how far; None where none goes beyond ``now``.

        It reaches as far as the first to end of the columns it takes (``reaches``).  The furthest step that the
        relaxation may reach is asked for first: the further, the fewer columns are left.  Then ever longer steps are.
        That step is looked for from a near one on, or from the furthest where a round has reached it before.
        """

        def shut(step: int) -> list[int]:
            early = {x for x, reach in reaches.items() if reach < step}
            return [*early, *plan.idle(early)]

        def far(values: Values) -> int:
            return min((reach for x, reach in reaches.items() if values[x]), default=steps[-1])

        asked, costs, bound = self._opened(plan), self.stager.joints(plan).costs, self.bound

        def beyond(step: int) -> bool:
            return not asked.may_be(costs, bound, self.clock.left, shut(step))

        low, top = 0, len(steps) if any(name == had for had, _ in self._reached) else min(_AHEAD, len(steps))
        while top <= len(steps) and not beyond(steps[top - 1]):
            low, top = top, 2 * top
        steps = steps[: bisect(steps, 0, low, min(top - 1, len(steps)), key=beyond)]
        found, at, further = None, len(steps) - 1, 0
        while steps:
            answer = asked.least(costs, self.clock.left, known=bound, under=bound + 1, shut=shut(steps[at]))
            values = proven(answer, self.clock, name).values
            if values is None:
                steps, further = steps[:at], 0
            else:
                found, now = values, far(values)
                steps, further = [step for step in steps if step > now], 2 * at + 1
            at = min(further, len(steps) - 1)
        return found, now

    def _try(self, plan: Plan, answer: Answer) -> None:
        """Play what was found, and keep its sets if they are better than what is known."""
        found = self._played(self._sets(plan, answer.values), None, whole=False) if answer.values is not None else None
        if found is not None and found.joints < self.best.joints:
            self.best = found

    def _sets(self, plan: Plan, values: Values) -> Sets:
        candidates = self.stager.candidates
        return tuple(
            (candidates[c], candidates[c].lies[k]) for (c, k), x in plan.left.items() for _ in range(values[x])
        )

    def _played(self, sets: Sets, least: int | None, *, whole: bool) -> Chosen | None:
        """Every scene with these sets; None where one cannot be served."""
        numbers = tuple(self._number[id(candidate)] for candidate, _ in sets)
        clock = Clock(max(self.clock.left, _AT_LEAST))
        found = []
        for s in range(len(self.stager.scenes)):
            key = (s, numbers, least, whole)
            if key not in self._plays:
                self._plays[key] = played(self.stager, s, numbers, clock, least, whole=whole)
            if (one := self._plays[key]) is None:
                return None
            found.append(one)
        joints = sum(scene.weight * one.joints for scene, one in zip(self.stager.scenes, found, strict=True))
        if joints < self.bound:
            raise FalsePlanError(_FALSE)
        return Chosen(sets, tuple(found), joints, self.bound)

    @cached_property
    def _number(self) -> dict[int, int]:
        return {id(candidate): c for c, candidate in enumerate(self.stager.candidates)}

    def _count_more(self, plan: Plan, values: Values, least: int | None, *, whole: bool = False) -> None:
        """In each scene that is served worse than the programme says, count what its sets run out of there."""
        sets, before, said = self._sets(plan, values), list(self.counted), joints_of(plan, values)
        numbers = tuple(self._number[id(candidate)] for candidate, _ in sets)
        for s, counted in enumerate(before):
            one = self._plays.get((s, numbers, least, whole))
            if one is None or one.joints > said[s]:
                joints = None if one is None else one.joints
                self.counted[s] = counted_for(self.stager, s, counted, numbers, least, joints, self.clock)
        if self.counted == before:
            self.counted = [self.stager.everything] * len(before)
