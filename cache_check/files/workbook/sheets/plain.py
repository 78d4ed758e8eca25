"""The sheets whose rows, or lines, are just entries: what the file is, types, counts, places, prices, a situation."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

from cache_check.files.workbook.layout import YES_NO, Cells, Heading, Layout, Reads
from cache_check.files.workbook.sheet import Lines
from cache_check.model.cache import Label, Status
from cache_check.model.situation import Situation

ABOUT = Lines(
    "about",
    "What this file is. One line each; the third column only explains.",
    (Heading("what", ("what",), wide=14), Heading("value", ("value",), wide=34), Heading("explained", (), wide=70)),
    lines=(
        Heading("cache", ("cache",), note="a short name of your own for this rig, used in tables"),
        Heading("family", ("family",), note="in a file of a family only: its short name"),
        Heading("policy", ("policy",), note="in a file of rules only: its name"),
        Heading("title", ("title",), note="what people call it"),
        Heading("units", ("units",), note="us: bare numbers are inches, pounds, pounds-force. si: mm, kg, kN",
                choices=("us", "si")),
        Heading("book date", ("book_date",), "date", note="the day of the count, year-month-day"),
        Heading("inspected", ("inspected",), "date", "the last inspection of every piece that does not say its own"),
        Heading("label", ("label",), note="legible, if every label was looked at that no row speaks of",
                choices=("legible", "unreadable", "unknown")),
        Heading("made", ("made",), "date", note="the day of the oldest webbing that no row gives a day of its own"),
        Heading("joint pin", ("joint_pin",), note="the loose pin in every joint, one of the types; or captive"),
        Heading("families", ("families",), "list", note="files of families that this cache uses, parted by semicolons"),
        Heading("sheet", ("sheet",), note="name and date of the maker's sheet"),
        Heading("needs", ("needs",), note="a title for the sheet of needs, if it is filled in"),
        Heading("prices", ("prices",), note="the name of the quote, if the sheet of prices is filled in"),
        Heading("situation", ("situation",), note="a title for the sheet of a situation, if it is filled in"),
        Heading("currency", ("currency",), note="the currency of the prices"),
        Heading("dated", ("dated",), "date", note="the day of the quote"),
        Heading("freight", ("freight",), "number", note="paid once if anything of the quote is ordered"),
        Heading("least order", ("least_order",), "number", note="goods for less are charged as so much; blank: any"),
    ),
)  # fmt: skip
OF_KIND: dict[str, tuple[str, ...]] = {
    "cache": ("cache", "title", "units", "book_date", "inspected", "label", "made", "joint_pin", "families", "sheet"),
    "family": ("family", "title", "units", "joint_pin", "sheet"),
    "needs": ("needs", "units"),
    "policy": ("policy", "title", "units"),
    "prices": ("prices", "currency", "dated", "freight", "least_order"),
    "situation": ("situation", "units"),
}
"""The lines that belong to each kind of file; one workbook may be several kinds."""


_KINDS = ("body", "extension", "adapter", "fitting", "pin", "strap", "chain", "hardware", "pad")
TYPES = Layout(
    "types",
    "Part types: each design of part once, however many you have. Fill in only what its kind has.",
    (
        Heading("type", ("type",), note="a short name of your own", wide=18),
        Heading("kind", ("kind",), note="what it is in a strut", choices=_KINDS),
        Heading("family", ("family",), note="a family listed, if the part is not this cache's own"),
        Heading("title", ("title",), note="what people call it", wide=22),
        Heading("closed", ("closed",), "length", "body: shortest effective length"),
        Heading("open", ("open",), "length", "body: longest effective length that keeps the minimum insertion"),
        Heading("pull apart", ("pull_apart",), "length", "body: where the inner tube leaves, if you know it"),
        Heading("lock", ("lock",), note="body: how it locks", choices=("collar", "holes", "pin only", "unknown")),
        Heading("hole pitch", ("holes", "pitch"), "length", "body that locks at holes: from hole to hole"),
        Heading("first hole", ("holes", "first"), "length", "its first setting, if not its closed length"),
        Heading("fine screw", ("holes", "fine"), "length", "travel of a fine screw above each hole"),
        Heading("length", ("length",), "length", "extension, adapter: what it adds; strap, chain: how long it is"),
        Heading("adds", ("adds",), "length", "fitting: what it adds to the strut"),
        Heading("serves", ("serves",), "list", "fitting: base, head, or base; head"),
        Heading(
            "points", ("points",), "points", "fitting: how many attachment points, or the limit of each: 3000; 3000"
        ),
        Heading("mass", ("mass",), "mass", "what one piece weighs"),
        Heading("wll", ("wll",), "force", "strap, chain, hardware: the working load limit on its label"),
        Heading("size", ("size",), "length", "strap: width; chain: size of the link"),
        Heading("grade", ("grade",), "number", "chain: grade; blank is unmarked", ("30", "43", "70", "80", "100")),
        Heading(
            "takes into use",
            ("needs",),
            "pieces",
            "strap, chain: its hardware, as 1 binder; 2 hook; or nothing",
            wide=18,
        ),
        Heading("lower end", ("lower", "connector"), note="connector, if not the family's; may end in plug or socket"),
        Heading("lower takes", ("lower", "takes"), "list", "kinds of part that may meet this end; blank is any"),
        Heading("upper end", ("upper", "connector"), note="connector, if not the family's"),
        Heading("upper takes", ("upper", "takes"), "list", "kinds of part that may meet this end; blank is any"),
        Heading("either way up", ("either_way_up",), "flag", "whether it may be turned", YES_NO),
        Heading("end", ("end", "connector"), note="fitting: connector, if not the family's"),
        Heading("end takes", ("end", "takes"), "list", "kinds of part that may meet this end; blank is any"),
        Heading("contacts", ("contacts",), "list", "fitting: what it may touch, as edge; flat; hole; chain"),
        Heading("index", ("index",), note="fitting: how it must be turned to lock"),
        Heading("footprint length", ("footprint", "length"), "length", "what stands on the ground"),
        Heading("footprint width", ("footprint", "width"), "length", "what stands on the ground"),
        Heading("failure load", ("strength", "failure_load"), "force", "of the part itself, if its sheet states it"),
        Heading("rated load", ("strength", "rated_load"), "force", "or this, with its factor"),
        Heading("rated at factor", ("strength", "factor"), "factor", "the design factor of the rated load"),
        Heading("sure", ("sure",), "flag", "yes if unlikely figures are right as they stand", YES_NO),
        Heading("why sure", ("why",), note="who looked, and where it says so", wide=18),
        Heading("note", ("note",), note="anything else", wide=24),
    ),
)


OUT: tuple[Status, ...] = tuple(status for status in get_args(Status) if status != "in service")


class _Counted(Layout):
    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each part; what nobody counted is said to be unknown."""
        return ({"count": "unknown"} | row for row in super().rows(data))


