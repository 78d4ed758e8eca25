"""Cards for training: questions about one rig, with proven answers on a key of their own."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, SUPPOSING, Request, called, into, options
from cache_check.cli.output import emit, view, write_file

if TYPE_CHECKING:
    from cache_check.model.exercise import Level


@called("exercise", "exercise rescue-41.yaml --seed 7 --key", "exercise rescue-41.yaml --count 20 -o cards.html")
@click.argument("cache", type=FILE)
@click.option("--needs", type=FILE, help="A needs file: ask how many at its lengths only.")
@click.option("--count", type=click.IntRange(1, 200), default=10, show_default=True, help="How many cards.")
@click.option("--seed", type=click.IntRange(0, 999_999), default=1, show_default=True,
              help="Which cards: the same for the same.")  # fmt: skip
@click.option("--level", type=click.Choice(("first", "usual", "hard")), help="Only cards of this level.")
@click.option("--key", is_flag=True, help="Show the key too, after the cards.")
@click.option("-o", "--output", type=FILE, callback=into, metavar="FILE.html",
              help="Write a page to print (two cards a side) and answer on.")  # fmt: skip
@click.option("--format", "form", type=click.Choice(("table", "json")), default="table", show_default=True)
@options(SUPPOSING)
def command(
    cache: Path, count: int, seed: int, level: "Level | None", key: bool, output: Path | None, form: str, asked: Request
) -> None:
    """Cards with questions about CACHE whose answers are proven, and a key.

    The same seed gives the same cards on every machine. A card is an exercise:
    it is for training and never for a scene. Nothing about persons is kept.
    """
    from cache_check.api.exercises.kinds import exercise
    from cache_check.report import to_write_on
    from cache_check.report.as_text import as_table

    read = given.everything(replace(asked, caches=(cache,)))
    book, beside = read.book, read.beside
    result = exercise(read.one, book, count=count, seed=seed, level=level, needs=read.needs, suppose=read.suppose)
    if output is not None:
        from cache_check.report.pages import shell

        write_file(output, shell.exercise(result), replace=True)
    elif form == "json":
        from cache_check.report.as_json import as_json

        emit(as_json("exercise", [result], book, beside))
    else:
        pages = [to_write_on.cards(result), *([to_write_on.key(result, book, beside)] if key else [])]
        emit("\n\n".join(as_table(page, view().width) for page in pages))
