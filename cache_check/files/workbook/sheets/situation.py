"""The sheet "situation": one situation on scene, a line for each thing known of it."""

from __future__ import annotations

from cache_check.files.workbook.layout import Heading, Reads
from cache_check.files.workbook.lines import Lines
from cache_check.model.situation import Situation

_READS: dict[str, Reads] = {
    "title": "text", "why": "text", "one_end_pivots": "flag", "sure": "flag", "anchors": "places",
}  # fmt: skip
LAYOUT = Lines(
    "situation",
    "One situation. One line each; several values are parted by semicolons, the three of an anchor by commas.",
    (Heading("what", ("what",), wide=20), Heading("value", ("value",), wide=34)),
    lines=tuple(
        Heading(name.replace("_", " "), (name,), _READS.get(name, "values")) for name in Situation.model_fields
    ),
)
