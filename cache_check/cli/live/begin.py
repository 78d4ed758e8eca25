"""From the command line to a running page."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from importlib.util import find_spec
from pathlib import Path

import click

from cache_check.cli.home import home
from cache_check.cli.live.question import Opened
from cache_check.cli.options import Asked
from cache_check.errors import AskError
from cache_check.files.county import NAME


def begin(asked: Asked, port: int, *, browser: bool) -> None:
    """Serve the page until it is ended; AskError where a package or file is not there, or the port is taken."""
    for name in ("starlette", "uvicorn"):
        if find_spec(name) is None:
            raise AskError(f"this page takes {name}, which is not installed: pip install 'cache-check[open]'")
    if [path.name for path in asked.caches] == [NAME]:
        os.chdir(asked.caches[0].absolute().parent)
        asked = replace(asked, caches=())
    here = home(asked.caches)
    asked = here.asked(asked)
    caches, needs, prices = here.caches, here.needs(asked.needs), here.prices(asked.prices)
    named = [path for path in (*caches, needs, *prices, *asked.policies) if path is not None]
    for path in named:
        if not path.exists():
            raise AskError(f"{path} is not there")
    folder = common(named)
    opened = Opened(
        rigs=_by_name([_below(path, folder) for path in caches]),
        needs=_below(needs, folder) if needs else "",
        prices=tuple(_below(path, folder) for path in prices),
        policies=tuple(_below(path, folder) for path in asked.policies),
        on=asked.on.isoformat() if asked.on else "",
        folder=str(folder),
    )

    def ready(address: str) -> None:
        click.echo(f"cache-check: open {address} (only this machine can; Ctrl-C ends it)", err=True)
        if browser:
            import webbrowser

            webbrowser.open(address)

    from cache_check.cli.live.serve import serve

    try:
        serve(opened, port, ready)
    except OSError as error:
        raise AskError(f"port {port} cannot be had: {error.strerror or error}") from None


def common(paths: Sequence[Path]) -> Path:
    """The folder below which all of the files lie, as they were named."""
    return Path(os.path.commonpath([path.absolute().parent for path in paths]))


def _below(path: Path, folder: Path) -> str:
    return str(path.absolute().relative_to(folder))


def _by_name(files: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Each file under a name of its own: its stem, or the whole where two stems are one."""
    stems = [Path(file).stem for file in files]
    return tuple((file if stems.count(stem) > 1 else stem, file) for file, stem in zip(files, stems, strict=True))
