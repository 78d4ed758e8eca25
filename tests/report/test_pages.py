"""What each page must say, and in which order."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from builders import tidy

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.counting import STEPS, Binding, SceneAnswer
from cache_check.model.piece import Idle, Reason, Why
from cache_check.model.result import CheckResult, Reach
from cache_check.model.verdict import Link
from cache_check.report.answer import Told, answer
from cache_check.report.answer import page as whole
from cache_check.report.page import CAUTION, REMINDER, Page, Points, Table, View
from report.sample_results import (
    BOOK,
    INCH,
    RULE,
    basis,
    build_result,
    check_result,
    finding,
    packing,
    reach_result,
    rules_result,
    tally,
)


def said(page: Page) -> list[str]:
    """Every text of a page, in order."""
    texts = [page.title]
    for section in page.sections:
        texts.append(section.heading)
        for block in section.blocks:
            if isinstance(block, str):
                texts.append(block)
            elif isinstance(block, Points):
                texts += [block.lead, *block.items]
            else:
                texts += [column.head for column in block.columns]
                texts += [cell for row in block.rows for cell in row]
    return texts


def tables(page: Page) -> list[Table]:
    """The tables of a page, in order."""
    return [block for section in page.sections for block in section.blocks if isinstance(block, Table)]


def check_page(**changed: object) -> Page:
    """The page of the sample check."""
    return whole("check", check_result(**changed), Told(BOOK))


ANSWERS = [
    check_page(),
    whole("reach", reach_result(), Told(BOOK)),
    whole("build", build_result(), Told(BOOK)),
    whole("build", build_result(legal=True), Told(BOOK)),
]


@pytest.mark.parametrize("page", ANSWERS)
def test_caution_and_basis_are_on_every_page(page: Page) -> None:
    """The caution stands at the end, a reminder near the top, and between them all that the answer rests on."""
    texts = said(page)

    assert texts[-len(CAUTION) :] == list(CAUTION)
    assert REMINDER in texts[: texts.index(page.sections[1].heading)]
    for needed in (
        "rules: version 7, changed: EXT-2, EXT-3 off", "counted on: rig-1 unknown", "today: 2026-11-25",
        "supposed: without 1 strap", "units: inches, pounds, pounds-force", "EXT-3: not a rule of this book", "2 pads",
        "strap: nobody counted",
        "max 32.0 in", "family P: the sheet", "a.yaml (SHA-256 abababababab)",
    ):  # fmt: skip
        assert needed in texts, needed


@pytest.mark.parametrize("page", ANSWERS)
def test_no_cell_is_blank(page: Page) -> None:
    """What is unknown, unrated or not asked is said in words, never left blank."""
    for table in tables(page):
        for row in table.rows:
            assert len(row) == len(table.columns)
            assert all(cell.strip() for cell in row)


def test_check_page_keeps_its_order() -> None:
    """A crew finds the tally first and the caution last."""
    assert [section.heading for section in check_page().sections] == [
        "In short", "Struts on each step", "Scenes", "Who brings what", "What each part's loss costs",
        "Reach and blind spots", "How many at once, by length",
        "Matched sets", "Gaps", "Findings", "Parts", "What this rests on", "Caution",
    ]  # fmt: skip


def test_every_step_is_named_and_counted() -> None:
    """The tally has a column for each step, in order, with its count under it."""
    table = tables(check_page())[0]
    heads = [column.head for column in table.columns]

    assert heads[-len(STEPS) - 1 : -1] == list(STEPS)
    assert table.rows == (("roof side", "50.0", "6,000", "4", "7", "7", "6", "4", "3", "3", "2", "NOT MET, 1 short"),)


def test_step_that_was_not_asked_is_not_a_zero() -> None:
    """Without a load the rated step reads "not asked"."""
    asked_nothing = tally((7, 7, 6, 4, 3, None, 2), load=None, factor=None, wanted=None)
    table = tables(check_page(tallies=(asked_nothing,), scenes=()))[0]

    assert table.rows == (("50.0", "7", "7", "6", "4", "3", "not asked", "2"),)


def test_zero_says_why() -> None:
    """A count that falls to zero has its reason under the tally."""
    none = tally((7, 7, 0, 0, 0, 0, 0), why_zero=(("buildable", "nothing covers it"),), best=packing(0), lost=())

    assert any("buildable 0: nothing covers it" in text for text in said(check_page(tallies=(none,))))


def test_what_binds_and_one_lost_stand_with_their_need() -> None:
    """Of each need: what one loss costs, what the next strut wants, and one way to build it."""
    assert any(
        text.startswith("roof side: 1 strap missing leaves 2 rated; the next wants 1 more strap; one way: 3 x base + b")
        for text in said(check_page())
    )


def test_most_struts_and_longest_reach_are_not_shown_as_one() -> None:
    """The matched sets and the reach each say that they are not to be had together."""
    texts = " ".join(said(check_page()))

    assert "the most struts and the longest reach are not to be had together" in texts
    assert "A length in reach says nothing of how many struts reach it." in texts


def test_findings_stand_gravest_first_with_what_to_do() -> None:
    """Severity, rule, title, what was found, where, what it does, and what to do; the source is the rule's."""
    texts = said(check_page())
    stop = next(i for i, text in enumerate(texts) if text.startswith("STOP MAT-1"))
    short = texts.index(
        "SHORT STR-1 Straps per base: 5 bases need 10 straps: 3 short (strap bag); no more than 3 restrained. "
        "Do: add straps"
    )

    assert stop < short
    assert texts[stop - 1].startswith("STOP: do not build or use; SHORT: a need is not met. ")


