"""Changes to the code that published values, or figures derived by hand, must see: each a way to be wrong that hurts.

A change is made in this process: the module's text is changed, and its functions get the code of the changed ones.
"""

from __future__ import annotations

import importlib
import shutil
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

import pytest
from builders import checked, loaded, needs_of, tidy
from pitfalls.test_pitfalls_struts import test_pitfall_17_a_set_is_lifted_with_its_pins_by_so_many_persons as carry

from cache_check.files import rules
from cache_check.model.load import Forces
from cache_check.planning.packing import laid
from cache_check.planning.packing.verify import FalsePlanError
from cache_check.units import NEWTON_PER_LBF
from published import test_published_charts as charts
from published import test_published_geometry as geometry
from published import test_published_inspection as inspection
from published import test_published_load as statics
from published import test_published_tiedowns as tiedowns

AT: dict[str, Any] = {"contact_height": 40, "angle": 60, "half_angles": 45}
CHAIN: dict[str, Any] = tiedowns.CHAIN | {"binder": {"kind": "hardware", "wll": 1000}}


def rows() -> None:
    """NAV-DC32: a published chart, closed and extended."""
    charts.test_telescoping_shore(charts.SHORES[0])


def ranges() -> None:
    """The lowest of all rows that a range touches: with one extension 7,600 lbf up to 55 in, 4,700 up to 75."""
    need = {"shortest": 45, "longest": 60, "restrained": False}
    asked = [needs_of([need | {"load": load}]) for load in (4701, 4700)]
    assert [checked(tidy(), needs=one).tallies[0].count("rated") for one in asked] == [0, 1]


def factors() -> None:
    """5,400 lbf at 4:1, asked at 2:1 and not asked."""
    charts.test_a_rated_load_at_another_factor(2, 10_800)
    charts.test_a_rated_load_at_another_factor(None, 5400)


def unmarked() -> None:
    """Every published default, and unmarked chain as grade 30."""
    assert tiedowns.wrong() == []


def forces(**fields: Any) -> Forces:
    """The forces of a tidy rig's strut at 60 deg, 40 in up."""
    found = loaded(tidy(), **({"contact_height": 40, "angle": 60} | fields)).forces
    assert found is not None
    return found


def strap_pull() -> None:
    """Anchors 20 in up above the edge: F (40 cos 60 - 20 cos 60) = 1,000 x 2, so 200 lbf and not 100."""
    found = forces(contact_x=0, weight=1000, weight_outside=2, anchors=[[0, 20, 13], [0, 20, -13]])
    assert float(found.axial_checked / NEWTON_PER_LBF) == pytest.approx(200)


def sideways() -> None:
    """At 89 deg 1,000 lbf push 17 out, so 2 % of it, 20 lbf, is held."""
    assert float(forces(angle=89, vertical=1000).thrust_checked / NEWTON_PER_LBF) == pytest.approx(20)


def survivor() -> None:
    """Of two struts either may take all 1,000 lbf; allowed 1.25 times for what moves, 1,250."""
    found = forces(vertical=1000, on_this_side=2, dynamic_allowance="1.25")
    assert found.share == found.whole == 1250 * NEWTON_PER_LBF


def met(verdict: str, parts: dict[str, Any] | None = None, **fields: Any) -> Callable[[], None]:
    """That a strut of a tidy rig is met as it is, and called otherwise with some parts or facts changed."""

    def check() -> None:
        assert loaded(tidy(), **AT, vertical=3000).verdict == "met"
        counts: dict[str, int | None] = {name: 2 for name in parts or {} if name != "base"}
        cache = tidy(parts=parts, counts=counts)
        assert loaded(cache, **({"vertical": 3000} | AT | fields)).verdict == verdict

    return check


