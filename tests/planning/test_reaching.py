"""How far a goal of ready sets reaches: every step is asked, or shown to be out of reach, and none of it is lost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from random import Random
from typing import Any, cast

import pytest
from builders import needs_of, tidy

from cache_check.files.rules import read_rules
from cache_check.planning.packing.muster import Muster
from cache_check.planning.solving.programme import Answer, AtSolver, Goal, silent
from cache_check.planning.solving.solver import Clock, Ending
from cache_check.planning.staging.stage import _Choice
from cache_check.planning.staging.staging import Stager

BOUND = 7
JOINTS = Goal("joints", {})


class Reaching:
    """A programme that reaches so far, and of which the relaxation shows no more than that it reaches no further."""

    def __init__(self, reached: int, relaxed: int, seed: str) -> None:
        self.reached, self.relaxed, self.draw = reached, relaxed, Random(seed)
        self.capped, self.kept = 0, list[int]()

    def may_be(self, costs: object, cost: int, seconds: float, shut: Sequence[int] = ()) -> bool:
        """Whether the relaxation leaves the step."""
        assert cost == BOUND
        return self._step(shut) <= self.relaxed

    def least(self, costs: object, seconds: float, *, known: int, under: int, shut: Sequence[int] = ()) -> Answer:
        """A choice of the step, or of one beyond it that is reached too."""
        assert (known, under) == (BOUND, BOUND + 1)
        if (step := self._step(shut)) > self.reached:
            return Answer(Ending.INFEASIBLE, None, None, None)
        return Answer(Ending.OPTIMAL, (self.draw.randint(step, self.reached),), BOUND, BOUND)

    def cap(self, most: int) -> None:
        """Where no columns are shut the cap is the step."""
        self.capped = most

    def keep(self, costs: object, cost: int, seconds: float) -> None:
        """See ``AtSolver``."""
        self.kept.append(cost)

    def _step(self, shut: Sequence[int]) -> int:
        return shut[0] if shut else -self.capped


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
def test_the_furthest_step_that_is_reached_is_found(choice: _Choice, *, had: bool) -> None:
    """However many there are, wherever the relaxation ends, and whether a round has reached the goal before."""
    choice.bound, choice._reached = BOUND, {("far", None): 99} if had else {}
    for number, far, left in reaches():
        asked = cast("AtSolver", Reaching(far, left, f"{number} {far} {left}"))

        found, now = choice._furthest(
            "far", asked, JOINTS, list(range(1, number + 1)), 0, lambda step: [step], lambda values: values[0]
        )

        assert (found, now) == ((far,) if far else None, far)


def test_the_fewest_are_found_and_held(choice: _Choice) -> None:
    """Of so many now as few as may be, at which the goal is then capped; what is kept costs as much as the best."""
    choice.bound = BOUND
    for number, far, left in reaches():
        asked: Any = Reaching(far - number, left - number, f"{number} {far} {left}")

        found = choice._fewer(asked, JOINTS, Goal("few", {0: -1}), number)

        assert found == ((far - number,) if far else None)
        assert (asked.capped, asked.kept) == (number - far, [BOUND])


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
