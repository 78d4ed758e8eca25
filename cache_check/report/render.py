"""Pages in the form that was asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from cache_check.report.page import Page

Form = Literal["table", "markdown", "csv"]


def render(pages: Sequence[Page], form: Form) -> str:
    """The pages one after the other."""
    if form == "csv":
        from cache_check.report.as_csv import as_csv

        return as_csv(pages)
    if form == "markdown":
        from cache_check.report.as_markdown import as_markdown

        return "\n".join(as_markdown(page) for page in pages)
    from cache_check.report.as_table import as_table

    return "\n\n".join(as_table(page) for page in pages)
