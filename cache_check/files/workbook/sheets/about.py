"""The sheet "about": what the file is, its units, and what else holds for all of it, one line each."""

from __future__ import annotations

from cache_check.files.workbook.layout import Heading
from cache_check.files.workbook.lines import Lines

LAYOUT = Lines(
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
