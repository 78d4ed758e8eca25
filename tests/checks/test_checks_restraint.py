"""Straps and chains against bases: figures and sentences, and an exact count against trying everything."""

from __future__ import annotations

from datetime import date
from itertools import product
from typing import Any

import pytest
from builders import change, checked, rescue_41, tidy

from cache_check.checks.facts import Facts
from cache_check.checks.restraint import Restraint
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.result import Gap, Reach
from cache_check.planning.packing.muster import Muster

CHAIN: dict[str, dict[str, Any]] = {
    "chain": {"kind": "chain", "grade": 80, "size": "3/8 in", "mass": 8, "needs": {"T/binder": 1}},
    "binder": {"kind": "hardware", "mass": 4},
}


def gap(cache: Cache, rule: str, *settings: Any) -> Gap:
    """The first gap of a rule."""
    return next(gap for gap in checked(cache, *settings).gaps if gap.rule == rule)


def test_five_bases_and_seven_straps() -> None:
    """Rescue 41 has five bases with points and seven straps, so it is three straps short and holds three bases."""
    result = checked(rescue_41())
    short = next(finding for finding in result.findings if finding.rule == "STR-1")

    assert short.what == "5 bases need 10 straps at two each: 3 short"
    assert short.effect == "no more than 3 of 5 bases can be restrained at once"
    assert dict(short.figures) == {"have_count": 7, "want_count": 10, "short_count": 3}


def test_four_struts_with_four_straps_are_four_straps_short() -> None:
    """Two straps on every base, so four struts with four straps are four short (common practice, no source)."""
    found = gap(tidy(counts={"body": 4, "base": 4, "head": 4, "strap": 4}), "STR-1")

    assert (found.have, found.want, found.short) == (4, 8, 4)
    assert found.says == "4 bases need 8 straps at two each: 4 short"


def test_two_straps_and_two_points_on_every_base() -> None:
    """Without any setting every base wants two straps and two attachment points (common practice, no source)."""
    book = read_rules()

    assert book.value("STR-1", "min") == 2
    assert book.value("PTS-1", "min") == 2


def test_enough_straps_is_said_as_well() -> None:
    """A gap that is none is still there to read, with its figures."""
    found = gap(tidy(), "STR-1")

    assert found.says == "2 bases need 4 straps at two each: enough"
    assert found.short == 0


def test_one_base_takes_the_singular() -> None:
    """One base needs; two bases need."""
    assert gap(tidy(counts={"base": 1}), "STR-1").says == "1 base needs 2 straps at two each: enough"


def test_chains_count_only_with_their_hardware() -> None:
    """A chain whose binder is missing is on the rig and restrains nothing."""
    found = gap(tidy(parts=CHAIN, counts={"strap": 0, "chain": 4, "binder": 1}), "STR-1")

    assert (found.have, found.want) == (1, 4)
    assert found.says == "2 bases need 4 straps or chains at two each: 3 short (3 without hardware)"


def test_hardware_is_not_asked_for_when_its_rule_is_off() -> None:
    """With STR-2 off a chain counts without its binder."""
    cache = tidy(parts=CHAIN, counts={"strap": 0, "chain": 4, "binder": 1})

    assert gap(cache, "STR-1", change("STR-2", on=False)).short == 0


def test_an_odd_strap_and_an_odd_chain_hold_no_base() -> None:
    """Three straps and a chain are four ties, yet one base is left with half a restraint."""
    found = gap(tidy(parts=CHAIN, counts={"strap": 3, "chain": 1, "binder": 1}), "STR-1")

    assert found.says == (
        "2 bases need 4 straps or chains at two each: 1 short "
        "(3 straps and 1 chain usable; web and chain are not mixed on one base)"
    )


def test_bases_without_points_want_no_strap() -> None:
    """Where no base has its points the straps are idle, and the sentence says so."""
    found = gap(tidy(parts={"base": {"points": 1}}), "STR-1")

    assert (found.want, found.short) == (0, 0)
    assert found.says == "no usable base has enough attachment points, so straps can restrain none"


def test_only_bases_with_their_points_want_straps() -> None:
    """A damaged base drops out of the want."""
    items = [{"serial": "B-1", "inspected": "2026-01-10", "points_usable": 1}]

    assert gap(tidy(items={"base": items}), "STR-1").says == "1 base needs 2 straps at two each: enough"


def test_a_stricter_policy_asks_for_more() -> None:
    """Three straps per base make two bases want six."""
    assert gap(tidy(), "STR-1", change("STR-1", min=3)).says == "2 bases need 6 straps at three each: 2 short"


def test_hardware_is_counted_for_all_its_users() -> None:
    """Two chains with one binder between them are one binder short, and one chain is idle."""
    result = checked(tidy(parts=CHAIN, counts={"chain": 2, "binder": 1}))
    found = next(gap for gap in result.gaps if gap.rule == "STR-2")
    finding = next(finding for finding in result.findings if finding.rule == "STR-2")

    assert found.says == "2 x chain need 2 x binder at one each: 1 short (1 usable)"
    assert finding.effect == "at least 1 strap or chain cannot be put to use"
    (more,) = checked(tidy(parts=CHAIN, counts={"chain": 4, "binder": 1})).findings
    assert more.effect == "at least 3 straps or chains cannot be put to use"


def _tried(each: int, bases: int, straps: int, chains: int, binders: int, mixed: bool) -> tuple[int, int]:
    """(most ties placed, most bases held) by trying every share of straps and chains for every base."""
    shares = [(s, c) for s in range(each + 1) for c in range(each + 1 - s) if mixed or not (s and c)]
    placed = held = 0
    for way in product(shares, repeat=bases):
        if sum(s for s, _ in way) <= straps and sum(c for _, c in way) <= min(chains, binders):
            placed = max(placed, sum(s + c for s, c in way))
            held = max(held, sum(1 for s, c in way if s + c == each))
    return placed, held


@pytest.mark.parametrize("mixed", [False, True], ids=["unmixed", "mixed"])
@pytest.mark.parametrize(("each", "bases"), [(1, 3), (2, 3), (3, 2)])
def test_ties_in_use_are_counted_exactly(each: int, bases: int, mixed: bool) -> None:
    """Whatever the mix of straps, chains and binders, the count is that of trying everything."""
    settings = (change("STR-4", on=not mixed),)
    for straps, chains, binders in product((0, 1, 3, 4), (0, 1, 3), (0, 1, 2)):
        cache = tidy(parts=CHAIN, counts={"base": bases, "strap": straps, "chain": chains, "binder": binders})
        book = read_rules().changed(settings=settings)
        facts = Facts(Muster(cache, book, date(2026, 4, 1)), (), (), (), Reach(0, (), (), (), ()))
        restraint = Restraint(facts, [each] * bases)

        assert (restraint.placed, restraint.held) == _tried(each, bases, straps, chains, binders, mixed)
