"""The sheet "types": each design of part once, however many there are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.workbook.columns import Column, Table
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.sheets.entry import Cells, entries, named, of_entry, put_row
from cache_check.files.workbook.table import Sheet

_KINDS = ("body", "extension", "adapter", "fitting", "pin", "strap", "chain", "hardware", "pad")
TABLE = Table(
    "types",
    "Part types: each design of part once, however many you have. Fill in only what its kind has.",
    (
        Column("type", ("type",), note="a short name of your own", wide=18),
        Column("kind", ("kind",), note="what it is in a strut", choices=_KINDS),
        Column("family", ("family",), note="a family listed, if the part is not this cache's own"),
        Column("title", ("title",), note="what people call it", wide=22),
        Column("closed", ("closed",), "length", "body: shortest effective length"),
        Column("open", ("open",), "length", "body: longest effective length that keeps the minimum insertion"),
        Column("pull apart", ("pull_apart",), "length", "body: where the inner tube leaves, if you know it"),
        Column("lock", ("lock",), note="body: how it locks", choices=("collar", "holes", "pin only", "unknown")),
        Column("hole pitch", ("holes", "pitch"), "length", "body that locks at holes: from hole to hole"),
        Column("first hole", ("holes", "first"), "length", "its first setting, if not its closed length"),
        Column("fine screw", ("holes", "fine"), "length", "travel of a fine screw above each hole"),
        Column("length", ("length",), "length", "extension, adapter: what it adds; strap, chain: how long it is"),
        Column("adds", ("adds",), "length", "fitting: what it adds to the strut"),
        Column("serves", ("serves",), "list", "fitting: base, head, or base; head"),
        Column(
            "points", ("points",), "points", "fitting: how many attachment points, or the limit of each: 3000; 3000"
        ),
        Column("mass", ("mass",), "mass", "what one piece weighs"),
        Column("wll", ("wll",), "force", "strap, chain, hardware: the working load limit on its label"),
        Column("size", ("size",), "length", "strap: width; chain: size of the link"),
        Column("grade", ("grade",), "number", "chain: grade; blank is unmarked", ("30", "43", "70", "80", "100")),
        Column(
            "takes into use",
            ("needs",),
            "pieces",
            "strap, chain: its hardware, as 1 binder; 2 hook; or nothing",
            wide=18,
        ),
        Column("lower end", ("lower", "connector"), note="connector, if not the family's; may end in plug or socket"),
        Column("lower takes", ("lower", "takes"), "list", "kinds of part that may meet this end; blank is any"),
        Column("upper end", ("upper", "connector"), note="connector, if not the family's"),
        Column("upper takes", ("upper", "takes"), "list", "kinds of part that may meet this end; blank is any"),
        Column("either way up", ("either_way_up",), "flag", "whether it may be turned", ("yes", "no")),
        Column("end", ("end", "connector"), note="fitting: connector, if not the family's"),
        Column("end takes", ("end", "takes"), "list", "kinds of part that may meet this end; blank is any"),
        Column("contacts", ("contacts",), "list", "fitting: what it may touch, as edge; flat; hole; chain"),
        Column("index", ("index",), note="fitting: how it must be turned to lock"),
        Column("footprint length", ("footprint", "length"), "length", "what stands on the ground"),
        Column("footprint width", ("footprint", "width"), "length", "what stands on the ground"),
        Column("failure load", ("strength", "failure_load"), "force", "of the part itself, if its sheet states it"),
        Column("rated load", ("strength", "rated_load"), "force", "or this, with its factor"),
        Column("rated at factor", ("strength", "factor"), "factor", "the design factor of the rated load"),
        Column("sure", ("sure",), "flag", "yes if unlikely figures are right as they stand", ("yes", "no")),
        Column("why sure", ("why",), note="who looked, and where it says so", wide=18),
        Column("note", ("note",), note="anything else", wide=24),
    ),
)
_ENDS = ("lower", "upper", "end")


def read(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each row at its type's name."""
    for row in sheet.rows():
        route = named(sheet, draft, at, row, "type")
        if route is not None:
            put_row(draft, route, row, TABLE.columns[1:])


def rows(types: Any) -> Iterator[Cells]:
    """A row for each type."""
    for name, entry in entries(types).items():
        whole = dict(entry)
        for end in _ENDS:
            if isinstance(whole.get(end), str):
                whole[end] = {"connector": whole[end]}
        yield {"type": name} | of_entry(whole, TABLE)
