"""The rules in force and what changed them; or one rule explained."""

from dataclasses import replace
from pathlib import Path

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, RULING, SHOWN, Request, View, called, options
from cache_check.cli.output import tell


@called("rules", "rules EXT-2 --cache rescue-41.yaml")
@click.argument("rule", required=False, metavar="[ID]")
@click.option("--cache", type=FILE, help="With the settings of this cache.")
@options(f"{RULING} {SHOWN}")
def command(rule: str | None, cache: Path | None, asked: Request, view: View) -> None:
    """List the rules in force, or explain the one named ID: why, source, remedy."""
    from cache_check.api.base import rules
    from cache_check.report import of_rules

    book = asked.book()
    read = given.caches([cache] if cache else [], book)
    result = rules(book, *read)
    if rule:
        one = given.nearest(rule, [one.id for one in result.rules], "rule")
        settings = tuple(setting for setting in result.settings if setting.rule == one)
        result = replace(result, rules=tuple(rule for rule in result.rules if rule.id == one), settings=settings)
    named = [source for one in read for source in one.sources]
    units = asked.units or (read[0].units if read else "us")
    beside = [*named, *given.sources(asked.policies)]
    tell("rules", [result], view, of_rules.book_of(result), beside, more={"units": units})
