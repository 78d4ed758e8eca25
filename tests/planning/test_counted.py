"""What the ways to stand up a strut take, and what a programme of ready sets may leave out."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import product
from operator import le
from typing import Any

import numpy as np
import pytest
from benchmarks.ordinary import TODAY, ordinary

from cache_check.planning.packing.muster import Muster
from cache_check.planning.solving.programme import Row
from cache_check.planning.solving.relaxation import Relaxation, search, tabled
from cache_check.planning.solving.solver import Ending
from cache_check.planning.staging import stage
from cache_check.planning.staging.runs import Opening, every_run, openings, splits, stack_of
from cache_check.planning.staging.stage import choose
from cache_check.planning.staging.staging import Plan, Stager
from cache_check.planning.staging.staging_rows import Laid, Shut, laid, plan_of, shut_of
from cache_check.planning.staging.ways import Counted, Fields, Use

USES: list[Use] = [("all", "body"), ("loose", "base"), ("points", "base")]
MARGINS = [0, 5, 5, 7]
AMOUNTS = list(product(range(3), range(3), range(3), [-1, 5, 6, 9]))


def _packed(fields: Fields, one: tuple[int, ...]) -> int:
    return sum(n * fields.unit[use] for n, use in zip(one, USES, strict=False)) + fields.short_of(one[-1])


def test_amounts_side_by_side_are_compared_as_one_by_one() -> None:
    """No more of any use, and no less margin, up to the best that is asked for."""
    fields = Fields(USES, 2, MARGINS)
    for one, other in product(AMOUNTS, AMOUNTS):
        steps = [sum(margin <= each[-1] for margin in MARGINS) for each in (one, other)]

        beats = fields.beats(_packed(fields, one))(_packed(fields, other))

        assert beats == (all(map(le, other[:-1], one[:-1])) and steps[1] >= steps[0])
    for one in AMOUNTS:
        assert dict(fields.taken(_packed(fields, one))) == {use: n for use, n in zip(USES, one, strict=False) if n}


def test_columns_that_wait_are_let_in_where_there_is_no_choice_without() -> None:
    """A relaxation that has none with the columns it is given first is not called one that has none."""

    class Late:
        columns = np.asarray([1])

        def better(self, reduced: Any) -> Any:
            return np.asarray([], dtype=np.int64)

        def worth(self, reduced: Any) -> tuple[Any, Any]:
            return np.asarray([], dtype=np.int64), np.zeros(0)

    table = tabled([Row(((0, 1), (1, 1)), 2, None)], 2)
    lows, highs = np.zeros(2), np.asarray([1.0, 5.0])
    relaxation = Relaxation(table, lows, highs, Late())

    assert relaxation.solved(np.asarray([1.0, 3.0]), lows, highs, 10) is Ending.OPTIMAL
    assert relaxation.values.tolist() == [1, 1]
    assert relaxation.proof()[0] == 4


@pytest.mark.parametrize(
    ("low", "high", "ending"),
    [(None, 0, "OPTIMAL"), (0, None, "OPTIMAL"), (None, -1, "INFEASIBLE"), (1, None, "INFEASIBLE")],
)
def test_a_programme_of_shut_columns_is_settled_by_its_rows(low: int | None, high: int | None, ending: str) -> None:
    """With nothing taken a row is nought, which just keeps a bound of nought."""
    shut = np.zeros(1)

    found, values, bound = search(tabled([Row(((0, 1),), low, high)], 1), np.ones(1), shut, shut, 10)

    assert found is Ending[ending]
    assert (values, bound) == (([0.0], 0.0) if found is Ending.OPTIMAL else (None, np.inf))


def test_a_set_is_opened_for_a_run_that_spares_more_joints_than_are_broken() -> None:
    """Of four parts: three neighbours spare two joints for one that is broken, two neighbours no more than that one."""
    stack, pins = stack_of("abcd", [None] * 3), [None] * 3
    every = every_run(stack)

    for parts, at in (("abcd", ()), ("abc", (2,)), ("bcd", (0,)), ("ab", None), ("bc", None), ("cd", None)):
        wanted = every.index(stack_of(parts, [None] * (len(parts) - 1)))
        found = openings(stack, range(len(every)), pins, {wanted: wanted}, frozenset())
        assert [(one.split.at, one.yields) for one in found] == ([] if at is None else [(at, ((wanted, 1),))])


@pytest.mark.parametrize(("seed", "sets"), [(252, 4), (287, 6)])
def test_what_is_left_out_was_in_no_choice(seed: int, sets: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same sets come out with nothing left out, and with few looked among by themselves.

    Of 287 a way must stay that takes a run which only an opening yields that is not worth it while little is counted.
    """
    one = ordinary(seed)
    stager = Stager(Muster(one.cache, one.book, TODAY), one.needs.scenes, sets)
    found, was, shut = choose(stager, seconds=600), shut_of, list[int]()

    def none(scenes: Any, plan: Any, within: Any, _: Any) -> None:
        once: list[Any] = [{} for _ in stager.scenes]
        was(scenes, plan, within, once)
        shut.extend(map(len, once))

    monkeypatch.setattr(stage, "shut_of", none)
    monkeypatch.setattr(stage, "_NEAR", 10**9)
    whole = choose(stager, seconds=600)
    monkeypatch.setattr(stage, "_NEAR", 1)
    monkeypatch.setattr(stage, "_FEW", 3)
    near = choose(stager, seconds=600)

    assert any(shut)
    assert _told(found) == _told(whole) == _told(near)