# At 60 deg 3,000 lbf push 1,732 out, and a V of 45 deg to each side sees 1,225 lbf in each strap.
weak_points = met("not met", {"base": {"points": [{"wll": 1000}, {"wll": 1000}]}})
weak_straps = met("not met", {"strap": {"wll": 1000}})
weak_binder = met("not met", CHAIN, ties="chains")
tight = met("not met", vertical=100, pretension=400)
# A weight 60 in outside the edge: 60,000 / (20 sin 60 + 40 cos 60) = 1,608 lbf lift 1,392, and only 1,000 are there.
lifted = met("not met", vertical=None, weight=1000, weight_outside=60, contact_x=20)

RUBBER = next(row for row in statics.FRICTION if row["pair"] == "rubber on dry concrete")
LOADS, LINKS, SHARES = "loads.solve", "planning.loading.links", "planning.loading.demand"
CHANGES: dict[str, tuple[str, str, str, Callable[[], None]]] = {
    "a mark does not win": (
        "loads.rating", "if tie.wll is not None:", "if False:",
        tiedowns.test_a_mark_wins_and_a_size_that_is_not_listed_is_unknown,
    ),
    "unmarked chain is read as a higher grade": (
        "loads.rating", "tie.grade or table.unmarked_grade", "tie.grade or 43", unmarked,
    ),
    "a marked load is raised unasked": (
        "loads.chart", "self.k if self.said or stated is None else max(", "self.k if True else max(", factors,
    ),
    "a marked load is never raised": (
        "loads.chart", "self.k if self.said or stated is None else", "self.k if stated is None else", factors,
    ),
    "the row below is taken": ("loads.chart", "place if place < len(rows)", "max(place - 1, 0) if rows", rows),
    "a range takes its best row": ("loads.chart", "else min(load for load", "else max(load for load", ranges),
    "the straps' pull is ignored": (LOADS, "in _triangles(setup)), default", "in ()), default", strap_pull),
    "a strap's moment has the other sign": ("loads.triangle", "return -math.fsum(", "return math.fsum(", strap_pull),
    "the least sideways force is off": (LOADS, "lateral_floor(checked * sine,", "lateral_floor(0,", sideways),
    "the least severe share governs": (SHARES, "max(named", "min(named", survivor),
    "the allowance is ignored": (SHARES, "return given * one.allowance", "return given", survivor),
    "points are unchecked": (LINKS, "if not (limits := self.ties.of_points(base)):", "if True:", weak_points),
    "ties are unchecked": (LINKS, "yield from self.tied(base, part, number)", "yield from ()", weak_straps),
    "hardware is unchecked": (LINKS, "in hardware_of(self.muster.cache, tie)", "in ()", weak_binder),
    "friction is counted unasked": (
        SHARES, "min(one.friction, Fraction(", "max(one.friction, Fraction(",
        partial(statics.test_friction_under_a_base, RUBBER),
    ),
    "friction that policy counts is counted twice": (
        "loads.triangle", "(cosine - friction * sine) /", "(cosine - 2 * friction * sine) /",
        partial(statics.test_friction_under_a_base, RUBBER),
    ),
    "a strap without its tail is long enough": (
        LINKS, 'far + int(self.muster.book.ruled("strap_reach", "tail"))', "far",
        partial(statics.test_ties_in_space_reach_as_far_as_their_lines, "A", 12, 16),
    ),
    "a fitting adds nothing": (
        "joining.seats", "return part.adds", "return 0", geometry.test_a_shore_is_cut_for_what_goes_under_it,
    ),
    "part of a strut is left out": (
        "loads.demand", "math.ceil(", "math.floor(",
        partial(charts.test_four_posts_share_what_a_laced_post_takes, charts.LACED[0]),
    ),
    "pre-tension is unchecked": (LINKS, "holds, ask = settled(float(share)) <= most,", "holds, ask = True,", tight),
    "a vehicle that lifts off is unchecked": (LINKS, '"stays_down", not lifted', '"stays_down", True', lifted),
    "an angle from the vertical is taken as it is": (
        "model.situation", "else 90 - self.angle_from_vertical", "else self.angle_from_vertical",
        statics.test_even_v_in_plan,
    ),
    "two carry twice as much as one": (
        "checks.kinds.ready_sets", 'value(rule, "two_persons")', 'value(rule, "one_person") * 2', carry,
    ),
}  # fmt: skip


