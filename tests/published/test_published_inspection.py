"""Inspection intervals, removal criteria and wear limits against what was published (status: read, unless named)."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction
from functools import cache, partial
from pathlib import Path
from typing import Any

import pytest
from audit_builders import audited_cache, counted
from builders import change, checked, tidy

import cache_check as api
from cache_check.files import rules
from cache_check.files.rules import read_rules, removal
from cache_check.model.piece import Idle, Why
from cache_check.units import NM_PER_INCH
from published.tables import Row, rows, title

RULES = Path(__file__).parents[2] / "rules"


def _inches(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.split()), Fraction(0))


SIZES = rows("chain_wear_limits")
CRITERIA = rows("removal_criteria")
INTERVALS = rows("inspection_intervals")
MONTHS = {"each day": 0, "one month": 1, "quarter": 3, "six months": 6, "12 months": 12, "once a year": 12}
KINDS = {
    "synthetic web sling": "strap", "nylon or polyester web sling": "strap", "polypropylene web sling": "strap",
    "chain sling": "chain", "hook": "hardware", "hook or load pin": "hardware", "shackle or ring": "hardware",
}  # fmt: skip
WORDS = {
    "acid or caustic burns": "caustic spots", "melting or charring of surface": "charred",
    "snags punctures tears cuts": "punctured", "broken or worn stitches": "stitches broken",
    "distortion of fittings": "fitting distorted", "missing or illegible identification": "tag illegible",
    "use temperature above": "heat", "exposure temperature above": "heat",
    "throat opening increase over": "throat opened", "throat opening increase not over": "throat opened",
    "wear over": "worn", "twist over": "twisted", "deformation over": "deformed", "length increase over": "stretched",
}  # fmt: skip
"""What an inspector would write for each published criterion."""


def named(row: Row) -> str:
    """The serial of a piece in the condition of a published criterion."""
    return f"{row['item']}: {row['criterion']} {row['limit']}"


def pieces() -> tuple[dict[str, dict[str, Any]], dict[str, list[dict[str, Any]]]]:
    """Parts, and of each the pieces: chain worn to each published limit and just under, things in each condition."""
    parts: dict[str, dict[str, Any]] = {"hook": {"kind": "hardware", "wll": 5000}}
    items: dict[str, list[dict[str, Any]]] = {"strap": [], "chain 0": [], "hook": []}
    for n, row in enumerate(SIZES, 1):
        least = _inches(row["min_size_at_any_point_in"]) * NM_PER_INCH
        parts[f"chain {n}"] = {"kind": "chain", "size": f"{row['chain_size_in']} in", "grade": 80, "needs": "none"}
        items[f"chain {n}"] = [
            {"serial": f"{row['chain_size_in']} {what}", "measured": int(size)}
            for what, size in (("least", least), ("under", least - 1))
        ]
    parts["chain 0"] = parts["chain 1"]
    held = {"strap": "strap", "chain": "chain 0", "hardware": "hook"}
    for row in CRITERIA:
        items[held[KINDS[row["item"]]]].append({"serial": named(row), "condition": WORDS[row["criterion"]]})
    for kind, name in held.items():
        items[name].append({"serial": f"good {kind}", "condition": "good"})
    return parts, items


@cache
def idle() -> dict[str, Idle]:
    """What ``check`` says of the pieces that it does not count, by serial."""
    parts, items = pieces()
    found = checked(tidy(parts=parts, counts={name: len(own) for name, own in items.items()}, items=items)).parts
    return {one.serial: one for part in found for one in part.idle}


def test_an_audit_takes_out_the_same_pieces_for_the_same_reasons() -> None:
    """The book says nothing of them; who counts them measures and writes, and the audit names piece and source."""
    parts, items = pieces()
    bare = {name: [{"serial": one["serial"]} for one in own] for name, own in items.items()}
    cache = tidy(parts=parts, counts={name: len(own) for name, own in items.items()}, items=bare)
    lines = {one["serial"]: one for own in items.values() for one in own}
    found = [one.finding for one in api.audit(cache, read_rules(), counted(cache, lines)).findings]

    for serial, one in idle().items():
        about = [finding for finding in found if serial in finding.what and finding.rule == one.rule]
        assert any((one.reasons[0].source or "MICH") in finding.source for finding in about), serial


@pytest.mark.parametrize("row", SIZES, ids=lambda row: row["chain_size_in"])
def test_least_link_is_as_published(row: Row) -> None:
    """MICH-R408.14923: a link of just the least size counts, a nanometre less does not, for every size of chain."""
    assert f"{row['chain_size_in']} least" not in idle()
    assert idle()[f"{row['chain_size_in']} under"].why is Why.WORN


@pytest.mark.parametrize(
    "row", [row for row in SIZES if row["max_wear_64ths_in"]], ids=lambda row: row["chain_size_in"]
)
def test_most_wear_says_the_same(row: Row) -> None:
    """DOE1090-15.4.6 gives the most wear: size less least size is the same in every size that both have."""
    wear = Fraction(int(row["max_wear_64ths_in"]), 64)

    assert _inches(row["chain_size_in"]) - wear == _inches(row["min_size_at_any_point_in"])


def test_no_size_is_made_up() -> None:
    """The table holds the published sizes and no other."""
    assert len(removal().chain.sizes) == len(SIZES)


@pytest.mark.parametrize("row", CRITERIA, ids=lambda row: f"{row['item']}: {row['criterion']} {row['limit']}")
def test_condition_takes_a_piece_out(row: Row) -> None:
    """What is in a published condition does not count, with limit and source; the same in good condition does."""
    found = idle()[named(row)]
    (reason,) = (one for one in found.reasons if one.why is Why.DAMAGED)

    assert f"({row['limit']}" in reason.says
    assert row["source"] in reason.source
    assert f"good {KINDS[row['item']]}" not in idle()


def test_damaged_ties_are_not_used() -> None:
    """CFR393.104 (read): a tie in these words does not count; one that is only weakened is looked at."""
    (rule,) = (row for row in rows("tiedown_rules") if row["source"] == "CFR393.104")
    assert rule["value"] == "prohibited"
    items = [{"serial": word, "condition": word} for word in ("damaged", "weakened", "good")]

    (strap,) = (
        one for one in checked(tidy(counts={"strap": 3}, items={"strap": items})).parts if one.part == "T/strap"
    )
    assert strap.usable == 1
    assert {one.serial: one.why for one in strap.idle} == {"damaged": Why.DAMAGED, "weakened": Why.CONDITION_UNKNOWN}


def test_nothing_but_published_criteria() -> None:
    """Every criterion of the table is one of the published rows."""
    published = {(row["limit"], row["source"]) for row in CRITERIA}

    assert {(one.limit.split()[0], one.source) for one in removal().criteria} <= published


def wrong() -> list[str]:
    """What of the published criteria and sizes does not hold with the table as it is."""
    idle.cache_clear()
    asked: list[tuple[str, Callable[[], None]]] = [
        *((f"{row['chain_size_in']} in", partial(test_least_link_is_as_published, row)) for row in SIZES),
        *((named(row), partial(test_condition_takes_a_piece_out, row)) for row in CRITERIA),
        ("nothing but what is published", test_nothing_but_published_criteria),
    ]
    found = []
    for name, ask in asked:
        try:
            ask()
        except (AssertionError, KeyError, ValueError):
            found.append(name)
    return found


def _values() -> list[tuple[str, str]]:
    """Each value of the table of removal: the line that holds it, and that line with another value."""
    lines = (RULES / "removal.yaml").read_text(encoding="utf-8").splitlines()
    thicker = [
        (line, line.replace(", least: ", ", least: 2 ").replace("2 1 ", "2 ").replace("2 1 in", "2 in"))
        for line in lines
    ]
    limits = [(line, re.sub(r"limit: [^,]+,", "limit: 90 percent,", line)) for line in lines]
    words = [(line, re.sub(r"words: \[[^]]+\]", "words: [unheard]", line)) for line in lines]
    return [(line, other) for line, other in (*thicker, *limits, *words) if other != line]


def test_any_change_of_the_table_of_removal_is_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another least size of a link, another limit or other words of a criterion fail what is published."""
    assert wrong() == []
    text = (RULES / "removal.yaml").read_text(encoding="utf-8")
    monkeypatch.setattr(rules, "rules_folder", lambda: tmp_path)
    for path in RULES.glob("*.yaml"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    try:
        for line, changed in _values():
            assert text.count(line) == 1
            (tmp_path / "removal.yaml").write_text(text.replace(line, changed), encoding="utf-8")
            removal.cache_clear()
            assert wrong(), f"nothing notices {changed}"
    finally:
        removal.cache_clear()
        idle.cache_clear()


def _usable_on(days: int, every: int) -> bool:
    """Whether a strap inspected so many days ago is usable, at an interval."""
    on = date(2028, 3, 1)
    strap = {"serial": "S-9", "acquired": "2026-05-01", "inspected": (on - timedelta(days=days)).isoformat()}
    cache = audited_cache(counts={"strap": 1}, items={"strap": [strap]})
    result = checked(cache, change("INS-1", every=every), on=on)
    return next(p.usable for p in result.parts if p.part == "T/strap") == 1


@pytest.mark.parametrize("row", INTERVALS, ids=[title(row, "item") for row in INTERVALS])
def test_interval_met_exactly_is_met(row: Row) -> None:
    """So long the interval in words is at most; on its last day a piece counts, the day after it does not."""
    every = int(row["max_interval_days"])
    (months,) = (number for words, number in MONTHS.items() if words in row["note"])
    starts = [date(2027, 1, 1) + timedelta(days=n) for n in range(4 * 365)]

    assert every == max((_later(one, months) - one).days for one in starts)
    assert _usable_on(every, every)
    assert not _usable_on(every + 1, every)


def _later(day: date, months: int) -> date:
    """The same day of a later month, or its last; the next day for no months."""
    if not months:
        return day + timedelta(days=1)
    years, month = divmod(day.month - 1 + months, 12)
    return day.replace(
        year=day.year + years, month=month + 1, day=min(day.day, monthrange(day.year + years, month + 1)[1])
    )


def test_ruled_interval_is_no_longer_than_published() -> None:
    """Twelve months at most (WAC296-24-29423, MICH-R408.14923, WAC296-155-55800 and -55820): INS-1 is not laxer."""
    yearly = [
        int(row["max_interval_days"]) for row in INTERVALS if row["status"] == "read" and "12 months" in row["note"]
    ]

    assert yearly
    assert read_rules().value("INS-1", "every") <= min(yearly)