def test_uncounted_part_is_unknown_on_the_book() -> None:
    """A part that nobody counted reads "unknown", not zero."""
    assert tables(check_page())[-2].rows[0] == ("Strap", "P/strap", "strap", "unknown", "0", "none")


def test_in_short_has_each_scene_and_what_it_wants() -> None:
    """The first lines say the head, each scene with its verdict and what binds, what to do, what hurts most."""
    texts = said(check_page())[1:]

    assert texts[1].startswith("Rig 1; counted unknown, today 2026-11-25; design factor 2:1; rules changed: EXT-2")
    assert any(text.startswith("NOT MET: ") for text in texts[:6])
    assert any(text.startswith("Do now: ") and "(STR-1)" in text for text in texts[:8])


def test_no_reach_is_said_in_words() -> None:
    """A cache that builds nothing says so everywhere instead of leaving sections empty."""
    nothing = check_page(tallies=(), scenes=(), profiles=(), matched=(), gaps=(), findings=(), parts=(),
                         reach=Reach(0, (), (), (), ()))  # fmt: skip
    texts = said(nothing)

    for words in ("No legal assembly can be built: no reach.", "No strut can stand, so there is no set.", "None."):
        assert words in texts


def test_build_that_is_not_legal_says_so_first_with_rule_and_source() -> None:
    """The verdict, the broken rule in words with its source and remedy, and the nearest legal build."""
    texts = said(whole("build", build_result(), Told(BOOK)))

    assert "NOT LEGAL: Do not build it." in texts[:5]
    at = texts.index("STOP EXT-2 Total extension length")
    assert texts[at + 1 : at + 4] == ["44 in, at most 32 in", "do: a longer body", "source: common practice"]
    assert "1 part changed: base + body + head:" in texts
    assert "Not legal, so no length is given." in texts


def test_legal_build_without_pieces_is_not_said_to_be_possible() -> None:
    """Legal but short of pieces: both are said, with the figures."""
    texts = said(whole("build", build_result(legal=True), Told(BOOK)))

    assert "LEGAL: But SHORT of usable pieces: it cannot be built from this cache as it is." in texts[:5]
    assert "Short of: pin: 2 wanted, 1 usable" in texts
    assert "length, closed to open: 48.0 to 71.0 in" in texts
    assert "loose pins: 2 x pin" in texts


def test_reach_that_is_too_long_to_list_says_how_to() -> None:
    """Assemblies that are not listed are counted, and the page says how to see them."""
    result = reach_result()
    many = replace(result, reach=replace(result.reach, assemblies=(), count=5000))

    assert "5,000 legal, not listed; --limit 5000 lists them." in said(whole("reach", many, Told(BOOK)))


def test_hole_settings_have_their_blind_spots_told_in_one_line() -> None:
    """Twenty blind spots between settings are one line with the widest."""
    union = tuple((n * INCH, n * INCH) for n in range(40, 60, 2))
    spots = tuple((a[1], b[0]) for a, b in pairwise(union))
    reached = replace(check_result().reach, union=union, blind_spots=spots)

    assert "9, one between each two settings; the widest 2.0 in" in said(check_page(reach=reached))


def test_si_page_shows_si_only() -> None:
    """A page in SI has no inch and no pound on it, and its load is rounded up."""
    texts = said(check_page(basis=basis(units="si")))

    assert {"length, mm", "1,270", "load each, kN at 2:1", "26.69"} <= set(texts)
    assert not [text for text in texts if " in," in text or " lb" in text]


