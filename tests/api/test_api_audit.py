"""Audits worked by hand, and what an audit may never do: flatter."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from audit_builders import DAY, audited_cache, counted
from builders import change, needs_of, ready_set

import cache_check as api
from cache_check.errors import AskError, NoPlanError
from cache_check.files.rules import read_rules
from cache_check.model.audit import AuditResult
from cache_check.model.cache import Cache
from cache_check.model.count import CountLine, CountSheet
from cache_check.model.counting import STEPS
from cache_check.model.need import Needs
from cache_check.model.rule import Setting

BOOK_DAY = date(2026, 1, 15)
TWO_AT_50 = needs_of([{"at": 50, "count": 2, "load": 3000}])
SEEN = {"inspected": "2026-01-10", "label": "legible"}


def audited(
    cache: Cache, count: CountSheet | None, *settings: Setting, needs: Needs | None = None, on: date = DAY, **more: Any
) -> AuditResult:
    """The audit of a cache on 1 April 2026."""
    suppose = api.WhatIf(on=on, settings=settings)
    return api.audit(cache, read_rules(), count, needs=needs, suppose=suppose, **more)


def steps(result: AuditResult) -> tuple[list[int | None], list[int | None]]:
    """The counts of the only need, by the book and today."""
    (one,) = result.compared
    return [one.book.count(step) for step in STEPS], [one.today.count(step) for step in STEPS]


def told(result: AuditResult) -> set[tuple[str, str]]:
    """Rule and serial (or part) of every finding."""
    return {(one.finding.rule, one.finding.serial or one.finding.part) for one in result.findings}


def faulty() -> tuple[Cache, CountSheet]:
    """The rig of the audit worked by hand, and its count."""
    cache = audited_cache(
        items={
            "body": [{"serial": "D-1", "inspected": "2025-03-30", "label": "legible"}, {"serial": "D-2", **SEEN}],
            "base": [{"serial": "B-1", **SEEN}, {"serial": "B-2", **SEEN}],
        }
    ).changed(book_date=BOOK_DAY)
    count = counted(
        cache,
        {
            "S-1": {"condition": "cut near the hook"},
            "S-2": {"label": "unreadable"},
            "B-1": {"points": 1},
            "pin": {"found": 6, "usable": 6},
            "S-5": {"where": "the cab"},
        },
    )
    return cache, count


def test_audit_worked_by_hand() -> None:
    """A rig with five faults and one date gone by, worked by hand.

    The book of 15 January lists 2 bodies of 30 to 50 in, 2 bases of 2 points, 2 heads, 8 pins and 5 straps.  A base,
    body and head are 35 to 55 in long, so at 50 in both bodies stand; each base takes 2 straps, 4 of 5; the chart
    rates 8,000 lbf at 2:1 up to 55 in, 3,000 are asked.  By the book: 2 bodies, usable, buildable, assembled,
    restrained and rated; one body lost leaves 1.

    On 1 April body D-1, inspected on 30 March 2025, is 367 days from its inspection, one over the 366 ruled.
    One body is left: usable, buildable and assembled are 1.  Base B-1 has one point left, so one base can be
    restrained; of 5 straps one is cut and one has no legible label, 3 are left, enough for one base.  Restrained
    and rated are 1, one missing 0.  The need of 2 is met by the book and not today, so the rig is out of service.

    No fault mended alone gives a strut back: with D-1 the bases still allow one, with B-1 the bodies do.  Alone on
    the book, D-1 out leaves 1 body and B-1 damaged leaves 1 base: each takes a strut and the need.  One strap out
    leaves 4, enough for both bases: it takes nothing.  Two pins missing leave 6, and 2 struts take 4.
    """
    result = audited(*faulty(), needs=TWO_AT_50)

    assert steps(result) == ([2, 2, 2, 2, 2, 2, 1], [2, 1, 1, 1, 1, 1, 0])
    assert (result.verdict.outcome, result.verdict.policy) == ("out of service", "AUD-1")
    costs = {one.cause.serial or one.cause.part: (one.back, one.alone, one.unmet_alone) for one in result.costs}
    assert costs == {
        "D-1": ((0,), (1,), 1), "B-1": ((0,), (1,), 1), "S-1": ((0,), (0,), 0), "S-2": ((0,), (0,), 0),
        "T/pin": ((0,), (0,), 0),
    }  # fmt: skip
    assert {one.cause.serial for one in result.costs[:2]} == {"D-1", "B-1"}
    assert told(result) == {
        ("AUD-1", ""), ("INS-1", "D-1"), ("PTS-1", "B-1"), ("PTS-2", "B-1"), ("WEB-2", "S-1"), ("LAB-1", "S-2"),
        ("CNT-1", "T/pin"), ("CNT-1", "S-5"), ("NEED-1", ""),
        *(("TAG-1", one) for one in ("D-1", "B-1", "S-1", "S-2")),
    }  # fmt: skip


def test_nothing_wrong_passes() -> None:
    """A count that finds all as the book has it passes, with nothing said."""
    cache = audited_cache()
    result = audited(cache, counted(cache), needs=needs_of([{"at": 50}]))

    assert result.verdict.outcome == "pass"
    assert not result.findings
    assert not result.costs


def test_pass_with_fixes_by_the_same_policy() -> None:
    """A fault that costs no need is a fix, and a policy that allows the fix passes the rig."""
    cache = audited_cache()
    count = counted(cache, {"S-1": {"where": "the cab"}})

    assert audited(cache, count).verdict.outcome == "pass with fixes"
    assert audited(cache, count, change("AUD-1", fixes=1)).verdict.outcome == "pass"
    assert audited(cache, count, change("AUD-1", on=False)).verdict.outcome == "not judged"


def test_tagged_piece_does_not_stop_the_rig() -> None:
    """A stop finding on one piece is settled by its tag, and by nothing else; one on an illegal set is not."""
    cache = audited_cache()
    untagged = audited(cache, counted(cache, {"S-1": {"condition": "burnt"}}))
    tagged = audited(cache, counted(cache, {"S-1": {"condition": "burnt", "tag": "T-1"}}))
    illegal = cache.changed(ready_sets=(ready_set("A", "head", "body", "head"),))
    stopped = audited(illegal, counted(illegal))

    assert untagged.verdict.outcome == "out of service"
    assert "1 piece out of use lies there without a tag" in untagged.verdict.why[0]
    assert tagged.verdict.outcome == "pass with fixes"
    assert stopped.verdict.outcome == "out of service"
    assert "SET-1" in stopped.verdict.why[0]


@pytest.mark.parametrize("says", [
    {"label": "unknown"}, {"state": "unknown"}, {"condition": "odd to the touch"}, {"inspected": "2031-01-10"},
])  # fmt: skip
def test_what_nobody_knows_to_be_fit_is_no_pass(says: dict[str, Any]) -> None:
    """It may be out of use, and bears no tag: written as unknown it is as unknown as left blank.  A tag settles it."""
    cache = audited_cache()
    unknown, tagged = (audited(cache, counted(cache, {"S-1": says | more})) for more in ({}, {"tag": "T-1"}))

    assert unknown.verdict.outcome == "not known"
    assert "not known: 1 piece there not known to be fit" in unknown.verdict.why
    assert tagged.verdict.outcome == "pass with fixes"


def test_a_ready_set_of_which_the_sheet_has_no_line_was_not_looked_at() -> None:
    """A sheet without its sets is read, and nobody is told that they are built."""
    cache = audited_cache(ready_sets=(ready_set("A", "base", "body", "head"),))
    result = audited(cache, counted(cache).changed(sets=()), needs=TWO_AT_50)

    assert result.verdict.outcome == "not known"
    assert result.looked.blank == (("", "ready set A"),)


def test_the_only_strut_of_a_length_is_lost_with_its_body() -> None:
    """Without needs: of one body on the book none is found, so that no strut is left at any length it stood at."""
    cache = audited_cache(counts={"body": 1})
    whole, gone = (audited(cache, counted(cache, {"body": {"found": n, "usable": n}})) for n in (1, 0))

    def lost(result: AuditResult) -> list[str]:
        return [one.why for one in result.verdict.links if one.name == "what the rig must do"]

    assert lost(whole) == [""]
    assert lost(gone)[0].startswith("no strut is left at ")


@pytest.mark.parametrize("away", [{"found": 0}, {"found": 0, "state": "repair"}])
def test_no_tag_settles_a_set_that_lies_built_without_a_piece_it_names(away: dict[str, Any]) -> None:
    """The body is missing, or at repair, and bears no tag to keep anybody off the set; one that is there may."""
    body = {"body": [{"serial": "D-1", **SEEN}]}
    cache = audited_cache(items=body, ready_sets=(ready_set("A", "base", "body", "head", serials=("D-1",)),))
    gone = audited(cache, counted(cache, {"D-1": {"usable": None, "label": None, **away}}))
    tagged = audited(cache, counted(cache, {"D-1": {"usable": 0, "tag": "T-1"}}))

    assert ("SET-1", "D-1") in told(gone)
    assert gone.verdict.outcome == "out of service"
    assert "SET-1" in gone.verdict.why[0]
    assert tagged.verdict.outcome == "pass with fixes"


@pytest.mark.parametrize("bad", [{"condition": "cracked"}, {"label": "unreadable"}, {"note": "do not use"}])
def test_what_is_on_no_book_and_out_of_use_bears_a_tag_too(bad: dict[str, Any]) -> None:
    """A cracked body of nobody's, or of another rig's, lies where somebody may build with it."""
    cache = audited_cache()
    lying = CountLine.model_validate({"part": "T/body", "serial": "X-1", "found": 1} | bad)
    others = CountLine.model_validate({"part": "T/body", "where": "cab", "rig": "rescue-9", "found": 2} | bad)

    for line, number in ((lying, 1), (others, 2)):
        untagged = audited(cache, counted(cache, extra=(line,)))
        tagged = audited(cache, counted(cache, extra=(line.changed(tag="T-1, T-2"),)))

        says = f"{number} piece{'s' if number > 1 else ''} out of use {'lie' if number > 1 else 'lies'} there"
        assert says in untagged.verdict.why[0]
        assert ("TAG-1", line.serial or line.part) in told(untagged)
        assert tagged.verdict.outcome == "pass with fixes"


def test_no_line_left_blank_passes() -> None:
    """Whatever policy makes of a blank, an audit of which a line was not looked at is not known, never a pass."""
    cache = audited_cache(ready_sets=(ready_set("A", "base", "body", "head"),))
    book_only = audited(cache, None)
    assert book_only.verdict.outcome == "not known"
    assert any("nobody counted; the book alone is audited" in why for why in book_only.verdict.why)
    assert "count the rig" in {link.ask for link in book_only.verdict.links}
    blanks: list[tuple[str, dict[str, Any]]] = [
        ("S-1", {"found": None, "usable": None}), ("S-1", {"usable": None}), ("S-1", {"label": None}),
        ("ext-6", {"usable": None}), ("base", {"points": None}), ("A", {"held": None}), ("A", {"found": None}),
    ]  # fmt: skip
    for name, blank in blanks:
        count = (
            counted(cache, None, {name: {"found": True, "held": True} | blank})
            if name == "A"
            else counted(cache, {name: blank})
        )
        for as_booked in (False, True):
            setting = change("CNT-3", blank_as_book=as_booked)
            outcome = audited(cache, count, setting, needs=needs_of([{"at": 50, "restrained": False}])).verdict.outcome
            assert outcome == "not known", (name, blank, as_booked)


def test_blank_sheet_proves_nothing() -> None:
    """A sheet that came back blank counts no piece on any step above the book, unless policy takes blanks as booked."""
    cache = audited_cache()
    blank = CountSheet(rig=cache.id, on=DAY, by="A. B.", second="C. D.")
    strict = audited(cache, blank, needs=TWO_AT_50)
    as_booked = audited(cache, blank, change("CNT-3", blank_as_book=True), needs=TWO_AT_50)

    assert steps(strict)[1] == [2, 0, 0, 0, 0, 0, 0]
    assert steps(as_booked)[1] == steps(as_booked)[0]
    assert all("CNT-3" in {one.finding.rule for one in result.findings} for result in (strict, as_booked))


def test_damaged_point_mended_gives_its_strut_back() -> None:
    """Where a damaged base is all that is wrong, mending it alone gives back the strut, on restrained and above."""
    cache = audited_cache(items={"base": [{"serial": "B-1", **SEEN}]})
    result = audited(cache, counted(cache, {"B-1": {"points": 1}}), needs=TWO_AT_50)
    (cost,) = result.costs

    assert (cost.cause.serial, cost.back, cost.met_again, cost.alone) == ("B-1", (1,), 1, (1,))
    assert steps(result)[1] == [2, 2, 2, 2, 1, 1, 0]


def test_pieces_of_a_lot_cost_what_as_many_of_the_book_do() -> None:
    """One of two bodies without serials is not fit: mended it gives its strut back, and alone it takes one."""
    cache = audited_cache()
    (cost,) = audited(cache, counted(cache, {"body": {"usable": 1}}), needs=TWO_AT_50).costs

    assert (cost.cause.part, cost.cause.number, cost.back, cost.alone) == ("T/body", 1, (1,), (1,))
    assert (cost.met_again, cost.unmet_alone) == (1, 1)


def test_causes_for_which_the_time_does_not_last(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first says so, the others too without being tried, and each cause is still told."""
    tried = []

    def late(*given: Any) -> None:
        tried.append(given)
        raise NoPlanError("the time was up")

    monkeypatch.setattr("cache_check.checks.costs._of", late)
    result = audited(*faulty(), needs=TWO_AT_50)

    assert len(tried) == 1
    assert {one.cause.serial or one.cause.part for one in result.costs} == {"D-1", "B-1", "S-1", "S-2", "T/pin"}
    assert {(one.untold, one.weight) for one in result.costs} == {("the time was up", (0, 0, 0, 0))}


