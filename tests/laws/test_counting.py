"""Whatever an inspector writes, the cache as counted never holds more than was booked and found fit."""

from __future__ import annotations

from typing import Any

from audit_builders import audited_cache
from hypothesis import given
from hypothesis import strategies as st

from cache_check.checks.counted import AWAY, Work
from cache_check.model.cache import Cache, Stock
from cache_check.model.count import CountLine, CountSheet
from cache_check.model.piece import Judged, Reason, Why
from laws.strategies import SETTINGS

STATES = st.sampled_from(["in service", "repair", "training", "quarantined", "unknown"])
SERIALS = ("S-1", "S-2", "S-3")

CUT = Judged((Reason(Why.DAMAGED, "WEB-2", "condition: cut"),))


@st.composite
def books(draw: st.DrawFn) -> Cache:
    """The small cache with straps drawn: some with serials, some out in each way, the rest in the lot."""
    serials = draw(st.lists(st.sampled_from(SERIALS), unique=True))
    items: list[dict[str, Any]] = [{"serial": one, "status": draw(STATES | st.just("missing"))} for one in serials]
    states = st.sampled_from(["repair", "missing", "training", "retired"])
    out = draw(st.dictionaries(states, st.integers(0, 2), max_size=2))
    count = len(items) + sum(out.values()) + draw(st.integers(0, 4))
    return audited_cache(counts={"strap": count}, items={"strap": items}, out={"strap": out})


@st.composite
def lines(draw: st.DrawFn) -> CountLine:
    """A line of straps: a lot in some place, or a serial, on the book or not."""
    serial = draw(st.sampled_from(["", "", *SERIALS, "X-9"]))
    found = draw(st.none() | st.integers(0, 1 if serial else 6))
    usable = draw(st.none() | st.integers(0, found)) if found is not None else None
    told: dict[str, Any] = draw(
        st.fixed_dictionaries(
            {},
            optional={
                "label": st.sampled_from(["legible", "unreadable", "unknown"]), "state": STATES,
                "condition": st.sampled_from(["good", "cut"]), "rig": st.sampled_from(["tidy", "rescue-9"]),
            },
        )
    )  # fmt: skip
    place = draw(st.sampled_from(["", "drawer 1", "the cab"]))
    return CountLine(part="T/strap", serial=serial, where=place, found=found, usable=usable, **told)


COUNTS = st.lists(lines(), max_size=5, unique_by=lambda line: (line.serial, line.where if not line.serial else ""))


def straps(cache: Cache) -> Stock:
    """The line of straps."""
    return next(line for line in cache.stock if line.part == "T/strap")


def in_service(line: Stock) -> int:
    """Pieces that no state takes out."""
    pieces = (line.count or 0) - len(line.items) - sum(line.out.values())
    return pieces + sum(item.status == "in service" for item in line.items)


def fit(count: CountSheet) -> int:
    """The most pieces that a count can have found fit, its own rig's."""
    own = [line for line in count.lines if line.rig in ("", "tidy")]
    seen = [line for line in own if line.state in (None, "in service")]
    return sum((line.found or 0) if line.usable is None else line.usable for line in seen)


@given(books(), COUNTS, st.booleans())
@SETTINGS
def test_counting_never_flatters(book: Cache, drawn: list[CountLine], blank_as_book: bool) -> None:
    """As counted there are no more pieces than booked, no more in service, and no more than were found fit."""
    count = CountSheet(rig="tidy", lines=tuple(drawn))
    counted = Work(book, count, lambda item: CUT if item.condition == "cut" else Judged(), blank_as_book).counted()
    before, after = straps(book), straps(counted.cache)
    Stock.model_validate(after.model_dump())

    assert (after.count or 0) == (before.count or 0)
    written = {line.serial for line in drawn if line.state == "in service"} | (
        {""} if any(line.state == "in service" for line in drawn) else set()
    )
    if not written:
        assert in_service(after) <= in_service(before)
    if not blank_as_book:
        assert in_service(after) <= fit(count)


@given(books())
@SETTINGS
def test_a_blank_sheet_counts_nothing_or_all(book: Cache) -> None:
    """Nobody looked: nothing is in service; taken as booked, everything is as the book has it."""
    blank = CountSheet(rig="tidy")
    strict, booked = (Work(book, blank, lambda item: Judged(), as_book).counted() for as_book in (False, True))

    assert in_service(straps(strict.cache)) == 0
    assert in_service(straps(booked.cache)) == in_service(straps(book))
    assert straps(booked.cache).items == straps(book).items
    assert not strict.differences


@given(books())
@SETTINGS
def test_finding_all_as_booked_changes_nothing(book: Cache) -> None:
    """A count that finds every piece where and as the book has it leaves the cache as it is."""
    line = straps(book)
    lot = (line.count or 0) - len(line.items) - sum(n for state, n in line.out.items() if state in AWAY)
    known = sum(n for state, n in line.out.items() if state not in AWAY)
    seen = [CountLine(part=line.part, where=line.where, found=lot, usable=lot - known)]
    seen += [
        CountLine(
            part=line.part,
            serial=item.serial,
            found=int(item.status not in AWAY),
            label="legible",
            usable=1 if item.status == "in service" else None,
        )
        for item in line.items
    ]
    counted = Work(book, CountSheet(rig="tidy", lines=tuple(seen)), lambda item: Judged()).counted()
    after = straps(counted.cache)

    assert not counted.differences
    assert in_service(after) == in_service(line)
    assert {state: n for state, n in after.out.items() if n} == {state: n for state, n in line.out.items() if n}


def test_more_in_a_state_than_the_book_knows() -> None:
    """The book knows one strap for training and two are found so marked: two are out, not one."""
    book = audited_cache(counts={"strap": 4}, items={"strap": []}, out={"strap": {"training": 1}})
    seen = (
        CountLine(part="T/strap", where="drawer 1", found=2, usable=2),
        CountLine(part="T/strap", where="the cab", found=2, state="training"),
    )
    counted = Work(book, CountSheet(rig="tidy", lines=seen), lambda item: Judged()).counted()

    assert straps(counted.cache).out == {"training": 2}
    assert in_service(straps(counted.cache)) == 2
