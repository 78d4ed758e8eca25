"""The joint graph: every way a part may sit, every legal joint, and its rule."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, Asked, pooling, supposing
from cache_check.cli.output import STDOUT, emit, write_file

ORDER = 40


@click.command("graph", epilog="\b\nExample:\n  cache-check graph rescue-41.yaml --format graphml -o joints.graphml")
@click.argument("caches", type=FILE, nargs=-1, metavar="[CACHE|RIG]...")
@click.option(
    "--format",
    "form",
    type=click.Choice(("graphml", "dot", "json")),
    default="dot",
    show_default=True,
    help="GraphML, DOT, or node-link JSON.",
)
@click.option("-o", "--output", default=STDOUT, metavar="FILE", help="Where to write it; - is standard output.")
@pooling
@supposing
def command(
    caches: tuple[Path, ...],
    form: Literal["graphml", "dot", "json"],
    output: str,
    pool: bool,
    asked: Asked,
) -> None:
    """Draw or export which usable parts of CACHE may meet, and by which rule."""
    from cache_check import api
    from cache_check.report import as_graph

    read = given.everything(caches, asked, county_needs=False)
    joints = api.graph(read.one(pool), read.book, suppose=asked.suppose)
    writers = {"graphml": as_graph.as_graphml, "dot": as_graph.as_dot, "json": as_graph.as_node_link}
    text = writers[form](joints)
    if output == STDOUT:
        emit(text)
    else:
        write_file(Path(output), text, replace=True)
