"""Worse in, never better out, for audits: a blank, a tag, a lower count make no count and no result better."""

from __future__ import annotations

import shutil
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from audit_builders import DAY, audited_cache, counted
from builders import needs_of, ready_set

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.audit import AuditResult, Outcome
from cache_check.model.count import CountLine
from cache_check.model.counting import STEPS

GRADES: tuple[Outcome, ...] = ("out of service", "not known", "pass with fixes", "pass")
RULES = read_rules()
CACHE = audited_cache(
    ready_sets=(ready_set("A", "base", "body", "head"),),
    items={"body": [{"serial": "D-1", "inspected": "2026-01-10", "label": "legible"}],
           "base": [{"serial": "B-1", "inspected": "2026-01-10", "label": "legible"}]},
)  # fmt: skip
NEEDS = needs_of([{"at": 50, "count": 1}, {"at": 55, "count": 2, "restrained": False}])
FIRST: dict[str, dict[str, Any]] = {
    "as found": {}, "a tag": {"tag": "T-1"}, "one short": {"less": 1}, "cut": {"condition": "cut"},
    "elsewhere": {"where": "the cab"}, "unreadable": {"label": "unreadable"},
}  # fmt: skip
WHOLE = counted(CACHE).lines
TRIED = tuple(n for n, line in enumerate(WHOLE) if line.part in ("T/body", "T/base") or line.serial == "S-1")
"""The lines that are made worse: bodies and bases, with a serial and without, and a strap that has a spare."""
YES = GRADES[2:]
WORSE = ("no usable", "no label", "no points", "not found", "a tag", "one fewer", "condition")


def judged(line: CountLine, number: int, after: int = 0) -> AuditResult:
    """The audit of the small rig, so many days later, one line of its count for that which finds all as booked."""
    count = counted(CACHE).changed(lines=(*WHOLE[:number], line, *WHOLE[number + 1 :]))
    return api.audit(CACHE, RULES, count, needs=NEEDS, suppose=api.WhatIf(on=DAY + timedelta(days=after)))


def changed(line: CountLine, how: dict[str, Any]) -> CountLine:
    """A line with something else found."""
    less = how.get("less", 0)
    found = max(0, (line.found or 0) - less)
    return line.changed(
        found=found, usable=min(line.usable or 0, found), **{key: value for key, value in how.items() if key != "less"}
    )


def worse(line: CountLine, how: str) -> CountLine:
    """A line that says less, or worse."""
    if how == "not found":
        return line.changed(found=0, usable=None, points=None)
    if how == "one fewer":
        fewer = max(0, (line.usable or 0) - 1)
        return line.changed(usable=fewer)
    fields: dict[str, dict[str, Any]] = {
        "no usable": {"usable": None}, "no label": {"label": None}, "no points": {"points": None},
        "a tag": {"tag": f"{line.tag} T-9".strip()}, "condition": {"condition": "torn"},
    }  # fmt: skip
    return line.changed(**fields[how])


@pytest.mark.parametrize("number", TRIED, ids=lambda number: WHOLE[number].serial or WHOLE[number].part)
def test_worse_counted_is_never_better(number: int) -> None:
    """Whatever a line says, less or worse raises no step of any need, and makes no pass of what was none."""
    for first in FIRST.values():
        line = changed(WHOLE[number], first)
        one = judged(line, number)
        for how in (way for way in WORSE if line.serial or way != "no label"):  # of a lot no label is asked
            two = judged(worse(line, how), number)
            for was, now in zip(one.compared, two.compared, strict=True):
                assert all((now.today.count(step) or 0) <= (was.today.count(step) or 0) for step in STEPS), (first, how)
            if not first:
                assert GRADES.index(two.verdict.outcome) <= GRADES.index(one.verdict.outcome), how
            elif how not in ("a tag", "not found"):  # these two take away what lay there out of use
                assert one.verdict.outcome in YES or two.verdict.outcome not in YES, (first, how)


@pytest.mark.parametrize("number", TRIED, ids=lambda number: WHOLE[number].serial or WHOLE[number].part)
def test_worse_counted_makes_nothing_gone(number: int, tmp_path: Path) -> None:
    """Of all that an audit found, a later one that says less, or worse, calls no more gone than one that finds all."""

    def gone(line: CountLine, name: str) -> set[str]:
        shutil.copy(tmp_path / "first.db", tmp_path / name)
        api.keep_audit(judged(line, number, after=1), tmp_path / name)
        return {one.key for one in api.history(tmp_path / name).since[0].gone}

    bad = changed(WHOLE[number], {"condition": "cut", "less": 1, "where": "the cab"})
    api.keep_audit(judged(bad, number), tmp_path / "first.db")
    mended = gone(WHOLE[number], "mended.db")
    assert mended
    for how in (way for way in WORSE if WHOLE[number].serial or way != "no label"):
        assert gone(worse(WHOLE[number], how), f"{how}.db") <= mended, how
