"""A count sheet: written out to be filled in, as a workbook or as CSV, and read when it is, from YAML too."""

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

from cache_check.errors import listed, refused
from cache_check.files import text
from cache_check.files.catalogue import Names, supplied
from cache_check.files.mistakes import Spot
from cache_check.files.reading import WORKBOOKS, Reading, as_kind, digest, system_of
from cache_check.files.workbook import cells, xlsx
from cache_check.files.workbook.grid import Grid, Raw, TablePage, blank, csv_text, read_grid
from cache_check.files.workbook.layout import folded, headings, layout
from cache_check.files.workbook.sheet import NOT_READ, OTHER_TEXT, SheetReader, SheetRow
from cache_check.model import cache
from cache_check.model.count import BlankSheet, CountLine, CountSheet, SetLine
from cache_check.model.family import Catalogue
from cache_check.model.quantities import Day
from cache_check.model.record import Name, Record, Text
from cache_check.units import System

_EACH = re.compile(r"(\d{1,3})\s*each")
_EXTRA_ROWS = 8  # blank rows at the end for what is not on the book
READY_SET = "ready set:"  # before the name of a ready set in the column "part"
_OF_SET = {"place", "part", "found", "held", "initials", "second", "note"}  # the columns that its row may fill in
TABLE = layout("count")
HEAD = headings("count", "lines")
"""The lines above the table, each a word and its value; those without a route are not read."""
_UNREAD = {line.head for line in HEAD if not line.route}
TOP = layout("count", lines=tuple(line for line in HEAD if line.route))


class _CountFile(Record):
    """A count as written; lines are read one by one."""

    count: Name
    units: System
    on: Day | None = None
    by: Text = ""
    second: Text = ""
    book: Text = ""
    lines: tuple[CountLine, ...] = ()
    sets: dict[Name, SetLine] | None = None


def read_count(path: str | Path, catalogue: Catalogue) -> CountSheet:
    """Read a filled count sheet of any form, parts by the book's ``catalogue``; its mistakes are one InputError."""
    reading = _open(Path(path))
    data = Names(catalogue.by_id).resolve_at(reading, (), dict(reading.data), ("lines", "*", "part"))
    if isinstance(data.get("lines"), list):
        data["lines"] = [_line(one) if isinstance(one, dict) else one for one in data["lines"]]
    if isinstance(data.get("sets"), dict):
        data["sets"] = {name: supplied(reading, ("sets", name), one, id=name) for name, one in data["sets"].items()}
    if (file := reading.record(_CountFile, data)) is not None:
        _check(reading, file, catalogue)
    file = reading.sound(file)
    return CountSheet(
        rig=file.count, units=file.units, on=file.on, by=file.by, second=file.second, book=file.book, lines=file.lines,
        sets=tuple((file.sets or {}).values()), path=str(path), sha256=reading.page.sha256,
    )  # fmt: skip


def _line(entry: dict[str, Any]) -> dict[str, Any]:
    """A line with yes and no of a piece that has a serial as 1 and 0, and points in all where it says "2 each"."""
    read = dict(entry)
    for name in ("found", "usable") if entry.get("serial") else ():
        word = str(entry.get(name)).strip().casefold()
        read[name] = 1 if word in cells.YES else 0 if word in cells.NO else entry.get(name)
    each = _EACH.fullmatch(str(entry.get("points")).strip().casefold())
    if each and isinstance(read.get("found"), int):
        read["points"] = int(each[1]) * read["found"]
    return {key: value for key, value in read.items() if value is not None}


def _check(reading: Reading, file: _CountFile, catalogue: Catalogue) -> None:
    """Note lines that are there twice, and figures that cannot be of what was found."""
    seen = set()
    for number, line in enumerate(file.lines):
        key = ("serial", cache.folded(line.serial)) if line.serial else (line.part, cache.folded(line.where))
        found = "a number not written" if line.found is None else line.found
        if key in seen:
            what = f"{line.part!r} {line.serial or 'in this place'} is counted already"
            right = "each serial is one piece: put both in one line, or write the other's own serial"
            reading.fault(("lines", number), what, right if line.serial else "put both in one line")
        seen.add(key)
        if line.serial and (line.found or 0) > 1:
            what = "more than one piece has this serial"
            reading.fault(("lines", number, "found"), what, "write each in its own line")
        if line.usable is not None and line.usable > (line.found or 0):
            what = f"{line.usable} usable of {found} found"
            reading.fault(("lines", number, "usable"), what, "write how many of those found are fit")
        part = catalogue.by_id.get(line.part)  # a name that is none was told already
        most = (made := part.points_made if part else 0) * (line.found or 0)
        if line.points is not None and line.points > most:
            what = f"{line.points} points of {found} found, made with {made} each"
            right = f'write how many are fit in all, at most {most}, or as "2 each"'
            reading.fault(("lines", number, "points"), what, right)


def _open(path: Path) -> Reading:
    suffix = path.suffix.casefold()
    if path.is_dir():
        raise refused(path, "is a folder", "name the count sheet itself")
    if suffix in WORKBOOKS:
        grids, sha = xlsx.read_grids(path)
        own = [grid for grid in grids if grid.name[:1] == OTHER_TEXT or folded(grid.name) in NOT_READ]
        filled = [grid for grid in grids if grid.rows and grid not in own]
        if len(filled) != 1:
            names = listed((grid.name for grid in filled), "and")
            right = "write one sheet alone; begin the name of one of your own with #"
            raise refused(path, f"has {len(filled)} sheets that are filled in ({names}), and a count is one", right)
        return _of_grid(filled[0], str(path), sha)
    if suffix in (".csv", ".tsv", ".txt"):
        return _of_grid(read_grid(text.read_bytes(path, str(path)), path), str(path), digest(path))
    return as_kind(*text.load(path), "count")


