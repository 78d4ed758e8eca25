"""Exercises: the key of every card is what the verbs say when they are asked anew, and the wrong choices are wrong."""

from __future__ import annotations

import math
import re
from datetime import date
from fractions import Fraction

import pytest
import yaml
from audit_builders import audited_cache
from cli.running import SAMPLES, cache_check

import cache_check as cc
from cache_check.api.audit import sheet
from cache_check.api.exercises import ground
from cache_check.api.exercises.ground import Draw
from cache_check.api.exercises.kinds import KINDS
from cache_check.model.audit import AuditResult
from cache_check.model.cache import Cache
from cache_check.model.count import CountSheet
from cache_check.model.exercise import Card, ExerciseResult
from cache_check.model.rule import RuleBook, Setting

ON = date(2026, 11, 25)


@pytest.fixture(scope="module")
def book() -> RuleBook:
    """The rules as they are published."""
    return cc.read_rules()


@pytest.fixture(scope="module", params=["rescue-41.yaml", "rescue-44.yaml"])
def rig(request: pytest.FixtureRequest, book: RuleBook) -> Cache:
    """A rig of the sample county."""
    return cc.read_cache(SAMPLES / request.param, book)


@pytest.fixture(scope="module")
def made(rig: Cache, book: RuleBook) -> ExerciseResult:
    """Forty cards of it."""
    return cc.exercise(rig, book, count=40, seed=11, suppose=cc.WhatIf(on=ON))


def of_kind(made: ExerciseResult, kind: str) -> list[Card]:
    """The cards of a kind."""
    return [one for one in made.cards if one.kind == kind]


def test_every_kind_gives_cards(made: ExerciseResult, rig: Cache) -> None:
    """Rescue 41 is rich enough for every kind; each card has one question, at least two choices and its key."""
    if rig.id == "rescue-41":
        assert len({one.kind for one in made.cards}) == len(KINDS)
    for one in made.cards:
        assert 2 <= len(one.choices) == len(set(one.choices))
        assert one.right
        assert set(one.right) < set(range(len(one.choices)))


def test_the_seed_settles_the_cards(made: ExerciseResult, rig: Cache, book: RuleBook) -> None:
    """The same seed: the same cards, in whatever number; another seed: others."""
    again = cc.exercise(rig, book, count=12, seed=11, suppose=cc.WhatIf(on=ON))
    other = cc.exercise(rig, book, count=12, seed=12, suppose=cc.WhatIf(on=ON))

    assert again.cards == made.cards[:12]
    assert other.cards != again.cards


def test_nothing_is_called_restrained_where_no_rule_says_what_that_is(rig: Cache, book: RuleBook) -> None:
    """With STR-1 off no card counts restrained struts."""
    off = book.changed(settings=(Setting(rule="STR-1", on=False, by="this test"),))
    cards = cc.exercise(rig, off, count=40, seed=11, suppose=cc.WhatIf(on=ON)).cards

    assert cards
    assert not [one.question for one in cards if "restrained" in one.question + one.why + one.rests]


def test_draws_are_these_on_every_machine() -> None:
    """By ``printf '7:here:1' | sha256sum``: its digits as a whole number leave 769 by 1,000; 7:there:1 leaves 720."""
    assert [Draw(7, "here").below(1_000), Draw(7, "there").below(1_000)] == [769, 720]


def test_needs_settle_the_lengths(book: RuleBook) -> None:
    """With needs, how many at once is asked at lengths that a need of theirs wants, and at no other."""
    rig, needs = cc.read_cache(SAMPLES / "rescue-41.yaml", book), cc.read_needs(SAMPLES / "needs.yaml")
    made = cc.exercise(rig, book, count=30, seed=2, needs=needs, suppose=cc.WhatIf(on=ON))
    asked = [one for one in made.cards if one.kind in ("at once", "what stops the next", "what hurts most")]

    assert asked
    wanted = [need for scene in needs.scenes for need in scene.needs]
    for one in asked:
        assert any(need.shortest <= _length(one.question) <= need.longest for need in wanted), one.question


def test_what_stops_the_next_is_what_one_more_allows(made: ExerciseResult, rig: Cache, book: RuleBook) -> None:
    """One more of the key gives one strut more at that length; one more of a wrong choice does not."""
    for one in of_kind(made, "what stops the next")[:3]:
        at = _length(one.question)
        before = _restrained(rig, book, at)
        for n, part in enumerate(_typed(made, one)):
            after = _restrained(rig, book, at, extra=((part, 1),))
            assert after - before == (1 if n in one.right else 0), (one.question, part)


def test_what_hurts_most_costs_a_strut(made: ExerciseResult, rig: Cache, book: RuleBook) -> None:
    """Without one of the key a strut is lost at that length; without one of a wrong choice none is."""
    for one in of_kind(made, "what hurts most")[:3]:
        at = _length(one.question)
        step = "restrained" if "restrained at once" in one.question else "assembled at once"
        before = _count(rig, book, at, step)
        for n, part in enumerate(_typed(made, one)):
            lost = before - _count(rig, book, at, step, without=((part, 1),))
            assert lost == (1 if n in one.right else 0), (one.question, part)


def test_may_be_joined_is_what_build_says(made: ExerciseResult, rig: Cache, book: RuleBook) -> None:
    """``build`` breaks the rule of the key, and none of the wrong ones; or none that stops where the key says yes."""
    for one in of_kind(made, "may be joined"):
        parts = one.command.split()[3:]
        broken = {
            f"no: {rule.title} ({rule.rule})"
            for rule in cc.build(rig, book, parts, suppose=cc.WhatIf(on=ON)).verdict.broken
            if rule.severity == "stop"
        }
        assert {one.choices[n] for n in one.right} == (broken or {"yes, they may"})


