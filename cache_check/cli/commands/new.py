"""Write a commented starter file: a cache, family, needs, policy, prices; or a workbook."""

from datetime import date
from pathlib import Path

import click

from cache_check.cli.options import called
from cache_check.cli.output import write_file

KINDS = ("cache", "county", "family", "needs", "policy", "prices", "situation")


@called("new", "new my-rig.yaml", "new --county", "new --workbook my-rig.xlsx")
@click.argument("file", default=None, required=False)
@click.option("--kind", type=click.Choice(KINDS), default="cache", show_default=True, help="What the file is for.")
@click.option("--workbook", type=click.Path(path_type=Path), metavar="FILE",
              help="Write a workbook (.xlsx) with sheets for a cache, its needs and prices.")  # fmt: skip
@click.option("--county", is_flag=True, help="Write county.yaml, a first rig, needs and prices.")
def command(file: str | None, kind: str, workbook: Path | None, county: bool) -> None:
    """Write a starter file with comments to FILE, which must not exist yet.

    Without FILE it is named after its kind, as cache.yaml; - is standard output. Its days are counted from today, so
    that nothing in it is overdue. A workbook explains itself: heads with units, notes, drop-downs; nothing locked.
    """
    from cache_check.files.rules import starter, starter_workbook

    if county:
        if file is not None or workbook is not None:
            raise click.UsageError("--county writes files of its own names into this folder; name no other")
        # The county file comes last, so that none stands there that names a file which could not be written.
        files = {"my-rig.yaml": "cache", "needs.yaml": "needs", "prices.yaml": "prices", "county.yaml": "county"}
    elif workbook is not None:
        if file is not None:
            raise click.UsageError("name one file: FILE, or --workbook FILE.xlsx")
        if workbook.suffix.casefold() != ".xlsx":
            raise click.UsageError(f"{workbook.name!r} does not end in .xlsx")
        files = {str(workbook): ""}
    else:
        files = {file or f"{kind}.yaml": kind}
    for name, of in files.items():
        made = starter(of, date.today()) if of else starter_workbook(("cache", "needs", "prices"), date.today())
        write_file(Path(name), made, replace=False, said="written; put your own figures in place of the invented ones")
