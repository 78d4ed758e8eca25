"""Inspection intervals, removal criteria and wear limits against what was published (status: read, unless named)."""

from __future__ import annotations

import csv
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from audit_builders import audited_cache
from builders import change, checked

from cache_check.files.rules import read_rules
from cache_check.files.shipped import removal
from cache_check.units import NM_PER_INCH

DATA = Path(__file__).parent / "data"


def _rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _inches(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.split()), Fraction(0))


SIZES = _rows("chain_wear_limits.csv")
CRITERIA = _rows("removal_criteria.csv")
INTERVALS = _rows("inspection_intervals.csv")
PERIODIC = [row for row in INTERVALS if row["inspection"] in ("thorough", "periodic")]
KINDS = {
    "synthetic web sling": "strap", "nylon or polyester web sling": "strap", "polypropylene web sling": "strap",
    "chain sling": "chain", "hook": "hardware", "hook or load pin": "hardware", "shackle or ring": "hardware",
}  # fmt: skip
WORDS = {
    "acid or caustic burns": "caustic burn", "melting or charring of surface": "charred",
    "snags punctures tears cuts": "punctured", "broken or worn stitches": "stitches broken",
    "distortion of fittings": "fitting distorted", "missing or illegible identification": "tag illegible",
    "use temperature above": "heat", "exposure temperature above": "heat",
    "throat opening increase over": "throat opened", "throat opening increase not over": "throat opened",
    "wear over": "worn", "twist over": "twisted", "deformation over": "deformed", "length increase over": "stretched",
}  # fmt: skip
"""What an inspector would write for each published criterion."""


@pytest.mark.parametrize("row", SIZES, ids=lambda row: row["chain_size_in"])
def test_least_link_is_as_published(row: dict[str, str]) -> None:
    """MICH-R408.14923: the least size at any point of a link, for every size of chain."""
    size, least = _inches(row["chain_size_in"]), _inches(row["min_size_at_any_point_in"])

    assert removal().least_link[int(size * NM_PER_INCH)] == int(least * NM_PER_INCH)


@pytest.mark.parametrize(
    "row", [row for row in SIZES if row["max_wear_64ths_in"]], ids=lambda row: row["chain_size_in"]
)
def test_most_wear_says_the_same(row: dict[str, str]) -> None:
    """DOE1090-15.4.6 gives the most wear: size less least size is the same in every size that both have."""
    size, wear = _inches(row["chain_size_in"]), Fraction(int(row["max_wear_64ths_in"]), 64)

    assert removal().least_link[int(size * NM_PER_INCH)] == int((size - wear) * NM_PER_INCH)


def test_no_size_is_made_up() -> None:
    """The table holds the published sizes and no other."""
    assert len(removal().least_link) == len(SIZES)


@pytest.mark.parametrize("row", CRITERIA, ids=lambda row: f"{row['item']}: {row['criterion']} {row['limit']}")
def test_criterion_is_named_with_its_source(row: dict[str, str]) -> None:
    """Each published criterion is met by the word an inspector would write, with its limit and source."""
    found = removal().named(KINDS[row["item"]], WORDS[row["criterion"]])

    limits = {(one.limit.split()[0], one.source) for one in found}
    assert (row["limit"], row["source"]) in limits


def test_nothing_but_published_criteria() -> None:
    """Every criterion of the table is one of the published rows."""
    published = {(row["limit"], row["source"]) for row in CRITERIA}

    assert {(one.limit.split()[0], one.source) for one in removal().criteria} <= published


@pytest.mark.parametrize(
    "row", [row for row in CRITERIA if KINDS[row["item"]] == "strap"], ids=lambda r: r["criterion"]
)
def test_condition_takes_a_strap_out(row: dict[str, str]) -> None:
    """A strap in a published condition is not usable; one in good condition is."""
    strap = {"serial": "S-9", "acquired": "2024-05-01", "inspected": "2026-01-10", "label": "legible"}
    bad = audited_cache(counts={"strap": 1}, items={"strap": [strap | {"condition": WORDS[row["criterion"]]}]})
    good = audited_cache(counts={"strap": 1}, items={"strap": [strap | {"condition": "good"}]})
    usable = [next(p.usable for p in checked(cache).parts if p.part == "T/strap") for cache in (bad, good)]

    assert usable == [0, 1]


def _usable_on(days: int, every: int) -> bool:
    """Whether a strap inspected so many days ago is usable, at an interval."""
    on = date(2028, 3, 1)
    strap = {"serial": "S-9", "acquired": "2026-05-01", "inspected": (on - timedelta(days=days)).isoformat()}
    cache = audited_cache(counts={"strap": 1}, items={"strap": [strap]})
    result = checked(cache, change("INS-1", every=every), on=on)
    return next(p.usable for p in result.parts if p.part == "T/strap") == 1


@pytest.mark.parametrize(
    "row",
    [row for row in PERIODIC if row["status"] == "read"],
    ids=lambda row: f"{row['item']}, {row['source']}",
)
def test_interval_met_exactly_is_met(row: dict[str, str]) -> None:
    """At each published interval the last day still counts and the day after does not."""
    every = int(row["max_interval_days"])

    assert _usable_on(every, every)
    assert not _usable_on(every + 1, every)


def test_ruled_interval_is_no_longer_than_published() -> None:
    """Twelve months at most (WAC296-24-29423, MICH-R408.14923, WAC296-155-55800 and -55820): INS-1 is not laxer."""
    yearly = [
        int(row["max_interval_days"]) for row in PERIODIC if row["status"] == "read" and "12 months" in row["note"]
    ]

    assert yearly
    assert read_rules().value("INS-1", "every") <= min(yearly)


def test_federal_and_uk_intervals_from_memory() -> None:
    """CFR1910.184 and LOLER, from memory: a policy may set 12 or 6 months, and the day after is overdue."""
    for row in (row for row in PERIODIC if row["status"] == "memory"):
        every = int(row["max_interval_days"])
        assert _usable_on(every, every), row["source"]
        assert not _usable_on(every + 1, every), row["source"]
