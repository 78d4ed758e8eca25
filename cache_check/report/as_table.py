"""A page for the terminal, 100 columns wide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from itertools import zip_longest

from tabulate import DataRow, TableFormat, tabulate

from cache_check.report.page import Block, Page, Paragraph, Points, Table, plain

WIDTH = 100
_BREAK_AT = 6


def as_table(page: Page) -> str:
    """The page as text."""
    return "\n".join(_lines(page)) + "\n"


def _lines(page: Page) -> Iterator[str]:
    title = _wrapped(page.title)
    yield from title
    yield "=" * max(len(line) for line in title)
    for section in page.sections:
        yield ""
        yield from _wrapped(section.heading.upper())
        for block in section.blocks:
            yield from _block(block)


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, Paragraph):
        yield from _wrapped(block.text)
    elif isinstance(block, Points):
        yield from _wrapped(block.lead)
        for item in block.items:
            yield from _wrapped(item, "  - ", "    ")
    else:
        yield from _table(block)
        yield ""


def _wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    return [(rest if i else first) + line for i, line in enumerate(_lines_of(plain(text), WIDTH - len(first)))]


def _lines_of(text: str, width: int) -> list[str]:
    """Text broken at spaces, inside a word only where it is longer than a line."""
    return [text] if len(text) <= width else textwrap.wrap(text, width, break_on_hyphens=False)


def _table(table: Table) -> list[str]:
    """The table, its columns narrowed and their cells broken over lines until it fits."""
    heads = [plain(column.head) for column in table.columns]
    rows = [[plain(cell) for cell in row] for row in table.rows]
    gap, widths = _widths([heads, *rows])
    broken = [_broken(row, widths) for row in rows]
    apart = 3 * sum(len(lines) > 1 for lines in broken) > len(broken)
    above = _broken(heads, widths)
    body = [line for lines in broken for line in ([*lines, [""] * len(heads)] if apart else lines)]
    between = DataRow("", " " * gap, "")
    text = tabulate(
        [*above, *body], tablefmt=TableFormat(None, None, None, None, between, between, 0, None), disable_numparse=True,
        colalign=["right" if column.holds == "figures" else "left" for column in table.columns],
    )  # fmt: skip
    lines = [line.rstrip() for line in text.split("\n")]
    drawn = [max(len(line[i]) for line in [*above, *body]) for i in range(len(heads))]
    lines.insert(len(above), (" " * gap).join("-" * width for width in drawn))
    return lines[:-1] if apart else lines


def _broken(row: list[str], widths: list[int]) -> list[list[str]]:
    """The lines of one row."""
    cells = [_lines_of(cell, width) for cell, width in zip(row, widths, strict=True)]
    return [list(line) for line in zip_longest(*cells, fillvalue="")]


def _widths(rows: list[list[str]]) -> tuple[int, list[int]]:
    """The gap between columns and the width of each: words are kept whole while they can be."""
    columns = list(zip(*rows, strict=True))
    wide = [max(len(cell) for cell in column) for column in columns]
    whole = [max(max((len(word) for word in cell.split()), default=1) for cell in column) for column in columns]
    broken = [min(width, _BREAK_AT) for width in whole]
    for gap, least in ((2, whole), (1, whole), (1, broken)):
        widths = _narrowed(wide, [max(1, width) for width in least], WIDTH - gap * (len(columns) - 1))
        if sum(widths) + gap * (len(columns) - 1) <= WIDTH:
            break
    return gap, widths


def _narrowed(wide: list[int], least: list[int], room: int) -> list[int]:
    """Widths taken from the widest column that has some to give, until all fit."""
    widths = [max(1, width) for width in wide]
    while sum(widths) > room:
        giving = [i for i, width in enumerate(widths) if width > least[i]]
        if not giving:
            break
        widths[max(giving, key=lambda i: widths[i])] -= 1
    return widths
