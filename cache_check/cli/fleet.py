"""Many rigs, each by itself: a line each once it is there, past files that cannot be read; only serials are kept."""

import contextlib
import gc
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from cache_check.cli import input as given
from cache_check.cli.options import Request, View
from cache_check.cli.output import Exit, emit, fault, leave, severities, waiting
from cache_check.errors import AskError, CacheCheckError, InputError
from cache_check.frozen import dataclass

if TYPE_CHECKING:
    from cache_check.files.cache import Kept
    from cache_check.model.rule import RuleBook
    from cache_check.units import System

TOLD_BAD = 10  # so many of the rigs that have no answer are named again at the end
_SHARED: "list[tuple[Shared, Kept]]" = []
"""What this process was given to share when it began, and the families that its rigs named so far."""


@dataclass(frozen=True)
class Shared:
    """What every rig is asked: the command's name, how it answers of one, what all are told, how that is shown."""

    name: str
    answer: Callable[[given.Given], Sequence[Any]]
    told: given.Given
    view: View
    none: int  # the status of a rig with any severity, where that means that no plan is there


@dataclass(frozen=True)
class RigTold:
    """What is told of one rig: its line or its rows, what that rests on, and why the status is what it is."""

    path: Path
    text: str = ""
    severities: frozenset[str] = frozenset()
    rests: tuple[tuple[str, str], ...] = ()
    serials: frozenset[str] = frozenset()  # of its pieces, each as one that is written otherwise compares
    wrong: str = ""
    status: int = Exit.CLEAN


def run(
    name: str, answer: Callable[[given.Given], Sequence[Any]], asked: Request, view: View, *, prices: bool = False,
    none: int = Exit.CLEAN,
) -> None:  # fmt: skip
    """Answer each cache by itself and leave with the gravest status; what is shared is read once, before any.

    Raises AskError: the form is not told row by row, or all are to be one; InputError: a shared file has mistakes.
    """
    if view.form not in ("table", "csv") or (view.form == "table" and view.show):
        raise AskError("--jobs tells a line of each rig, or with --format csv its rows; leave --jobs out for more")
    if asked.pool:
        raise AskError("--jobs takes each rig by itself and --pool all as one; leave one of them out")
    asked = given.settled(asked, prices=prices)
    told = given.all_of(replace(asked, caches=()))
    told = replace(told, asked=replace(asked, units=asked.units or _units(asked.caches, told.book)))
    twice: list[str] = []
    _leave(_tell(Shared(name, answer, told, view, none), asked.caches, twice), twice, view, asked.fail_on)


def _units(paths: Sequence[Path], book: "RuleBook") -> "System":
    """The units of the first cache that can be read: all rows stand under one head."""
    for path in paths:
        with contextlib.suppress(InputError):
            return given.caches([path], book)[0].units
    return "us"


def _tell(shared: Shared, paths: Sequence[Path], twice: list[str]) -> list[RigTold]:
    """Write each rig's rows as they come, in the order named; ``twice`` hears of serials that two rigs list."""
    rows, head, owners = list[RigTold](), "", dict[str, Path]()
    with waiting() as hear:
        for number, row in enumerate(_rows(shared, paths), 1):
            first, text = row.text.split("\n", 1) if shared.view.form == "csv" and row.text else ("", row.text)
            emit(f"{first}\n{text}" if first not in ("", head) else text)
            head = first or head
            if row.wrong:
                click.echo(f"cache-check: {row.wrong}", err=True)
            if both := sorted(row.serials & owners.keys()):  # one serial is one piece: neither line can be trusted
                more = f" (and {len(both) - 1:,} more of its serials)" * (len(both) > 1)
                where = "look which rig has the piece, and list it there alone"
                twice.append(f"{row.path}: serial {both[0]!r} is in {owners[both[0]]} too{more}; {where}")
            owners.update(dict.fromkeys(row.serials.difference(both), row.path))
            rows.append(replace(row, text="", serials=frozenset()))
            hear(f"{number:,} of {len(paths):,} rigs")
    return rows


def _rows(shared: Shared, paths: Sequence[Path]) -> Iterator[RigTold]:
    """The rows in the order named, so that the output is the same however many work at them."""
    _share(shared)
    if (at_a_time := shared.told.asked.jobs or 1) == 1:
        yield from map(_row, paths)
        return
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(min(at_a_time, len(paths)), initializer=_share, initargs=(shared,)) as pool:
        yield from pool.map(_row, paths)


def _share(shared: Shared) -> None:
    _SHARED[:] = [(shared, {})]


def _row(path: Path) -> RigTold:
    """The row of one rig; what cannot be answered is told as it would be if the rig were asked alone."""
    from cache_check.model.cache import folded
    from cache_check.report.answer import Told, answer, verb
    from cache_check.report.as_text import as_lines
    from cache_check.report.shortly import rests

    ((shared, families),) = _SHARED
    gc.collect(0)  # what the rig before left behind is rings, and no garbage is looked for of itself (see ``main``)
    try:
        told = replace(shared.told, caches=given.caches([path], shared.told.book, families))
        (result,) = shared.answer(told)
        if shared.view.form == "csv":
            text = answer(shared.name, [result], Told(told.book, told.beside), shared.view)
        else:
            text = as_lines((verb(shared.name).rows([result]),), width=shared.view.width, colored=shared.view.colored)
        grave = frozenset(severities(shared.name, [result]))
        serials = frozenset(folded(item.serial) for line in told.caches[0].stock for item in line.items if item.serial)
        rested = rests(result.basis, factor=shared.view.form == "csv")
        return RigTold(path, text, grave, rested, serials, status=shared.none if grave else Exit.CLEAN)
    except CacheCheckError as error:
        wrong = str(error)
        return RigTold(path, wrong=wrong if str(path) in wrong else f"{path}: {wrong}", status=error.exit_status)
    except Exception as error:
        return RigTold(path, wrong=f"{path}: {fault(error)}", status=Exit.FAULT)


def _leave(rows: Sequence[RigTold], twice: Sequence[str], view: View, fail_on: str) -> None:
    """Say how many have no answer and which, and what stands on two rigs; leave with the gravest status."""
    from cache_check.report.shortly import foot, supposed

    bad = [row for row in rows if row.wrong]
    said = [f"cache-check: {wrong}" for wrong in twice[:TOLD_BAD]]
    if bad:
        names = ", ".join(str(row.path) for row in bad[:TOLD_BAD])
        more = f" and {len(bad) - TOLD_BAD:,} more" if len(bad) > TOLD_BAD else ""
        said.insert(0, f"cache-check: no answer for {len(bad):,} of {len(rows):,} rigs: {names}{more}")
    if twice[TOLD_BAD:]:
        said.append(f"cache-check: {len(twice) - TOLD_BAD:,} more rigs list a serial of another")
    for text in said:
        click.echo(text, err=True)
    for line in (*supposed(row.rests for row in rows).lines, foot(()).lines[0]):  # the caution, and nothing more to see
        click.echo(f"{line.label:12}{line.text}", err=view.form == "csv")
    statuses = {*(row.status for row in rows), *([Exit.INPUT] if twice else [])}
    for status in (Exit.FAULT, Exit.INPUT, Exit.NO_PLAN):
        if status in statuses:
            click.get_current_context().exit(status)
    leave((one for row in rows for one in row.severities), fail_on)
