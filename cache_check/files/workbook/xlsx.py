"""Reads a workbook as grids, and writes one that explains itself; the only file that knows openpyxl.

The sheets are streamed, so that what lies beyond the bounds is refused before it fills the memory.
"""

import io
import math
import re
import warnings
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, closing
from datetime import date, time, timedelta
from functools import partial
from hashlib import sha256
from pathlib import Path
from posixpath import join, normpath
from typing import Any
from xml.etree import ElementTree

from cache_check.errors import InputError, NotReadError, refused
from cache_check.files.text import read_bytes
from cache_check.files.workbook import safety
from cache_check.files.workbook.grid import LONGEST_CELL, MOST_COLUMNS, MOST_ROWS, Grid, Raw, blank
from cache_check.files.workbook.layout import Heading
from cache_check.files.workbook.sheet import Filled

MOST_SHEETS = 60
_MERGE = re.compile(rb'<(?:\w+:)?mergeCell\s[^>]*ref="([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})"')
_MOST_MERGED = 2_000
_NAMES_COMMENTS = re.compile(rb'<Relationship\s(?=[^>]*/comments")[^>]*Target="([^"]*)"')
_COMMENT = re.compile(rb'<(?:\w+:)?comment\s[^>]*ref="([A-Z]{1,3})(\d{1,7})"')
_ROOM = 300  # rows that the drop-downs of a sheet reach down to, at least


def read_grids(path: Path) -> tuple[list[Grid], str]:
    """The sheets of a workbook, and the SHA-256 of its bytes; InputError where it cannot or may not be read."""
    name = str(path)
    raw = read_bytes(path, name)
    safety.check(io.BytesIO(raw), name)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return _grids(raw, name), sha256(raw).hexdigest()
    except InputError:
        raise
    except (ElementTree.ParseError, zipfile.BadZipFile, KeyError, ValueError, TypeError, AttributeError, IndexError,
            OverflowError, OSError, RecursionError):  # fmt: skip
        # openpyxl raises whatever the damaged part leads to; the person needs one sentence.
        raise refused(name, "is a damaged workbook", "open it in a spreadsheet and save it again") from None


def _grids(raw: bytes, name: str) -> list[Grid]:
    from openpyxl import load_workbook

    opened = partial(load_workbook, read_only=True, keep_links=False)
    worked: Any = None
    grids = []
    with ExitStack() as books:
        book = books.enter_context(closing(opened(io.BytesIO(raw), data_only=False)))
        if len(book.worksheets) > MOST_SHEETS:
            raise refused(name, f"has {len(book.worksheets)} sheets", f"{MOST_SHEETS} at most are read")
        beside = _beside(raw, name)
        for number, sheet in enumerate(book.worksheets):
            grid = Grid(sheet.title, f'sheet "{sheet.title}"', [], book.epoch.date())
            if formulas := list(_fill(grid, sheet, name)):
                worked = worked or books.enter_context(closing(opened(io.BytesIO(raw), data_only=True)))
                _work_out(grid, worked.worksheets[number], formulas)
            merged, grid.comments = beside.get(getattr(sheet, "_worksheet_path", ""), ([], []))
            _spread(grid, merged)
            grids.append(grid)
    return grids


def _fill(grid: Grid, sheet: Any, name: str) -> Iterator[tuple[int, int]]:
    """Fill a grid from a streamed sheet; give the (row, column) of its formulas."""
    sheet.reset_dimensions()
    for number, row in enumerate(sheet.iter_rows(), 1):
        if grid.add(number, [_raw(cell) for cell in row], name):
            yield from ((number, place) for place, cell in enumerate(row[:MOST_COLUMNS]) if cell.data_type == "f")


def _raw(cell: Any) -> Raw:
    value = cell.value
    if value is not None and cell.has_style and cell.font.strike:
        return NotReadError("is struck out", "clear the cell, or take the line through it away")
    if cell.data_type == "e":
        return NotReadError(f"holds the error {value}", "write the value itself")
    if cell.data_type == "f":
        right = "write its value, or open, save and give it again"
        return NotReadError("holds a formula that was never worked out", right)
    if isinstance(value, float) and not math.isfinite(value):
        return NotReadError("holds a number that is none", "write the value itself")
    known = value is None or isinstance(value, str | bool | int | float | date | time | timedelta)
    return value if known else str(value)


