"""What to buy or move: the cheapest list that meets every scene, or the most for a budget."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, SHOWN, SUPPOSING, Request, View, called, options, pieces, repeated
from cache_check.cli.output import Exit, leave, plotted, severities, tell, waiting
from cache_check.errors import AskError

if TYPE_CHECKING:
    from cache_check.api.buy import BuyTerms
    from cache_check.model.purchase import BuyResult


def _money(value: str) -> int:
    from cache_check.model.quantities import money

    try:
        return money(value)
    except ValueError as error:
        raise click.BadParameter(f"{value!r}: {error}") from None


@called("buy", "buy rescue-44.yaml --needs scenes.yaml --prices quote.yaml --budget 2500",
        "buy rescue-44.yaml --needs scenes.yaml --from rescue-41.yaml")  # fmt: skip
@options("caches needs skip prices")
@click.option("--budget", type=_money, metavar="AMOUNT", help="No more than this, as 2500 or 2500.00.")
@repeated("--from", "others", type=FILE, help="A cache whose usable pieces may be moved here.")
@click.option("--move-price", type=_money, metavar="AMOUNT", default="0", show_default=True,
              help="What moving a piece costs.")  # fmt: skip
@repeated("--spare", type=pieces, metavar="PART=N", help="Leave N usable pieces of a part over in every scene.")
@click.option("--spare-pins", is_flag=True, help="Leave the spare pins over that the rules ask for.")
@click.option("--one-lost", is_flag=True, help="Meet every scene even with any one piece missing.")
@click.option("--as-is", is_flag=True, help="Bring nothing back first that is on the book and does not count.")
@click.option("--frontier", is_flag=True, help="Also every step from today to everything met; that takes longer.")
@options(f"pool jobs seconds {SUPPOSING} {SHOWN} plot fail_on")
def command(asked: Request, view: View, plot: Path | None, **terms_of: Any) -> None:
    """What to buy for CACHES, or to move to them.

    First what is on the book and comes back for nothing: fetched, found, looked at, inspected, mended. Then the
    cheapest list that meets every scene, or the most that a budget buys: scenes met by weight, then struts by weight;
    without prices, the list with the fewest pieces. What each line opens; dead stock. Several caches are answered each
    by itself, with the moves between them that help.
    """
    from cache_check.api.buy import BuyTerms, county
    from cache_check.files.pool import check_apart

    frontier = terms_of.pop("frontier") or plot is not None
    terms = BuyTerms(**terms_of, frontier=frontier, seconds=asked.seconds)
    if asked.jobs is not None:
        from cache_check.cli import fleet

        none = Exit.CLEAN if terms.budget is not None else Exit.NO_PLAN
        fleet.run("buy", partial(answered, terms=terms), asked, view, prices=True, none=none)
        return
    read = given.everything(asked, county_prices=True)
    check_apart([*read.caches, *read.others])
    rigs, between = read.rigs, None
    with waiting() as hear:
        results = answered(read, terms, hear)
        if read.needs is not None and len(rigs) > 1:
            between = county(rigs, read.book, read.needs, suppose=read.suppose, progress=hear)
    plotted(plot, lambda answers: answers.buy(results))
    tell("buy", results, view, read.book, read.beside, more={"county": between})
    if terms.budget is None and any(severities("buy", results)):
        click.echo("cache-check: no list meets every scene; the page says which need stands in the way", err=True)
        click.get_current_context().exit(Exit.NO_PLAN)
    leave(severities("buy", results), asked.fail_on)


def answered(read: given.Given, terms: "BuyTerms", hear: Callable[[str], None] = lambda _: None) -> "list[BuyResult]":
    """What to buy for each cache, or for all as one.  Raises AskError: nothing to meet, or a budget without prices."""
    from cache_check.api.buy import buy

    terms = replace(terms, givers=tuple(read.others))
    if read.needs is None:
        raise AskError("nothing is asked to be met; give --needs FILE (cache-check new --kind needs writes a starter)")
    if terms.budget is not None and not read.quotes and not terms.givers:
        raise AskError("a budget needs prices to spend it by; give --prices FILE, or --from FILE with --move-price")
    ask = partial(buy, needs=read.needs, prices=read.quotes, terms=terms, suppose=read.suppose, progress=hear)
    return [ask(one, read.book) for one in read.rigs]
