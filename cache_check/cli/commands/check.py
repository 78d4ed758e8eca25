"""What a cache can build, at once, and what it lacks: the main job."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import click

from cache_check.cli import input as given
from cache_check.cli.options import SHOWN, SUPPOSING, Request, View, called, options
from cache_check.cli.output import leave, severities, tell
from cache_check.errors import AskError

if TYPE_CHECKING:
    from cache_check.model.result import CheckResult


@called("check", "check rescue-41.yaml --needs scenes.yaml --without strap=2")
@options("caches needs")
@click.option("--skip", multiple=True, metavar="SCENE", help="Leave a scene of the needs file out. May be repeated.")
@click.option("--why", metavar="NAME", help="What made a scene's, need's or part's numbers.")
@options(f"pool jobs seconds {SUPPOSING} {SHOWN} fail_on")
def command(asked: Request, why: str | None, view: View) -> None:
    """What CACHES can build, at once, and what they lack.

    The tally from the book to one piece missing, at your needs or at a few round
    lengths; reach and blind spots; matched sets; gaps; findings.
    """
    if why is not None and (asked.jobs is not None or view.form != "table"):
        raise AskError("--why is told as a table of lines, without --jobs")
    one = partial(
        answered, whole=view.wants("lengths", "sets", "reach"), losses=bool({"losses", "all"} & set(view.show))
    )
    if asked.jobs is not None:
        from cache_check.cli import fleet

        fleet.run("check", one, asked, view)
        return
    results: list[CheckResult] = []
    for one_factor in asked.each():
        told = given.everything(one_factor)
        results += one(told)
    if why is not None:
        from cache_check.cli.why import explain

        explain(why, results, told, view)
    else:
        tell("check", results, view, told.book, told.beside, factors=asked.factors)
    leave(severities("check", results), asked.fail_on)


def answered(read: given.Given, *, whole: bool = True, losses: bool = False) -> list[CheckResult]:
    """What is answered of what was read, before anyone has decided how to show it.

    Not ``whole``: what the short answer shows.
    """
    from cache_check.api.check import check

    ask = partial(check, needs=read.needs, suppose=read.suppose, seconds=read.asked.seconds)
    return [ask(one, read.book, whole=whole, losses=losses) for one in read.rigs]