def _work_out(grid: Grid, sheet: Any, formulas: list[tuple[int, int]]) -> None:
    rows, wanted = dict(grid.rows), set(formulas)
    sheet.reset_dimensions()
    for number, row in enumerate(sheet.iter_rows(max_row=max(wanted)[0]), 1):
        for place, cell in enumerate(row[:MOST_COLUMNS]):
            if (number, place) in wanted and cell.value is not None:
                rows[number][place] = _raw(cell)


def _spread(grid: Grid, ranges: list[tuple[int, int, int, int]]) -> None:
    """Give every row of cells merged downwards the words that are shown over them; sideways the first has them."""
    rows = dict(grid.rows)
    for left, top, _right, bottom in ranges:
        value = rows[top][left] if top in rows and left < len(rows[top]) else None
        if blank(value) or top == bottom:
            continue
        if not isinstance(value, str) or value.strip().replace(".", "", 1).isdigit():
            right = "unmerge it and write each row's own value"
            # A number may be meant for each row or for all together.
            rows[top][left] = NotReadError("is one cell merged over several rows", right)
            continue
        for number in (number for number in range(top + 1, min(bottom, MOST_ROWS) + 1) if number in rows):
            rows[number].extend([None] * (left + 1 - len(rows[number])))
            rows[number][left] = value
            grid.spread.add((number, left + 1))


def _beside(raw: bytes, name: str) -> dict[str, tuple[list[tuple[int, int, int, int]], list[tuple[int, str]]]]:
    """Of each sheet: merged ranges as left, top, right, bottom, columns from 0; and row and name of commented cells."""
    # They are counted before a sheet is streamed: to read each takes a fraction of a millisecond.
    from openpyxl.utils import column_index_from_string as index

    found = {}
    with zipfile.ZipFile(io.BytesIO(raw)) as archive:
        names = set(archive.namelist())
        for part in (one for one in names if one.startswith("xl/worksheets/") and one.endswith(".xml")):
            content, (folder, _, file) = archive.read(part), part.rpartition("/")
            if len(re.findall(rb"mergeCell\s", content)) > _MOST_MERGED:
                raise refused(name, f"has more than {_MOST_MERGED:,} merged cells in one sheet", "unmerge them")
            ranges = [(index(a.decode()) - 1, int(b), index(c.decode()) - 1, int(d))
                      for a, b, c, d in _MERGE.findall(content)]  # fmt: skip
            rels = f"{folder}/_rels/{file}.rels"
            targets = _NAMES_COMMENTS.findall(archive.read(rels)) if rels in names else []
            paths = names & {normpath(join(f"/{folder}", one.decode()))[1:] for one in targets}
            cells = [one for path in paths for one in _COMMENT.findall(archive.read(path))]
            found[part] = ranges, sorted((int(row), f"{column.decode()}{row.decode()}") for column, row in cells)
    return found


def write_workbook(sheets: Sequence[Filled], *, read_me: Sequence[str] = ()) -> bytes:
    """A workbook of these sheets, "read me" first where there is anything to say; InputError as of ``put``."""
    from openpyxl.styles import Alignment

    book = empty()
    if read_me:
        page = add(book, "read me", [[line] for line in read_me])
        page.column_dimensions["A"].width = 110
        for number in range(1, len(read_me) + 1):
            page.cell(number, 1).alignment = Alignment(wrap_text=True, vertical="top")
    for name, headings, rows in sheets:
        dress(add(book, name, rows), headings, 1, max(_ROOM, len(rows) + 99))
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
    from openpyxl.worksheet.datavalidation import DataValidation

    for place, heading in enumerate(headings, 1):
        head = sheet.cell(heads, place)
        head.font = Font(bold=True)
        head.fill = PatternFill("solid", fgColor="DDDDDD")
        head.alignment = Alignment(wrap_text=True, vertical="top")
        if heading.note:
            head.comment = Comment(heading.note, "cache-check", height=70, width=260)
        letter = get_column_letter(place)
        sheet.column_dimensions[letter].width = heading.wide
        if heading.choices:
            offered = DataValidation(type="list", formula1='"' + ",".join(heading.choices) + '"', allow_blank=True)
            offered.errorTitle, offered.error = heading.head, f"one of: {', '.join(heading.choices)}"
            sheet.add_data_validation(offered)
            offered.add(f"{letter}{heads + 1}:{letter}{last}")
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
