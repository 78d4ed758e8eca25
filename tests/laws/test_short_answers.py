"""The answer first: how long it may be, that its figures are those of the whole, and where questions are answered."""

from __future__ import annotations

import csv
import re
import textwrap
from dataclasses import dataclass
from datetime import date
from functools import cache
from unittest.mock import patch

import pytest
from builders import rescue_41
from cli.running import ON, SAMPLES

import cache_check as api
from cache_check import WhatIf
from cache_check.cli.output import guarded
from cache_check.files.cache import read_cache
from cache_check.files.needs import read_needs
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.need import Needs
from cache_check.report.answer import Told, answer, tables, verb
from cache_check.report.as_text import MOST, as_lines, as_table
from cache_check.report.page import Line, Page, Part, View, words
from cache_check.report.shortly import title

BOOK = read_rules()
SUPPOSE = WhatIf(on=date(2026, 11, 25))
RIGS = ("rescue-41.yaml", "rescue-44.yaml", "truck-9.yaml")
SIX = (
    *read_needs(SAMPLES / "needs.yaml").scenes,
    read_needs(SAMPLES / "needs.yaml").scenes[0].changed(id="again", title="Once more"),
)
NEEDS = Needs(scenes=SIX)
NUMBER = re.compile(r"\d+(?:,\d{3})*(?:\.\d+)?")


def large() -> Cache:
    """A rig of 110 pieces: that of the sample with more of every part."""
    more = {"short-body": 8, "long-body": 6, "extension-10": 8, "extension-22": 6, "hinged-base": 12, "edge-head": 8,
            "point-head": 6, "flat-fitting": 4, "joint-pin": 34, "strap": 18}  # fmt: skip
    assert sum(more.values()) == 110
    return rescue_41(**{part.replace("-", "_"): count for part, count in more.items()})


@dataclass(frozen=True)
class Asked:
    """A command and its answers."""

    command: str
    results: tuple[object, ...]
    told: Told


@cache
def asked(command: str, *names: str) -> Asked:
    """What a command answers of some rigs with six scenes, worked out once."""
    rigs = [large() if name == "large" else read_cache(SAMPLES / name, BOOK) for name in names]
    if command == "check":
        found: list[object] = [api.check(one, BOOK, needs=NEEDS, suppose=SUPPOSE) for one in rigs]
    elif command == "stage":
        found = [api.stage(one, BOOK, needs=NEEDS, sets=6, suppose=SUPPOSE) for one in rigs]
    elif command == "buy":
        found = [api.buy(one, BOOK, NEEDS, [], suppose=SUPPOSE) for one in rigs]
    elif command == "audit":
        found = [api.audit(one, BOOK, needs=NEEDS, suppose=SUPPOSE) for one in rigs]
    else:
        found = [api.reach(one, BOOK, suppose=SUPPOSE) for one in rigs]
    return Asked(command, tuple(found), Told(BOOK))


def lines_of(one: Asked, width: int = 100) -> list[str]:
    """The short answer, line by line."""
    return answer(one.command, one.results, one.told, View(width=width)).splitlines()


@pytest.mark.parametrize("rig", [*RIGS, "large"])
@pytest.mark.parametrize("command", ["check", "stage", "buy", "audit", "reach"])
def test_one_screen_holds_the_short_answer(command: str, rig: str) -> None:
    """One rig and six scenes: at most 25 lines of 100 columns, the caution and the way to the rest among the last."""
    lines = lines_of(asked(command, rig))

    assert len(lines) <= MOST
    assert max(map(len, lines)) <= 100
    assert any(line.startswith("Caution") for line in lines[-4:])
    assert any(line.startswith("More ") and "--show" in line for line in lines[-3:])
    labelled = [line for line in lines if not line.startswith(" ")]
    assert len(set(labelled)) == len(labelled)


def test_a_section_ends_with_the_caution_no_wider_than_the_terminal() -> None:
    """On 60 columns the caution under a section takes two lines."""
    one = asked("reach", RIGS[0])
    *_, first, last = answer(one.command, one.results, one.told, View(show=("basis",), width=60)).splitlines()

    assert f"{first} {last}".startswith("Planning aid, not a load rating: ")
    assert max(len(first), len(last)) <= 60


