"""Lists, pieces and points in one cell: what is written is read back, and what people write is read as meant."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cache_check.errors import NotReadError
from cache_check.files.workbook.cells import READERS, written
from cache_check.files.workbook.grid import Grid

GRID = Grid("x", "x")
NAMES = st.text("abx0 ;,\"'=\n-", min_size=1, max_size=6).map(str.strip).filter(bool)


def back(reads: str, value: Any) -> Any:
    """A value written into a cell and read again."""
    return READERS[reads](written(reads, value), GRID)


@given(st.lists(NAMES | st.sampled_from(["nothing", "Nothing", "x x", "1 x"]), max_size=4))
def test_lists_come_back(names: list[str]) -> None:
    """A list of any names comes back, an empty one too, which is not the same as a blank."""
    assert back("list", names) == names


@given(st.dictionaries(NAMES | st.sampled_from(["x y", "2 x z", "×"]), st.integers(0, 99), max_size=3))
def test_pieces_come_back(pieces: dict[str, int]) -> None:
    """Pieces by name come back, whatever the names."""
    assert (back("pieces", pieces) if pieces else {}) == pieces


@pytest.mark.parametrize("value", [0, 3, [{"wll": 3000}], [{"wll": "5 kN"}, {}], [{}, {}, {"wll": "2.5"}]])
def test_points_come_back(value: Any) -> None:
    """A number of points, or the limit of each, also of a single one."""
    assert back("points", value) == value


@pytest.mark.parametrize(
    ("reads", "cell", "meant"),
    [
        ("list", "base, head", ["base", "head"]),
        ("list", "base;head;", ["base", "head"]),
        ("list", "base\nhead", ["base", "head"]),
        ("list", " Nothing ", []),
        ("pieces", "2x hook, 1 binder", {"hook": 2, "binder": 1}),
        ("pieces", "2 × hook", {"hook": 2}),
        ("points", "3000; unknown", [{"wll": 3000}, {}]),
        ("value", "in service; training", ["in service", "training"]),
        ("value", "off", "off"),
        ("number", "2", 2),
        ("number", 2.5, "2.5"),
        ("number", 1e15, 10**15),
        ("number", 1e-7, "0.0000001"),
        ("flag", "X", True),
        ("flag", 0, False),
        ("date", 46082, None),
    ],
)
def test_read_as_meant(reads: str, cell: Any, meant: Any) -> None:
    """What people write in one cell; a number of days only where a spreadsheet wrote it."""
    if meant is None:
        with pytest.raises(NotReadError, match="46082 is not a date"):
            READERS[reads](cell, GRID)
    else:
        assert READERS[reads](cell, GRID) == meant


@pytest.mark.parametrize(("reads", "cell"), [("pieces", "binder"), ("pieces", "1 binder; 2 binder"), ("flag", "2")])
def test_not_read(reads: str, cell: Any) -> None:
    """What could be meant in two ways is not read."""
    with pytest.raises(NotReadError):
        READERS[reads](cell, GRID)
