"""What each strut carries in one situation, and what holds its base."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, SHOWN, SUPPOSING, Request, View, called, options
from cache_check.cli.output import leave, plotted, severities, tell
from cache_check.cli.situation_options import given_of, situating
from cache_check.errors import AskError


@called("load", "load rescue-41.yaml --contact-height 52in --angle 60 --vertical 4000lbf")
@click.argument("files", type=FILE, nargs=-1, required=True, metavar="[CACHE|RIG]... [SITUATION]")
@options("pool")
@situating
@options(f"seconds {SUPPOSING} {SHOWN} plot fail_on")
def command(files: tuple[Path, ...], asked: Request, view: View, plot: Path | None, **situated: Any) -> None:
    """What each strut carries in one situation, and what holds its base.

    The situation stands in a file, or in options of the same words, which
    replace the file's: length, angle and base; force along the strut and along
    the ground; straps or chain; which assemblies of CACHE carry it, best first;
    how many at once; the pad; and what still passes where something is unknown.
    """
    from cache_check.api.load import load
    from cache_check.report import of_load

    paths, written = given.parted(files)
    entries = given_of(situated)
    read = given.everything(
        replace(asked, caches=tuple(paths)), county_needs=False,
        situation=lambda units: given.situation(written, entries, units),
    )  # fmt: skip
    book, rigs = read.book, read.rigs
    if plot is not None and len(rigs) > 1:
        raise AskError(f"--plot draws one cache and {len(rigs)} are named; name one, or take them as one with --pool")
    assert read.situation is not None
    beside = [*given.sources([written] if written else []), *read.beside]
    results = [load(one, book, read.situation, suppose=read.suppose, seconds=asked.seconds) for one in rigs]
    plotted(plot, lambda answers: answers.load(results[0]))
    counted = "; ".join(dict.fromkeys(of_load.counted(one) for one in results))
    tell("load", results, view, book, beside, counted=counted)
    unmet = any(result.verdict != "met" for result in results)
    leave(severities("load", results), asked.fail_on, unmet=unmet)
