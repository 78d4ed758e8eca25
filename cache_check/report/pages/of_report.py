"""The file of ``report``: its sheets in order, each cache in turn."""

from __future__ import annotations

from cache_check.model.report import ReportResult
from cache_check.report.pages import door
from cache_check.report.pages.shell import KINDS, render


def html(result: ReportResult) -> str:
    """The whole file."""
    sheets = [door.sheet(card) for card in result.cards]
    title = sheets[0].title if len(sheets) == 1 else KINDS["door"]
    return render(sheets, title, result.on)
