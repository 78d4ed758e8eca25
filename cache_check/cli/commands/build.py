"""May these parts, from the ground to the load, be built; if not, which rule says so."""

from dataclasses import replace
from pathlib import Path

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, SHOWN, SUPPOSING, Request, View, called, options, repeated
from cache_check.cli.output import leave, severities, tell


@called("build", "build rescue-41.yaml hinged-base extension-10 long-body edge-head")
@click.argument("cache", type=FILE, metavar="CACHE|RIG")
@click.argument("parts", nargs=-1, required=True, metavar="PART...")
@repeated("--with-rig", "rigs", type=FILE, help="Take the cache of another rig together with it.")
@options(f"{SUPPOSING} {SHOWN} fail_on")
def command(cache: Path, parts: tuple[str, ...], rigs: tuple[Path, ...], asked: Request, view: View) -> None:
    """May these parts be built, named from the ground to the load?

    Says every rule that is broken, with its source; the length closed and open;
    weight and pins; and the nearest legal build from the parts of CACHE.
    """
    from cache_check.api.check import build

    read = given.everything(replace(asked, caches=(cache, *rigs), pool=bool(rigs)), county_needs=False)
    result = build(read.one, read.book, parts, suppose=read.suppose)
    tell("build", [result], view, read.book, read.beside)
    leave(severities("build", [result]), asked.fail_on)
