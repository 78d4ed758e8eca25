"""Every legal assembly, the lengths they cover, and how many stand at once by length."""

from pathlib import Path

import click

from cache_check.cli import input as given
from cache_check.cli.options import SHOWN, SUPPOSING, Request, View, called, options
from cache_check.cli.output import plotted, tell


@called("reach", "reach rescue-41.yaml --at 78in --load 6000lbf --factor 2:1")
@options("caches")
@click.option("--at", metavar="LENGTH", help="Answer for this length, as 78in; with what binds and one missing.")
@click.option("--load", metavar="LOAD", help="The load that each strut must be rated for, as 6000lbf.")
@click.option("--limit", type=click.IntRange(0), default=2000, show_default=True, metavar="N",
              help="List the assemblies if there are no more than N; they are counted in any case.")  # fmt: skip
@options(f"plot pool seconds {SUPPOSING} {SHOWN}")
def command(asked: Request, at: str | None, load: str | None, limit: int, plot: Path | None, view: View) -> None:
    """Which lengths CACHE reaches, with which assemblies, and how many at once."""
    from cache_check.api.check import reach

    results = []
    for one in asked.each():
        read = given.everything(one, county_needs=False)
        cache, suppose = read.one, read.suppose
        results.append(reach(
            cache, read.book, suppose=suppose, list_at_most=limit, seconds=asked.seconds,
            at=given.asked_at("length", at, cache, suppose) if at else None,
            load=given.asked_at("load", load, cache, suppose) if load else None,
        ))  # fmt: skip
    plotted(plot, lambda answers: answers.reach(results[0], load))
    tell("reach", results, view, read.book, read.beside, factors=asked.factors)
