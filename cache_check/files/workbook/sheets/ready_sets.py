"""The sheet "ready sets": assemblies that are left built."""

from __future__ import annotations

from cache_check.files.workbook.layout import Heading, Layout

LAYOUT = Layout(
    "ready sets",
    "Assemblies left built on the rig: their parts, from the ground to the load.",
    (
        Heading("ready set", ("ready set",), note="its name", wide=12),
        Heading("parts", ("parts",), "list", "from the ground to the load, parted by semicolons", wide=44),
        Heading("where", ("where",), note="the compartment it lies in", wide=16),
        Heading("serials", ("serials",), "list", "serials of its pieces, parted by semicolons", wide=24),
    ),
)