def test_found_surplus_is_not_counted_on() -> None:
    """More than the book has, or a serial on no book, adds no strut until the book has it."""
    cache = audited_cache(counts={"body": 1})
    extra = CountLine(part="T/body", serial="X-1", found=1, usable=1, label="legible")
    count = counted(cache, {"body": {"found": 2, "usable": 2}}, extra=(extra,))
    result = audited(cache, count, needs=TWO_AT_50)

    assert steps(result)[1] == steps(result)[0]
    whats = [one.finding.what for one in result.findings if one.finding.rule == "CNT-1"]
    assert whats == ["1 x body: extra; on no book; not counted on until it is",
                     "body X-1: extra; on no book; not counted on until it is"]  # fmt: skip


def test_serial_of_another_rig_is_named() -> None:
    """A serial that another rig's book lists is told as that rig's, and is not counted here."""
    cache = audited_cache()
    other = audited_cache(items={"body": [{"serial": "LB-11", **SEEN}], "strap": []})
    stock = tuple(
        line.changed(rig="rescue-9", items=tuple(item.changed(rig="rescue-9") for item in line.items))
        for line in other.stock
    )
    other = other.changed(id="rescue-9", rigs=("rescue-9",), stock=stock)
    extra = CountLine(part="T/body", serial="lb-11", where="tray", found=1)
    result = audited(cache, counted(cache, extra=(extra,)), others=[other])

    (found,) = [one.finding for one in result.findings]
    assert (found.rule, found.what) == ("CNT-1", "body lb-11: wrong rig; belongs to rescue-9")


