"""Rules changed by a word on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from cache_check.errors import InputError
from cache_check.files.rules import read_rules
from cache_check.units import NM_PER_INCH


def test_value_is_read_as_in_a_policy_file() -> None:
    """A length, a count, a switch and words arrive in base units, and win over the program's own."""
    book = read_rules(said=("EXT-2.max=40 in", "STR-1.min=3", "EXT-3=off", "COL-1.locks=collar, holes"))

    assert book.value("EXT-2", "max", ("P",)) == 40 * NM_PER_INCH
    assert book.value("STR-1", "min", ("P",)) == 3
    assert not book.is_on("EXT-3")
    assert book.value("COL-1", "locks", ("P",)) == ("collar", "holes")
    assert {one.by for one in book.settings} == {"this command"}


def test_what_is_said_wins_over_policies(tmp_path: Path) -> None:
    """After a policy file that sets the same entry, the command line still has the last word."""
    policy = tmp_path / "policy.yaml"
    policy.write_text("policy: mine\nset:\n  STR-1: {min: 4}\n")

    assert read_rules([policy]).value("STR-1", "min", ("P",)) == 4
    assert read_rules([policy], said=("STR-1.min=3",)).value("STR-1", "min", ("P",)) == 3


def test_all_mistakes_at_once() -> None:
    """Each wrong one is named with its rule and entry, all in one go."""
    said = ("EXT-2.max=44", "NO-1=off", "nonsense", "EXT-1.mux=2", "EXT-1.max=x", "STR-1.min=3", "STR-1.min=4")
    with pytest.raises(InputError) as caught:
        read_rules(said=said)

    lines = [str(one) for one in caught.value.mistakes]
    assert len(lines) == 6
    assert all(line.startswith("command line: ") for line in lines)
    for words in ("EXT-2.max: '44' carries no unit", "'NO-1' is not a rule", "'nonsense' is not", "did you mean 'max'",
                  "EXT-1.max: 'x' is not a whole number", "STR-1.min: is said twice"):  # fmt: skip
        assert sum(words in line for line in lines) == 1, words


def test_a_fixed_rule_stays_on() -> None:
    """What a strut is cannot be switched off by a word."""
    fixed = next(rule.id for rule in read_rules().rules if rule.fixed)
    with pytest.raises(InputError, match="stays on"):
        read_rules(said=(f"{fixed}=off",))
