"""Every legal assembly, the lengths they cover, and how many stand at once by length."""

from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from cache_check.cli import input as given
from cache_check.cli.options import SHOWN, SUPPOSING, Request, View, called, options
from cache_check.cli.output import plotted, tell
from cache_check.errors import AskError, NotReadError

if TYPE_CHECKING:
    from cache_check.api.base import WhatIf
    from cache_check.model.cache import Cache


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
            at=_asked("length", at, cache, suppose) if at else None,
            load=_asked("load", load, cache, suppose) if load else None,
        ))  # fmt: skip
    plotted(plot, lambda answers: answers.reach(results[0], load))
    tell("reach", results, view, read.book, read.beside, factors=asked.factors)


def _asked(kind: Literal["length", "load"], text: str, cache: "Cache", suppose: "WhatIf") -> Any:
    """A length in nm or a load in N, a bare number in the units of the page.  Raises AskError: none above zero."""
    from cache_check.units import force_n, length_nm

    try:
        found = (length_nm if kind == "length" else force_n)(text, suppose.units or cache.units)
    except NotReadError as error:
        raise AskError(str(error)) from None
    if found <= 0:
        raise AskError(f"{text!r} is not a {kind} above zero")
    return found