PARTS = _Counted(
    "parts",
    "What is on the rig. Write unknown where nobody counted: blank is never taken as fine.",
    (
        Heading("part", ("part",), note="a type of the sheet before, or of a family", wide=18),
        Heading("count", ("count",), "number", "all pieces, those with serials too; unknown where nobody counted"),
        Heading("where", ("where",), note="the place they lie in", wide=16),
        Heading("inspected", ("inspected",), "date", "their last inspection, if not as the sheet about has it"),
        Heading("label", ("label",), note="can they be read? if not as about has it", choices=get_args(Label)),
        Heading("made", ("made",), "date", "straps: the day of the oldest, if not as about has it"),
        *(Heading(status, ("out", status), "number", f"pieces without serials: {status}", wide=11) for status in OUT),
    ),
    short="count",
)


COMPARTMENTS = Layout(
    "compartments",
    "Where ready sets lie. Clearance is what the latch and your hands need.",
    (
        Heading("compartment", ("compartment",), note="its name", wide=16),
        Heading("length", ("length",), "length", "clear length inside"),
        Heading("width", ("width",), "length", "clear width inside, if you know it"),
        Heading("height", ("height",), "length", "clear height inside, if you know it"),
        Heading("clearance", ("clearance",), "length", "what must stay free"),
        Heading("carries", ("carries",), "mass", "the most it may carry, if it says so"),
        Heading("diagonal", ("diagonal",), "flag", "whether a set may lie across", YES_NO),
    ),
)


READY_SETS = Layout(
    "ready sets",
    "Assemblies left built on the rig: their parts, from the ground to the load.",
    (
        Heading("ready set", ("ready set",), note="its name", wide=12),
        Heading("parts", ("parts",), "list", "from the ground to the load, parted by semicolons", wide=44),
        Heading("where", ("where",), note="the compartment it lies in", wide=16),
        Heading("serials", ("serials",), "list", "serials of its pieces, parted by semicolons", wide=24),
    ),
)


PRICES = Layout(
    "prices",
    "What each part costs. The price is for one piece, or for the pack where there is one.",
    (
        Heading("part", ("part",), wide=18),
        Heading("price", ("price",), "number", "for one piece, or for the pack"),
        Heading("pack", ("pack",), "number", "pieces in a pack; blank is 1"),
        Heading("minimum", ("minimum",), "number", "fewest pieces in an order; blank is 1"),
        Heading("fixed", ("fixed",), "number", "paid once if any of this part are ordered"),
        Heading("number", ("number",), note="the vendor's own name for the part", wide=18),
        Heading("note", ("note",), wide=24),
    ),
    short="price",
)


_READS: dict[str, Reads] = {
    "title": "text", "why": "text", "one_end_pivots": "flag", "sure": "flag", "anchors": "places",
}  # fmt: skip
SITUATION = Lines(
    "situation",
    "One situation. One line each; several values are parted by semicolons, the three of an anchor by commas.",
    (Heading("what", ("what",), wide=20), Heading("value", ("value",), wide=34)),
    lines=tuple(
        Heading(name.replace("_", " "), (name,), _READS.get(name, "values")) for name in Situation.model_fields
    ),
)
