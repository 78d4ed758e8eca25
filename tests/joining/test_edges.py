"""Limits met exactly, spans that touch, one piece for both ends: the edges that a sign turned would miss."""

from __future__ import annotations

import pytest
from builders import change, checked, tidy

from cache_check.model.assembly import merged
from cache_check.units import NM_PER_INCH


def test_spans_that_touch_are_one() -> None:
    """A length at which one span ends and another begins is no gap, and the nanometre beside it is one."""
    assert merged([(2, 3), (0, 2)]) == ((0, 3),)
    assert merged([(0, 1), (2, 3)]) == ((0, 1), (2, 3))
    assert merged([(0, 9), (1, 2), (4, 5)]) == ((0, 9),)


@pytest.mark.parametrize(("limit", "of_use"), [(6, True), (5, False)])
def test_an_extension_as_long_as_the_limit_is_of_use(limit: int, of_use: bool) -> None:
    """Exactly what the rule allows is allowed, and a longer one is told as a part that nothing takes."""
    result = checked(tidy(), change("EXT-2", max=limit * NM_PER_INCH))
    told = [finding.what for finding in result.findings if finding.rule == "USE-1" and finding.part == "T/ext-6"]
    assert bool(told) is not of_use


@pytest.mark.parametrize(("pieces", "struts"), [(1, False), (2, True), (3, True)])
def test_one_piece_does_not_stand_at_both_ends(pieces: int, struts: bool) -> None:
    """A fitting that serves both ends makes a strut of its own only where there are two."""
    both = {"flat": {"kind": "fitting", "adds": 1, "serves": ["base", "head"], "mass": 2}}
    counts: dict[str, int | None] = {"base": 0, "head": 0, "flat": pieces}
    result = checked(tidy(parts=both, counts=counts))
    assert bool(result.reach.count) is struts
    assert bool(result.reach.union) is struts
