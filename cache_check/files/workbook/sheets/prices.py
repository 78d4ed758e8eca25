"""The sheet "prices": what a quote asks for each part."""

from __future__ import annotations

from cache_check.files.workbook.layout import Heading, Layout

LAYOUT = Layout(
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
