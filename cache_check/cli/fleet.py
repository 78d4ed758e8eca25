"""Many rigs, each by itself: on all the cores there are, a line each, and past a file that cannot be read.

A rig's answer is told as soon as it is there, and then let go; only its serials are kept, to be found twice.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from cache_check.cli import input as given
from cache_check.cli.home import home
from cache_check.cli.output import Exit, emit, leave, waiting
from cache_check.errors import AskError, CacheCheckError, InputError
from cache_check.frozen import dataclass

if TYPE_CHECKING:
    from cache_check.cli.options import Asked
    from cache_check.files.cache import Kept
    from cache_check.model.rule import RuleBook
    from cache_check.report.answer import Told, View
    from cache_check.units import System

AHEAD = 4
"""Rigs handed out to each process before the first of them is told; more would only lie in memory."""
TOLD_BAD = 10
"""So many of the rigs that have no answer are named again at the end."""


@dataclass(frozen=True)
class Verb:
    """A command over many rigs: its name, how it answers of one, how grave that answer is.

    ``none`` is the status of a rig with any severity, where that means that no plan is there.
    """

    name: str
    answer: Callable[[given.Given], Sequence[Any]]
    severities: Callable[[Any], Iterator[str]]
    prices: bool = False
    none: int = Exit.CLEAN


@dataclass(frozen=True)
class Shared:
    """What every rig is asked, and how its answer is told."""

    verb: Verb
    told: given.Given
    view: View


@dataclass(frozen=True)
class RigTold:
    """What is told of one rig: its line or its rows, what was supposed of it, and why the status is what it is.

    ``serials`` are of its pieces, each as one that is written otherwise compares.
    """

    path: Path
    text: str = ""
    severities: frozenset[str] = frozenset()
    changes: tuple[str, ...] = ()
    serials: frozenset[str] = frozenset()
    wrong: str = ""
    status: int = Exit.CLEAN


def run(verb: Verb, asked: Asked, view: View) -> None:
    """Answer each cache by itself and leave with the gravest status; what is shared is read once, before any.

    Raises:
        AskError: the form is not one that is told row by row, or all caches are to be taken as one.
        InputError: a file that all share has mistakes.
    """
    if view.form not in ("table", "csv") or (view.form == "table" and view.show):
        raise AskError("--jobs tells a line of each rig, or with --format csv its rows; leave --jobs out for more")
    if asked.pool:
        raise AskError("--jobs takes each rig by itself and --pool all as one; leave one of them out")
    _FAMILIES.clear()  # of another run, under other rules
    here = home(asked.caches)
    told = given.everything(asked, replace(here, caches=()), county_prices=verb.prices)
    told = replace(told, asked=replace(told.asked, units=told.asked.units or _units(here.caches, told.book)))
    owners = _Owners()
    rows = _tell(Shared(verb, told, view), here.caches, owners)
    _leave(rows, owners.twice, view, asked.fail_on)


def _units(paths: Sequence[Path], book: RuleBook) -> System:
    """The units of the first cache that can be read: all rows stand under one head."""
    for path in paths:
        with contextlib.suppress(InputError):
            return given.caches([path], book)[0].units
    return "us"


def _tell(shared: Shared, paths: Sequence[Path], owners: _Owners) -> list[RigTold]:
    """Write each rig's rows as they come, in the order named; the rows without what was written."""
    rows, head = list[RigTold](), ""
    with waiting() as hear:
        for number, row in enumerate(_rows(shared, paths), 1):
            first, text = row.text.split("\n", 1) if shared.view.form == "csv" and row.text else ("", row.text)
            if first != head and first:
                head = first
                text = f"{first}\n{text}"
            emit(text)
            if row.wrong:
                click.echo(f"cache-check: {row.wrong}", err=True)
            owners.take(row)
            rows.append(replace(row, text="", serials=frozenset()))
            hear(f"{number:,} of {len(paths):,} rigs")
    return rows


def _rows(shared: Shared, paths: Sequence[Path]) -> Iterator[RigTold]:
    """The rows in the order named, so that the output is the same however many work at them."""
    if (at_a_time := shared.told.asked.jobs or 1) == 1:
        yield from map(partial(_one, shared), paths)
        return
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(min(at_a_time, len(paths)), initializer=_share, initargs=(shared,)) as pool:
        left = iter(paths)
        waiting = [pool.submit(_asked, path) for path in islice(left, at_a_time * AHEAD)]
        try:
            while waiting:
                yield waiting.pop(0).result()
                waiting += [pool.submit(_asked, path) for path in islice(left, 1)]
        finally:
            pool.shutdown(wait=False, cancel_futures=True)


