"""Default working load limits, through ``load``, and the aggregate rule against published tables."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from builders import change, loaded, tidy
from hypothesis import settings

from cache_check.files import rules as table_of_files
from cache_check.units import NEWTON_PER_LBF
from published.tables import Row, rows, title
from published.test_published_charts import failing_at

RULES = Path(__file__).parents[2] / "rules" / "default_wll.yaml"


RULED = {row["rule"]: row["value"] for row in rows("tiedown_rules")}


DEFAULTS = rows("tiedown_chain_wll") + [row | {"size_in": row["width_in"]} for row in rows("tiedown_webbing_wll")]


def _kind(row: Row) -> str:
    return f"grade {row['grade']}" if "grade" in row else "webbing"


def _unmarked(row: Row) -> dict[str, Any]:
    grade = {"kind": "chain", "grade": int(row["grade"])} if "grade" in row else {"kind": "strap"}
    return {**grade, "size": f"{row['size_in']} in"}


def held(**ties: dict[str, Any]) -> dict[str, Fraction | None]:
    """What ``load`` rates each kind of strap or chain at, lbf; None is not known."""
    result = loaded(tidy(parts=ties, counts=dict.fromkeys(ties, 2)), contact_height=40, angle=60, vertical=100)
    found = {way.part.removeprefix("T/"): way.rated for way in result.ties}
    return {name: None if (rated := found[name]) is None else rated / NEWTON_PER_LBF for name in ties}


def wrong() -> list[str]:
    """The published limits that ``load`` does not give to unmarked ties of just that size and grade."""
    disputed = {(row["component"], row["size_in"]): row for row in rows("tiedown_wll_disagreements")}
    found = held(**{f"tie {n}": _unmarked(row) for n, row in enumerate(DEFAULTS)})
    told = []
    for row, rated in zip(DEFAULTS, found.values(), strict=True):
        other = disputed.get((f"chain {_kind(row)}" if "grade" in row else "synthetic webbing", row["size_in"]))
        sources = [other["wll_lb_source_a"], other["wll_lb_source_b"]] if other else [row["wll_lb"]]
        if rated != min(map(int, sources)):
            told.append(f"{_kind(row)} {row['size_in']}: {rated}, published {', '.join(sources)}")
    chain = held(plain={"kind": "chain", "size": "3/8 in"})["plain"]
    weakest = held(weakest={"kind": "chain", "size": "3/8 in", "grade": int(RULED[UNMARKED])})["weakest"]
    return told + ([f"unmarked 3/8 chain: {chain}, grade 30 is {weakest}"] if chain != weakest else [])


CHAIN: dict[str, dict[str, Any]] = {
    "chain": {"kind": "chain", "wll": 5000, "length": "20 ft", "needs": {"T/binder": 1}},
    "binder": {"kind": "hardware", "wll": 5000},
}
POINTS = [{"wll": 1000}, {"wll": 1000}]
UNMARKED = "unmarked welded chain is rated as grade"


def test_unmarked_ties_are_rated_as_published() -> None:
    """CFR393.108-JJK and -TEXT, NYMETALCOIL (read): each size through ``load``, the lower where two differ."""
    assert wrong() == []


def test_a_mark_wins_and_a_size_that_is_not_listed_is_unknown() -> None:
    """CFR393.108-TEXT (read): the marked limit governs even where the table differs; between two sizes nothing is."""
    assert RULED["marked WLL governs over the table even where different"] == "use"
    found = held(
        low={"kind": "chain", "size": "3/8 in", "grade": 80, "wll": 5000},
        high={"kind": "strap", "size": "2 in", "wll": 3333},
        between={"kind": "chain", "size": "9/32 in", "grade": 80},
        bare={"kind": "strap"},
    )

    assert found == {"low": 5000, "high": 3333, "between": None, "bare": None}


def _values() -> list[tuple[str, str]]:
    """Each figure of the default table: the line that holds it, and that line with the figure a pound higher."""
    lines = RULES.read_text(encoding="utf-8").splitlines()
    raised = [
        (line, re.sub(r"(?<= wll_lbf: )\d+", lambda found: str(int(found[0]) + 1), line))
        for line in lines
        if "wll_lbf" in line
    ]
    return [*raised, ("  unmarked_chain_grade: 30", "  unmarked_chain_grade: 43")]


@pytest.fixture
def other_table(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A default table that may be changed, in place of the program's own."""
    table = tmp_path / "default_wll.yaml"
    monkeypatch.setattr(table_of_files, "rules_folder", lambda: tmp_path)
    for path in RULES.parent.glob("*.yaml"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    yield table
    table_of_files.default_wll.cache_clear()


def test_any_change_of_the_default_table_is_seen(other_table: Path) -> None:
    """A figure raised by a pound, or another grade for unmarked chain, fails published values; a ninth is tried."""
    text = RULES.read_text(encoding="utf-8")
    thorough = settings().max_examples > 100
    for line, changed in _values()[:: -1 if thorough else -9]:
        assert text.count(line) == 1
        other_table.write_text(text.replace(line, changed), encoding="utf-8")
        table_of_files.default_wll.cache_clear()
        assert wrong(), f"nothing notices {changed}"


@pytest.mark.parametrize("weakest", [{"chain": {"wll": 1000}}, {"binder": {"wll": 1000}}, {"base": {"points": POINTS}}])
def test_a_tie_is_as_strong_as_its_weakest_part(weakest: dict[str, dict[str, Any]]) -> None:
    """CFR393.108-TEXT (read): chain, tensioner and anchor point each limit what a tie takes, met exactly."""
    assert RULED["assembly WLL is the lowest of its components incl. tensioner and of its anchor points"] == "min"
    parts = {name: CHAIN.get(name, {}) | weakest.get(name, {}) for name in ("chain", "binder", "base")}
    cache = tidy(parts=parts, counts={"chain": 2, "binder": 2})

    # In a V of 60 deg to each side, at 60 deg, each of two sees half of what is along the strut.
    at: dict[str, Any] = {"contact_height": 40, "angle": 60, "half_angles": 60, "ties": "chains"}
    verdicts = [loaded(cache, change("STR-3", max=60), axial=axial, **at).verdict for axial in (2000, 2000.01)]
    assert verdicts == ["met", "not met"]


@pytest.mark.parametrize(("wll", "count"), [(3000, 5), (4000, 4), (1750, 9)])
def test_aggregate_rule(wll: int, count: int) -> None:
    """FR94-16069 and RSI-2008 (read): 30,000 lb needs 15,000 lb of limits, met exactly by five of 3,000 lb."""
    fraction = Fraction(RULED["aggregate WLL at least this fraction of article weight"])
    needed = fraction * int(RULED["worked: cargo weight"])

    assert needed == int(RULED["worked: required aggregate WLL"])
    # At 45 deg the trade takes one and a half times the vertical; straps on the strut's line share what is pushed out.
    straps = tidy(parts={"strap": {"wll": wll}}, counts={"strap": 20})
    at: dict[str, Any] = {"contact_height": 35, "angle": 45, "vertical": float(needed * 2 / 3), "half_angles": 0}
    result = loaded(straps, change("STR-3", on=False), **at)
    (beside,) = (one for one in result.comparisons if one.ties_by_practice is not None)
    assert beside.ties_by_practice == count


FACTORS = rows("design_factors")


@pytest.mark.parametrize("row", FACTORS, ids=[title(row, "component") for row in FACTORS])
def test_design_factor(row: Row) -> None:
    """A strut that fails at 30,000 lbf is rated for that over the published factor, exactly."""
    factor = int(row["design_factor"])

    assert failing_at(30_000, factor) * factor == 30_000


def test_unmarked_wire_rope_says_the_same_twice() -> None:
    """CFR393.108-TEXT (read): a quarter of the nominal strength is the rated load at a factor of 4."""
    factor = next(
        int(row["design_factor"]) for row in rows("design_factors") if row["component"] == "unmarked wire rope tiedown"
    )
    quarter = Fraction(RULED["unmarked wire rope WLL as fraction of nominal strength"])

    assert failing_at(30_000, factor) == quarter * 30_000
