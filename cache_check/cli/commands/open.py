"""A page on this machine that answers while you change the files; it writes nothing."""

from __future__ import annotations

import click

from cache_check.cli.options import FILE, Asked, called, options


@called("open", "open rig.xlsx --needs scenes.yaml")
@click.argument("caches", type=FILE, nargs=-1, metavar="[CACHE|RIG|county.yaml]...")
@options("needs")
@click.option("--prices", type=FILE, multiple=True, metavar="FILE", help="A quote. May be repeated.")
@options("policies on")
@click.option("--port", type=click.IntRange(0, 65_535), default=0, help="The port; a free one unless given.")
@click.option("--no-browser", is_flag=True, help="Only say the address.")
def command(asked: Asked, port: int, no_browser: bool) -> None:
    """Open a page that follows caches as they are saved, and answers what if.

    Without a name it is of the county whose county.yaml lies here or above.
    Only this machine can reach it, files go nowhere, and nothing is written.
    It ends with Ctrl-C, or by its own link.
    """
    from cache_check.cli.live.begin import begin

    begin(asked, port, browser=not no_browser)
