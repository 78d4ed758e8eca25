"""Limits met exactly, spans that touch, one piece for both ends: the edges that a sign turned would miss."""

from __future__ import annotations

import pytest
from builders import change, checked, tidy

from cache_check.errors import NoPlanError
from cache_check.joining import groups, shapes
from cache_check.joining.seats import settable
from cache_check.model.assembly import merged
from cache_check.model.part import Body, End, Extension, Holes
from cache_check.units import NM_PER_INCH

END = End(connector="T")


def test_spans_that_touch_are_one() -> None:
    """A length at which one span ends and another begins is no gap, and the nanometre beside it is one."""
    assert merged([(2, 3), (0, 2)]) == ((0, 3),)
    assert merged([(0, 1), (2, 3)]) == ((0, 1), (2, 3))
    assert merged([(0, 9), (1, 2), (4, 5)]) == ((0, 9),)


@pytest.mark.parametrize(("limit", "of_no_use"), [(6, {"T/ext-12"}), (5, {"T/ext-6", "T/ext-12"})])
def test_an_extension_as_long_as_the_limit_is_of_use(limit: int, of_no_use: set[str]) -> None:
    """Exactly what the rule allows is allowed, and a longer one is told as a part that nothing takes."""
    result = checked(tidy(), change("EXT-2", max=limit * NM_PER_INCH))
    assert {finding.part for finding in result.findings if finding.rule == "USE-1"} == of_no_use


@pytest.mark.parametrize(("pieces", "struts"), [(1, False), (2, True), (3, True)])
def test_one_piece_does_not_stand_at_both_ends(pieces: int, struts: bool) -> None:
    """A fitting that serves both ends makes a strut of its own only where there are two."""
    both = {"flat": {"kind": "fitting", "adds": 1, "serves": ["base", "head"], "mass": 2}}
    counts: dict[str, int | None] = {"base": 0, "head": 0, "flat": pieces}
    result = checked(tidy(parts=both, counts=counts))
    assert bool(result.reach.count) is struts
    assert bool(result.reach.union) is struts


@pytest.mark.parametrize(("opened", "holes"), [(20, (10, 15, 20)), (19, (10, 15)), (21, (10, 15, 20))])
def test_the_last_hole_lies_within_the_open_length(opened: int, holes: tuple[int, ...]) -> None:
    """A hole at the open length itself is one, and one that would lie a nanometre past it is none."""
    holed = Holes(pitch=5)
    body = Body(id="T/holed", family="T", lower=END, upper=END, closed=10, open=opened, lock="holes", holes=holed)
    assert settable(body) == tuple((hole, hole) for hole in holes)


def test_as_many_stacks_as_may_be_listed_are(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three of three part types make ten stacks, of which the stock holds five: listed where ten may be."""
    parts = tuple(Extension(id=f"T/{n}", family="T", lower=END, upper=END, length=n) for n in (1, 2, 3))
    group = groups.Group(parts, (2, 1, 2))
    monkeypatch.setattr(groups, "MOST_STACKS", 10)
    listed = ["".join(part.name for part in pieces) for pieces in groups.multisets(group, 3)]
    assert listed == ["332", "331", "321", "311", "211"]

    monkeypatch.setattr(groups, "MOST_STACKS", 9)
    with pytest.raises(NoPlanError, match="3 part types that join alike, 3 of them in one strut, make more"):
        groups.multisets(group, 3)


def test_groups_without_end_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where pieces could be stacked in more ways than are followed, it is said of how many groups they are."""
    monkeypatch.setattr(shapes, "_MOST_RUNS", 2)
    with pytest.raises(NoPlanError, match="limit reached: 1 groups of extensions and adapters make more"):
        checked(tidy())
