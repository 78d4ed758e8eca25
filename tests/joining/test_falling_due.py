"""When usable pieces stop counting."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from builders import tidy

from cache_check.checks.costs import falls
from cache_check.files.rules import read_rules

ON = date(2026, 11, 25)


def due(name: str = "body", **item: Any) -> list[tuple[str, str]]:
    """The days of one piece."""
    cache = tidy(items={name: [{"serial": "S-1", **item}]})
    dues = (one for one in falls(cache, read_rules(), ON) if one.serial)
    return [((one.on - timedelta(1)).isoformat(), one.why.text) for one in dues]


def test_inspection_falls_due_so_many_days_after_the_last() -> None:
    """Inspected on 2026-02-02 and every 366 days: 2027-02-03 is the last day."""
    assert due(inspected="2026-02-02") == [("2027-02-03", "inspection overdue")]


def test_the_sooner_day_counts() -> None:
    """A last day before the next inspection ends it; so does a strap's age, 3,652 days from 2016-12-01."""
    assert due(inspected="2026-11-01", expires="2026-12-31") == [("2026-12-31", "expired")]
    assert due("strap", inspected="2026-11-01", acquired="2016-12-01", label="legible") == [("2026-12-01", "over age")]


def test_piece_without_a_day_or_out_of_use_has_none() -> None:
    """A blank date gives no day; an overdue piece, or one at repair, is a finding and not a day to come."""
    assert due(inspected=None) == []
    assert due(inspected="2024-01-01") == []
    assert due(inspected="2026-02-02", status="repair") == []


def test_pieces_without_serials_fall_due_together() -> None:
    """What their line, or the book, says once is their day too."""
    dues = {(one.part, one.serial): one for one in falls(tidy(), read_rules(), ON)}

    assert (dues["T/pin", ""].number, dues["T/pin", ""].on.isoformat()) == (8, "2027-01-12")
