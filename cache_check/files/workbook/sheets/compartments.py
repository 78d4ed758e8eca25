"""The sheet "compartments": where ready sets lie."""

from __future__ import annotations

from cache_check.files.workbook.layout import YES_NO, Heading, Layout

LAYOUT = Layout(
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
