"""The rules in force and what changed them; or one rule explained."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, Asked, ruling, shown
from cache_check.cli.output import emit

if TYPE_CHECKING:
    from cache_check.cli.options import Form

ORDER = 50


@click.command("rules", epilog="\b\nExample:\n  cache-check rules EXT-2 --cache rescue-41.yaml")
@click.argument("rule", required=False, metavar="[ID]")
@click.option("--cache", type=FILE, metavar="FILE", help="With the settings of this cache.")
@ruling
@shown
def command(rule: str | None, cache: Path | None, asked: Asked, form: Form) -> None:
    """List the rules in force, or explain the one named ID: why, source, remedy."""
    from cache_check import api
    from cache_check.report import of_rules
    from cache_check.report.render import render

    book = asked.book()
    read = given.caches([cache] if cache else [], book)
    result = api.rules(book, *read)
    if rule:
        result = given.only(result, rule)
    if form == "json":
        from cache_check.report.as_json import as_json

        named = [source for one in read for source in one.sources]
        emit(as_json("rules", [result], of_rules.book_of(result), [*named, *given.sources(asked.policies)]))
    else:
        emit(render([of_rules.page(result, asked.units or (read[0].units if read else "us"))], form))
