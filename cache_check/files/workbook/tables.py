"""All sheets of a workbook or folder together: cells to the data of one kind of file, and back."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from cache_check.errors import did_you_mean, refused
from cache_check.files.mistakes import Route, Spot, listed
from cache_check.files.reading import system_of
from cache_check.files.workbook.cells import written
from cache_check.files.workbook.grid import Grid, Raw, TablePage
from cache_check.files.workbook.layout import ABOUT, LAYOUTS, Cells, Heading, Layout, folded, told
from cache_check.files.workbook.sheet import OTHER_TEXT, SheetReader
from cache_check.frozen import dataclass
from cache_check.units import System

_NOT_READ = ("read me", "notes")
"""Sheets that explain, or are the owner's own; so are those whose name begins with #."""
_OF_KIND: dict[str, tuple[tuple[Layout, Route], ...]] = {
    kind: tuple((LAYOUTS[name], (at,) if at else ()) for name, at in one["sheets"].items())
    for kind, one in told("kinds").items()
}
"""The sheets of each kind of file, and where in its data their rows go."""
_LINES: dict[str, list[str]] = {kind: one["lines"] for kind, one in told("kinds").items()}
"""The lines of the sheet "about" that belong to each kind of file; one workbook may be several kinds."""


def data_of(grids: Iterable[Grid], name: str, sha256: str, kind: str) -> tuple[dict[str, Any], TablePage]:
    """The data of a kind of file in a workbook or folder, its page with each cell; InputError without "about"."""
    found = {folded(grid.name): (number, grid) for number, grid in enumerate(grids, 1)}
    if ABOUT.name not in found:
        right = "cache-check new --workbook FILE.xlsx writes one that explains itself"
        raise refused(name, 'has no sheet "about", which says what it is', right)
    number, first = found[ABOUT.name]
    page = TablePage(name, sha256, Spot(0, 1, first.label, number))
    _refuse_strangers(found, page)
    ABOUT.read(SheetReader(first, ABOUT, page, number, None), ())
    units = system_of(page.data)
    _only(page, kind)
    for layout, at in _OF_KIND.get(kind, ()):
        if layout.name in found:
            number, grid = found[layout.name]
            layout.read(SheetReader(grid, layout, page, number, units), at)
    if kind in ("needs", "prices") and kind not in page.data and page.has(_OF_KIND[kind][0][1]):
        # Somebody filled it in without naming it: it is named after its sheet.
        number, grid = found[kind]
        page.put((kind,), kind, Spot(1, 1, grid.label, number))
    return page.data, page


def _refuse_strangers(found: Mapping[str, tuple[int, Grid]], page: TablePage) -> None:
    known = [ABOUT.name, *LAYOUTS, *_NOT_READ]
    for name, (number, grid) in found.items():
        if name not in known and not name.startswith(OTHER_TEXT) and grid.rows:
            near = did_you_mean(name, known) or f"the sheets are {listed(known)}"
            right = f"{near}; begin a sheet of your own with #"
            page.note(page.in_cell(Spot(0, 0, grid.label, number), "is not a sheet here", right))


def _only(page: TablePage, kind: str) -> None:
    """Leave of the sheet about what belongs to the kind; if it is not of this kind, what says which it is."""
    keys = _LINES.get(kind, ())
    if kind not in page.data and kind not in ("needs", "prices"):
        keys = (*keys, *_LINES)
    for key in [key for key in page.data if key not in keys]:
        page.drop(key)


@dataclass(frozen=True)
class Filled:
    """A sheet to write: its name, the headings it shows, and its rows as cells, that of its heads with units first."""

    name: str
    headings: tuple[Heading, ...]
    rows: Sequence[Sequence[Raw]]


def filled(files: Mapping[str, Mapping[str, Any]]) -> list[Filled]:
    """The sheets of one or more kinds of file, by kind."""
    whole = {key: data[key] for kind, data in files.items() for key in _LINES[kind] if data.get(key) is not None}
    each: list[tuple[Layout, Iterable[Cells]]] = [(ABOUT, ABOUT.rows(whole))]
    for kind, data in files.items():
        each += [(layout, layout.rows(data.get(str(at[0])) if at else data)) for layout, at in _OF_KIND[kind]]
    return [_filled(layout, rows, system_of(whole)) for layout, rows in each]


def _filled(layout: Layout, rows: Iterable[Cells], units: System | None) -> Filled:
    """A sheet to write; of the loads of charts only as many as are filled, three at least."""
    cells_of = [{heading: written(heading.reads, row.get(heading.head)) for heading in layout.headings} for row in rows]
    loads = [one for one in layout.headings if one.reads == "load"]
    last = max((n for n, load in enumerate(loads) for row in cells_of if row[load] is not None), default=2)
    headings = tuple(one for one in layout.headings if one not in loads[max(2, last) + 1 :])
    shown = [[row[heading] for heading in headings] for row in cells_of]
    return Filled(layout.name, headings, [[one.headed(units) for one in headings], *shown])