def test_several_caches_are_a_line_each() -> None:
    """Several caches begin with what is supposed of them and which rules are changed, then a line each, what to do."""
    other = replace(check_result(), title="Rig 2", findings=(), basis=basis(rules_off=("PIN-2",)))
    lines = answer("check", [check_result(), other], Told(BOOK), View()).splitlines()

    assert lines[:2] == ["Today       2026-11-25", "Supposed    without 1 strap"]
    assert lines[2] == "Rules       changed: EXT-2, EXT-3 off, PIN-2 off"
    each = "counted unknown, at 2:1: 0 of 1 scenes met, 0 of 1 needs met alone"
    assert lines[3:5] == [f"Rig 1, {each}; 1 stop, 1 short", f"Rig 2, {each}; no findings"]
    assert lines[5].startswith("Do now      Rig 1 and Rig 2, each: free: body (1 piece): ")


def test_no_piece_is_asked_for_where_another_reason_is_said_of_none() -> None:
    """Straps that nobody counted want counting: as check, reach says the reason alone, and of what stands the next."""
    for straps, reason in ((None, "not known of count of strap"), (4, "")):
        cache = tidy(counts={"strap": straps})
        lines = answer("reach", [api.reach(cache, read_rules(), at=50 * INCH)], Told(BOOK), View()).splitlines()
        assert any(reason in line for line in lines)
        assert sum(line.startswith("Next strut") for line in lines) == (not reason)


def test_rule_card_says_why_and_what_changed_it() -> None:
    """One rule: why, source, remedy, parameter and the setting that changed it."""
    texts = said(whole("rules", rules_result(), Told(BOOK, more={"units": "us"})))

    assert {"Why: slender", "Source: common practice", "Do: use a longer body"} <= set(texts)
    assert "max (most extension length): 36.0 in; stricter is lower" in texts
    assert {"max 32.0 in", "family P", "the sheet"} <= set(texts)


def test_binding_at_a_need_that_nothing_helps() -> None:
    """That nothing helps is said, not left out."""
    stuck: CheckResult = check_result(tallies=(tally(binding=Binding((), (), 9)),))

    assert any("no single part and no pair" in text for text in said(whole("check", stuck, Told(BOOK))))


def test_design_factor_is_shown_as_the_trade_writes_it() -> None:
    """The factor stands at the head of the page; without a load it is not asked."""
    assert "design factor: 4:1" in said(check_page(basis=basis(factor=Fraction(4))))
    assert "design factor: not asked, since no load is" in said(check_page(basis=basis(factor=None)))


def test_what_costs_nothing_comes_first() -> None:
    """A piece at repair is told to be fetched, before anything that is short; alike remedies are one line."""
    away = Idle("P/strap", "rig-1", "strap bag", "", 2, "repair", (Reason(Why.REPAIR, "OOS-1", "at repair"),))
    other = replace(away, serial="S-9", number=1)
    result = check_result(parts=(replace(check_result().parts[0], idle=(away, other)),))
    lines = answer("check", [result], Told(BOOK), View()).splitlines()
    at = next(n for n, line in enumerate(lines) if line.startswith("Do now"))

    line = " ".join(lines[at].split())
    assert line == "Do now free: strap (2 pieces), strap (S-9): fetch it back from repair, inspected"
    assert "add straps" in lines[at + 1]


def test_a_hole_is_given_as_the_reason() -> None:
    """A need that lies between two holes is told so, with the two lengths, not that nothing covers it."""
    pitch = RULE.changed(id="IDX-1", kind="hole_pitch")
    none = tally((7, 7, 0, 0, 0, 0, 0), label="s: n", why_zero=(("buildable", "nothing covers it"),), best=packing(0))
    links = (Link("rated", "does not hold", "0 of 4"),)
    scene = SceneAnswer("s", "Mixer", 4, 0, 0, (("n", 4, 0),), packing(0), Binding((), (), 5), links)
    lies = "50.0 in lies between two settings of long-body, 49.0 in and 51.0 in"
    between = replace(finding(), rule="IDX-1", part="P/long-body", what=f"s: n: {lies}")
    result = check_result(tallies=(none,), scenes=(scene,), findings=(between,))
    text = " ".join(answer("check", [result], Told(BOOK.changed(rules=(RULE, pitch))), View()).split())

    assert f"n 0 of 4 rated; n: {lies}" in text
    assert "nothing covers it" not in text
