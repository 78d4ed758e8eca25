"""Faults that a count may have, and what the audit finds of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from cache_check.api.exercises.ground import Ground
from cache_check.frozen import dataclass
from cache_check.model.count import CountLine, CountSheet, SetLine, SheetLine


@dataclass(frozen=True)
class Fault:
    """One way for a line of a count to be wrong: which lines it fits, what is found, how that is said."""

    fits: Callable[[SheetLine], bool]
    spoil: Callable[[CountLine], CountLine]
    says: Callable[[SheetLine], str]


FAULTS = (
    Fault(
        lambda line: not line.serial and (line.book or 0) > 1,
        lambda line: line.changed(found=(line.found or 1) - 1, usable=(line.found or 1) - 1),
        lambda line: f"{(line.book or 1) - 1} found, all fit",
    ),
    Fault(
        lambda line: bool(line.serial),
        lambda line: line.changed(label="unreadable"),
        lambda line: "found, its label cannot be read, no tag on it",
    ),
    Fault(
        lambda line: bool(line.serial),
        lambda line: line.changed(found=0, usable=None),
        lambda line: "not found",
    ),
)


def key_of(line: SheetLine) -> tuple[str, str, str]:
    """What tells a line of a count from the others."""
    return line.place, line.part, line.serial


def found(
    ground: Ground, wrong: tuple[str, str, str] | None = None, fault: Fault | None = None
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
            points=line.points or None, inspected=ground.muster.on if line.serial else None, initials="x",
        )  # fmt: skip
        lines.append(fault.spoil(whole) if fault and key_of(line) == wrong else whole)
    sets = [SetLine(id=line.ready_set, found=True, held=True) for line in blank.lines if line.ready_set]
    count = CountSheet(
        rig=ground.cache.id, units=ground.cache.units, on=ground.muster.on, book=blank.book, lines=tuple(lines),
        sets=tuple(sets),
    )  # fmt: skip
    told = audit(ground.cache, ground.book, count, suppose=replace(ground.suppose, without=(), extra=()))
    return frozenset(
        (one.finding.rule, one.finding.serial or one.finding.part) for one in told.findings if one.finding.part
    )


def said(ground: Ground, line: SheetLine, fault: Fault | None) -> str:
    """A line of a count in words."""
    named = f"{line.place}: {line.book} x {ground.names[line.part]}" + (f" {line.serial}" if line.serial else "")
    fine = "found, label legible" if line.serial else f"{line.book} found, all fit"
    return f"{named}; {fault.says(line) if fault else fine}"
