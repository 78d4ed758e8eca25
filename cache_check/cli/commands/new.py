"""Write a commented starter file: a cache, or a family, needs, policy or prices."""

from __future__ import annotations

from pathlib import Path

import click

from cache_check.cli.output import STDOUT, emit, write_file

ORDER = 60
KINDS = ("cache", "family", "needs", "policy", "prices", "situation")


@click.command("new", epilog="\b\nExample:\n  cache-check new my-rig.yaml")
@click.argument("file", default=None, required=False)
@click.option("--kind", type=click.Choice(KINDS), default="cache", show_default=True, help="What the file is for.")
def command(file: str | None, kind: str) -> None:
    """Write a starter file with comments to FILE, which must not exist yet.

    Without FILE it is named after its kind, as cache.yaml; - is standard output.
    """
    from cache_check.files.template import TEMPLATES

    if file == STDOUT:
        emit(TEMPLATES[kind])
        return
    path = Path(file or f"{kind}.yaml")
    write_file(path, TEMPLATES[kind], replace=False)
    click.echo(f"cache-check: {path} written; put your own figures in place of the invented ones", err=True)
