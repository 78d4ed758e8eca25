"""Gone is only what a later count looked at, asked as strictly as the audit that found it."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from audit_builders import DAY, audited_cache, counted
from builders import change, needs_of

import cache_check as api
from cache_check.files.record import audit_entry, keep
from cache_check.files.rules import read_rules
from cache_check.model.audit import AuditResult
from cache_check.model.rule import RuleBook, Setting

OLD = {"body": [{"serial": "D-1", "inspected": date(2025, 3, 30)}, {"serial": "D-2"}]}
"""One of two bodies was inspected 367 days before, one more than ruled."""
TWO: dict[str, Any] = {"at": 50, "count": 2, "load": 3000}


def audited(
    *settings: Setting,
    after: int = 0,
    need: dict[str, Any] = TWO,
    book: RuleBook | None = None,
    lines: dict[str, Any] | None = None,
) -> AuditResult:
    """An audit of the small rig with one body overdue, so many days later, with lines of its count changed."""
    cache, on = audited_cache(items=OLD), DAY + timedelta(after)
    suppose = api.WhatIf(on=on, settings=(*settings, change("N1-1", on=False)))
    count = counted(cache, lines, on=on)
    return api.audit(cache, book or read_rules(), count, needs=needs_of([need]), suppose=suppose)


def gone(path: Path, *results: AuditResult) -> dict[tuple[str, str], bool]:
    """Of what the first of some audits found and the last did not, by rule and serial, whether it is called gone."""
    for one in results:
        api.keep_audit(one, path)
    (since,) = api.history(path).since
    told = {(one.rule, one.serial): True for one in since.gone}
    return told | {(one.finding.rule, one.finding.serial): False for one in since.unseen}


LOOSER: dict[str, dict[str, Any]] = {
    "the days": {"settings": [change("INS-1", every=400)]}, "off": {"settings": [change("INS-1", on=False)]},
    "unknown dates counted": {"settings": [change("INS-1", every=400, unknown_counts=True)]},
}  # fmt: skip


@pytest.mark.parametrize("how", LOOSER)
def test_what_a_looser_rule_no_longer_finds_is_not_gone(how: str, tmp_path: Path) -> None:
    """The body overdue, its missing tag and the need that it costs: nobody asked again as strictly."""
    found = gone(tmp_path / "a.db", audited(), audited(*LOOSER[how]["settings"], after=1))

    assert found == dict.fromkeys([("INS-1", "D-1"), ("TAG-1", "D-1"), ("NEED-1", ""), ("AUD-1", "")], False)


NEEDS: dict[str, tuple[dict[str, Any], bool]] = {
    "as before": ({}, True), "one wanted": ({"count": 1}, False), "less load": ({"load": 2000}, False),
    "not restrained": ({"restrained": False}, False), "another length": ({"at": 45}, False),
    "more said of it": ({"contact": "edge"}, True),
}  # fmt: skip


@pytest.mark.parametrize("how", NEEDS)
def test_a_need_that_asks_less_closes_nothing(how: str, tmp_path: Path) -> None:
    """A strap of each base cut, then whole: met again only where as many struts of the same kind are wanted."""
    said, closed = NEEDS[how]
    cut = {f"S-{n}": {"condition": "cut", "tag": "T"} for n in (1, 2)}
    inspected = change("INS-1", every=400)
    whole = {name: {"condition": "good"} for name in cut}
    found = gone(
        tmp_path / "a.db", audited(inspected, lines=cut), audited(inspected, after=1, need=TWO | said, lines=whole)
    )

    assert found["NEED-1", ""] == found["AUD-1", ""] == closed
    assert found["WEB-2", "S-1"]


RULES: dict[str, tuple[tuple[Setting, ...], tuple[Setting, ...], bool]] = {
    "fewer straps": ((), (change("STR-1", min=1),), False),
    "more straps": ((change("STR-1", min=1),), (), True),
    "milder": ((), (change("EXT-1", severity="watch"),), False),
    "graver": ((change("EXT-1", severity="watch"),), (), True),
    "more states": ((), (change("OOS-1", counts=("in service", "loaned")),), False),
    "fewer states": ((change("OOS-1", counts=("in service", "loaned")),), (), True),
    "a family's own": ((Setting(rule="STR-1", values={"min": 3}, by="T", family="T"),), (), False),
    "a family's own, looser": ((Setting(rule="STR-1", values={"min": 1}, by="T", family="T"),), (), True),
}  # fmt: skip


@pytest.mark.parametrize("how", RULES)
def test_any_looser_rule_leaves_what_no_line_shows(how: str, tmp_path: Path) -> None:
    """A need is as met as every rule lets it be; what a line shows is gone whatever other rules say."""
    before, after, closed = RULES[how]
    bad = {"D-1": {"label": "unreadable", "tag": "T"}}
    inspected = change("INS-1", every=400)
    found = gone(tmp_path / "a.db", audited(inspected, *before, lines=bad), audited(inspected, *after, after=1))

    assert found["NEED-1", ""] == closed
    assert found["LAB-1", "D-1"]


def test_a_rule_of_a_policy_that_is_left_out_closes_nothing(tmp_path: Path) -> None:
    """What only a policy's own rule found is not gone when the next audit does without the policy."""
    plain = read_rules()
    own = plain.by_id["INS-1"].changed(id="OUR-1")
    stricter = plain.changed(rules=(*plain.rules, own))
    off = change("INS-1", on=False)
    found = gone(tmp_path / "a.db", audited(off, book=stricter), audited(off, after=1))

    assert not found["OUR-1", "D-1"]