def codes(code: CodeType) -> Iterator[CodeType]:
    """The codes of the functions of a module, and of those of its classes."""
    for one in code.co_consts:
        if isinstance(one, CodeType):
            yield one
            yield from codes(one)


def functions(module: ModuleType) -> Iterator[FunctionType]:
    """The functions and methods that a module defines, also behind properties."""
    for one in tuple(vars(module).values()):
        members = tuple(vars(one).values()) if isinstance(one, type) else (one,)
        for member in members:
            found = getattr(member, "fget", None) or getattr(member, "func", None) or member
            if isinstance(found, FunctionType) and found.__module__ == module.__name__:
                yield found


def forget() -> None:
    """Nothing is kept of what was worked out before a change."""
    laid._LATELY.clear()
    for name, module in tuple(sys.modules.items()):
        if name.startswith("cache_check."):
            for one in vars(module).values():
                if hasattr(one, "cache_clear"):
                    one.cache_clear()


@contextmanager
def changed(name: str, old: str, new: str) -> Iterator[None]:
    """A module with one change in it."""
    module = importlib.import_module(f"cache_check.{name}")
    assert module.__file__ is not None
    text = Path(module.__file__).read_text(encoding="utf-8")
    assert text.count(old) == 1
    found = {one.co_qualname: one for one in codes(compile(text.replace(old, new), module.__file__, "exec"))}
    before = [(one, one.__code__) for one in functions(module)]
    try:
        for one, _ in before:
            if one.__qualname__ in found:
                one.__code__ = found[one.__qualname__]
        forget()
        yield
    finally:
        forget()
        for one, code in before:
            one.__code__ = code


@pytest.mark.parametrize(("module", "old", "new", "check"), CHANGES.values(), ids=CHANGES)
def test_each_change_is_seen(module: str, old: str, new: str, check: Callable[[], None]) -> None:
    """As it is, the check passes; with one change in the code it fails."""
    check()
    with changed(module, old, new), pytest.raises((AssertionError, FalsePlanError)):
        check()


VALUES = {
    "a year between inspections": (
        "counting", "366, stricter: lower, about: most days from one", "367, stricter: lower, about: from one",
        inspection.test_ruled_interval_is_no_longer_than_published,
    ),
    "what is held sideways at least": ("restraint", 'value: "0.02"', 'value: "0.03"', charts.test_lateral_shares),
    "the factor where none is asked": (
        "loads", 'factor: {type: ratio, value: "2"', 'factor: {type: ratio, value: "1.5"',
        charts.test_policy_asks_no_less_than_emergency_shores_have_from_memory,
    ),
    "what one person carries": ("stowage", "value: 51 lb", "value: 52 lb", statics.test_carry_weights),
    "what two persons carry": ("stowage", "value: 68 lb", "value: 69 lb", statics.test_carry_weights),
}  # fmt: skip
"""Parameters of rules with a published figure; the tables have tests of their own, in which every value is changed."""


@pytest.mark.parametrize(("file", "old", "new", "check"), VALUES.values(), ids=VALUES)
def test_each_value_is_seen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, file: str, old: str, new: str, check: Callable[[], None]
) -> None:
    """As the rules are, the check passes; with one figure changed in them it fails."""
    check()
    copy = shutil.copytree(rules.rules_folder(), tmp_path / "rules")
    monkeypatch.setattr(rules, "rules_folder", lambda: copy)
    check()
    text = (copy / f"{file}.yaml").read_text(encoding="utf-8")
    assert text.count(old) == 1
    (copy / f"{file}.yaml").write_text(text.replace(old, new), encoding="utf-8")
    forget()
    with pytest.raises(AssertionError):
        check()
