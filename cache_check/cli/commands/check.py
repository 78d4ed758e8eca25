"""What a cache can build, at once, and what it lacks: the main job."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from cache_check.cli import input as given
from cache_check.cli import severities
from cache_check.cli.options import FILE, Asked, failing, pooling, shown, supposing
from cache_check.cli.output import emit, leave

if TYPE_CHECKING:
    from cache_check.cli.options import Form

ORDER = 10


@click.command("check", epilog="\b\nExample:\n  cache-check check rescue-41.yaml --needs scenes.yaml --without strap=2")
@click.argument("caches", type=FILE, nargs=-1, required=True)
@click.option("--needs", type=FILE, metavar="FILE", help="A needs file: the struts that each scene wants at once.")
@pooling
@supposing
@shown
@failing
def command(
    caches: tuple[Path, ...],
    needs: Path | None,
    pool: bool,
    asked: Asked,
    form: Form,
    fail_on: str,
) -> None:
    """What CACHES can build, at once, and what they lack.

    The tally from the book to one piece lost, at your needs or at a few round
    lengths; reach and blind spots; matched sets; gaps; findings.
    """
    from cache_check import api
    from cache_check.files.read import pool as pooled
    from cache_check.files.read import read_needs
    from cache_check.report import of_check
    from cache_check.report.render import render

    book = asked.book()
    read = given.caches(caches, book)
    wanted = read_needs(needs) if needs else None
    suppose = asked.suppose
    beside = given.sources([*([needs] if needs else []), *asked.policies])
    results = [api.check(one, book, needs=wanted, suppose=suppose) for one in ([pooled(read)] if pool else read)]
    if form == "json":
        from cache_check.report.as_json import as_json

        emit(as_json("check", results, book, beside))
    else:
        pages = [of_check.page(result, book, beside) for result in results]
        emit(render([of_check.summary(results), *pages] if len(pages) > 1 else pages, form))
    leave((severity for result in results for severity in severities.of_check(result)), fail_on)
