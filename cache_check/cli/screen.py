"""How an answer is shown: as wide as the terminal, coloured only where a person looks, and what no table can hold."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Any

import click

from cache_check.cli.output import emit
from cache_check.report.answer import Form, Told, View, answer, beside, sections

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from cache_check.cli.input import Given

WIDEST, NARROWEST, UNSAID = 140, 60, 100


def view(form: Form, show: tuple[str, ...], color: bool | None) -> View:
    """How it is wanted, by what was said and by where it goes."""
    terminal = sys.stdout.isatty()
    colored = color if color is not None else terminal and "NO_COLOR" not in os.environ
    width = shutil.get_terminal_size((UNSAID, 0)).columns if terminal else UNSAID
    return View(form, show, min(WIDEST, max(NARROWEST, width)), colored)


def checked(command: str, shown: View) -> None:
    """See that the sections asked for are there, before anything is worked out.

    Raises:
        AskError: there is none of that name.
    """
    sections(command, shown)


def tell(command: str, results: Sequence[Any], told: Told, shown: View) -> None:
    """Write the answer to stdout; what a table of data cannot hold, caution and basis, to stderr."""
    emit(answer(command, results, told, shown))
    if shown.form in ("csv", "markdown"):
        click.echo(beside(results, told), err=True)


def explain(name: str, results: Sequence[Any], read: Given, shown: View) -> None:
    """Write what made the numbers of what is called so."""
    from cache_check.cli.why import why
    from cache_check.report.as_lines import as_lines

    emit(as_lines(why(name, results, read), width=shown.width, colored=shown.colored, most=10_000))


def plotted(path: Path | None, draw: Callable[[ModuleType], Figure]) -> None:
    """Draw an answer, by the figures of answers, into a file if one is named; written whole or not at all."""
    if path is not None:
        from cache_check.cli.output import write_file
        from cache_check.report.figures import answers, canvas

        kind = path.suffix.lower().removeprefix(".")
        write_file(path, canvas.written(draw(answers), kind), replace=True)  # type: ignore[arg-type]
        click.echo(f"cache-check: {path} drawn", err=True)
