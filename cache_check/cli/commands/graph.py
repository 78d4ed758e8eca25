"""The joint graph: every way a part may sit, every legal joint, and its rule."""

from pathlib import Path
from typing import Literal

import click

from cache_check.cli import input as given
from cache_check.cli.options import SUPPOSING, Request, called, options
from cache_check.cli.output import STDOUT, view, write_file


@called("graph", "graph rescue-41.yaml --format graphml -o joints.graphml")
@options("caches")
@click.option("--format", "form", type=click.Choice(("table", "graphml", "dot", "json")),
              help="A table to read, GraphML, DOT, or node-link JSON; unless said, a table on the terminal and DOT in "
              "a file.")  # fmt: skip
@click.option("-o", "--output", default=STDOUT, metavar="FILE", help="Where to write it; - is standard output.")
@options(f"pool {SUPPOSING}")
def command(asked: Request, form: Literal["table", "graphml", "dot", "json"] | None, output: str) -> None:
    """Show or export which usable parts of CACHE may meet, and by which rule."""
    from cache_check.api.check import graph
    from cache_check.report import as_graph

    read = given.everything(asked, county_needs=False)
    cache = read.one
    joints = graph(cache, read.book, suppose=read.suppose)
    form = form or ("table" if output == STDOUT else "dot")
    if form == "table":
        shown = view()
        text = as_graph.as_short(joints, cache.title, cache.catalogue.said, shown.width, shown.colored)
    else:
        text = {"graphml": as_graph.as_graphml, "dot": as_graph.as_dot, "json": as_graph.as_node_link}[form](joints)
    write_file(Path(output), text, replace=True)
