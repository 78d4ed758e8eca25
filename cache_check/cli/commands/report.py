"""Pages to pin up, carry and sign, in one HTML file."""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, SUPPOSING, Request, called, into, number, options, repeated
from cache_check.cli.output import STDOUT, Exit, waiting, write_file
from cache_check.errors import AskError, InputError

if TYPE_CHECKING:
    from cache_check.model.cache import Cache, Source
    from cache_check.model.count import CountSheet
    from cache_check.model.report import ReportResult
    from cache_check.model.rule import RuleBook
ONLY = ("county", "door", "crew", "load", "office", "audit", "count")  # model.report.KINDS, without loading it


def _angle(value: str) -> Fraction:
    """An angle from the horizontal in degrees."""
    return number(value, "deg", 90, "not an angle from the horizontal; write degrees from 1 to 90, as 60")


@called("report", "report rescue-41.yaml --only door -o door.html",
        "report rescue-41.yaml rescue-44.yaml --needs scenes.yaml --load situation.yaml -o county.html")  # fmt: skip
@options("caches")
@click.option("-o", "--output", type=FILE, callback=into, required=True, metavar="FILE.html",
              help='The file to write; an earlier one of that name is replaced. "-" writes to stdout.')  # fmt: skip
@repeated("--only", type=click.Choice(ONLY), help="Only this kind of sheet.")
@options("needs skip prices")
@click.option("--load", "situation", type=FILE, help="A situation file, for the load check sheet.")
@click.option("--audit", "count", type=FILE, metavar="COUNT", help="A filled count sheet, for the audit page.")
@repeated("--angle", "angles", type=_angle, metavar="DEG",
          help="Angle of the door card's table; the rules' flattest and steepest unless given.")  # fmt: skip
@options(f"sets seconds pool {SUPPOSING}")
def command(output: Path, **asked_for: Any) -> None:
    """Pages for CACHES, in one HTML file that needs no network and no other file.

    \b
    door    one printed side: ready sets, heights to lengths, straps, whom to call
    crew    reach, how many at once, each ready set to scale, a finder
    load    the load check sheet of a situation (--load)
    office  what to buy, before and after (--needs, --prices)
    audit   book against count, with lines to sign (--audit)
    count   a count sheet to tick on a tablet, whose file audit reads
    county  one page over several caches

    Without --only there is each of them that can be made from what is given.
    """  # noqa: D301 - the mark is one that keeps the lines of a help text apart
    from cache_check.report.pages.shell import html
    from cache_check.report.say import counted

    if str(output) != STDOUT and output.suffix.lower() not in (".html", ".htm"):
        raise AskError(f"{output} does not end in .html; name the file to write so that no cache is written over")
    result, book, read = answered(**asked_for)
    write_file(output, html(result, book, read), replace=True)
    if result.missing:
        sheets = counted(len(result.missing), "sheet")
        click.echo(f"cache-check: {sheets} not made, each says why in its place", err=True)
        click.get_current_context().exit(Exit.NO_PLAN)


def answered(
    asked: Request, only: Sequence[str], situation: Path | None, count: Path | None, angles: Sequence[Fraction],
    sets: int,
) -> "tuple[ReportResult, RuleBook, list[Source]]":  # fmt: skip
    """The facts of the sheets, the rules that they were judged by, and the files read beside the caches."""
    from cache_check.api.report import ReportTerms, pages
    from cache_check.files.situation import read_situation

    read = given.everything(asked, county_prices=True)
    rigs = read.rigs
    terms = ReportTerms(
        tuple(only), read.needs, tuple(read.quotes),
        read_situation(situation, {}, asked.units or rigs[0].units) if situation else None,
        _count(count, rigs) if count else None, tuple(sorted(set(angles))), sets, asked.seconds,
    )  # fmt: skip
    with waiting() as hear:
        result = pages(rigs, read.book, terms=terms, suppose=read.suppose, progress=hear)
    return result, read.book, [*read.beside, *given.sources([situation, count])]


def _count(path: Path, caches: "list[Cache]") -> "CountSheet":
    from cache_check.files.count import read_count

    wrong: InputError | None = None
    for one in caches:
        try:
            counted = read_count(path, one.catalogue)
            if counted.rig == one.id:
                return counted
        except InputError as error:
            wrong = wrong or error
    if wrong is not None:
        raise wrong
    return counted
