"""What is counted in a scene of ready sets: what its struts run out of, and enough of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date
from operator import is_
from pathlib import Path
from typing import Any

import pytest
from builders import needs_of, tidy
from hypothesis import given
from hypothesis import strategies as st
from laws import strategies as drawn
from laws.test_staging import FEW, stager_of, yards

from cache_check.api.base import WhatIf, muster_of
from cache_check.files.cache import read_cache
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.need import Needs, Scene
from cache_check.planning.packing.rows import points_row
from cache_check.planning.solving.solver import Clock, solver
from cache_check.planning.staging import run_out
from cache_check.planning.staging.played import played
from cache_check.planning.staging.run_out import _short, counted_for, joints_of, used_up
from cache_check.planning.staging.staging import Stager
from cache_check.planning.staging.staging_rows import Laid, laid, plan_of, scene_of
from cache_check.planning.staging.ways import Counted
from planning.test_staged_joints import STATED, THREE_ASKED, TWO_BASES, families

PLAIN = "base", "body", "head"
LONG = "base", "body", "ext-6", "head"
HIGH = "base", "long", "adapter", "tall"
Taken = tuple[tuple[str, ...], int]
"""A strut by its parts, ground to load, and how many of them come as a run from a set; the rest is loose."""


def staging(cache: Cache, needs: Needs) -> Stager:
    """Two sets of a cache at most, for scenes."""
    return Stager(muster_of(cache, read_rules(), WhatIf(on=date(2026, 4, 1))), needs.scenes, 2)


def names(parts: Sequence[str]) -> tuple[str, ...]:
    """Parts without their family."""
    return tuple(part.rpartition("/")[2] for part in parts)


def short(stager: Stager, sets: Sequence[tuple[str, ...]], *struts: Taken) -> tuple[set[str], set[str]]:
    """What struts run out of in the first scene, and what of it beside sets, if they are taken so."""
    number = {names(one.assembly.parts): c for c, one in enumerate(stager.candidates)}
    left = [number[one] for one in sets]
    plan = scene_of(stager, 0, Counter(left), None)
    values = [0] * len(plan.draft.lows)
    for x, stand in plan.stood.values():
        sizes = [len(run) // 2 + 1 for run in stand.split.runs]
        for parts, run in struts:
            taken = [*([run] if run else []), *[1] * (len(parts) - run)]
            values[x] += names(stand.strut.assembly.parts) == parts and sizes == taken
    assert sum(values) == len(struts)
    found = _short(stager, plan, values, left)
    return {*names(sorted(found.all))}, {*names(sorted(found.loose))}


def test_what_a_strut_runs_out_of_beside_sets() -> None:
    """Two of each part but one extension, and seven pins: a plain set holds two pins, the long strut takes three.

    Two sets and a loose strut are one too many of each part; of the pins they take just as many as there are.
    """
    stager = staging(tidy(counts={"pin": 7, "ext-12": 0}), needs_of([{"at": 61, "count": 2, "restrained": False}]))

    assert short(stager, [PLAIN], (LONG, 0)) == (set(), set())
    assert short(stager, [PLAIN, PLAIN], (LONG, 0)) == (set(), {"base", "body", "head"})
    assert short(stager, [PLAIN, PLAIN], (LONG, 2)) == (set(), {"head"})
    assert short(stager, [PLAIN, LONG], (LONG, 0)) == (set(), {"base", "body", "ext-6", "head", "pin"})
    assert short(stager, [], (LONG, 0), (LONG, 0)) == ({"ext-6"}, {"ext-6"})
    assert short(stager, [PLAIN], (LONG, 0), (LONG, 2)) == ({"ext-6"}, {"ext-6", "head"})


def test_of_a_small_scene_all_is_counted_that_could_run_out() -> None:
    """Each of two struts might take the one extension; beside two plain sets other parts are too few for both."""
    needs = needs_of([{"at": 61, "restrained": False}, {"at": 40, "restrained": False}])
    stager = staging(tidy(counts={"pin": 20, "ext-12": 0}), needs)
    (plain,) = (c for c, one in enumerate(stager.candidates) if names(one.assembly.parts) == PLAIN)

    found = counted_for(stager, 0, Counted(), (plain, plain), None, None, Clock(60))

    assert {*names(sorted(found.all))} == {"ext-6"}
    assert {*names(sorted(found.loose))} == {"base", "body", "ext-6", "head"}


def test_bases_with_too_few_points_run_out(tmp_path: Path) -> None:
    """Beside the head of Q a base must have three points, and one of two has: two such bases are one too many."""
    families(tmp_path, *THREE_ASKED)
    (tmp_path / "rig.yaml").write_text(TWO_BASES + STATED, encoding="utf-8")
    stager = staging(read_cache(tmp_path / "rig.yaml", read_rules()), needs_of([{"at": 65, "count": 2}]))
    (name,) = (one for one, base in stager.points.items() if one != base)
    points = {"base", points_row(name).rpartition("/")[2]}

    assert short(stager, [], (HIGH, 0)) == (set(), set())
    assert short(stager, [], (HIGH, 0), (HIGH, 0)) == ({"long"}, {"long"} | points)
    assert short(stager, [HIGH], (HIGH, 0)) == (set(), {"long"} | points)
    assert short(stager, [HIGH], (HIGH, 2)) == (set(), set())


def test_what_a_scene_leaves_none_of_is_used_up() -> None:
    """Two plain struts take both bodies, bases and heads, and four pins."""
    for pins, used in ((4, {"T/pin"}), (5, set())):
        stager = staging(tidy(counts={"pin": pins}), needs_of([{"at": 40, "count": 2, "restrained": False}]))
        served = played(stager, 0, (), Clock(60), None, whole=True)
        assert served is not None
        assert used_up(stager, served) == {"T/base", "T/body", "T/head"} | used


def test_a_scene_that_is_played_has_every_way_of_every_strut() -> None:
    """Two bodies and two bases make four struts for each of two needs: without sets eight ways, all of loose pieces.

    Beside a plain set there are four ways to stand up its own strut, two for the one with its body and head, and one
    for each of the others; though of every part there is enough, so that nothing that is counted tells them apart.
    """
    parts = {
        "light": {"kind": "body", "closed": 30, "open": 50, "lock": "collar", "mass": 1},
        "foot": {"kind": "fitting", "adds": 3, "serves": "base", "mass": 7},
    }
    counts = {"body": 3, "light": 3, "base": 3, "foot": 3, "head": 3, "pin": 20, "ext-6": 0, "ext-12": 0}
    need = {"at": 40, "restrained": False}
    stager = staging(tidy(parts=parts, counts=counts), needs_of([need, need]))

    for sets, ways in (((), 8), ((0,), 16)):
        assert len(scene_of(stager, 0, Counter(sets), None).stood) == ways


@FEW
@given(yards(), st.data())
def test_with_what_is_counted_a_scene_takes_as_many_joints_as_it_does(
    yard: tuple[drawn.Drawn, tuple[Scene, ...]], data: st.DataObject
) -> None:
    """The programme of a scene is then as dear as the scene that is played, or none where it cannot be served."""
    stager, clock = stager_of(*yard, 2), Clock(60)
    number = len(stager.candidates)
    sets = tuple(data.draw(st.lists(st.integers(0, number - 1), max_size=2)) if number else ())
    few = data.draw(st.sampled_from([0, run_out._FEW]))
    for s in range(len(stager.scenes)):
        one = played(stager, s, sets, clock, None, whole=False)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(run_out, "_FEW", few)
            counted = counted_for(stager, s, Counted(), sets, None, None if one is None else one.joints, clock)

        plan = scene_of(stager, s, Counter(sets), None, counted)
        values = solver()(plan.draft.done()).least(stager.joints(plan).costs, clock.left).values
        found = None if values is None else joints_of(plan, values)[s]
        assert found == (None if one is None else one.joints)


@FEW
@given(yards())
def test_joints_of_scenes_make_up_what_a_programme_costs(yard: tuple[drawn.Drawn, tuple[Scene, ...]]) -> None:
    """Each as often as its scene's weight says."""
    stager = stager_of(*yard, 2)
    among = range(len(stager.candidates))
    plan = plan_of(stager, laid(stager, [Counted()] * len(stager.scenes), among), among)
    answer = solver()(plan.draft.done()).least(stager.joints(plan).costs, 60)

    assert answer.values is not None
    joints = joints_of(plan, answer.values)
    assert sum(one.weight * joints[s] for s, one in enumerate(stager.scenes)) == answer.cost


def test_a_scene_is_not_laid_anew_only_where_all_is_as_before() -> None:
    """Of other sets, joints, margins or words it is; of the same it is the one that was had."""
    cache, needs = tidy(counts={"ext-12": 1}), needs_of([{"at": 40, "count": 2}], [{"at": 61, "count": 1}])
    stager = Stager(muster_of(cache, read_rules(), WhatIf()), needs.scenes, 2)
    counted, among = [Counted()] * 2, range(len(stager.candidates))
    had: dict[object, Laid] = {}
    before = laid(stager, counted, among, had=had)
    far = stager.margins()[-1]

    assert all(map(is_, laid(stager, counted, among, had=had), before))
    for asked in ({"most": 0}, {"least": far}, {"told": "by margin"}):
        other: Any = asked
        assert laid(stager, counted, among, **other, had=had) == laid(stager, counted, among, **other) != before
    assert laid(stager, counted, among[:3], had=had) == laid(stager, counted, among[:3]) != before
