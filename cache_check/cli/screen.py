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

from cache_check.cli.output import emit, write_file
from cache_check.report.page import Form, View

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from cache_check.model.cache import Source
    from cache_check.model.rule import RuleBook

WIDEST, NARROWEST, UNSAID = 140, 60, 100


def view(form: Form = "table", show: tuple[str, ...] = (), color: bool | None = None) -> View:
    """How it is wanted, by what was said and by where it goes."""
    terminal = sys.stdout.isatty()
    colored = color if color is not None else terminal and "NO_COLOR" not in os.environ
    width = shutil.get_terminal_size((UNSAID, 0)).columns if terminal else UNSAID
    return View(form, show, min(WIDEST, max(NARROWEST, width)), colored)


def tell(
    command: str, results: Sequence[Any], shown: View, book: RuleBook | None, read: Sequence[Source] = (), **more: Any
) -> None:
    """Write the answer to stdout; what a table of data cannot hold, caution and basis, to stderr.

    ``book``, ``read`` and ``more`` are what ``report.answer.Told`` has.
    """
    from cache_check.report.answer import Told, answer, beside

    told = Told(book, read, **more)
    emit(answer(command, results, told, shown))
    if shown.form in ("csv", "markdown"):
        click.echo(beside(results, told), err=True)


def plotted(path: Path | None, draw: Callable[[ModuleType], Figure]) -> None:
    """Draw an answer, by the figures of answers, into a file if one is named; written whole or not at all."""
    if path is not None:
        from cache_check.report.figures import answers, canvas

        kind = path.suffix.lower().removeprefix(".")
        write_file(path, canvas.written(draw(answers), kind), replace=True)  # type: ignore[arg-type]
        click.echo(f"cache-check: {path} drawn", err=True)
