"""The columns of a count sheet, and the lines above them."""

from __future__ import annotations

from typing import get_args

from cache_check.files.workbook.layout import YES_NO, Heading, Layout
from cache_check.files.workbook.lines import Lines
from cache_check.model.cache import Label, Status

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
