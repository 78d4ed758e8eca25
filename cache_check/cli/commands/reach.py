"""Every legal assembly, the lengths they cover, and how many stand at once by length."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, Asked, pooling, searching, shown, supposing
from cache_check.cli.plot import plotting

if TYPE_CHECKING:
    from cache_check.report.answer import View


@click.command("reach", epilog="\b\nExample:\n  cache-check reach rescue-41.yaml --at 78in --load 6000lbf --factor 2:1")
@click.argument("caches", type=FILE, nargs=-1, metavar="[CACHE|RIG]...")
@click.option("--at", metavar="LENGTH", help="Answer for this length, as 78in; with what binds and one lost.")
@click.option("--load", metavar="LOAD", help="The load that each strut must be rated for, as 6000lbf.")
@click.option(
    "--limit",
    type=click.IntRange(0),
    default=2000,
    show_default=True,
    metavar="N",
    help="List the assemblies if there are no more than N; they are counted in any case.",
)
@plotting
@pooling
@searching
@supposing
@shown
def command(
    caches: tuple[Path, ...],
    at: str | None,
    load: str | None,
    limit: int,
    plot: Path | None,
    pool: bool,
    seconds: float,
    asked: Asked,
    view: View,
) -> None:
    """Which lengths CACHE reaches, with which assemblies, and how many at once."""
    from cache_check.api.reach import reach
    from cache_check.cli.screen import checked, tell
    from cache_check.report.answer import Told

    checked("reach", view)
    results = []
    for one in asked.each():
        all_read = given.everything(caches, one, county_needs=False)
        read, suppose = all_read.one(pool), all_read.suppose
        results.append(reach(
            read, all_read.book, suppose=suppose, list_at_most=limit, seconds=seconds,
            at=given.asked_at("length", at, read, suppose) if at else None,
            load=given.asked_at("load", load, read, suppose) if load else None,
        ))  # fmt: skip
    if plot is not None:
        from cache_check.cli.plot import plot as draw
        from cache_check.report.figures import answers

        draw(plot, answers.reach(results[0], load))
    tell("reach", results, Told(all_read.book, all_read.beside, factors=asked.factors), view)