def test_a_rule_that_is_new_holds_nothing_open(tmp_path: Path) -> None:
    """What an audit found is gone though the next one asks by a rule besides, and of another kind of limit."""
    plain = read_rules()
    more = plain.changed(rules=(*plain.rules, plain.by_id["EXT-1"].changed(id="OUR-1")))
    inspected = change("INS-1", every=400)
    found = gone(
        tmp_path / "a.db",
        audited(inspected, lines={"D-2": {"label": "unreadable"}}),
        audited(inspected, after=1, book=more),
    )

    assert found["NEED-1", ""]


def test_entries_of_older_versions_are_read_and_close_nothing(tmp_path: Path) -> None:
    """Where an entry does not say what was asked, nobody knows whether it was as much, whichever of the two it is."""
    inspected = change("INS-1", every=400)
    bad, good = (
        audited(inspected, lines={"S-1": {"condition": "cut"}}),
        audited(inspected, after=1, lines={"S-1": {"condition": "good"}}),
    )
    for name, old in (("first.db", 0), ("second.db", 1)):
        for number, one in enumerate((bad, good)):
            kept = audit_entry(one)
            keep(tmp_path / name, {key: value for key, value in kept.items() if number != old or key != "limits"})
        (since,) = api.history(tmp_path / name).since
        assert ("WEB-2", "S-1") in {(one.finding.rule, one.finding.serial) for one in since.unseen}
        assert since.gone == ()
    assert gone(tmp_path / "new.db", bad, good)["WEB-2", "S-1"]


def test_a_reason_that_a_graver_one_hides_is_not_gone(tmp_path: Path) -> None:
    """A body overdue, then cracked too: it is told as cracked, and still is overdue."""
    found = gone(tmp_path / "a.db", audited(), audited(after=1, lines={"D-1": {"condition": "cracked"}}))

    assert not found["INS-1", "D-1"]


def test_what_other_lines_show_is_not_gone_by_a_blank(tmp_path: Path) -> None:
    """Pins too few for the bodies; then the bodies are left blank, and so want none: nobody has looked."""
    few, inspected = {"found": 3, "usable": 3}, change("INS-1", every=400)
    blank = {name: {"found": None, "usable": None, "label": None} for name in ("D-1", "D-2")}
    first = audited(inspected, lines={"pin": few})
    assert ("PIN-2", "T/pin") in {(one.finding.rule, one.finding.part) for one in first.findings}

    assert not gone(tmp_path / "a.db", first, audited(inspected, after=1, lines={"pin": few} | blank))["PIN-2", ""]
    assert gone(tmp_path / "b.db", first, audited(inspected, after=1))["PIN-2", ""]


def test_what_is_kept_of_a_limit_is_plain(tmp_path: Path) -> None:
    """A limit is kept as a fraction that is the greater the stricter it is, its words each as one."""
    kept = json.loads(json.dumps(audit_entry(audited())["limits"]))

    assert ["STR-1", "", "min", 2, 1] in kept
    assert ["EXT-1", "", "max", -read_rules().by_id["EXT-1"].parameters["max"].value, 1] in kept
    assert ["OOS-1", "", "counts in service", -1, 1] in kept
    assert ["", "drill 1: need 1", "count", 2, 1] in kept


_DAY_BEFORE, _LATER = date(2024, 1, 1), date(2030, 1, 1)


@pytest.mark.parametrize(("rule", "first", "then", "closed"), [
    ("LAB-1", {"label": "unreadable"}, {"label": None}, False),
    ("LAB-1", {"label": "unreadable"}, {"label": "legible"}, True),
    ("WEB-2", {"condition": "bent"}, {}, False), ("WEB-2", {"condition": "bent"}, {"condition": "good"}, True),
    ("INS-1", {"inspected": _DAY_BEFORE}, {}, False), ("INS-1", {"inspected": _DAY_BEFORE}, {"inspected": DAY}, True),
    ("INS-1", {"expires": _DAY_BEFORE}, {}, False), ("INS-1", {"expires": _DAY_BEFORE}, {"expires": _LATER}, True),
    ("DAT-1", {"acquired": _LATER}, {"inspected": DAY}, False),
    ("DAT-1", {"acquired": _LATER}, {"acquired": DAY}, True),
])  # fmt: skip
@pytest.mark.parametrize("line", ["head", "S-1"])
def test_what_a_count_wrote_is_gone_where_it_is_written_again(
    line: str, rule: str, first: dict[str, Any], then: dict[str, Any], closed: bool, tmp_path: Path
) -> None:
    """A label that was unreadable, words, a day: of a lot as of a piece, the same column left blank closes nothing."""
    counts = audited(lines={line: first}), audited(after=1, lines={line: then})
    found = gone(tmp_path / "a.db", *counts)

    names = ("without serial 1", "") if line == "head" else (line,)
    assert any(found.get((rule, name), False) for name in names) == closed


def test_an_overdue_day_of_the_book_is_gone_where_the_book_has_another(tmp_path: Path) -> None:
    """Nobody wrote it on a count, so no count needs to write it again."""
    late = audited(after=1, lines={"D-1": {"label": "legible", "inspected": DAY}})

    assert gone(tmp_path / "a.db", audited(lines={"D-1": {"label": "legible"}}), late)["INS-1", "D-1"]
