"""The rules in force and what changed them; or one rule explained."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, shown
from cache_check.cli.output import emit

if TYPE_CHECKING:
    from cache_check.cli.options import Form
    from cache_check.units import System

ORDER = 50


@click.command("rules", epilog="\b\nExample:\n  cache-check rules EXT-2 --cache rescue-41.yaml")
@click.argument("rule", required=False, metavar="[ID]")
@click.option("--cache", type=FILE, metavar="FILE", help="With the settings of this cache.")
@click.option(
    "--rules",
    "policies",
    type=FILE,
    multiple=True,
    metavar="FILE",
    help="A policy file that changes rules. May be repeated; later ones win.",
)
@click.option("--units", type=click.Choice(("us", "si")), help="Units to show; the cache's own, else us.")
@shown
def command(rule: str | None, cache: Path | None, policies: tuple[Path, ...], units: System | None, form: Form) -> None:
    """List the rules in force, or explain the one named ID: why, source, remedy."""
    from cache_check import api
    from cache_check.files.read import read_rules
    from cache_check.report import of_rules
    from cache_check.report.render import render

    book = read_rules(policies)
    read = given.caches([cache] if cache else [], book)
    result = api.rules(book, *read)
    if rule:
        result = given.only(result, rule)
    if form == "json":
        from cache_check.report.as_json import rules_json

        named = [source for one in read for source in one.sources]
        emit(rules_json(result, [*named, *given.sources(policies)]))
    else:
        emit(render([of_rules.page(result, units or (read[0].units if read else "us"))], form))
