"""The rules that come with the program, and policies that change them."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from desk import SAMPLES, Desk, read_policy

from cache_check.errors import InputError
from cache_check.files import rules
from cache_check.files.rules import read_rules

UNIT = 'write a number with in, ft, mm, cm or m, for example "62 in", "58 1/2 in" or "1.2 m"'
RULE = """\
version: "1"
rules:
  - id: A-1
    title: A
    why: b
    severity: stop
    source: c
    kind: k
    parameters: {max: {type: TYPE, value: VALUE, stricter: lower}}
    remedy: d
    since: "1"
"""


def test_the_rules_are_found_from_any_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The program's own rules do not depend on where it is started."""
    monkeypatch.chdir(tmp_path)

    book = read_rules()

    assert book.value("EXT-2", "max") == 36 * 25_400_000
    assert book.value("PIN-2", "share") == Fraction(1, 10)
    assert book.value("COL-1", "locks") == ("collar", "holes")
    assert book.value("INS-1", "unknown_counts") is False
    assert book.by_id["INS-1"].parameters["unknown_counts"].stricter == "off"


def test_rule_ids_are_unique() -> None:
    """No two rules of the program share an id."""
    ids = [rule.id for rule in read_rules().rules]

    assert len(ids) == len(set(ids))


@pytest.mark.parametrize(
    ("kind", "written", "value"),
    [
        ("count", "2", 2), ("days", "366", 366), ("length", "32 in", 812_800_000), ("force", "5 kN", Fraction(5000)),
        ("mass", "2 kg", Fraction(2)), ("angle", "60 deg", Fraction(60)), ("ratio", '"2:1"', Fraction(2)),
        ("ratio", "0.10", Fraction(1, 10)), ("ratio", "10%", Fraction(1, 10)), ("switch", "on", True),
        ("switch", "false", False), ("words", "[a, b c]", ("a", "b c")), ("words", "a", ("a",)),
    ],
)  # fmt: skip
def test_each_type_of_parameter_reads_exactly(kind: str, written: str, value: object, desk: Desk) -> None:
    """A parameter's value is read by its declared type, in base units."""
    desk.put(RULE.replace("TYPE", kind).replace("VALUE", written), "a.yaml")
    desk.put("rows: [1]\n", "table.yaml")

    assert rules.rules_in(desk.folder).value("A-1", "max") == value


@pytest.mark.parametrize(
    ("kind", "written", "says"),
    [
        ("count", "2.5", "'2.5' is not a whole number; write digits alone, with no quotes"),
        ("count", "-1", "must not be negative"),
        ("count", "", "is blank; write a value, or take the line out"),
        ("length", "-1 in", "must not be negative"),
        ("length", "32", f"'32' carries no unit; {UNIT}"),
        ("ratio", "two", "'two' is not a ratio; write a number, \"2:1\" or \"10%\""),
        ("ratio", "1e99", "'1e99' is no likely ratio; check it"),
        ("switch", "3", "3 is not on or off; write on or off"),
        ("words", "[1]", "a list is not a list of words; write [one, another]"),
    ],
)  # fmt: skip
def test_a_value_of_another_type_is_refused(kind: str, written: str, says: str, desk: Desk) -> None:
    """A parameter's value that is not of its type is refused in words, at the value."""
    text = RULE.replace("TYPE", kind).replace("VALUE", written)

    lines = desk.lines(text, lambda path: rules.rules_in(path.parent))

    assert lines == [f"x.yaml:9:{32 + len(kind)}: rules[1].parameters.max.value: {says}"]


def test_a_folder_without_rules_is_refused(tmp_path: Path) -> None:
    """Without rules everything would be legal, so an empty folder is an error."""
    with pytest.raises(InputError, match="holds no rules"):
        rules.rules_in(tmp_path)


def test_a_policy_changes_rules_everywhere() -> None:
    """The sample policy sets a factor and a severity, switches a rule off, adds one, and is named on each setting."""
    book = read_rules([SAMPLES / "policy-example.yaml"])

    assert book.value("CAP-1", "factor") == 4
    assert book.severity("STR-4") == "short"
    assert not book.is_on("EXT-3")
    assert book.value("QF-1", "max") == 30 * 25_400_000
    assert {setting.by for setting in book.settings} == {"policy county policy 2026"}


def test_the_later_policy_wins(desk: Desk) -> None:
    """Of two policies the later one's value holds, and the earlier one's other settings stay."""
    one = desk.put("policy: one\nset: {EXT-1: {max: 3}, EXT-3: off}", "one.yaml")
    two = desk.put("policy: two\nset: {EXT-1: {max: 1}}", "two.yaml")
    book = read_rules([one, two])

    assert (book.value("EXT-1", "max"), book.is_on("EXT-3")) == (1, False)


@pytest.mark.parametrize(
    ("written", "on"), [("off", False), ("on", True), ("no", False), ("false", False), ("OFF", False)]
)
def test_off_means_off(written: str, on: bool, desk: Desk) -> None:
    """However off is written, the rule is off, and on is on."""
    assert read_rules([desk.put(f"policy: p\nset: {{EXT-1: {written}}}")]).is_on("EXT-1") is on


def test_all_mistakes_of_a_policy_are_told(desk: Desk) -> None:
    """Unknown rules, entries, severities and kinds, and values of other types, come together."""
    text = """\
policy: p
units: us
set:
  EXT-9: off
  MAT-2: off
  MAT-3: {severity: note}
  EXT-1: {mx: 3}
  EXT-2: {max: 5 kg}
  STR-2: maybe
  CAP-1: {severity: grave}
rules:
  - {id: EXT-1, title: a, why: b, severity: stop, source: c, kind: extension_cout, remedy: d, since: "1"}
  - {id: NEW-1, title: a, why: b, severity: stop, source: c, kind: extension_count, remedy: d, since: "1"}
"""
    assert desk.lines(text, read_policy) == [
        "x.yaml:4:3: set.EXT-9: 'EXT-9' is not a rule; did you mean 'EXT-4'?",
        "x.yaml:5:3: set.MAT-2: MAT-2 is part of what a strut is and stays on; take the line out",
        "x.yaml:6:11: set.MAT-3.severity: MAT-3 is part of what a strut is and keeps its severity; take it out",
        "x.yaml:7:11: set.EXT-1.mx: 'mx' is not an entry of EXT-1; did you mean 'max'?",
        f"x.yaml:8:11: set.EXT-2.max: 'kg' is not a unit of length; {UNIT}",
        "x.yaml:9:3: set.STR-2: 'maybe' is not on or off; write on, off, or the entries to change",
        "x.yaml:10:11: set.CAP-1.severity: 'grave' is not one of stop, short, watch or note",
        "x.yaml:12:6: rules[1].id: rule 'EXT-1' is there already; give it an id of its own",
        "x.yaml:12:62: rules[1].kind: 'extension_cout' is not a kind of rule; did you mean 'extension_count'?",
        "x.yaml:13:5: rules[2]: missing 'max'; rules of this kind take it, as EXT-1 does",
    ]
