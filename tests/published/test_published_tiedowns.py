"""Default working load limits, aggregate rule, weakest link and ground anchors against published tables."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from cache_check.loads.rating import rated_from_ultimate
from cache_check.loads.restraint import straps_needed

DATA = Path(__file__).parent / "data"
RULES = Path(__file__).parents[2] / "rules" / "default_wll.yaml"


def _rows(name: str) -> list[dict[str, str]]:
    with (DATA / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _defaults() -> dict[str, Any]:
    table: dict[str, Any] = yaml.safe_load(RULES.read_text(encoding="utf-8"))["default_wll"]
    return table


def _rule(name: str) -> str:
    return next(row["value"] for row in _rows("tiedown_rules") if row["rule"] == name)


DISPUTED = {(row["component"], row["size_in"]): row for row in _rows("tiedown_wll_disagreements")}
CHAIN = [row for row in _rows("tiedown_chain_wll") if (f"chain grade {row['grade']}", row["size_in"]) not in DISPUTED]
WEBBING = [row for row in _rows("tiedown_webbing_wll") if ("synthetic webbing", row["width_in"]) not in DISPUTED]


@pytest.mark.parametrize("row", CHAIN, ids=[f"{row['source']} {row['grade']} {row['size_in']}" for row in CHAIN])
def test_default_chain(row: dict[str, str]) -> None:
    """CFR393.108-JJK (read): each undisputed cell stands in the default table."""
    cells = {(entry["grade"], entry["size_in"]): entry["wll_lbf"] for entry in _defaults()["chain"]}

    assert cells[int(row["grade"]), row["size_in"]] == int(row["wll_lb"])


@pytest.mark.parametrize("row", WEBBING, ids=[f"{row['source']} {row['width_in']}" for row in WEBBING])
def test_default_webbing(row: dict[str, str]) -> None:
    """CFR393.108-JJK and NYMETALCOIL (read): each undisputed width stands in the default table."""
    widths = {entry["size_in"]: entry["wll_lbf"] for entry in _defaults()["webbing"]}

    assert widths[row["width_in"]] == int(row["wll_lb"])


def test_the_default_table_holds_nothing_else() -> None:
    """Every size and grade of the published tables once, no more; the disputed ones too."""
    table = _defaults()
    chain = [(entry["grade"], entry["size_in"]) for entry in table["chain"]]
    webbing = [entry["size_in"] for entry in table["webbing"]]

    assert sorted(chain) == sorted((int(row["grade"]), row["size_in"]) for row in _rows("tiedown_chain_wll"))
    assert sorted(webbing) == sorted({row["width_in"] for row in _rows("tiedown_webbing_wll")})
    assert len(CHAIN) == len(chain) - 1


def test_unmarked_chain_is_the_weakest_grade() -> None:
    """CFR393.108-TEXT (read): unmarked chain counts as grade 30, never above a marked grade of its size."""
    table = _defaults()
    grade = table["unmarked_chain_grade"]
    weakest = {entry["size_in"]: entry["wll_lbf"] for entry in table["chain"] if entry["grade"] == grade}

    assert grade == int(_rule("unmarked welded chain is rated as grade"))
    assert all(weakest[entry["size_in"]] <= entry["wll_lbf"] for entry in table["chain"])


@pytest.mark.parametrize(("wll", "count"), [(3000, 5), (4000, 4), (1750, 9)])
def test_aggregate_rule(wll: int, count: int) -> None:
    """FR94-16069 and RSI-2008 (read): 30,000 lb needs 15,000 lb of limits, met exactly by five of 3,000 lb."""
    fraction = Fraction(_rule("aggregate WLL at least this fraction of article weight"))
    needed = fraction * int(_rule("worked: cargo weight"))

    assert needed == int(_rule("worked: required aggregate WLL"))
    assert straps_needed(needed, wll).total == count


FACTORS = [row for row in _rows("design_factors") if row["basis"].startswith("breaking")]


@pytest.mark.parametrize(
    "row",
    FACTORS,
    ids=[f"{row['source']} {row['component']} {row['status']}".replace("memory", "from memory") for row in FACTORS],
)
def test_design_factor(row: dict[str, str]) -> None:
    """A breaking strength of 30,000 over the published factor is the rated load, exactly."""
    factor = int(row["design_factor"])

    assert rated_from_ultimate(30_000, factor) * factor == 30_000


def test_unmarked_wire_rope_says_the_same_twice() -> None:
    """CFR393.108-TEXT (read): a quarter of the nominal strength is the rated load at a factor of 4."""
    factor = next(
        int(row["design_factor"]) for row in _rows("design_factors") if row["component"] == "unmarked wire rope tiedown"
    )
    quarter = Fraction(_rule("unmarked wire rope WLL as fraction of nominal strength"))

    assert rated_from_ultimate(30_000, factor) == quarter * 30_000
