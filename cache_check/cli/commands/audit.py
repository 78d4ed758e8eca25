"""Book against count: what is wrong, what the rig can still do, what costs most."""

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, JUDGING, SHOWN, Request, View, called, into, options, repeated
from cache_check.cli.output import STDOUT, leave, severities, tell, write_file

if TYPE_CHECKING:
    from cache_check.model.audit import AuditResult
    from cache_check.model.cache import Cache
    from cache_check.model.count import CountSheet


@called("audit", "audit rescue-41.yaml --sheet count.xlsx",
        'audit rescue-41.yaml count.xlsx --needs scenes.yaml --ahead "12 months"')  # fmt: skip
@click.argument("files", type=FILE, nargs=-1, metavar="CACHE [COUNT]")
@click.option("--sheet", metavar="FILE", help="Write a count sheet: .xlsx, .csv, or .txt to print; then stop.")
@click.option("--needs", type=FILE, help="A needs file: what the rig must be able to do.")
@click.option("--ahead", metavar="SPAN", help='What falls due until then, as "12 months".')
@repeated("--other", "others", type=FILE, help="The cache of another rig, to tell whose a strange serial is.")
@click.option("--record", type=FILE, callback=into, help="Keep the audit in this record; see cache-check history.")
@options(f"jobs seconds {JUDGING} {SHOWN} fail_on")
def command(
    files: tuple[Path, ...], sheet: str | None, ahead: str | None, record: Path | None, asked: Request, view: View
) -> None:
    """Audit CACHE against COUNT, a filled count sheet.

    What is missing, extra, overdue or unfit; each need by the book and today; what each finding costs; pass, pass with
    fixes, or out of service. Without COUNT the book itself is audited; with --jobs the books of many CACHES.
    """
    if asked.jobs is not None:
        from cache_check.cli import fleet

        if sheet is not None or record is not None:
            raise click.UsageError("--jobs audits books as they stand; leave --sheet and --record out")
        fleet.run("audit", partial(_answered, ahead=ahead), replace(asked, caches=files), view)
        return
    read, count = given.everything(replace(asked, caches=files[:1])), files[1] if len(files) > 1 else None
    if len(files) > 2 or len(read.caches) > 1:
        raise click.UsageError("name one CACHE and at most one COUNT, or many caches with --jobs")
    (cache,) = read.caches
    if sheet is not None:
        if count is not None:
            raise click.UsageError("--sheet writes a sheet to be filled in; give COUNT without it")
        _write_sheet(cache, sheet)
        return
    counted = None
    if count:
        from cache_check.files.count import read_count

        counted = read_count(count, cache.catalogue)
    (result,) = _answered(read, ahead, counted)
    if record is not None:
        from cache_check.api.history import keep_audit

        result = keep_audit(result, record)
    tell("audit", [result], view, read.book, [*given.sources([count]), *read.beside])
    leave(severities("audit", [result]), asked.fail_on)


def _answered(read: given.Given, ahead: str | None, counted: "CountSheet | None" = None) -> "list[AuditResult]":
    from cache_check.api.audit import audit

    ask = partial(audit, needs=read.needs, ahead=ahead, others=read.others, suppose=read.suppose)
    return [ask(one, read.book, counted, seconds=read.asked.seconds) for one in read.caches]


def _write_sheet(cache: "Cache", name: str) -> None:
    from cache_check.api.audit import sheet
    from cache_check.files import count
    from cache_check.report import to_write_on
    from cache_check.report.as_text import as_table

    blank = sheet(cache)
    suffix = Path(name).suffix.casefold()
    if suffix == ".txt" or name == STDOUT:
        made: str | bytes = as_table(to_write_on.count_sheet(blank))
    elif suffix in (".xlsx", ".csv"):
        made = count.as_workbook(blank) if suffix == ".xlsx" else count.as_csv(blank)
    else:
        raise click.UsageError(f"{name!r}: a count sheet is written as .xlsx, .csv or .txt")
    write_file(Path(name), made, replace=False, said="written; fill it in and give it back as COUNT")
