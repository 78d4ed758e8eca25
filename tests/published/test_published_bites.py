"""Changes to a copy of the code that the published values and the laws must see: each a way to be wrong that hurts."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PUBLISHED, LAWS = "tests/published/test_published_", "tests/laws/test_loads_chart_laws.py::"
MARKS = f"{PUBLISHED}tiedowns.py::test_a_mark_wins_and_a_size_that_is_not_listed_is_unknown"
DEFAULTS = f"{PUBLISHED}tiedowns.py::test_unmarked_ties_are_rated_as_published"
FACTORS = f"{PUBLISHED}charts.py::test_a_rated_load_at_another_factor"
ROWS = f"{PUBLISHED}charts.py::test_telescoping_shore"
RANGES = f"{LAWS}test_a_range_takes_the_least_of_its_lengths"
CHANGES = {
    "a mark does not win": ("model/tie_rating.py", "if tie.wll is not None:", "if False:", MARKS),
    "unmarked chain is read as a higher grade": (
        "model/tie_rating.py", "tie.grade or table.unmarked_grade", "tie.grade or 43", DEFAULTS,
    ),
    "a marked load is raised unasked": (
        "loads/rating.py", "asked.k if asked.said else max(asked.k, stated)", "asked.k", FACTORS,
    ),
    "a marked load is never raised": (
        "loads/rating.py", "asked.k if asked.said else max(asked.k, stated)", "max(asked.k, stated)", FACTORS,
    ),
    "the row below is taken": ("loads/chart.py", "place if place < len(rows)", "max(place - 1, 0) if rows", ROWS),
    "a range takes its best row": ("loads/chart.py", "else min(load for load", "else max(load for load", RANGES),
}  # fmt: skip


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The package, its rules and these tests, to be changed."""
    there = tmp_path_factory.mktemp("copy")
    for name in ("cache_check", "rules", "tests"):
        shutil.copytree(ROOT / name, there / name, ignore=shutil.ignore_patterns("__pycache__", "golden"))
    shutil.copy(ROOT / "pyproject.toml", there)
    return there


def _run(there: Path, *tests: str) -> int:
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "-n", "0", *tests]
    return subprocess.run(command, cwd=there, capture_output=True, check=False, timeout=300).returncode


def test_an_unchanged_copy_passes(copy: Path) -> None:
    """Else a change would be called seen for no reason."""
    assert _run(copy, MARKS, DEFAULTS, FACTORS, ROWS, RANGES) == 0


@pytest.mark.parametrize(("file", "old", "new", "tests"), CHANGES.values(), ids=CHANGES)
def test_each_change_is_seen(copy: Path, file: str, old: str, new: str, tests: str) -> None:
    """The copy with one change in it fails."""
    path = copy / "cache_check" / file
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")
    try:
        assert _run(copy, tests) == 1
    finally:
        path.write_text(text, encoding="utf-8")
