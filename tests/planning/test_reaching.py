"""How far a goal of ready sets reaches: every step is asked, or shown to be out of reach, and none of it is lost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import combinations_with_replacement
from random import Random

import pytest
from builders import needs_of, tidy

from cache_check.errors import NoPlanError
from cache_check.files.rules import read_rules
from cache_check.planning.packing.muster import Muster
from cache_check.planning.solving.programme import Answer, Goal, Row, silent
from cache_check.planning.solving.solver import Clock, Ending
from cache_check.planning.staging.stage import _Choice
from cache_check.planning.staging.staging import Plan, Stager

BOUND = 7


class Reaching:
    """A programme of a column for each step, that reaches so far; the relaxation shows no more than ``relaxed``."""

    def __init__(self, steps: int, reached: int, relaxed: int) -> None:
        self.steps, self.reached, self.relaxed = steps, reached, relaxed
        self.draw = Random(f"{steps} {reached} {relaxed}")

    def may_be(self, costs: object, cost: int, seconds: float, shut: Sequence[int] = ()) -> bool:
        """Whether the relaxation leaves the steps that are not shut."""
        assert cost == BOUND
        return len(shut) < self.relaxed

    def least(self, costs: object, seconds: float, *, known: int, under: int, shut: Sequence[int] = ()) -> Answer:
        """A choice of the first step that is not shut, or of one beyond it that is reached too."""
        assert (known, under) == (BOUND, BOUND + 1)
        if len(shut) >= self.reached:
            return Answer(Ending.INFEASIBLE, None, None, None)
        at = self.draw.randint(len(shut), self.reached - 1)
        return Answer(Ending.OPTIMAL, tuple(int(x == at) for x in range(self.steps)), BOUND, BOUND)


class Fewer:
    """A programme of one column, of which so many are found at first, and at last so few."""

    def __init__(self, first: int, last: int) -> None:
        self.last, self.most, self.draw = last, first, Random(f"{first} {last}")
        self.rows, self.kept = list[Row](), list[int]()

    def least(self, costs: object, seconds: float, *, known: int, under: int, shut: Sequence[int] = ()) -> Answer:
        """The first time what there is; then no more than the cap, if there are so few."""
        assert (known, under) == (BOUND, BOUND + 1)
        if self.most < self.last:
            return Answer(Ending.INFEASIBLE, None, None, None)
        found = self.draw.randint(self.last, self.most) if self.rows else self.most
        return Answer(Ending.OPTIMAL, (found,), BOUND, BOUND)

    def hold(self, row: Row) -> None:
        """See ``AtSolver``."""
        self.rows.append(row)

    def cap(self, most: int) -> None:
        """See ``AtSolver``."""
        self.most = most

    def keep(self, costs: object, cost: int, seconds: float) -> None:
        """See ``AtSolver``."""
        self.kept.append(cost)


def choice_of(stager: Stager) -> _Choice:
    """A choice that is not begun."""
    made = _Choice(stager, Clock(60), silent)
    made.among = range(len(stager.candidates))
    return made


@pytest.fixture
def choice() -> _Choice:
    """One of two plain bodies, of which the one listed last is a little lighter; all else goes with either."""
    light = {"kind": "body", "closed": 30, "open": 50, "lock": "collar", "mass": "14.9 lb"}
    cache = tidy(parts={"light": light}, counts={"light": 1, "ext-12": 0, "ext-6": 0})
    return choice_of(Stager(Muster(cache, read_rules(), date(2026, 11, 25)), needs_of([{"at": 40}]).scenes, 1))


def reaches() -> Iterator[tuple[int, int, int]]:
    """How many steps there are, how many are reached, and how many the relaxation leaves."""
    return ((n, far, left) for n in range(1, 12) for far in range(n + 1) for left in range(far, n + 1))


@pytest.mark.parametrize("had", [False, True])
def test_the_furthest_step_that_is_reached_is_found(
    choice: _Choice, monkeypatch: pytest.MonkeyPatch, *, had: bool
) -> None:
    """However many there are, wherever the relaxation ends, and whether a round has reached the goal before."""
    choice.bound, choice._reached = BOUND, {("far", None): 99} if had else {}
    for number, far, left in reaches():
        asked = Reaching(number, far, left)
        monkeypatch.setattr(choice, "_opened", lambda _, asked=asked: asked)
        steps = list(range(1, number + 1))

        found, now = choice._first_to_end("far", Plan(), dict(enumerate(steps)), steps, 0)

        assert (None if found is None else found.index(1) + 1, now) == (far or None, far)


def test_the_fewest_are_found_and_held(choice: _Choice, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of so many now as few as may be, at which the goal is then capped; what is kept costs as much as the best."""
    choice.bound, choice.longest = BOUND, []
    monkeypatch.setattr(choice.stager, "fewest", lambda *_: [Goal("few", {0: 1})])
    monkeypatch.setattr(choice.stager, "first", lambda _: [])
    for last, first in combinations_with_replacement(range(9), 2):
        asked = Fewer(first, last)
        monkeypatch.setattr(choice, "_opened", lambda _, asked=asked: asked)

        assert choice._leanest(Plan(), ()) == (last,)

        held, joints = asked.rows
        assert (held.terms, held.low, held.high, asked.most, asked.kept) == (((0, 1),), None, first, last, [BOUND])
        assert (joints.low, joints.high) == (BOUND, BOUND)


def test_a_lighter_set_is_found_in_every_round(choice: _Choice) -> None:
    """The one step to it is asked, and what one round reached is not left out of the next."""
    candidates = choice.stager.candidates
    heavy, light = (next(one for one in candidates if one.assembly.body == body) for body in ("T/body", "T/light"))
    best = choice._played(((heavy, heavy.lies[0]),), None, whole=True)
    assert best is not None
    assert best.joints == 0
    choice.best = best

    for _ in range(2):
        plan, found = choice._lightest(choice._laid(0), None)
        assert found is not None
        assert [candidates[c] for c, _ in plan.left] == [light]
        assert choice._sets(*found) == ((light, light.lies[0]),)


def test_where_more_is_counted_for_a_margin_the_round_ends(choice: _Choice, monkeypatch: pytest.MonkeyPatch) -> None:
    """No later goal is then asked, nor is anything called the best."""
    nothing = choice._shown(())
    assert nothing is not None
    choice.best, choice.bound = nothing, nothing.joints
    monkeypatch.setattr(choice, "_ahead", lambda *_: [0])
    monkeypatch.setattr(choice, "_first_to_end", lambda *_: ((), 0))
    monkeypatch.setattr(choice, "_as_said", lambda *_: False)

    assert choice._round() is None


class Stopped:
    """A programme of which the search is stopped when so much is proven."""

    def least(self, *_: object, **__: object) -> Answer:
        """Nothing found."""
        return Answer(Ending.LIMIT, None, None, 1)


def test_a_search_that_is_stopped_proves_no_more_than_its_bound(
    choice: _Choice, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two joints are made with nothing left built; one is proven, so not that these are the fewest."""
    nothing = choice._shown(())
    assert nothing is not None
    choice.best, choice.few = nothing, []
    monkeypatch.setattr(choice, "_opened", lambda *_: Stopped())

    with pytest.raises(NoPlanError, match="the best found has 2, at least 1 are proven"):
        choice._fewest()

    assert choice.bound == 1
