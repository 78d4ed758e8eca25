"""Figures in words, rounded towards safety."""

from __future__ import annotations

import re
from fractions import Fraction

from cache_check.model.audit import Cause, Cost
from cache_check.model.counting import Binding
from cache_check.model.piece import Idle
from cache_check.report.of_audit import price
from cache_check.report.say import Say, counted, proven
from report.sample_results import INCH, NAMES, assembly, packing

US = Say("us", NAMES)
SI = Say("si", NAMES)
HALF = INCH // 20  # half of the 0.1 in that is shown


def test_closed_is_rounded_up_and_open_down() -> None:
    """A strut is never said to be shorter or longer than it can be set."""
    one = assembly(48 * INCH + HALF // 4, 71 * INCH - HALF // 4)

    assert US.ends(one) == "48.1 to 70.9 in"
    assert US.reachable(one.spans) == "48.1 to 70.9 in"
    assert SI.ends(assembly()) == "1,220 to 1,803 mm"  # 1219.2 and 1803.4 mm


def test_blind_spot_is_rounded_wider() -> None:
    """A length that nothing covers is never left outside the blind spot that is shown."""
    assert US.blind((71 * INCH + HALF // 4, 80 * INCH - HALF // 4)) == "over 71.0 to under 80.0 in"
    assert SI.blind((71 * INCH, 80 * INCH)) == "over 1,803 to under 2,032 mm"


def test_span_that_vanishes_in_rounding_is_not_claimed() -> None:
    """A span too short to be shown is left out rather than widened."""
    assert US.reachable([(INCH + 1, INCH + 2)]) == "none"


def test_asked_load_and_weight_are_rounded_up() -> None:
    """Demand and weight are never said to be less than they are."""
    assert US.bare_up(Fraction("26689.33")) == "6,001"  # 6,000.0002 lbf
    assert SI.bare_up(Fraction(26681)) == "26.69"
    assert US.weight(Fraction("4.5359238")) == "10.1 lb"  # 10.0000001 lb


def test_unknown_weight_is_said_to_be_unknown() -> None:
    """An unknown weight is neither blank nor zero."""
    assert US.weight(None) == US.bare_mass(None)
    assert US.bare_mass(None) == "unknown"
    assert US.bare_mass(Fraction("4.5359238")) == "10.1"


def test_many_single_settings_are_counted_and_not_joined() -> None:
    """A body that locks at holes is not said to cover the lengths between them."""
    holes = [(n * INCH, n * INCH) for n in range(40, 60, 2)]

    assert US.reachable(holes) == "10 settings from 40.0 to 58.0 in, nothing between them"
    assert US.reachable(holes[:2]) == "at 40.0; at 42.0 in"


def test_what_binds_names_singles_else_pairs_else_neither() -> None:
    """A pair is named as a pair, and "nothing helps" is said in words."""
    assert US.wants(Binding(("P/strap", "P/base"), (), 5)) == "the next wants 1 more strap, or 1 more base"
    pairs = Binding((), (("P/body", "P/strap"), ("P/strap", "P/strap")), 5)
    assert US.wants(pairs) == "the next wants 1 more body and 1 more strap, or 2 more straps"
    assert US.wants(Binding((), (), 5)) == "no single part and no pair allows the next"


def test_packing_that_is_not_proven_says_so() -> None:
    """A count that is only a lower bound is not shown as the most."""
    assert proven(packing(3)) == "3"
    assert proven(packing(3, 4)) == "3 found, at most 4 (not proven)"


def test_example_reads_as_one_whole() -> None:
    """The lines of one example cannot be taken for alternatives."""
    assert re.fullmatch(r"2 x base \+ body \+ head \([^()]+\); held by 4 x strap", US.way(packing(2)))


def test_one_is_not_plural() -> None:
    """Counts agree with their nouns."""
    assert (counted(1, "strut"), counted(1200, "strut")) == ("1 strut", "1,200 struts")


def test_a_cause_of_a_rig_without_needs_costs_no_strut() -> None:
    """Where no need was asked there is none that gets a strut back, and that is said."""
    cause = Cause("", "strap", "", 1, "frayed", "tag it out", "out", Idle("strap", "", "", "", 1, "repair", ()))

    assert price(Cost(cause, (), (), 0, 0)) == "costs no strut by itself"
