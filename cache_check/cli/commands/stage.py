"""Which sets to leave built, where they lie, and what is done with them in each scene."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cache_check.cli import input as given
from cache_check.cli.options import SHOWN, SUPPOSING, Request, View, called, options
from cache_check.cli.output import Exit, leave, plotted, severities, tell, waiting

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from cache_check.model.staging import StageResult


@called("stage", "stage rescue-41.yaml --needs scenes.yaml --sets 4")
@options("caches needs skip sets")
@click.option("--pool", is_flag=True, help="Take all the caches as one; a set lies on the rig that owns its parts.")
@options(f"seconds plot {SUPPOSING} {SHOWN} fail_on")
def command(asked: Request, sets: int, plot: Path | None, view: View) -> None:
    """Which ready sets to leave built on CACHES.

    The sets that serve every scene with the fewest joints made or broken on scene, each where it fits; and each scene
    step by step. Without needs, the matched sets.
    """
    each = [answered(one, sets) for one in asked.each()]
    results, (_, read, drawn) = [result for found, _, _ in each for result in found], each[0]
    plotted(plot, lambda _: drawn())
    tell("stage", results, view, read.book, read.beside, factors=asked.factors)
    if any(result.staging is not None and result.staging.unproven for result in results):
        click.echo("cache-check: the ready sets are not proven the best; the page says what is not, and why", err=True)
        click.get_current_context().exit(Exit.NO_PLAN)
    leave(severities("stage", results), asked.fail_on)


def answered(asked: Request, sets: int) -> "tuple[list[StageResult], given.Given, Callable[[], Figure]]":
    """What is answered, before anyone has decided how to show it, what was read for it, and what draws it."""
    from cache_check.api.stage import stage

    read = given.everything(asked)
    staged = read.rigs
    with waiting() as hear:
        ask = partial(stage, needs=read.needs, sets=sets, suppose=read.suppose, seconds=asked.seconds, progress=hear)
        results = [ask(one, read.book) for one in staged]

    def drawn() -> "Figure":
        from cache_check.api.card import staged_sets
        from cache_check.report.figures import answers

        both = zip(staged, results, strict=True)
        sets = [staged_sets(one, read.book, result, suppose=read.suppose) for one, result in both]
        return answers.stage(results, sets)

    return results, read, drawn
