"""What a record of audits holds: repeat findings, open ones, what changed since."""

from pathlib import Path

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, SHOWN, Request, View, called, day, options, repeated
from cache_check.cli.output import Exit, tell
from cache_check.errors import AskError


@called("history", "history audits.db --rig rescue-41")
@click.argument("record", type=FILE, required=False, metavar="[RECORD]")
@click.option("--rig", metavar="NAME", help="Only the audits of this rig.")
@repeated("--receipt", "receipts", metavar="HASH",
          help="A receipt, as printed on a signed page, to compare; its first 12 letters do.")  # fmt: skip
@click.option("--entry", type=click.IntRange(1), metavar="N", help="Show this entry in full.")
@click.option("--correct", type=click.IntRange(1), metavar="N",
              help="Add a correction of entry N, which itself stays; with --says and --by.")  # fmt: skip
@click.option("--says", metavar="TEXT", help="What is wrong with that entry.")
@click.option("--by", metavar="NAME", help="Who says so.")
@click.option("--on", type=day, metavar="DATE", help="The day of the correction; today unless given.")
@options(SHOWN)
def command(
    record: Path | None, rig: str | None, receipts: tuple[str, ...], entry: int | None, correct: int | None,
    says: str | None, by: str | None, asked: Request, view: View,
) -> None:  # fmt: skip
    """Show the audits kept in RECORD, and how far the record can be trusted.

    Findings that are open, found again, new, not looked at or gone since the audit before. The exit status is 1 where
    the record is not sound, or has not the --receipt that is given; what can be read is shown.
    """
    from cache_check.api import history

    kept_in = given.record(record)
    if correct is not None:
        kept = history.correct(kept_in, correct, says or "", by or "", asked.on)
        click.echo(f"cache-check: kept as entry {kept.entry} of {kept.path}; receipt {kept.hash}", err=True)
    elif says or by:
        raise click.UsageError("--says and --by go with --correct N")
    found = history.history(kept_in, rig, receipts)
    if entry not in {None, *(one.number for one in found.entries)}:
        raise AskError(f"there is no entry {entry} in {kept_in}" + f" of {rig}" * bool(rig))
    tell("history", [found], view, None, more={"entry": entry})
    click.get_current_context().exit(Exit.FINDINGS if found.faults else Exit.CLEAN)