def test_piece_at_repair_that_is_here_stays_out() -> None:
    """A piece that the book has at repair, found on the rig, is not counted on until somebody writes its state."""
    cache = audited_cache(items={"body": [{"serial": "D-1", "status": "repair", **SEEN}]})
    silent = audited(cache, counted(cache), needs=TWO_AT_50)
    written = audited(cache, counted(cache, {"D-1": {"state": "in service"}}), needs=TWO_AT_50)

    assert steps(silent)[1][1] == 1
    assert steps(written)[1][1] == 2


def test_lot_line_with_a_fault_tells_its_pieces_apart() -> None:
    """Of a lot without serials, a line that says something adverse takes just its own pieces out."""
    cache = audited_cache(items={"strap": []}, counts={"strap": 6})
    bad = CountLine(part="T/strap", where="the cab", found=2, condition="melted")
    count = counted(cache, {"strap": {"found": 4, "usable": 4}}, extra=(bad,))
    result = audited(cache, count)

    out = {one.cause.serial for one in result.costs if one.cause.rule == "WEB-2"}
    assert out == {"without serial 1", "without serial 2"}


def test_need_unmet_today_is_no_pass_whatever_the_book_says() -> None:
    """The same rig has the same result whatever its book lists; a policy may allow so many needs."""
    cache = audited_cache()
    three = needs_of([{"at": 50, "count": 3}])
    result = audited(cache, counted(cache), needs=three)

    assert result.verdict.outcome == "out of service"
    assert ("NEED-1", "") in told(result)
    assert audited(cache, counted(cache), change("AUD-1", unmet=1), needs=three).verdict.outcome == "pass with fixes"


