"""Default working load limits, through ``load``, and the aggregate rule against published tables."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from builders import loaded, tidy
from hypothesis import settings

from cache_check.files import rules as table_of_files
from cache_check.units import NEWTON_PER_LBF

DATA = Path(__file__).parent / "data"
RULES = Path(__file__).parents[2] / "rules" / "default_wll.yaml"


def _rows(name: str) -> list[dict[str, str]]:
    with (DATA / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _rule(name: str) -> str:
    return next(row["value"] for row in _rows("tiedown_rules") if row["rule"] == name)


DEFAULTS = _rows("tiedown_chain_wll") + [row | {"size_in": row["width_in"]} for row in _rows("tiedown_webbing_wll")]


def _kind(row: dict[str, str]) -> str:
    return f"grade {row['grade']}" if "grade" in row else "webbing"


def _unmarked(row: dict[str, str]) -> dict[str, Any]:
    grade = {"kind": "chain", "grade": int(row["grade"])} if "grade" in row else {"kind": "strap"}
    return {**grade, "size": f"{row['size_in']} in"}


def held(**ties: dict[str, Any]) -> dict[str, Fraction | None]:
    """What ``load`` rates each kind of strap or chain at, lbf; None is not known."""
    result = loaded(tidy(parts=ties, counts=dict.fromkeys(ties, 2)), contact_height=40, angle=60, vertical=100)
    found = {way.part.removeprefix("T/"): way.rated for way in result.ties}
    return {name: None if (rated := found[name]) is None else rated / NEWTON_PER_LBF for name in ties}


def wrong() -> list[str]:
    """The published limits that ``load`` does not give to unmarked ties of just that size and grade."""
    disputed = {(row["component"], row["size_in"]): row for row in _rows("tiedown_wll_disagreements")}
    found = held(**{f"tie {n}": _unmarked(row) for n, row in enumerate(DEFAULTS)})
    told = []
    for row, rated in zip(DEFAULTS, found.values(), strict=True):
        other = disputed.get((f"chain {_kind(row)}" if "grade" in row else "synthetic webbing", row["size_in"]))
        sources = [other["wll_lb_source_a"], other["wll_lb_source_b"]] if other else [row["wll_lb"]]
        if rated != min(map(int, sources)):
            told.append(f"{_kind(row)} {row['size_in']}: {rated}, published {', '.join(sources)}")
    chain = held(plain={"kind": "chain", "size": "3/8 in"})["plain"]
    weakest = held(weakest={"kind": "chain", "size": "3/8 in", "grade": int(_rule(UNMARKED))})["weakest"]
    return told + ([f"unmarked 3/8 chain: {chain}, grade 30 is {weakest}"] if chain != weakest else [])


UNMARKED = "unmarked welded chain is rated as grade"


def test_unmarked_ties_are_rated_as_published() -> None:
    """CFR393.108-JJK and -TEXT, NYMETALCOIL (read): each size through ``load``, the lower where two differ."""
    assert wrong() == []


def test_a_mark_wins_and_a_size_that_is_not_listed_is_unknown() -> None:
    """CFR393.108-TEXT (read): the marked limit governs even where the table differs; between two sizes nothing is."""
    assert _rule("marked WLL governs over the table even where different") == "use"
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


@pytest.mark.parametrize(("wll", "count"), [(3000, 5), (4000, 4), (1750, 9)])
def test_aggregate_rule(wll: int, count: int) -> None:
    """FR94-16069 and RSI-2008 (read): 30,000 lb needs 15,000 lb of limits, met exactly by five of 3,000 lb."""
    fraction = Fraction(_rule("aggregate WLL at least this fraction of article weight"))
    needed = fraction * int(_rule("worked: cargo weight"))

    assert needed == int(_rule("worked: required aggregate WLL"))
    # At 45 deg the trade takes one and a half times the vertical; straps on the strut's line share what is pushed out.
    straps = tidy(parts={"strap": {"wll": wll}}, counts={"strap": 20})
    result = loaded(straps, contact_height=35, angle=45, vertical=float(needed * 2 / 3), half_angles=0)
    (beside,) = (one for one in result.comparisons if one.ties_by_practice is not None)
    assert beside.ties_by_practice == count


def rated_of_failing(load: int, factor: int) -> Fraction:
    """What ``load`` rates a strut for (lbf) whose chart states the load at which it fails, at a factor."""
    chart = {"states": "failure load", "factor": None, "rows": [{"length": 75, "loads": [load]}]}
    result = loaded(tidy(chart=chart), contact_height=40, angle=60, vertical=100, factor=factor)
    (rated,) = {one.rated for one in result.carriers if one.rated is not None}
    return Fraction(rated) / NEWTON_PER_LBF


FACTORS = [row for row in _rows("design_factors") if row["basis"].startswith("breaking")]


@pytest.mark.parametrize(
    "row",
    FACTORS,
    ids=[f"{row['source']} {row['component']} {row['status']}".replace("memory", "from memory") for row in FACTORS],
)
def test_design_factor(row: dict[str, str]) -> None:
    """A strut that fails at 30,000 lbf is rated for that over the published factor, exactly."""
    factor = int(row["design_factor"])

    assert rated_of_failing(30_000, factor) * factor == 30_000


def test_unmarked_wire_rope_says_the_same_twice() -> None:
    """CFR393.108-TEXT (read): a quarter of the nominal strength is the rated load at a factor of 4."""
    factor = next(
        int(row["design_factor"]) for row in _rows("design_factors") if row["component"] == "unmarked wire rope tiedown"
    )
    quarter = Fraction(_rule("unmarked wire rope WLL as fraction of nominal strength"))

    assert rated_of_failing(30_000, factor) == quarter * 30_000