@pytest.mark.parametrize("command", ["check", "stage", "buy"])
def test_several_rigs_are_a_line_each_and_ten_on_what_to_do(command: str) -> None:
    """A line for each rig, then at most ten lines, then caution and more."""
    results = tuple(asked(command, rig).results[0] for rig in RIGS)
    lines = lines_of(Asked(command, results, Told(BOOK)), 10_000)
    rows = [n for n, line in enumerate(lines) if any(f"{one.title}, counted " in line for one in results)]  # type: ignore[attr-defined]
    foot = next(n for n, line in enumerate(lines) if line.startswith("Caution"))

    assert rows[2] - rows[0] == 2
    assert foot - 1 - rows[2] <= 10
    assert len(lines_of(Asked(command, results, Told(BOOK)))) <= MOST


@pytest.mark.parametrize(
    ("command", "most"),
    [
        (("load", "rescue-41.yaml", "car-on-side.yaml"), MOST),
        (("load", "truck-9.yaml", "leaning-van.yaml"), MOST),
        (("build", "rescue-41.yaml", "hinged-base", "extension-22", "extension-22", "long-body", "edge-head"), MOST),
        (("graph", "rescue-41.yaml"), MOST),
        (("rules",), MOST),
        (("rules", "EXT-2"), MOST),
        (("reach", "rescue-41.yaml", "--at", "78in", "--load", "6000lbf"), 10),
        (("reach", "truck-9.yaml", "--at", "78in"), 10),
    ],
    ids=lambda one: "-".join(one[:2]) if isinstance(one, tuple) else str(one),
)
def test_other_commands_answer_on_a_screen(
    command: tuple[str, ...], most: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """At most 25 lines of 100 columns, and one length in at most ten."""
    monkeypatch.chdir(SAMPLES)
    guarded([*command, *(() if command[0] == "rules" else ON)])
    lines = capsys.readouterr().out.splitlines()

    assert 2 < len(lines) <= most
    assert max(map(len, lines)) <= 100


@pytest.mark.parametrize("width", [60, 80, 100, 140])
def test_it_is_as_wide_as_the_terminal(width: int) -> None:
    """No line is wider than it was told, and no screen longer than it may be."""
    lines = lines_of(asked("check", "rescue-44.yaml"), width)

    assert max(map(len, lines)) <= width
    assert len(lines) <= MOST


@pytest.mark.parametrize("rig", RIGS)
@pytest.mark.parametrize("command", ["check", "stage", "buy", "audit"])
def test_every_figure_of_the_short_answer_is_one_of_the_whole(command: str, rig: str) -> None:
    """Law: no number stands in the short answer that the sections of the whole answer do not show."""
    one = asked(command, rig)
    made = [topic.section(one.results[0], one.told) for topic in verb(command).SECTIONS.values()]
    own = Page(title(command, one.results[0]), tuple(made))
    known = set(NUMBER.findall(as_table(own, 10_000)))
    short = " ".join(line for line in lines_of(one, 10_000) if not re.match(r"\s+\d+ more: --show", line))

    assert {number for number in NUMBER.findall(short) if number not in known} == set()


@pytest.mark.parametrize("rig", RIGS)
def test_scenes_of_the_short_answer_are_those_of_the_results(rig: str) -> None:
    """Law: verdict, wanted and got of each scene are those that JSON has."""
    one = asked("check", rig)
    (result,) = one.results
    text = " ".join(" ".join(lines_of(one, 10_000)).split())

    for scene in result.scenes:  # type: ignore[attr-defined]
        got = ", ".join(f"{need} {served} of {wanted} " for need, wanted, served in scene.by_need).split(", ")
        assert f"{scene.verdict.upper()} {scene.title or scene.scene}: {got[0]}" in text
        assert all(each in text for each in got)


VERDICTS = ("MET", "NOT MET", "NOT KNOWN", "")


@pytest.mark.parametrize("rig", ["rescue-44.yaml", "truck-9.yaml"])
@pytest.mark.parametrize("command", ["check", "stage", "buy", "audit", "reach"])
def test_every_section_that_is_a_table_is_data(command: str, rig: str) -> None:
    """Numbers are numbers, a verdict is one of three words, and the head is the same with nothing to tell."""
    one = asked(command, rig)
    for name, table in tables(verb(command)).items():
        heads, *rows = csv.reader(answer(command, one.results, one.told, View("csv", (name,))).splitlines())
        figures = [column.holds == "figures" for column in words(table.heads)]

        assert len(set(heads)) == len(heads) == len(figures) + 1, name
        for row in rows:
            for head, cell, figure in zip(heads[1:], row[1:], figures, strict=True):
                assert not figure or re.fullmatch(r"(-?\d+(\.\d+)?)?", cell), (name, head, cell)
                assert not head.startswith("verdict") or cell in VERDICTS, (name, head, cell)
                assert not set(";\n") & set(cell) or head in ("what", "why", "do"), (name, head, cell)


def test_verdicts_of_data_are_those_of_the_results() -> None:
    """Law: verdict and what one missing makes of it stand in columns of their own, as JSON has them."""
    one = asked("check", "rescue-41.yaml")
    (result,) = one.results
    rows = csv.DictReader(answer("check", one.results, one.told, View("csv", ("scenes",))).splitlines())
    missing = {"holds": "MET", "does not hold": "NOT MET", "unknown": "NOT KNOWN"}
    told = [(each["verdict of the scene"], each["verdict with one missing"]) for each in rows]

    assert told == [
        (scene.verdict.upper(), missing[scene.missing.state] if scene.missing else "")
        for scene in result.scenes  # type: ignore[attr-defined]
        for _ in scene.by_need
    ]
    assert ("MET", "NOT MET") in told


def test_what_does_not_fit_is_said_to_be_there() -> None:
    """The longest part gives way, and says how many lines are left out and where; each line is broken a few times."""
    many = Part(tuple(Line("MET", f"scene {n}", "met") for n in range(400)), "scenes")
    with patch("textwrap.wrap", wraps=textwrap.wrap) as broken:
        lines = as_lines((many, Part((Line("Caution", "c"),)))).splitlines()

    assert len(lines) == MOST
    assert broken.call_count < 1000
    assert lines[-2].strip() == "377 more: --show scenes"
    assert lines[-1].split() == ["Caution", "c"]


def test_words_begin_in_one_column_beside_labels_of_up_to_eleven_letters() -> None:
    """Three sets in one label too."""
    labels = ("Sets", "Set A, B", "Set D, E, F")
    rows = as_lines((Part(tuple(Line(label, "|") for label in labels)),)).splitlines()

    assert {row.index("|") for row in rows} == {12}


def test_colour_is_never_the_only_sign() -> None:
    """Without its colours a coloured answer is the plain one."""
    one = asked("check", "rescue-44.yaml")
    colored = answer("check", one.results, one.told, View(colored=True))

    assert "\x1b[31" in colored
    assert re.sub(r"\x1b\[[\d;]*m", "", colored) == answer("check", one.results, one.told, View())


SCREEN = 50
LONGER = {
    ("reach", "ASSEMBLIES"): "85 of them, a row each; --limit cuts them",
    ("audit", "FINDINGS"): "an audit that finds twenty things, in 54 lines",
    ("rules", "RULES"): "every rule there is, a row each",
    ("rules", "EACH RULE IN FULL"): "the whole book; cache-check rules ID is one card of it",
}
"""Sections that do not fit on a screen, and why."""
LONGER_ELSEWHERE = {
    ("check", "truck-9.yaml", "findings"): "no need of six scenes is met, each for a reason of its own",
    ("audit", "truck-9.yaml", "findings"): "the same",
    ("reach", "large", "assemblies"): "a row each",
}


CHECK = ("check", "rescue-41.yaml", "--needs", "needs.yaml")
AT_78 = ("reach", "rescue-41.yaml", "--at", "78in", "--load", "4000lbf")
QUOTES = ("buy", "rescue-44.yaml", "--needs", "needs.yaml", "--prices", "prices.yaml", "--prices", "prices-2.yaml")
LOAD = ("load", "rescue-41.yaml", "car-on-side.yaml")
AUDIT = ("audit", "rescue-41.yaml", "rescue-41-count.csv", "--needs", "needs.yaml")
STAGE = ("stage", "rescue-41.yaml", "--needs", "needs.yaml", "--sets", "4")
WHOLE = (CHECK, ("reach", "rescue-41.yaml"), STAGE, LOAD, AUDIT,
         ("buy", "rescue-41.yaml", "--needs", "needs.yaml", "--prices", "prices.yaml", "--prices", "prices-2.yaml"),
         ("build", "rescue-41.yaml", "hinged-base", "long-body", "edge-head"), ("rules",))  # fmt: skip


@pytest.mark.parametrize("rig", ["truck-9.yaml", "large"])
@pytest.mark.parametrize("command", ["check", "stage", "buy", "audit", "reach"])
def test_a_section_of_other_rigs_is_at_most_a_screen(command: str, rig: str) -> None:
    """The same on a rig of 110 pieces with six scenes, and on one of which nothing is met."""
    one = asked(command, rig)
    made = {name: topic.section(one.results[0], one.told) for name, topic in verb(command).SECTIONS.items()}
    high = {name for name, section in made.items() if as_table(Page("One", (section,))).count("\n") > SCREEN}

    assert {(command, rig, name) for name in high} == {one for one in LONGER_ELSEWHERE if one[:2] == (command, rig)}


@pytest.mark.parametrize("command", WHOLE, ids=[one[0] for one in WHOLE])
def test_a_section_is_at_most_a_screen(
    command: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each section of each command on the sample rig fits on a screen of 100 columns, but for those listed."""
    monkeypatch.chdir(SAMPLES)
    guarded([*command, "--show", "all", *(() if command[0] == "rules" else ON)])
    shown = capsys.readouterr().out
    sections = re.split(r"\n\n(?=[A-Z][^a-z\n]+(?: IN)?\n)", shown)[1:]

    assert len(sections) - len(verb(command[0]).SECTIONS) in (0, 1)
    longer = {(command[0], one.partition("\n")[0]) for one in sections if one.count("\n") + 3 > SCREEN}
    assert longer == {one for one in LONGER if one[0] == command[0]}


QUESTIONS: tuple[tuple[str, tuple[str, ...], str], ...] = (
    (
        "How many struts of 78 in at once, each rated for 4,000 lbf at 2:1?",
        AT_78,
        "3 rated, 4,000 lbf along each strut at any angle allowed at 2:1",
    ),
    ("And at 4:1?", (*AT_78, "--factor", "4:1"), "at 4:1"),
    ("What keeps a fourth from standing at 78 in?", AT_78, "wants 1 more Long body and 1 more Strap"),
    ("Which rig of the county falls behind?", ("check",), "Truck 9, counted 2026-03-01, at 2:1: 0 of 5 scenes met"),
    ("What is left with every long body at repair?", (*CHECK, "--without", "long-body"), "drum side 0 of 4"),
    ("Which single missing part hurts most?", CHECK, "Worst loss"),
    (
        "Which parts does no best plan take?",
        ("buy", "rescue-41.yaml", "--needs", "needs.yaml", "--show", "dead"),
        "Short body",
    ),
    ("What is the cheapest list for every scene?", QUOTES, "nothing cheaper does"),
    ("Which of two quotes is the better?", QUOTES, "Quillfen quote 2: 8,504.00 USD"),
    (
        "Who gains if another rig hands parts over?",
        ("buy",),
        "to Rescue 44: Van or light truck on its side from 2 to 3",
    ),
    ("What does a limit of one extension a strut cost?", (*CHECK, "--set", "EXT-1.max=1"), "high rail 0 of 1 rated"),
    (
        "How many pins are missing from the spares box?",
        ("check", "rescue-44.yaml", "--needs", "needs.yaml", "--skip", "low-contact"),
        "2 spare make 14: 6 short",
    ),
    (
        "Which ready sets, and which lengths have none?",
        ("stage", "rescue-41.yaml", "--needs", "needs.yaml"),
        "over 53.5 to under 58.0 in",
    ),
    ("Which strut at this contact, and how far out is its base?", LOAD, "base 37.1 in out"),
    ("How many straps hold a base, and what do they see?", LOAD, "448 lbf in the tightest"),
    (
        "May these parts stand, and which rule says no?",
        ("build", "rescue-41.yaml", "hinged-base", "extension-22", "extension-22", "long-body", "edge-head"),
        "EXT-2 Total extension length",
    ),
    (
        "Between which two holes lies 78 in?",
        ("check", "truck-9.yaml", "--needs", "needs.yaml"),
        "1,955.8 mm and 2,006.6 mm",
    ),
    ("Does the rig pass, and why not?", AUDIT, "1 piece out of use lies there without a tag"),
    ("What can it still do with these tagged?", AUDIT, "van-or-truck: roof side: 2 of 3 rated"),
    ("What falls due within a year?", (*AUDIT, "--ahead", "12 months", "--show", "ahead"), "2027-01-12"),
    ("Which pieces have no date that anybody knows?", ("reach", "truck-9.yaml"), "4 Strap: age unknown, not counted"),
    ("Why is there such a rule?", ("rules", "EXT-2"), "Why "),
)


@pytest.mark.parametrize(("question", "command", "said"), QUESTIONS, ids=[one[0] for one in QUESTIONS])
def test_a_question_is_answered_within_twelve_lines(
    question: str,
    command: tuple[str, ...],
    said: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A task: ask the command, read from the top, and the answer stands in the first twelve lines."""
    monkeypatch.chdir(SAMPLES)
    guarded([*command, *(() if command[0] in ("rules",) else ON)])
    top = capsys.readouterr().out.splitlines()[:12]

    assert said in " ".join(" ".join(top).split()), question


def test_there_are_twenty_questions() -> None:
    """The task test asks no fewer."""
    assert len(QUESTIONS) >= 20
