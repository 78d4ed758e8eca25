"""May these parts, from the ground to the load, be built; if not, which rule says so."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from cache_check.cli import input as given
from cache_check.cli import severities
from cache_check.cli.options import FILE, Asked, failing, shown, supposing
from cache_check.cli.output import emit, leave

if TYPE_CHECKING:
    from cache_check.cli.options import Form

ORDER = 30


@click.command(
    "build", epilog="\b\nExample:\n  cache-check build rescue-41.yaml hinged-base extension-10 long-body edge-head"
)
@click.argument("cache", type=FILE)
@click.argument("parts", nargs=-1, required=True, metavar="PART...")
@click.option(
    "--with-rig",
    "others",
    type=FILE,
    multiple=True,
    metavar="FILE",
    help="Take the cache of another rig together with it. May be repeated.",
)
@supposing
@shown
@failing
def command(
    cache: Path,
    parts: tuple[str, ...],
    others: tuple[Path, ...],
    asked: Asked,
    form: Form,
    fail_on: str,
) -> None:
    """May these parts be built, named from the ground to the load?

    Says every rule that is broken, with its source; the length closed and open;
    weight and pins; and the nearest legal build from the parts of CACHE.
    """
    from cache_check import api
    from cache_check.report import of_build
    from cache_check.report.render import render

    book = asked.book()
    read = given.one_cache([cache, *others], book, pool=bool(others))
    result = api.build(read, book, parts, suppose=asked.suppose)
    if form == "json":
        from cache_check.report.as_json import as_json

        emit(as_json("build", [result], book, given.sources(asked.policies)))
    else:
        emit(render([of_build.page(result, book, given.sources(asked.policies))], form))
    leave(severities.of_build(result.verdict), fail_on)
