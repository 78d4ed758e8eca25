"""The published tables as they stand in ``data``; their README says what each holds, and from whom."""

from __future__ import annotations

import csv
from pathlib import Path

DATA = Path(__file__).parent / "data"
Row = dict[str, str]


def rows(name: str) -> list[Row]:
    """The rows of a table, a figure as it is printed."""
    with (DATA / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def title(row: Row, *columns: str) -> str:
    """What the test of a row is called: its source, what of it is asked, and ``from memory`` where nobody read it."""
    status = row["status"].replace("memory", "from memory")
    return " ".join([row["source"], *(row[one] for one in columns), status])
