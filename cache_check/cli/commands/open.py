"""A page on this machine that answers while you change the files; it writes nothing."""

from __future__ import annotations

from pathlib import Path

import click

from cache_check.cli.options import FILE


@click.command("open", epilog="\b\nExample:\n  cache-check open rig.xlsx --needs scenes.yaml")
@click.argument("caches", type=FILE, nargs=-1, metavar="[CACHE|RIG|county.yaml]...")
@click.option("--needs", type=FILE, metavar="FILE", help="A needs file: the struts that each scene wants at once.")
@click.option("--prices", type=FILE, multiple=True, metavar="FILE", help="A quote. May be repeated.")
@click.option("--rules", "policies", type=FILE, multiple=True, metavar="FILE", help="A policy file. May be repeated.")
@click.option("--on", metavar="DATE", default="", help="The day to judge dates by; today unless given.")
@click.option("--port", type=click.IntRange(0, 65_535), default=0, help="The port; a free one unless given.")
@click.option("--no-browser", is_flag=True, help="Only say the address.")
def command(
    caches: tuple[Path, ...],
    needs: Path | None,
    prices: tuple[Path, ...],
    policies: tuple[Path, ...],
    on: str,
    port: int,
    no_browser: bool,
) -> None:
    """Open a page that follows caches as they are saved, and answers what if.

    Without a name it is of the county whose county.yaml lies here or above.
    Only this machine can reach it, files go nowhere, and nothing is written.
    It ends with Ctrl-C, or by its own link.
    """
    from cache_check.cli.live.begin import begin

    begin(caches, needs, prices, policies, on, port, browser=not no_browser)
