"""Worse in, never better out, on pages: what a rig or a count leaves out makes no word and no count of one better."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from cli.running import SAMPLES

import cache_check as api
from cache_check.api.report import ReportTerms, pages
from cache_check.errors import AskError, InputError
from cache_check.files.count import read_count
from cache_check.report.answer import Told
from cache_check.report.page import Table
from cache_check.report.pages.sheets import audit, county
from cache_check.report.pages.shell import Sheet
from laws.strategies import THOROUGH
from laws.test_worse_files import ON, leaves, without

RULES = api.read_rules()
RIG, OTHER, COUNT = "rescue-41.yaml", "rescue-44.yaml", "rescue-41-count.csv"
EVERY = 1 if THOROUGH else 20
WORDS = ("NOT MET", "OUT OF SERVICE", "NOT KNOWN", "MET", "PASS")
"""From the worst to the best, each before what it contains."""
MORE = re.compile("usable|at once|buildable|restrained|rated|Rescue|all together|with the list")
"""Heads of columns in which a larger number is better."""
Facts = dict[tuple[str, ...], tuple[int, int]]


def sheets(folder: Path) -> tuple[Sheet, Sheet]:
    """The audit page of the rig and the index of two."""
    rig, other = (api.read_cache(folder / name, RULES) for name in (RIG, OTHER))
    needs = api.read_needs(folder / "needs.yaml")
    terms = ReportTerms(("audit", "county"), needs, count=read_count(folder / COUNT, rig.catalogue))
    found = pages((rig, other), RULES, terms=terms, suppose=ON)
    told = Told(RULES, (), more={"report": found})
    assert found.county is not None
    return audit.sheet(found.audits[0], told, "a"), county.sheet(found.county, told, "c")


def facts(of: tuple[Sheet, ...]) -> Facts:
    """Of each cell of each table, by its row and column, how good its word is and how large its number."""
    found: Facts = {}
    for sheet in of:
        for part in (one for one in sheet.parts if not one.heading.startswith(("Findings", "To put right"))):
            for table in (block for block in part.blocks if isinstance(block, Table)):
                for row in table.rows:
                    for column, cell in zip(table.columns, row, strict=True):
                        said = cell.split(", now ")[-1].split("; one missing")[0]
                        word = next((n for n, one in enumerate(WORDS) if one in said), -1)
                        number = re.match(r"\d+", said) if MORE.search(column.head) else None
                        key = (sheet.kind, part.heading, row[0], row[1], column.head)
                        found[key] = word, int(number[0]) if number else 0
    return found


def tried() -> Iterator[tuple[str, str, str]]:
    """What is left out, the file that it is left out of, and its text then."""
    data: Any = yaml.safe_load((SAMPLES / RIG).read_text())
    for route in leaves(data):
        yield f"{route}", RIG, yaml.safe_dump(without(data, route), sort_keys=False)
    rows = list(csv.reader((SAMPLES / COUNT).read_text().splitlines()))
    for number in range(10, len(rows)):
        for column in (None, *(n for n in range(4, 12) if rows[number][n])):
            kept = [[*row[:column], "", *row[column + 1 :]] if column and row is rows[number] else row for row in rows]
            out = io.StringIO()
            csv.writer(out).writerows(row for row in kept if column or row is not rows[number])
            yield f"{rows[number][:3]} {column}", COUNT, out.getvalue()


@pytest.mark.parametrize("start", range(2))
def test_what_is_left_out_makes_no_page_better(start: int, tmp_path: Path) -> None:
    """No verdict becomes a yes, no count rises, and a line that nobody looked at is not said to be looked at."""
    for path in (*SAMPLES.glob("*.yaml"), SAMPLES / COUNT):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    before = facts(sheets(tmp_path))
    assert any(word == WORDS.index("MET") for word, _ in before.values())
    for what, name, text in [*tried()][start * EVERY // 2 :: EVERY]:
        (tmp_path / name).write_text(text)
        made: tuple[Sheet, ...]
        try:
            made = sheets(tmp_path)
        except (AskError, InputError):
            made = ()
        (tmp_path / name).write_bytes((SAMPLES / name).read_bytes())
        if made:
            after = facts(made)
            better = {key: (before[key], now) for key, now in after.items() if key in before and (
                now[1] > before[key][1] or now[0] > max(before[key][0], WORDS.index("NOT KNOWN")))}  # fmt: skip
            assert not better, what
            looked = any("Every line was looked at" in str(block) for part in made[0].parts for block in part.blocks)
            assert not (looked and name == COUNT and (" None" in what or what.endswith((" 4", " 5")))), what