def test_what_is_shut_is_shut_in_its_scene_alone_and_where_each_set_would_be_opened() -> None:
    """With all openings of a scene shut at which joints break no set is opened at those, and no other scene changes.

    Sets that yield alike are opened at other joints each, so that the first does not say where the others are shut.
    """
    one = ordinary(252)
    stager = Stager(Muster(one.cache, one.book, TODAY), one.needs.scenes, 4)
    number, among = len(stager.scenes), range(len(stager.candidates))
    counted = [Counted()] * number
    scenes = laid(stager, counted, among)
    plan, opened = plan_of(stager, scenes, among), 0
    for s in filter(lambda s: _broken(scenes[s]), range(number)):
        shut: list[Shut] = [{} for _ in range(number)]
        gone = {x for (of, _, _), (x, opening) in plan.opened.items() if of == s and opening.split.at}
        shut_of(scenes, plan, frozenset(range(len(plan.draft.lows))) - gone, shut)

        after = laid(stager, counted, among, shut=shut)

        assert [t for t in range(number) if after[t] != scenes[t]] == [s]
        assert _broken(scenes[s]).isdisjoint(_broken(after[s]))
        opened += 1
    assert opened > 1


@pytest.mark.parametrize(("seed", "pins"), [(24, True), (12, False), (252, False)])
def test_sets_of_one_class_yield_the_same_and_break_as_many_joints(seed: int, *, pins: bool) -> None:
    """Runs, pins and joints of each opening are those of the first, by which the programme knows them all."""
    one = ordinary(seed)
    stager = Stager(Muster(one.cache, one.book, TODAY), one.needs.scenes, 2)
    loose = frozenset(part.id for part in stager.catalogue.parts if pins and part.kind == "pin")
    counted = [Counted(frozenset(), loose)] * len(stager.scenes)
    for scene in laid(stager, counted, range(len(stager.candidates))):
        for found, members in scene.alike:
            for own in members.values():
                assert [_yielded(each) for each in own] == [_yielded(each) for each in found]


def _yielded(one: Opening) -> tuple[object, ...]:
    return one.yields, one.pins, one.split.joints


def test_openings_are_idle_only_where_all_sets_of_their_class_are_shut() -> None:
    """One of two sets that yield alike is enough to open."""
    whole = Opening(splits(stack_of("ab", [None]))[0], (), ())
    plan = Plan(left={(0, 0): 0, (1, 0): 1}, alike={(0, 0): (0, 1)}, opened={(0, 0, 0): (2, whole)})

    assert [plan.idle(shut) for shut in ((), (0,), (1,), (0, 1))] == [[], [], [], [2]]


def _broken(scene: Laid) -> set[tuple[int, tuple[int, ...]]]:
    """The joints at which each candidate may be opened, by number, where any are broken."""
    every = ((c, each.split.at) for _, members in scene.alike for c, own in members.items() for each in own)
    return {(c, at) for c, at in every if at}


def _told(chosen: Any) -> Iterable[object]:
    return chosen.unproven, chosen.sets, chosen.joints, chosen.bound, chosen.least_margin
