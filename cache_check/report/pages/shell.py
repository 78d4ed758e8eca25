"""Sheets as one HTML file that needs no network and no other file."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from importlib import resources
from typing import TYPE_CHECKING

from cache_check import __version__
from cache_check.report.caution import CAUTION, REMINDER
from cache_check.report.page import Paragraph, Points, Table, plain
from cache_check.report.pages.sheet import Figure, Part, Sheet

if TYPE_CHECKING:
    from jinja2 import Environment

KINDS = {"door": "Door card"}


def render(sheets: Sequence[Sheet], title: str, on: date) -> str:
    """The file.  Every text is escaped, and what could change the writing direction is spelled out."""
    return (
        _environment()
        .get_template("page.html.j2")
        .render(
            title=title,
            sheets=sheets,
            kinds=KINDS,
            reminder=REMINDER,
            caution=CAUTION,
            on=on.isoformat(),
            version=__version__,
            style=_file("style.css"),
        )
        + "\n"
    )


def _file(name: str) -> str:
    return resources.files("cache_check.report.pages").joinpath("templates", name).read_text(encoding="utf-8")


def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    made = Environment(
        loader=PackageLoader("cache_check.report.pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["plain"] = plain
    made.tests.update(
        paragraph=lambda one: isinstance(one, Paragraph),
        points=lambda one: isinstance(one, Points),
        table=lambda one: isinstance(one, Table),
        figure=lambda one: isinstance(one, Figure),
        part=lambda one: isinstance(one, Part),
    )
    return made