def test_at_once_is_what_reach_counts(made: ExerciseResult, rig: Cache, book: RuleBook) -> None:
    """What the card's own command counts, with the pieces gone that are set up."""
    for one in of_kind(made, "at once")[:3]:
        gone = tuple((part, int(n)) for part, n in re.findall(r"--without (\S+)=(\d+)", one.command))
        assert one.choices[one.right[0]] == str(_restrained(rig, book, _length(one.question), without=gone))


def test_which_reaches_is_height_over_sine(made: ExerciseResult, rig: Cache, book: RuleBook) -> None:
    """The length at that height and angle, exact or as the key says it, lies in the reach of the right build alone."""
    near = cc.exercise(rig, book, count=12, seed=1, level="first", suppose=cc.WhatIf(on=ON))  # 51.96 in, said as 52.0
    for one in (*of_kind(made, "which reaches"), *of_kind(near, "which reaches")):
        height, angle = re.findall(r"is ([\d.]+) in above .* at (\d+) degrees", one.question)[0]
        length = float(height) / math.sin(math.radians(float(angle)))
        for n, choice in enumerate(one.choices):
            low, high = map(float, re.findall(r"\(([\d.]+) to ([\d.]+) in\)", choice)[0])
            told = float(re.findall(r"must be ([\d.]+) in long", one.why)[0])
            assert {low <= at <= high for at in (length, told)} == {n in one.right}, (one.question, choice)


def test_what_it_carries_is_the_row_at_or_above(made: ExerciseResult) -> None:
    """Read anew from the family's file: the row at or above, the column by extensions, the failure load over two."""
    (chart,) = yaml.safe_load((SAMPLES / "family-p.yaml").read_text())["charts"]
    rows = {row["length"]: row["loads"] for row in chart["rows"]}
    for one in of_kind(made, "what it carries"):
        stack, at = re.findall(r"^(.*), set to ([\d.]+) in", one.question)[0]
        row = min(limit for limit in rows if limit >= Fraction(at))
        load = rows[row][stack.count("Extension")]
        assert [one.choices[n] for n in one.right] == [f"{load / 2:,.0f} lbf"]


def test_two_faults_are_two_and_the_rest_is_fine(made: ExerciseResult) -> None:
    """Two lines are short, away or cannot be read; in every other line as many are found as the book has."""
    for one in of_kind(made, "two faults"):
        assert len(one.right) == 2
        for n, line in enumerate(one.choices):
            book, found = re.findall(r": (\d+) x .*; (?:(\d+) found)?", line)[0]
            wrong = "cannot be read" in line or "not found" in line or bool(found and found != book)
            assert wrong == (n in one.right), line


def test_a_fault_is_of_one_line_alone(book: RuleBook, monkeypatch: pytest.MonkeyPatch) -> None:
    """A count as booked finds nothing; of two lots of a part in one place one is counted short, not both."""
    counts: list[CountSheet] = []

    def kept(rig: Cache, book: RuleBook, count: CountSheet, **more: object) -> AuditResult:
        counts.append(count)
        return cc.audit(rig, book, count, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(ground, "audit", kept)
    rig, suppose = audited_cache(), cc.WhatIf(on=date(2026, 4, 1))
    assert ground.found(ground.Ground(rig, book, suppose)) == frozenset()

    two = ground.Ground(rig.changed(stock=(*rig.stock, rig.stock[0])), book, suppose)
    lots = [number for number, line in enumerate(sheet(two.cache).lines) if line.part == rig.stock[0].part]
    for number in lots:
        ground.found(two, number, ground.FAULTS[0])
        assert [line.found for line in counts[-1].lines if line.part == rig.stock[0].part].count(1) == 1


def test_the_command_shows_no_key_unless_asked() -> None:
    """The cards alone; the key after them with --key; each says that it is an exercise; bad words end in status 2."""
    plain = cache_check("exercise", "rescue-41.yaml", "--count", "3", "--on", "2026-11-25")
    keyed = cache_check("exercise", "rescue-41.yaml", "--count", "3", "--key", "--on", "2026-11-25")

    assert plain.returncode == keyed.returncode == 0
    assert "An exercise, for training" in plain.stdout
    assert "rests on" not in plain.stdout
    assert "rests on" in keyed.stdout
    assert cache_check("exercise", "rescue-41.yaml", "--level", "none").returncode == 2


def _typed(made: ExerciseResult, card: Card) -> list[str]:
    """The parts that a card's choices name as the book does, each by its id."""
    ids = {name: part for part, name in made.names}
    return [ids[one] for one in card.choices]


def _length(question: str) -> int:
    (inches,) = re.findall(r"at ([\d.]+) in", question, re.IGNORECASE)
    return int(Fraction(inches) * 25_400_000)


def _restrained(rig: Cache, book: RuleBook, at: int, **pieces: tuple[tuple[str, int], ...]) -> int:
    return _count(rig, book, at, "restrained", **pieces)


def _count(rig: Cache, book: RuleBook, at: int, step: str, **pieces: tuple[tuple[str, int], ...]) -> int:
    tally = cc.reach(rig, book, at=at, suppose=cc.WhatIf(on=ON, **pieces)).at  # type: ignore[arg-type]
    assert tally is not None
    return tally.count(step) or 0  # type: ignore[arg-type]
