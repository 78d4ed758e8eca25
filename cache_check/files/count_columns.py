"""The columns of a count sheet, and the lines above them."""

from __future__ import annotations

from typing import get_args

from cache_check.files.workbook.columns import Column, Table
from cache_check.model.cache import Status

READY_SET = "ready set:"
"""Before the name of a ready set in the column "part"."""
TABLE = Table(
    "count",
    "Write what you find. Blank is not looked at, never fine.",
    (
        Column("place", ("place",), note="in the order of the drawers; correct it where you found the part", wide=14),
        Column("part", ("part",), note="add a row for what is not on the book", wide=18),
        Column("serial", ("serial",), note="as on the label", wide=12),
        Column("book", ("book",), note="how many the book has here; not read", wide=6),
        Column("found", ("found",), "value", "how many you found; yes or no for a serial or a ready set", wide=7),
        Column("usable", ("usable",), "value", "how many of those are fit; yes or no for a serial", wide=7),
        Column("state", ("state",), note="if not as the book says", choices=get_args(Status), wide=11),
        Column("label", ("label",), note="can it be read?", choices=("legible", "unreadable", "unknown"), wide=10),
        Column("inspected", ("inspected",), "date", "the last inspection, if the book has another", wide=11),
        Column("acquired", ("acquired",), "date", "the day on its label, if the book has another", wide=11),
        Column("expires", ("expires",), "date", "its last day of use, if the book has another", wide=11),
        Column("points", ("points",), "value", "base: attachment points fit, of a lot in all, or as: 2 each", wide=7),
        Column("pins", ("pins",), "flag", "are its pins and keepers with it?", ("yes", "no"), 6),
        Column("measured", ("measured",), "length", "chain: thinnest place of the worst link", wide=10),
        Column("condition", ("condition",), note="in words: good, cut, burnt, stitches, stretched ...", wide=16),
        Column("edition", ("edition",), note="the chart edition that the label names", wide=12),
        Column("held", ("held",), "flag", "ready set: held from moving?", ("yes", "no"), 6),
        Column("rig", ("rig",), note="if it is marked for another rig", wide=10),
        Column("tag", ("tag",), note="number of the tag you put on it; of a lot one for each piece out of use", wide=8),
        Column("initials", ("initials",), wide=8),
        Column("second", ("second",), note="initials of the second person, or the number that they counted", wide=8),
        Column("note", ("note",), wide=24),
        Column("book says", ("book says",), note="what the book has; not read", wide=34),
    ),
)
NOT_READ = ("book", "book says")
TOP = (
    Column("count", ("count",), note="the rig, by the name its book gives it"),
    Column("title", ("title",), note="not read"),
    Column("book date", ("book_date",), note="not read"),
    Column("book", ("book",), note="the hash of the book that this sheet was made from"),
    Column("units", ("units",)),
    Column("counted on", ("on",), "date", "year-month-day"),
    Column("counted by", ("by",), note="name or initials"),
    Column("second person", ("second",), note="name or initials"),
)
"""The lines above the table, each a word and its value."""
