"""What a cache can build, at once, and what it lacks: the main job."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cache_check.cli import fleet, severities
from cache_check.cli import input as given
from cache_check.cli.options import FILE, Asked, failing, pooling, searching, shown, supposing
from cache_check.cli.output import leave

if TYPE_CHECKING:
    from collections.abc import Sequence

    from cache_check.model.result import CheckResult
    from cache_check.report.answer import View


@click.command("check", epilog="\b\nExample:\n  cache-check check rescue-41.yaml --needs scenes.yaml --without strap=2")
@click.argument("caches", type=FILE, nargs=-1, metavar="[CACHE|RIG]...")
@click.option("--needs", type=FILE, metavar="FILE", help="A needs file: the struts that each scene wants at once.")
@click.option("--skip", multiple=True, metavar="SCENE", help="Leave a scene of the needs file out. May be repeated.")
@click.option("--why", metavar="NAME", help="What made a scene's, need's or part's numbers.")
@pooling
@fleet.jobs
@searching
@supposing
@shown
@failing
def command(
    caches: tuple[Path, ...],
    needs: Path | None,
    skip: tuple[str, ...],
    why: str | None,
    pool: bool,
    jobs: int | None,
    seconds: float,
    asked: Asked,
    view: View,
    fail_on: str,
) -> None:
    """What CACHES can build, at once, and what they lack.

    The tally from the book to one piece lost, at your needs or at a few round
    lengths; reach and blind spots; matched sets; gaps; findings.
    """
    from cache_check.cli.screen import checked, explain, tell
    from cache_check.errors import AskError
    from cache_check.report.answer import Told

    checked("check", view)
    if why is not None and (jobs is not None or view.form != "table"):
        raise AskError("--why is told as a table of lines, without --jobs")
    whole, losses = view.wants("lengths", "sets", "reach"), bool({"losses", "all"} & set(view.show))
    if jobs is not None:
        one = partial(_alone, whole=whole, losses=losses, seconds=seconds)
        fleet.run(fleet.Verb("check", one, severities.of_check, pool), caches, asked, view, jobs, fail_on,
                  needs=needs, skip=skip)  # fmt: skip
        return
    results: list[CheckResult] = []
    for one_factor in asked.each():
        told = read(caches, needs, skip, one_factor)
        results += answered(told, pool, whole=whole, losses=losses, seconds=seconds)
    if why is not None:
        explain(why, results, told, view)
    else:
        tell("check", results, Told(told.book, told.beside, factors=asked.factors), view)
    leave((severity for result in results for severity in severities.of_check(result)), fail_on)


def _alone(told: given.Given, whole: bool, losses: bool, seconds: float) -> CheckResult:
    """One rig of many."""
    return answered(told, False, whole=whole, losses=losses, seconds=seconds)[0]


def read(caches: Sequence[Path], needs: Path | None, skip: Sequence[str], asked: Asked) -> given.Given:
    """All that is named, read."""
    return given.everything(caches, asked, needs=needs, skip=skip)


def answered(
    told: given.Given, pool: bool, *, whole: bool = True, losses: bool = False, seconds: float = 60.0
) -> list[CheckResult]:
    """What is answered of what was read, before anyone has decided how to show it.

    Not ``whole``: what the short answer shows.
    """
    from cache_check.api.check import check

    suppose, needs = told.suppose, told.needs
    return [
        check(one, told.book, needs=needs, suppose=suppose, whole=whole, losses=losses, seconds=seconds)
        for one in told.rigs(pool)
    ]
