"""Find the two faults in this count."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache

from cache_check.api.exercises.draw import Draw
from cache_check.api.exercises.ground import Ground
from cache_check.frozen import dataclass
from cache_check.model.count import CountLine, CountSheet, SetLine, SheetLine
from cache_check.model.exercise import Card, Level

LEVEL: Level = "hard"
SHOWN = 6


@dataclass(frozen=True)
class _Fault:
    """One way for a line of a count to be wrong: which lines it fits, what is found, how that is said."""

    fits: Callable[[SheetLine], bool]
    spoil: Callable[[CountLine], CountLine]
    says: Callable[[SheetLine], str]


FAULTS = (
    _Fault(
        lambda line: not line.serial and (line.book or 0) > 1,
        lambda line: line.changed(found=(line.found or 1) - 1, usable=(line.found or 1) - 1),
        lambda line: f"{(line.book or 1) - 1} found, all fit",
    ),
    _Fault(
        lambda line: bool(line.serial),
        lambda line: line.changed(label="unreadable"),
        lambda line: "found, its label cannot be read, no tag on it",
    ),
    _Fault(
        lambda line: bool(line.serial),
        lambda line: line.changed(found=0, usable=None),
        lambda line: "not found",
    ),
)


def cards(ground: Ground, draw: Draw) -> Iterator[Card]:
    """A count in which two lines are wrong; the audit must find more of these two than of the count as it should be."""
    from cache_check.api.sheet import sheet

    blank = sheet(ground.cache)
    lines = [line for line in blank.lines if line.part and line.book]
    right = _found(ground)

    @cache
    def more(key: tuple[str, str, str], fault: _Fault) -> frozenset[tuple[str, str]]:
        """What the audit finds for one fault alone; the same few are drawn again and again."""
        return _found(ground, key, fault) - right

    for _ in range(50):
        shown = draw.some(lines, SHOWN)
        if len(shown) < 3:
            return
        wrong: dict[int, _Fault] = {}
        for at in range(len(shown)):
            fitting = [fault for fault in FAULTS if fault.fits(shown[at])]
            if fitting and len(wrong) < 2:
                wrong[at] = draw.one(fitting)
        if len(wrong) < 2 or not all(more(_key(shown[at]), fault) for at, fault in wrong.items()):
            continue
        order = draw.some(range(len(shown)), len(shown))
        choices = tuple(_said(ground, shown[at], wrong.get(at)) for at in order)
        if len(set(choices)) == len(choices):
            broken = {rule for at, fault in wrong.items() for rule, _ in more(_key(shown[at]), fault)}
            yield Card(
                "two faults", LEVEL, "Two lines of this count differ from the book, or may not stay so: which?",
                choices, tuple(sorted(order.index(at) for at in wrong)),
                "The audit finds these two and nothing in the others.", ", ".join(sorted(broken)),
                "cache-check audit CACHE count.csv",
            )  # fmt: skip


def _key(line: SheetLine) -> tuple[str, str, str]:
    return line.place, line.part, line.serial


def _found(
    ground: Ground, wrong: tuple[str, str, str] | None = None, fault: _Fault | None = None
) -> frozenset[tuple[str, str]]:
    """The findings (rule, part or serial) of an audit in which everything is as the book says but for one line."""
    from cache_check.api.audit import audit
    from cache_check.api.sheet import sheet

    blank = sheet(ground.cache)
    lines = []
    for line in blank.lines:
        if not line.part:
            continue
        whole = CountLine(
            part=line.part, serial=line.serial, found=line.book, usable=line.book, label="legible", pins=True,
            points=line.points or None, inspected=ground.on if line.serial else None, initials="x",
        )  # fmt: skip
        lines.append(fault.spoil(whole) if fault and _key(line) == wrong else whole)
    sets = [SetLine(id=line.ready_set, found=True, held=True) for line in blank.lines if line.ready_set]
    count = CountSheet(
        rig=ground.cache.id,
        units=ground.cache.units,
        on=ground.on,
        book=blank.book,
        lines=tuple(lines),
        sets=tuple(sets),
    )
    told = audit(ground.cache, ground.book, count, suppose=replace(ground.suppose, without=(), extra=()))
    return frozenset(
        (one.finding.rule, one.finding.serial or one.finding.part) for one in told.findings if one.finding.part
    )


def _said(ground: Ground, line: SheetLine, fault: _Fault | None) -> str:
    named = f"{line.place}: {line.book} x {ground.names[line.part]}" + (f" {line.serial}" if line.serial else "")
    fine = "found, label legible" if line.serial else f"{line.book} found, all fit"
    return f"{named}; {fault.says(line) if fault else fine}"
