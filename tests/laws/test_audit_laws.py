"""Worse in, never better out, for audits: a blank, a tag, a lower count make no count and no result better."""

from __future__ import annotations

from typing import Any

from audit_builders import DAY, audited_cache, counted
from builders import needs_of, ready_set
from hypothesis import given
from hypothesis import strategies as st

from cache_check import api
from cache_check.files.read import read_rules
from cache_check.model.audit import AuditResult, Outcome
from cache_check.model.count import CountLine, CountSheet
from cache_check.model.result import STEPS
from laws.strategies import SETTINGS

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
YES = GRADES[2:]
WORSE = ("no usable", "no label", "no points", "not found", "a tag", "one fewer", "condition")


def judged(count: CountSheet) -> AuditResult:
    """The audit of the small rig."""
    return api.audit(CACHE, RULES, count, needs=NEEDS, suppose=api.WhatIf(on=DAY))


def changed(line: CountLine, how: dict[str, Any]) -> CountLine:
    """A line with something else found."""
    how = dict(how)
    less = how.pop("less", 0)
    found = max(0, (line.found or 0) - less)
    return line.changed(found=found, usable=min(line.usable or 0, found), **how)


def worse(line: CountLine, how: str) -> CountLine:
    """A line that says less, or worse."""
    if how == "not found":
        return line.changed(found=0, usable=None, points=None)
    if how == "one fewer":
        fewer = max(0, (line.usable or 0) - 1)
        return line.changed(usable=fewer)
    fields: dict[str, Any] = {
        "no usable": {"usable": None}, "no label": {"label": None}, "no points": {"points": None},
        "a tag": {"tag": f"{line.tag} T-9".strip()}, "condition": {"condition": "torn"},
    }[how]  # fmt: skip
    return line.changed(**fields)


@given(st.data())
@SETTINGS
def test_worse_counted_is_never_better(data: st.DataObject) -> None:
    """Whichever line says less than it did, no step of any need rises, and no result that was no pass becomes one."""
    lines = list(counted(CACHE).lines)
    for number in data.draw(st.lists(st.integers(0, len(lines) - 1), max_size=2, unique=True)):
        lines[number] = changed(lines[number], FIRST[data.draw(st.sampled_from(sorted(FIRST)))])
    before = counted(CACHE).changed(lines=tuple(lines))
    number = data.draw(st.integers(0, len(lines) - 1))
    how = data.draw(st.sampled_from(WORSE))
    after = before.changed(lines=(*lines[:number], worse(lines[number], how), *lines[number + 1 :]))
    one, two = judged(before), judged(after)

    for was, now in zip(one.compared, two.compared, strict=True):
        assert all((now.today.count(step) or 0) <= (was.today.count(step) or 0) for step in STEPS), (number, how)
    if lines[number] == WHOLE[number]:
        assert GRADES.index(two.verdict.outcome) <= GRADES.index(one.verdict.outcome), (number, how)
    elif how not in ("a tag", "not found"):  # these two take away what lay there out of use
        assert one.verdict.outcome in YES or two.verdict.outcome not in YES, (number, how)