def test_ahead_says_the_first_day_out_and_the_struts_then() -> None:
    """The last day of an inspection still counts; the day after the strut is gone, and the course says so."""
    cache = audited_cache(items={"body": [{"serial": "D-1", "inspected": "2025-06-01", "label": "legible"}]})
    result = audited(cache, counted(cache), needs=TWO_AT_50, ahead="6 months")

    assert result.ahead is not None
    # 366 days after 1 June 2025 is 2 June 2026.
    assert [(fall.on, fall.serial, fall.rule) for fall in result.ahead.falls] == [(date(2026, 6, 3), "D-1", "INS-1")]
    assert result.ahead.steps == (((DAY, 2), (date(2026, 6, 3), 1)),)
    assert result.ahead.until == date(2026, 10, 1)
    assert result.ahead.tallies[0].met is False


def test_ahead_of_days_on_which_no_strut_falls() -> None:
    """Two extensions that fall on two days take no strut of this length: one count all along."""
    items = {name: [{"serial": f"E-{n}", "inspected": f"2025-06-0{n}", "label": "legible"}]
             for n, name in enumerate(("ext-6", "ext-12"), 1)}  # fmt: skip
    cache = audited_cache(items=items)
    result = audited(cache, counted(cache), needs=TWO_AT_50, ahead="6 months")

    assert result.ahead is not None
    assert [(fall.on.isoformat(), fall.serial) for fall in result.ahead.falls] == [
        ("2026-06-03", "E-1"), ("2026-06-04", "E-2"),
    ]  # fmt: skip
    assert result.ahead.steps == (((DAY, 2),),)