def _of_grid(grid: Grid, name: str, sha: str) -> Reading:
    page = TablePage(name, sha, Spot(0, 1, grid.label, 1))
    heads = [{folded(raw.partition(",")[0]) for raw in row if isinstance(raw, str)} for _, row in grid.rows[:40]]
    if (below := next((place for place, row in enumerate(heads) if {"part", "found"} <= row), None)) is None:
        raise refused(name, 'has no row of heads with "part" and "found"', "make the sheet anew with --sheet")
    top = [row for row in grid.rows[:below] if folded(str(row[1][0])) not in _UNREAD]
    TOP.read(reader := SheetReader(replace(grid, rows=top, comments=[]), TOP, page, 1, None), ())
    for number, row in grid.rows[:below]:
        if (beside := next((place for place, raw in enumerate(row) if place > 1 and not blank(raw)), None)) is not None:
            reader.fault(reader.spot(number, beside + 1), "stands beside a line, and is not read", "write it in a note")
    _table(SheetReader(replace(grid, rows=grid.rows[below:]), TABLE, page, 1, system_of(page.data)))
    return as_kind(page.data, page, "count")


def _table(sheet: SheetReader) -> None:
    lines, places, alone = 0, set[str](), list[SheetRow]()
    for row in sheet.rows():
        if row.values.keys() - {"place"}:
            places.add(folded(str(row.values.get("place", ""))))
        row.values = {head: value for head, value in row.values.items() if head not in ("book", "book says")}
        part = str(row.values.get("part", ""))
        if part.casefold().startswith(READY_SET):
            _set(sheet, row, part[len(READY_SET) :].strip())
        elif part:
            sheet.page.put(("lines", lines), {}, row.at("part"))
            row.put(sheet.page, ("lines", lines), [one for one in TABLE.headings if one.head != "held"])
            lines += 1
        else:
            alone.append(row)
    for row in alone:  # the name of a drawer may stand over what lies there
        if row.values.keys() != {"place"} or folded(str(row.values["place"])) not in places:
            sheet.fault(row.spot, "this row has no 'part'", "write it, or clear the row")


def _set(sheet: SheetReader, row: SheetRow, name: str) -> None:
    route = ("sets", name)
    if not name or route in sheet.page.spots:
        sheet.fault(row.at("part"), "names no ready set, or one that is there already", "write each ready set once")
        return
    sheet.page.put(route, {}, row.at("part"))
    for head, value in row.values.items():  # a column filled down with what is fine says nothing else of the set
        if head not in _OF_SET and str(value).strip().casefold() not in cells.YES | {"legible", "in service"}:
            sheet.fault(row.at(head), f"{head!r} is of pieces, not of a set", "write it in the lines of its pieces")
    found = row.values.pop("found", None)
    word = "" if found is None else str(found).strip().casefold()
    if word and word not in cells.YES | cells.NO:
        sheet.fault(row.at("found"), f"{found!r} is not yes or no", "write yes or no")
    elif word:
        row.values["found"] = word in cells.YES
    row.put(sheet.page, route, [one for one in TABLE.headings if one.head in _OF_SET - {"part", "initials"}])


def rows(sheet: BlankSheet) -> list[list[Raw]]:
    """The whole sheet to be filled in, heads included, as rows of cells."""
    whole: list[list[Raw]] = [*map(list[Raw], sheet.top), [], [*sheet.heads]]
    for line in sheet.lines:
        part = f"{READY_SET} {line.ready_set}" if line.ready_set else dict(sheet.names).get(line.part, line.part)
        book: Raw = "unknown" if line.book is None else line.book
        row = {"place": line.place, "part": part, "serial": line.serial, "book": book, "book says": line.says}
        whole.append([row.get(heading.head) for heading in TABLE.headings])
    return whole


def as_csv(sheet: BlankSheet) -> str:
    """The sheet as CSV."""
    return csv_text(rows(sheet))


def as_workbook(sheet: BlankSheet) -> bytes:
    """The sheet as a workbook that prints on landscape pages, each with its number and the hash of the book."""
    from openpyxl.styles import Border, Side
    from openpyxl.utils import get_column_letter

    whole = rows(sheet)
    heads, last = len(HEAD) + 2, len(whole) + _EXTRA_ROWS
    book = xlsx.empty()
    page = xlsx.add(book, TABLE.name, whole)
    xlsx.dress(page, TABLE.headings, heads, last)
    page.page_setup.orientation = "landscape"
    page.page_setup.fitToWidth, page.page_setup.fitToHeight = 1, 0
    page.sheet_properties.pageSetUpPr.fitToPage = True
    page.print_title_rows = f"{heads}:{heads}"
    page.print_area = f"A1:{get_column_letter(len(TABLE.headings))}{last}"
    page.oddFooter.left.text = f"{sheet.title}, book {sheet.book}".replace("&", "&&")
    page.oddFooter.right.text = "page &P of &N"
    thin = Side(style="thin", color="999999")
    for row in page.iter_rows(min_row=heads, max_row=last, max_col=len(TABLE.headings)):
        for cell in row:
            cell.border = Border(top=thin, bottom=thin, left=thin, right=thin)
    return xlsx.saved(book)
