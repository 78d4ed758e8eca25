"""The columns of a count sheet, and the sheet written out to be filled in, as a workbook or as CSV."""

from __future__ import annotations

import io
from typing import Any, get_args

from cache_check.files.csv_folder import csv_text
from cache_check.files.workbook.grid import Raw
from cache_check.files.workbook.layout import YES_NO, Heading, Layout
from cache_check.files.workbook.sheet import Lines
from cache_check.files.workbook.xlsx_out import dress, put
from cache_check.model.cache import Label, Status
from cache_check.model.count import BlankSheet, SheetLine

READY_SET = "ready set:"
"""Before the name of a ready set in the column "part"."""
TABLE = Layout(
    "count",
    "Write what you find. Blank is not looked at, never fine.",
    (
        Heading("place", ("place",), note="in the order of the drawers; correct it where you found the part", wide=14),
        Heading("part", ("part",), note="add a row for what is not on the book", wide=18),
        Heading("serial", ("serial",), note="as on the label", wide=12),
        Heading("book", ("book",), note="how many the book has here; not read", wide=6),
        Heading("found", ("found",), "value", "how many you found; yes or no for a serial or a ready set", wide=7),
        Heading("usable", ("usable",), "value", "how many of those are fit; yes or no for a serial", wide=7),
        Heading("state", ("state",), note="if not as the book says", choices=get_args(Status), wide=11),
        Heading("label", ("label",), note="can it be read?", choices=get_args(Label), wide=10),
        Heading("inspected", ("inspected",), "date", "the last inspection, if the book has another", wide=11),
        Heading("acquired", ("acquired",), "date", "the day on its label, if the book has another", wide=11),
        Heading("expires", ("expires",), "date", "its last day of use, if the book has another", wide=11),
        Heading("points", ("points",), "value", "base: attachment points fit, of a lot in all, or as: 2 each", wide=7),
        Heading("pins", ("pins",), "flag", "are its pins and keepers with it?", YES_NO, 6),
        Heading("measured", ("measured",), "length", "chain: thinnest place of the worst link", wide=10),
        Heading("condition", ("condition",), note="in words: good, cut, burnt, stitches, stretched ...", wide=16),
        Heading("edition", ("edition",), note="the chart edition that the label names", wide=12),
        Heading("held", ("held",), "flag", "ready set: held from moving?", YES_NO, 6),
        Heading("rig", ("rig",), note="if it is marked for another rig", wide=10),
        Heading("tag", ("tag",), note="the tag you put on it; of a lot one for each piece out of use", wide=8),
        Heading("initials", ("initials",), wide=8),
        Heading("second", ("second",), note="initials of the second person, or the number that they counted", wide=8),
        Heading("note", ("note",), wide=24),
        Heading("book says", ("book says",), note="what the book has; not read", wide=34),
    ),
)
NOT_READ = ("book", "book says")
HEAD = (
    Heading("count", ("count",), note="the rig, by the name its book gives it"),
    Heading("title", ()),
    Heading("book date", ()),
    Heading("book", ("book",), note="the hash of the book that this sheet was made from"),
    Heading("units", ("units",)),
    Heading("counted on", ("on",), "date", "year-month-day"),
    Heading("counted by", ("by",), note="name or initials"),
    Heading("second person", ("second",), note="name or initials"),
)
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
