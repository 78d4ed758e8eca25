"""A page as CSV for spreadsheets: the first column names the section, and no cell can act as a formula.

A cell that begins with = + - @, or with a tab or carriage return, gets an apostrophe before it, which
spreadsheets show as text.  All rows have the same number of cells.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from cache_check.report.page import Block, Page, Paragraph, Points, plain

_ACTS = ("=", "+", "-", "@", "\t", "\r")


def as_csv(pages: Sequence[Page]) -> str:
    """The pages as CSV (RFC 4180, but lines end in a line feed)."""
    rows = []
    for page in pages:
        rows.append(["title", page.title])
        for section in page.sections:
            rows += [[section.heading, *cells] for block in section.blocks for cells in _rows(block)]
    width = max(len(row) for row in rows)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerows([_inert(cell) for cell in row] + [""] * (width - len(row)) for row in rows)
    return text.getvalue()


def _rows(block: Block) -> Iterator[list[str]]:
    if isinstance(block, Paragraph):
        yield [block.text]
    elif isinstance(block, Points):
        yield [block.lead]
        for item in block.items:
            yield [block.lead, item]
    else:
        yield [column.head for column in block.columns]
        yield from (list(row) for row in block.rows)


def _inert(cell: str) -> str:
    text = plain(cell)
    return f"'{text}" if text.startswith(_ACTS) else text
