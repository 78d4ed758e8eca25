"""The file of ``--plot``: its kind from its name, asked before any work is done; written whole or not at all."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Decorated = TypeVar("Decorated", bound=Callable[..., Any])
KINDS = (".svg", ".png", ".pdf")


def _kind(_ctx: click.Context, _param: click.Parameter, path: Path | None) -> Path | None:
    if path is not None and path.suffix.lower() not in KINDS:
        raise click.BadParameter(f"{str(path)!r} ends in none of {', '.join(KINDS)}; name a file that does")
    return path


def plotting(command: Decorated) -> Decorated:
    """The option ``--plot``."""
    return click.option(
        "--plot", type=click.Path(path_type=Path), callback=_kind, metavar="FILE.svg|png|pdf",
        help="Draw the answer into this file too; an earlier one of that name is replaced.",
    )(command)  # fmt: skip


def plot(path: Path, figure: Figure) -> None:
    """Write a figure that carries its caution already."""
    from cache_check.cli.output import write_file
    from cache_check.report.figures.canvas import written

    write_file(path, written(figure, path.suffix.lower().removeprefix(".")), replace=True)  # type: ignore[arg-type]
    click.echo(f"cache-check: {path} drawn", err=True)
