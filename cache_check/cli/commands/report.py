"""The door card of each cache: one printed side to pin up, in one HTML file."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, supposing, what_if
from cache_check.cli.output import STDOUT, emit, write_file

if TYPE_CHECKING:
    from cache_check.units import System

ORDER = 32
ONLY = ("door",)


def _angles(_ctx: click.Context, _param: click.Parameter, values: tuple[str, ...]) -> tuple[Fraction, ...]:
    """Angles from the horizontal in degrees."""
    found = []
    for value in values:
        number = value.strip().removesuffix("deg").strip()
        if not (number.isascii() and number.replace(".", "", 1).isdecimal()) or not 1 <= Fraction(number) <= 90:
            raise click.BadParameter(
                f"{value!r} is not an angle from the horizontal; write degrees from 1 to 90, as 60"
            )
        found.append(Fraction(number))
    return tuple(sorted(set(found)))


@click.command(
    "report",
    epilog="\b\nExamples:\n  cache-check report rescue-41.yaml --only door -o door.html\n"
    "  cache-check report rescue-41.yaml rescue-44.yaml --needs scenes.yaml -o doors.html",
)
@click.argument("caches", type=FILE, nargs=-1, required=True)
@click.option(
    "-o",
    "--output",
    type=FILE,
    required=True,
    metavar="FILE.html",
    help='The file to write; an earlier one of that name is replaced. "-" writes to stdout.',
)
@click.option("--only", type=click.Choice(ONLY), multiple=True, help="Only this sheet. May be repeated.")
@click.option("--needs", type=FILE, metavar="FILE", help="A needs file: the struts that each scene wants at once.")
@click.option(
    "--angle",
    "angles",
    callback=_angles,
    multiple=True,
    metavar="DEG",
    help="Angle of the door card's table; the rules' flattest and steepest unless given. May be repeated.",
)
@click.option(
    "--sets",
    type=click.IntRange(1, 100),
    default=4,
    show_default=True,
    metavar="N",
    help="The most ready sets to propose.",
)
@click.option(
    "--seconds",
    type=click.FloatRange(0.1),
    default=60.0,
    show_default=True,
    metavar="S",
    help="How long to search. What is not proven by then is said to be so.",
)
@supposing
def command(
    caches: tuple[Path, ...],
    output: Path,
    only: tuple[str, ...],  # so far there is one sheet, so that naming it chooses nothing else
    needs: Path | None,
    angles: tuple[Fraction, ...],
    sets: int,
    seconds: float,
    without: tuple[tuple[str, int | None], ...],
    extra: tuple[tuple[str, int], ...],
    factor: Fraction | None,
    on: date | None,
    policies: tuple[Path, ...],
    units: System | None,
) -> None:
    """The door card of each of CACHES, in one HTML file.

    The file needs no network and no other file; each card prints on one side
    of letter or A4. Give other rigs' caches too, so that the card can say who
    helps with the next strut.
    """
    from cache_check import api
    from cache_check.cli import progress
    from cache_check.errors import AskError
    from cache_check.files.read import read_needs, read_rules
    from cache_check.report.pages.of_report import html

    if str(output) != STDOUT and output.suffix.lower() not in (".html", ".htm"):
        raise AskError(f"{output} does not end in .html; name the file to write so that no cache is written over")
    book = read_rules(policies)
    read = given.caches(caches, book)
    terms = api.ReportTerms(needs=read_needs(needs) if needs else None, angles_deg=angles, sets=sets, seconds=seconds)
    suppose = what_if(without, extra, factor, on, units)
    result = api.report(read, book, terms=terms, suppose=suppose, progress=progress.told())
    progress.done()
    page = html(result)
    if str(output) == STDOUT:
        emit(page)
    else:
        write_file(output, page, replace=True)