def test_ahead_brings_nothing_back_by_itself() -> None:
    """A day of inspection that is still to come is wrong today; that it comes does not make the body fit."""
    cache = audited_cache(items={"body": [{"serial": "D-1", "inspected": "2026-05-01", "label": "legible"}]})
    result = audited(cache, counted(cache), needs=TWO_AT_50, ahead="6 months")

    assert result.ahead is not None
    assert result.ahead.steps == (((DAY, 1),),)
    assert result.ahead.tallies[0].count("usable") == 1


def test_book_is_judged_on_its_own_day() -> None:
    """What fell due since the book was dated is a loss today, not a loss of the book."""
    cache = audited_cache(items={"body": [{"serial": "D-1", "inspected": "2025-03-30", "label": "legible"}]})
    dated = audited(cache.changed(book_date=BOOK_DAY), None, needs=TWO_AT_50)
    undated = audited(cache, None, needs=TWO_AT_50)

    assert steps(dated) == ([2, 2, 2, 2, 2, 2, 1], [2, 1, 1, 1, 1, 1, 0])
    assert steps(undated)[0] == steps(dated)[0]


def test_more_missing_is_never_better() -> None:
    """Whatever piece is missing besides, no step of today rises."""
    cache = audited_cache()
    names = [cache.catalogue.by_id[line.part].name for line in cache.stock if not line.items]
    whole = steps(audited(cache, counted(cache), needs=TWO_AT_50))[1]
    for name in names:
        fewer = counted(cache, {name: {"found": 0, "usable": None}})
        less = steps(audited(cache, fewer, needs=TWO_AT_50))[1]
        assert all((a or 0) <= (b or 0) for a, b in zip(less, whole, strict=True)), name


