"""Many rigs, each by itself: a line each once it is there, past files that cannot be read.

Rigs and serials of all are read first: what stands in two books is in one of them, so neither counts it.
"""

import contextlib
import gc
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from cache_check.cli import input as given
from cache_check.cli.options import Request, View
from cache_check.cli.output import Exit, emit, fault, leave, severities, waiting
from cache_check.errors import AskError, CacheCheckError, InputError, refused
from cache_check.files.cache import Kept
from cache_check.files.pool import ONCE
from cache_check.frozen import dataclass
from cache_check.model.cache import Cache, folded
from cache_check.model.rule import RuleBook
from cache_check.report import shortly
from cache_check.report.answer import Told, answer, verb
from cache_check.report.as_text import as_lines
from cache_check.units import System

TOLD_BAD = 10  # so many of the rigs that have no answer, or a serial of another, are named again at the end
_Own = tuple[str, str]  # what no other book may have: "rig" or "serial", and which
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
    wrong: str = ""
    twice: str = ""  # which of its serials stand on another rig too
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
    _leave(_tell(Shared(name, answer, told, view, none), asked.caches), view, asked.fail_on)


def _units(paths: Sequence[Path], book: RuleBook) -> System:
    """The units of the first cache that can be read: all rows stand under one head."""
    for path in paths:
        with contextlib.suppress(InputError):
            return given.caches([path], book)[0].units
    return "us"


def _tell(shared: Shared, paths: Sequence[Path]) -> list[RigTold]:
    """Write each rig's rows as they come, in the order named, so that the output is the same however many work."""
    rows, head = list[RigTold](), ""
    with waiting() as hear, _workers(shared, len(paths)) as each:
        for number, row in enumerate(each(_row, paths, _twice(paths, each(given.own, paths))), 1):
            first, text = row.text.split("\n", 1) if shared.view.form == "csv" and row.text else ("", row.text)
            emit(f"{first}\n{text}" if first not in ("", head) else text)
            head = first or head
            for said in filter(None, (row.wrong, row.twice)):
                click.echo(f"cache-check: {said}", err=True)
            rows.append(replace(row, text=""))
            hear(f"{number:,} of {len(paths):,} rigs")
    return rows


@contextlib.contextmanager
def _workers(shared: Shared, rigs: int) -> Iterator[Callable[..., Iterator[Any]]]:
    """What asks a function of each rig and gives the answers in order, as they come."""
    _share(shared)
    if (at_a_time := shared.told.asked.jobs or 1) == 1:
        yield map
        return
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(min(at_a_time, rigs), initializer=_share, initargs=(shared,)) as pool:
        yield pool.map


def _twice(paths: Sequence[Path], every: Iterable[frozenset[_Own]]) -> list[dict[_Own, Path]]:
    """Of each book what stands in another too, and may not, with that one."""
    owners, twice = dict[_Own, int](), [dict[_Own, Path]() for _ in paths]
    for number, own in enumerate(every):
        for one in own:
            if (first := owners.setdefault(one, number)) != number:
                twice[number][one] = paths[first]
                twice[first].setdefault(one, paths[number])
    return twice


def _share(shared: Shared) -> None:
    _SHARED[:] = [(shared, {})]


def _row(path: Path, twice: Mapping[_Own, Path]) -> RigTold:
    """The row of one rig; what cannot be answered is told as it would be if the rig were asked alone."""
    ((shared, families),) = _SHARED
    serials = {name: other for (what, name), other in twice.items() if what == "serial"}
    gc.collect(0)  # what the rig before left behind is rings, and no garbage is looked for of itself (see ``main``)
    try:
        (cache,) = given.caches([path], shared.told.book, families)
        if other := twice.get(("rig", folded(cache.id))):
            raise refused(path, f"rig {cache.id!r} is in {other} too", ONCE["rig"])
        if serials:
            from cache_check.checks.counted import doubted

            cache = doubted(cache, serials)
        told = replace(shared.told, caches=[cache])
        (result,) = shared.answer(told)
        if shared.view.form == "csv":
            text = answer(shared.name, [result], Told(told.book, told.beside), shared.view)
        else:
            text = as_lines((verb(shared.name).rows([result]),), width=shared.view.width, colored=shared.view.colored)
        grave = frozenset(severities(shared.name, [result]))
        rested = shortly.rests(result.basis, factor=shared.view.form == "csv")
        doubt = _told_twice(path, cache, serials) if serials else ""
        status = Exit.INPUT if serials else shared.none if grave else Exit.CLEAN
        return RigTold(path, text, grave, rested, status=status, twice=doubt)
    except CacheCheckError as error:
        wrong = str(error)
        return RigTold(path, wrong=wrong if str(path) in wrong else f"{path}: {wrong}", status=error.exit_status)
    except Exception as error:
        return RigTold(path, wrong=f"{path}: {fault(error)}", status=Exit.FAULT)


def _told_twice(path: Path, cache: Cache, twice: Mapping[str, Path]) -> str:
    """The first serial of another rig, as this one writes it, and how many more there are."""
    items = (item for line in cache.stock for item in line.items)
    serial = min((one.serial for one in items if folded(one.serial) in twice), key=folded)
    more = f" (and {len(twice) - 1:,} more of its serials)" * (len(twice) > 1)
    doubt = f"{path}: serial {serial!r} is in {twice[folded(serial)]} too{more}"
    return f"{doubt}, so neither counts it; {ONCE['serial']}"


def _leave(rows: Sequence[RigTold], view: View, fail_on: str) -> None:
    """Say how many have no answer and which, and what stands on two rigs; leave with the gravest status."""
    bad, twice = [row for row in rows if row.wrong], [row for row in rows if row.twice]
    for what, of in (("no answer for", bad), ("a serial of another rig stands on", twice)):
        names = ", ".join(str(row.path) for row in of[:TOLD_BAD])
        more = f" and {len(of) - TOLD_BAD:,} more" if len(of) > TOLD_BAD else ""
        if of:
            click.echo(f"cache-check: {what} {len(of):,} of {len(rows):,} rigs: {names}{more}", err=True)
    caution, _more = shortly.foot(()).lines
    for line in (*shortly.supposed(row.rests for row in rows).lines, caution):
        click.echo(f"{line.label:12}{line.text}", err=view.form == "csv")
    statuses = {row.status for row in rows}
    for status in (Exit.FAULT, Exit.INPUT, Exit.NO_PLAN):
        if status in statuses:
            click.get_current_context().exit(status)
    leave((one for row in rows for one in row.severities), fail_on)
