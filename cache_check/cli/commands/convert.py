"""Turn a file into another form: YAML, a workbook, or a folder of CSV files."""

from pathlib import Path

import click

from cache_check.cli.options import FILE, called

KINDS = ("cache", "family", "needs", "policy", "prices", "situation")


@called("convert", "convert rescue-41.yaml rescue-41.xlsx")
@click.argument("source", type=FILE)
@click.argument("target", type=FILE)
@click.option("--kind", type=click.Choice(KINDS), help="What the file is for; what it says unless given.")
def command(source: Path, target: Path, kind: str | None) -> None:
    """Write what SOURCE says to TARGET, which must not exist yet.

    The name of TARGET says the form: .yaml, .xlsx, or without a suffix a folder of CSV files. What was written is read
    back and compared, so nothing is lost but comments.
    """
    from cache_check.files.convert import convert
    from cache_check.files.reading import kind_of
    from cache_check.files.rules import read_rules

    convert(source, target, kind or kind_of(source, "cache") or "cache", read_rules())
    click.echo(f"cache-check: {target} written; it says what {source} says", err=True)