@pytest.mark.parametrize(
    ("asked", "says"),
    [({"ahead": "next year"}, "is not a span of time"), ({"ahead": "9000 years"}, "leads past the year 9999")],
)
def test_refusals(asked: dict[str, Any], says: str) -> None:
    """A span that is none is refused in words."""
    cache = audited_cache()
    with pytest.raises(AskError, match=says):
        audited(cache, counted(cache), **asked)


def test_count_of_another_rig_is_refused() -> None:
    """A count of one rig is not audited against the book of another."""
    cache = audited_cache()
    with pytest.raises(AskError, match="is of 'rescue-9', and the book is of 'tidy'"):
        audited(cache, counted(cache, rig="rescue-9"))


def test_causes_alike_are_worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three hundred bodies that nobody looked at cost no more work than three, and each its own line."""
    from cache_check.planning.packing.muster import Muster

    made = []
    begin = Muster.__init__

    def counting(self: Muster, *given: Any, **named: Any) -> None:
        made.append(1)
        begin(self, *given, **named)

    monkeypatch.setattr(Muster, "__init__", counting)
    work = {}
    for number in (3, 300):
        bodies = [{"serial": f"D-{n}", **SEEN} for n in range(number)]
        cache = audited_cache(counts={"body": number}, items={"body": bodies})
        made.clear()
        result = audited(cache, CountSheet(rig=cache.id, on=DAY), needs=TWO_AT_50, ahead="2 years")
        work[number] = len(made)
        assert sum(one.cause.part == "T/body" for one in result.costs) == number

    assert work[300] == work[3]


@pytest.mark.parametrize(("points", "restrained"), [(8, 4), (7, 3), (6, 2), (5, 1), (4, 0), (0, 0), (None, 0)], ids=str)
def test_points_of_a_lot_take_bases_out_where_it_costs_most(points: int | None, restrained: int) -> None:
    """Of four bases with two points each, so many fit in all: every point gone takes a base; blank, none is known."""
    counts = {"body": 4, "base": 4, "head": 4, "pin": 16, "strap": 9}
    cache = audited_cache(counts=counts, items={"strap": []})
    result = audited(cache, counted(cache, {"base": {"points": points}}), needs=needs_of([{"at": 50, "count": 4}]))
    (one,) = result.compared

    assert one.today.count("assembled at once") == (0 if points is None else 4)
    assert one.today.count("restrained") == restrained
    assert ("TAG-1", "T/base") in told(result) or points in (8, None)


def test_tags_on_a_line_take_as_many_pieces_out() -> None:
    """A tag takes its piece out whatever the line says besides; of a lot each tag takes one."""
    cache = audited_cache(items={"strap": []}, counts={"strap": 6})
    for line, left, untagged in (
        ({"found": 6, "usable": 6, "tag": "12, 13"}, 4, 0), ({"found": 6, "usable": 4, "tag": "12-13"}, 4, 0),
        ({"found": 6, "usable": 3, "tag": "12"}, 3, 2), ({"found": 6, "usable": 6, "tag": "-"}, 6, 0),
    ):  # fmt: skip
        result = audited(cache, counted(cache, {"strap": line}))
        assert sum(cost.cause.number for cost in result.costs if cost.cause.part == "T/strap") == 6 - left
        figures = [dict(one.finding.figures) for one in result.findings if one.finding.rule == "TAG-1"]
        assert [one["untagged_count"] for one in figures] == ([untagged] if untagged else [])


def test_second_count_and_initials_are_used() -> None:
    """Two counts that differ are told and the lower counts; one person who signs twice is one pair of eyes."""
    cache = audited_cache()
    result = audited(cache, counted(cache, {"pin": {"second": "6"}}, by="A. B.", second="a. b. "))
    findings = {(one.finding.rule, one.finding.what) for one in result.findings}

    assert ("CNT-1", "2 x pin: two counts; 8 counted first, 6 by the second person; the lower is taken") in findings
    assert ("CNT-1", "2 x pin: missing; 8 on the book, 6 found") in findings
    assert ("CNT-4", "one person signed as both") in findings
    whole = counted(cache, by="", second="")
    initialled = whole.changed(lines=tuple(line.changed(initials="A. B.", second="C. D.") for line in whole.lines))
    assert {one.finding.rule for one in audited(cache, whole).findings} == {"CNT-4"}
    assert audited(cache, initialled).verdict.outcome == "pass"


def test_one_serial_on_two_rigs_is_told_with_a_count_and_without() -> None:
    """A serial that another rig's book lists too, in capitals or not, is a finding."""
    cache = audited_cache(items={"body": [{"serial": "lb-11", **SEEN}]})
    other = audited_cache(items={"body": [{"serial": "LB-11", **SEEN}], "strap": []}).changed(id="rescue-9")
    stock = tuple(
        line.changed(items=tuple(item.changed(rig="rescue-9") for item in line.items)) for line in other.stock
    )
    for count in (None, counted(cache)):
        result = audited(cache, count, others=[other.changed(stock=stock)])
        says = "body lb-11: two books; the book of rescue-9 lists it too"
        assert ("CNT-1", says) in {(one.finding.rule, one.finding.what) for one in result.findings}


