"""The columns of a count sheet, and the sheet written out to be filled in, as a workbook or as CSV."""

from __future__ import annotations

import io
from typing import Any

from cache_check.files.csv_folder import csv_text
from cache_check.files.workbook.grid import Raw
from cache_check.files.workbook.layout import Layout, headings, layout
from cache_check.files.workbook.sheet import Lines
from cache_check.files.workbook.xlsx_out import dress, put
from cache_check.model.count import BlankSheet, SheetLine

READY_SET = "ready set:"
"""Before the name of a ready set in the column "part"."""
TABLE = layout("count", Layout)
NOT_READ = ("book", "book says")
HEAD = headings("count", "lines")
"""The lines above the table, each a word and its value; those without a route are not read."""
TOP = Lines("count", "What was counted, when and by whom.", (), lines=tuple(h for h in HEAD if h.route), others=True)


_EXTRA_ROWS = 8
"""Blank rows at the end for what is not on the book."""


def _top(sheet: BlankSheet) -> list[tuple[str, str]]:
    known = {
        "count": sheet.rig, "title": sheet.title, "book": sheet.book, "units": sheet.units,
        "book date": sheet.book_date.isoformat() if sheet.book_date else "unknown",
    }  # fmt: skip
    return [(line.head, known.get(line.head, "")) for line in HEAD]


def _row(sheet: BlankSheet, line: SheetLine) -> dict[str, Raw]:
    part = f"{READY_SET} {line.ready_set}" if line.ready_set else dict(sheet.names).get(line.part, line.part)
    book: Raw = "unknown" if line.book is None else line.book
    return {"place": line.place, "part": part, "serial": line.serial, "book": book, "book says": line.says}


def rows(sheet: BlankSheet) -> list[list[Raw]]:
    """The whole sheet, heads included, as rows of cells."""
    whole: list[list[Raw]] = [[head, value] for head, value in _top(sheet)]
    whole += [[], [heading.headed(sheet.units) for heading in TABLE.headings]]
    for line in sheet.lines:
        row = _row(sheet, line)
        whole.append([row.get(heading.head) for heading in TABLE.headings])
    return whole


def as_csv(sheet: BlankSheet) -> str:
    """The sheet as CSV."""
    return csv_text(rows(sheet))


def as_workbook(sheet: BlankSheet) -> bytes:
    """The sheet as a workbook that prints on landscape pages, each with its number and the hash of the book."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.worksheets[0])
    page = book.create_sheet(TABLE.name)
    whole = rows(sheet)
    for number, row in enumerate(whole, 1):
        for place, value in enumerate(row, 1):
            put(page, number, place, value)
    heads = len(HEAD) + 2
    dress(page, TABLE.headings, heads, len(whole) + _EXTRA_ROWS)
    _printing(page, sheet, heads, len(whole) + _EXTRA_ROWS)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _printing(page: Any, sheet: BlankSheet, heads: int, last: int) -> None:
    from openpyxl.styles import Border, Side
    from openpyxl.utils import get_column_letter

    page.page_setup.orientation = "landscape"
    page.page_setup.fitToWidth, page.page_setup.fitToHeight = 1, 0
    page.sheet_properties.pageSetUpPr.fitToPage = True
    page.print_title_rows = f"{heads}:{heads}"
    page.print_area = f"A1:{get_column_letter(len(TABLE.headings))}{last}"
    footer = f"{sheet.title}, book {sheet.book}"
    page.oddFooter.left.text = footer.replace("&", "&&")
    page.oddFooter.right.text = "page &P of &N"
    thin = Side(style="thin", color="999999")
    for row in page.iter_rows(min_row=heads, max_row=last, max_col=len(TABLE.headings)):
        for cell in row:
            cell.border = Border(top=thin, bottom=thin, left=thin, right=thin)