_SHARED: list[Shared] = []
"""What this process was given to share, once, when it began."""
_FAMILIES: Kept = {}
"""The families that its rigs named so far."""


def _share(shared: Shared) -> None:
    _SHARED[:] = [shared]


def _asked(path: Path) -> RigTold:
    return _one(_SHARED[0], path)


def _one(shared: Shared, path: Path) -> RigTold:
    """The row of one rig; what cannot be answered is told as it would be if the rig were asked alone."""
    from cache_check.cli.guard import fault
    from cache_check.model.cache import folded

    try:
        told = replace(shared.told, caches=given.caches([path], shared.told.book, _FAMILIES))
        (result,) = shared.verb.answer(told)
        text = _text(shared, result, told)
        grave = frozenset(shared.verb.severities(result))
        serials = frozenset(folded(item.serial) for line in told.caches[0].stock for item in line.items if item.serial)
        status = shared.verb.none if grave else Exit.CLEAN
        return RigTold(path, text, grave, result.basis.changes, serials, status=status)
    except CacheCheckError as error:
        wrong = str(error)
        return RigTold(path, wrong=wrong if str(path) in wrong else f"{path}: {wrong}", status=error.exit_status)
    except Exception as error:
        return RigTold(path, wrong=f"{path}: {fault(error)}", status=Exit.FAULT)


def _text(shared: Shared, result: Any, read: given.Given) -> str:
    from cache_check.report.answer import Told, answer, verb
    from cache_check.report.as_lines import as_lines

    told: Told = Told(read.book, read.beside)
    if shared.view.form == "csv":
        return answer(shared.verb.name, [result], told, shared.view)
    rows = verb(shared.verb.name).rows([result])
    return as_lines((rows,), width=shared.view.width, colored=shared.view.colored)


class _Owners:
    """Whose each serial is: one is one piece, so neither line of two rigs that both list it can be trusted."""

    def __init__(self) -> None:
        self._owners: dict[str, Path] = {}
        self.twice: list[str] = []

    def take(self, row: RigTold) -> None:
        """Hear of the serials of one rig."""
        both = [serial for serial in sorted(row.serials) if serial in self._owners]
        self._owners.update((serial, row.path) for serial in row.serials.difference(both))
        if both:
            more = f" (and {len(both) - 1:,} more of its serials)" * (len(both) > 1)
            self.twice.append(f"{row.path}: serial {both[0]!r} is in {self._owners[both[0]]} too{more}; look which rig "
                              "has the piece, and list it there alone")  # fmt: skip


def _leave(rows: Sequence[RigTold], twice: Sequence[str], view: View, fail_on: str) -> None:
    """Say how many have no answer and which, and what stands on two rigs; leave with the gravest status."""
    from cache_check.report.shortly import CAUTION

    bad = [row for row in rows if row.wrong]
    if bad:
        names = ", ".join(str(row.path) for row in bad[:TOLD_BAD])
        more = f" and {len(bad) - TOLD_BAD:,} more" if len(bad) > TOLD_BAD else ""
        click.echo(f"cache-check: no answer for {len(bad):,} of {len(rows):,} rigs: {names}{more}", err=True)
    for wrong in twice[:TOLD_BAD]:
        click.echo(f"cache-check: {wrong}", err=True)
    if twice[TOLD_BAD:]:
        click.echo(f"cache-check: {len(twice) - TOLD_BAD:,} more rigs list a serial of another", err=True)
    changes = dict.fromkeys(change for row in rows for change in row.changes)
    if changes:
        click.echo(f"Supposed    {'; '.join(changes)}", err=view.form == "csv")
    click.echo(f"Caution     {CAUTION}", err=view.form == "csv")
    statuses = {*(row.status for row in rows), *([Exit.INPUT] if twice else [])}
    for status in (Exit.FAULT, Exit.INPUT, Exit.NO_PLAN):
        if status in statuses:
            click.get_current_context().exit(status)
    leave((one for row in rows for one in row.severities), fail_on)
