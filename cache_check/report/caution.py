"""What no page and no result may leave out."""

from __future__ import annotations

from cache_check.report.page import Points

REMINDER = "A planning aid, not a load rating: read the caution at the end before you act on this page."
"""The line at the top of a page."""

NOT_COUNTED = "Friction is not counted. Pre-tension of straps is not counted."
CAUTION = (
    "This is a planning aid. It is not a load rating, and nobody may work under a vehicle on the strength of it.",
    "The maker's current chart and the label on the part come first, then training, local codes and incident command.",
    "Inspect every part before use. Check every strut again after each movement, cut or lift.",
    "Nobody goes under or between on a strut that has not been verified.",
    NOT_COUNTED,
    "Closed lengths are rounded up, open lengths down, rated loads down, asked loads up, weights up.",
)


def said(counted: str = NOT_COUNTED) -> tuple[str, ...]:
    """The caution, with what this answer says of friction and pre-tension."""
    return tuple(counted if line == NOT_COUNTED else line for line in CAUTION)


def caution(counted: str = NOT_COUNTED) -> tuple[Points]:
    """The section at the end of a page."""
    return (Points("Before you act on this page:", said(counted)),)
