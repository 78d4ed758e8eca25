"""A page on this machine that answers while you change the files; it writes nothing."""

import os
from collections.abc import Iterable
from dataclasses import replace
from importlib.util import find_spec
from pathlib import Path

import click

from cache_check.cli.input import settled
from cache_check.cli.live.question import Opened
from cache_check.cli.options import FILE, Request, called, options
from cache_check.errors import AskError


@called("open", "open rig.xlsx --needs scenes.yaml")
@click.argument("caches", type=FILE, nargs=-1, metavar="[CACHE|RIG|county.yaml]...")
@options("needs prices policies on")
@click.option("--port", type=click.IntRange(0, 65_535), default=0, help="The port; a free one unless given.")
@click.option("--no-browser", is_flag=True, help="Only say the address.")
def command(asked: Request, port: int, no_browser: bool) -> None:
    """Open a page that follows caches as they are saved, and answers what if.

    Without a name it is of the county whose county.yaml lies here or above. Only this machine can reach it, files go
    nowhere, and nothing is written. It ends with Ctrl-C, or by its own link.
    """
    for name in ("starlette", "uvicorn"):
        if find_spec(name) is None:
            raise AskError(f"this page takes {name}, which is not installed: pip install 'cache-check[open]'")
    from cache_check.cli.live.serve import serve

    def ready(address: str) -> None:
        click.echo(f"cache-check: open {address} (only this machine can; Ctrl-C ends it)", err=True)
        if not no_browser:
            import webbrowser

            webbrowser.open(address)

    opened = _opened(asked)
    try:
        serve(opened, port, ready)
    except OSError as error:
        raise AskError(f"port {port} cannot be had: {error.strerror or error}") from None


def _opened(asked: Request) -> Opened:
    """What is named or the county has, as it lies below the folder that holds it all."""
    from cache_check.files.pool import NAME
    from cache_check.files.text import read_bytes

    if [path.name for path in asked.caches] == [NAME]:
        os.chdir(asked.caches[0].absolute().parent)
        asked = replace(asked, caches=())
    asked = settled(asked)
    caches, needs, prices = asked.caches, asked.needs, asked.prices
    named = [path for path in (*caches, needs, *prices, *asked.policies) if path is not None]
    for path in named:
        if not path.exists():
            read_bytes(path, str(path))  # which says so, with the nearest name
    folder = Path(os.path.commonpath([path.absolute().parent for path in named]))

    def below(paths: Iterable[Path]) -> tuple[str, ...]:
        return tuple(str(path.absolute().relative_to(folder)) for path in paths)

    stems = [path.stem for path in caches]  # a rig is named by its whole path where two stems are one
    rigs = [(file if stems.count(stem) > 1 else stem, file) for stem, file in zip(stems, below(caches), strict=True)]
    on = asked.on.isoformat() if asked.on else ""
    needed = below([needs])[0] if needs else ""
    return Opened(tuple(rigs), needed, below(prices), below(asked.policies), on, str(folder))
