"""Writes a workbook that explains itself: heads with units, drop-downs, notes; nothing is locked."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from cache_check.errors import refused
from cache_check.files.workbook.grid import LONGEST_CELL, Raw
from cache_check.files.workbook.layout import Heading
from cache_check.files.workbook.tables import Filled
from cache_check.units import System

_ROOM = 300
"""Rows that the drop-downs of a sheet reach down to, at least."""


def write_workbook(sheets: Sequence[Filled], units: System | None, *, read_me: Sequence[str] = ()) -> bytes:
    """A workbook of these sheets, "read me" first where there is anything to say; InputError as of ``put``."""
    from openpyxl.styles import Alignment

    book = empty()
    if read_me:
        page = add(book, "read me", [[line] for line in read_me])
        page.column_dimensions["A"].width = 110
        for number in range(1, len(read_me) + 1):
            page.cell(number, 1).alignment = Alignment(wrap_text=True, vertical="top")
    for sheet in sheets:
        heads = [heading.headed(units) for heading in sheet.headings]
        page = add(book, sheet.layout.name, [heads, *sheet.rows])
        dress(page, sheet.headings, 1, max(_ROOM, len(sheet.rows) + 100))
    return saved(book)


def empty() -> Any:
    """A workbook without sheets."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.worksheets[0])
    return book


def add(book: Any, name: str, rows: Iterable[Sequence[Raw]]) -> Any:
    """A further sheet of a workbook, with these rows of cells."""
    page = book.create_sheet(name)
    for number, row in enumerate(rows, 1):
        for place, value in enumerate(row, 1):
            put(page, number, place, value)
    return page


def saved(book: Any) -> bytes:
    """A workbook as the bytes of its file."""
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def dress(sheet: Any, headings: Sequence[Heading], heads: int, last: int) -> None:
    """Give the row of heads its look and notes, and the columns below it their drop-downs, down to row ``last``."""
    from openpyxl.comments import Comment
    from openpyxl.styles import Alignment, Font, PatternFill
    from openpyxl.utils import get_column_letter

    for place, heading in enumerate(headings, 1):
        head = sheet.cell(heads, place)
        head.font = Font(bold=True)
        head.fill = PatternFill("solid", fgColor="DDDDDD")
        head.alignment = Alignment(wrap_text=True, vertical="top")
        if heading.note:
            head.comment = Comment(heading.note, "cache-check", height=70, width=260)
        letter = get_column_letter(place)
        sheet.column_dimensions[letter].width = heading.wide
        _offer(sheet, heading, f"{letter}{heads + 1}:{letter}{last}")
        for row in range(heads + 1, min(last, _ROOM) + 1) if heading.reads == "date" else ():
            sheet[f"{letter}{row}"].number_format = "yyyy-mm-dd"
    sheet.freeze_panes = f"B{heads + 1}"


def put(sheet: Any, row: int, place: int, value: Raw) -> None:
    """Write a value into a cell, text as text whatever it begins with; InputError of what a workbook cannot keep."""
    from openpyxl.utils.exceptions import IllegalCharacterError

    if value is None:
        return
    cell = sheet.cell(row, place)
    try:
        cell.value = value
    except IllegalCharacterError:
        what = f'a text for the sheet "{sheet.title}" holds a character that a workbook cannot keep'
        raise refused("workbook", what, f"take it out of {str(value)[:40]!r}") from None
    if isinstance(value, str):
        if len(value) > LONGEST_CELL:
            raise refused("workbook", f"a text for {cell.coordinate} is too long", "shorten it")
        cell.data_type = "s"
        cell.number_format = "@"
        cell.quotePrefix = value[:1] in "=+-@'"
    elif isinstance(value, date):
        cell.number_format = "yyyy-mm-dd"


def _offer(sheet: Any, heading: Heading, cells: str) -> None:
    """A drop-down of the words that a column takes."""
    from openpyxl.worksheet.datavalidation import DataValidation

    if not heading.choices:
        return
    offered = DataValidation(type="list", formula1='"' + ",".join(heading.choices) + '"', allow_blank=True)
    offered.errorTitle, offered.error = heading.head, f"one of: {', '.join(heading.choices)}"
    sheet.add_data_validation(offered)
    offered.add(cells)
