"""What to buy or move: the cheapest list that meets every scene, or the most for a budget."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cache_check.cli import fleet
from cache_check.cli import input as given
from cache_check.cli.options import FILE, Asked, failing, pieces, pooling, searching, shown, supposing
from cache_check.cli.output import Exit, leave
from cache_check.cli.plot import plotting

if TYPE_CHECKING:
    from collections.abc import Callable

    from cache_check.api.buy import BuyTerms
    from cache_check.model.purchase import BuyResult
    from cache_check.report.answer import View


def _money(_ctx: click.Context, _param: click.Parameter, value: str | None) -> int | None:
    """An amount as hundredths."""
    from cache_check.model.record import money

    try:
        return None if value is None else money(value)
    except ValueError as error:
        raise click.BadParameter(f"{value!r}: {error}") from None


@click.command(
    "buy",
    epilog="\b\nExamples:\n  cache-check buy rescue-44.yaml --needs scenes.yaml --prices quote.yaml --budget 2500\n"
    "  cache-check buy rescue-44.yaml --needs scenes.yaml --from rescue-41.yaml",
)
@click.argument("caches", type=FILE, nargs=-1, metavar="[CACHE|RIG]...")
@click.option("--needs", type=FILE, metavar="FILE", help="A needs file: the struts that each scene wants at once.")
@click.option(
    "--prices",
    type=FILE,
    multiple=True,
    metavar="FILE",
    help="A quote. May be repeated: each is answered by itself, and all together. Without any, the list "
    "with the fewest pieces.",
)
@click.option("--budget", callback=_money, metavar="AMOUNT", help="No more than this, as 2500 or 2500.00.")
@click.option(
    "--from",
    "givers",
    type=FILE,
    multiple=True,
    metavar="FILE",
    help="A cache whose usable pieces may be moved here. May be repeated.",
)
@click.option(
    "--move-price", callback=_money, metavar="AMOUNT", default="0", show_default=True, help="What moving a piece costs."
)
@click.option(
    "--spare",
    callback=pieces,
    multiple=True,
    metavar="PART=N",
    help="Leave N usable pieces of a part over in every scene. May be repeated.",
)
@click.option("--spare-pins", is_flag=True, help="Leave the spare pins over that the rules ask for.")
@click.option("--one-lost", is_flag=True, help="Meet every scene even after any one piece is lost.")
@click.option("--as-is", is_flag=True, help="Bring nothing back first that is on the book and does not count.")
@click.option("--frontier", is_flag=True, help="Also every step from today to everything met; that takes longer.")
@pooling
@fleet.jobs
@searching
@supposing
@shown
@plotting
@failing
def command(
    caches: tuple[Path, ...],
    needs: Path | None,
    prices: tuple[Path, ...],
    budget: int | None,
    givers: tuple[Path, ...],
    move_price: int,
    spare: tuple[tuple[str, int], ...],
    spare_pins: bool,
    one_lost: bool,
    as_is: bool,
    frontier: bool,
    pool: bool,
    jobs: int | None,
    seconds: float,
    asked: Asked,
    view: View,
    fail_on: str,
    plot: Path | None,
) -> None:
    """What to buy for CACHES, or to move to them.

    First what is on the book and comes back for nothing: fetched, found,
    looked at, inspected, mended. Then the cheapest list that meets every scene,
    or the most that a budget buys: scenes met by weight, then struts by weight;
    what each line opens; dead stock. Several caches are answered each by itself, with
    the moves between them that help.
    """
    from cache_check.api.buy import BuyTerms, county
    from cache_check.cli import progress
    from cache_check.cli.screen import checked, tell
    from cache_check.cli.severities import of_buy as severities
    from cache_check.files.pool import check_serials
    from cache_check.report.answer import Told

    checked("buy", view)
    terms = BuyTerms(
        budget=budget, spare=spare, spare_pins=spare_pins, one_lost=one_lost, move_price=move_price, as_is=as_is,
        frontier=frontier or plot is not None, seconds=seconds,
    )  # fmt: skip
    if jobs is not None:
        none = Exit.CLEAN if budget is not None else Exit.NO_PLAN
        verb = fleet.Verb("buy", partial(_alone, terms=terms), severities, pool=pool, prices=True, none=none)
        fleet.run(verb, caches, asked, view, jobs, fail_on, needs=needs, prices=prices, others=givers)
        return
    read = given.everything(caches, asked, needs=needs, prices=prices, others=givers, county_prices=True)
    check_serials([*read.caches, *read.others])
    hear = progress.told()
    rigs = read.rigs(pool)
    results = answered(read, terms, pool, hear)
    between = None
    if read.needs is not None and len(rigs) > 1:
        between = county(rigs, read.book, read.needs, suppose=read.suppose, progress=hear)
    progress.done()
    if plot is not None:
        from cache_check.cli.plot import plot as drawn
        from cache_check.report.figures import answers

        drawn(plot, answers.buy(results))
    tell("buy", results, Told(read.book, read.beside, more={"county": between}), view)
    if budget is None and any(True for result in results for _ in severities(result)):
        click.echo("cache-check: no list meets every scene; the page says which need stands in the way", err=True)
        click.get_current_context().exit(Exit.NO_PLAN)
    leave((severity for result in results for severity in severities(result)), fail_on)


def answered(
    read: given.Given, terms: BuyTerms, pool: bool, hear: Callable[[str], None] | None = None
) -> list[BuyResult]:
    """What to buy for each of the caches, or for all as one.

    Raises:
        AskError: nothing is asked to be met, or a budget has no prices.
    """
    from cache_check.api.buy import buy
    from cache_check.errors import AskError

    terms = replace(terms, givers=tuple(read.others))
    if read.needs is None:
        raise AskError("nothing is asked to be met; give --needs FILE (cache-check new --kind needs writes a starter)")
    if terms.budget is not None and not read.quotes and not terms.givers:
        raise AskError("a budget needs prices to spend it by; give --prices FILE, or --from FILE with --move-price")
    return [
        buy(one, read.book, read.needs, read.quotes, terms=terms, suppose=read.suppose, progress=hear)
        for one in read.rigs(pool)
    ]


def _alone(read: given.Given, terms: BuyTerms) -> BuyResult:
    """What to buy for one rig of many."""
    return answered(read, terms, False)[0]