def test_at_repair_is_not_missing() -> None:
    """A piece that the count says is at repair is that, though the book has it here; found no or blank alike."""
    cache = audited_cache(items={"body": [{"serial": "D-1", **SEEN}]})
    result = audited(cache, counted(cache, {"D-1": {"found": 0, "usable": None, "state": "repair"}}))
    (found,) = [one.finding for one in result.findings if one.finding.rule == "CNT-1"]

    assert found.what == "body D-1: not as booked; the book has it as in service, the count as repair"
    assert [cost.cause.why for cost in result.costs] == ["repair"]


def test_the_audit_sheet_of_report_is_under_the_settings_that_are_supposed() -> None:
    """A rule and a factor supposed of ``pages`` are those of its audit, which pieces supposed are not."""
    cache = audited_cache()
    suppose = api.WhatIf(on=DAY, settings=(change("WEB-1", on=False),), factor=Fraction(4), without=(("body", 1),))
    terms = api.ReportTerms(kinds=("audit",), count=counted(cache), needs=TWO_AT_50)
    (made,) = api.pages([cache], read_rules(), terms=terms, suppose=suppose).audits
    alone = audited(cache, counted(cache), change("WEB-1", on=False), needs=TWO_AT_50)

    assert (made.basis.rules_off, alone.basis.factor) == (("WEB-1",), Fraction(2))
    assert made.basis.factor == 4
    assert alone.basis.rules_off == made.basis.rules_off
    assert made.compared[0].today.count("usable") == alone.compared[0].today.count("usable")
