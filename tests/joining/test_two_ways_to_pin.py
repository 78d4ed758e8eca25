"""Stacks whose parts may sit either way up, and the pins that each way takes, worked out by hand.

Connector A takes a loose pin, connector B carries its own.  The body has A below and B above and may be turned over.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import cache_check as api
from cache_check.files.cache import read_cache
from cache_check.files.needs import read_needs
from cache_check.files.rules import read_rules
from cache_check.joining.joints import Joints
from cache_check.model.cache import Cache

FAMILY = """
family: A
units: us
joint_pin: pin
connectors: {{B: captive}}
mates: {mates}
parts:
  body: {{kind: body, closed: 20, open: 30, lock: collar, upper: B, either_way_up: true, mass: 10}}
  extension: {{kind: extension, length: 10, lower: B, either_way_up: true, mass: 5}}
  base: {{kind: fitting, serves: base, adds: 2, end: {base}, points: 2, mass: 5}}
  head: {{kind: fitting, serves: head, adds: 2, end: B, mass: 2}}
  pin: {{kind: pin, mass: 0.1}}
  hook: {{kind: pin, mass: 0.2}}
  strap: {{kind: strap, wll: 3000, mass: 3}}
"""
STATED = "inspected: 2026-01-10\nlabel: legible\nmade: 2024-01-01\n"
NEEDS = """
needs: drill
units: us
scenes:
  one: {{needs: [{{id: side, count: {count}, length: {length}}}]}}
"""
BODY = "upper: {connector: B, takes: [fitting]}, either_way_up: true, mass: 10"
OFF = "rules: {EXT-4: {on: false, why: the sheet of A}}\n"
FAMILY_C = """
family: C
units: us
joint_pin: captive
parts:
  cap: {kind: fitting, serves: head, adds: 2, end: B, mass: 2}
"""
TODAY = api.WhatIf(on=date(2026, 3, 2))
UNLIKE = "[{ends: [A, B]}]"
"""Lists A and B as mates whose joint carries its own pin."""


def rig(folder: Path, base: str, mates: str, counts: str, *, of_b: str = "captive") -> Cache:
    """A rig of the family above with counts by part; beside it a family that lists no mates, of which it has nothing.

    ``of_b`` is the pin of connector B.
    """
    family = FAMILY.format(base=base, mates=mates).replace("B: captive", f"B: {of_b}")
    (folder / "a.yaml").write_text(family, encoding="utf-8")
    (folder / "c.yaml").write_text(FAMILY_C, encoding="utf-8")
    text = f"cache: rig\nunits: us\nbook_date: 2026-03-01\n{STATED}families: [a.yaml, c.yaml]\nparts: {{{counts}}}\n"
    (folder / "rig.yaml").write_text(text, encoding="utf-8")
    return read_cache(folder / "rig.yaml", read_rules())


def met(folder: Path, cache: Cache, count: int, length: int) -> tuple[int, int]:
    """How many of so many restrained struts `check` and `stage` serve at once, each plan verified on the way.

    As many sets are left built as the most that stand, so no joint is made on scene.
    """
    (folder / "needs.yaml").write_text(NEEDS.format(count=count, length=length), encoding="utf-8")
    needs = read_needs(folder / "needs.yaml")
    checked = api.check(cache, read_rules(), needs=needs, suppose=TODAY)
    staged = api.stage(cache, read_rules(), needs=needs, sets=2, suppose=TODAY)
    assert staged.staging is not None
    assert staged.staging.weighted_joints == 0
    return checked.scenes[0].served, len(staged.staging.scenes[0].struts)


def pins(cache: Cache, *parts: str) -> int:
    """The loose pins of a build that must be legal."""
    return sum(n for _, n in taken(cache, *parts))


def taken(cache: Cache, *parts: str) -> tuple[tuple[str, int], ...]:
    """The same, pin by pin."""
    verdict = api.build(cache, read_rules(), parts, suppose=TODAY).verdict
    assert verdict.legal
    assert verdict.assembly is not None
    assert not verdict.short_of
    return verdict.assembly.pins


def test_two_parts_that_meet_both_turned_over(tmp_path: Path) -> None:
    """Base and head close on captive ends, so body and extension meet at their pinned ends: one pin, not none."""
    cache = rig(tmp_path, "B", "[]", "body: 1, extension: 1, base: 1, head: 1, pin: 1, strap: 2")

    assert pins(cache, "base", "body", "extension", "head") == 1
    assert pins(cache, "base", "extension", "body", "head") == 1
    assert met(tmp_path, cache, 1, 40) == (1, 1)


def test_the_way_up_with_no_pin_is_the_one_counted(tmp_path: Path) -> None:
    """Turned over, the captive end of the body is below: no joint takes a pin, and one pin is no bound."""
    cache = rig(tmp_path, "A", UNLIKE, "body: 2, base: 2, head: 2, pin: 1, strap: 4")

    assert pins(cache, "base", "body", "head") == 0
    assert met(tmp_path, cache, 2, 30) == (2, 2)


def test_with_no_pin_at_all_what_is_legal_is_buildable(tmp_path: Path) -> None:
    """One legal assembly, and the bodies that it builds: the two counts rest on the same pins."""
    cache = rig(tmp_path, "A", UNLIKE, "body: 2, base: 2, head: 2, strap: 4")
    found = api.check(cache, read_rules(), suppose=TODAY)

    assert found.reach.count == 1
    assert [one.count for one in found.profiles[0].stretches] == [2]


def test_a_way_that_takes_other_pins_is_a_column_of_its_own(tmp_path: Path) -> None:
    """Upright a strut takes one pin, turned over two hooks: with just these, two stand, each its own way."""
    mates = "[{ends: [A, B], pin: hook}]"
    cache = rig(tmp_path, "A", mates, "body: 2, base: 2, head: 2, pin: 1, hook: 2, strap: 4")
    short = rig(tmp_path, "A", mates, "body: 2, base: 2, head: 2, pin: 1, hook: 1, strap: 4")

    assert met(tmp_path, cache, 2, 30) == (2, 2)
    assert met(tmp_path, short, 2, 30) == (1, 1)
    assert pins(cache, "base", "body", "head") == 1
    stack = [cache.catalogue.by_id[f"A/{name}"] for name in ("base", "body", "head")]
    assert Joints(cache.catalogue, read_rules()).sitting(stack)[0] == (("A/pin", 1), None)


def test_of_ways_with_as_many_pins_the_first_is_told_unless_its_pins_are_not_there(tmp_path: Path) -> None:
    """Upright a strut takes a pin and a hook, turned over two pins: it is told with the hook where there is one."""
    mates, counts = "[{ends: [A, B], pin: pin}]", "body: 1, base: 1, head: 1, pin: 2, hook: "
    one, none = (rig(tmp_path, "A", mates, f"{counts}{hooks}", of_b="hook") for hooks in (1, 0))

    assert taken(one, "base", "body", "head") == (("A/hook", 1), ("A/pin", 1))
    assert taken(none, "base", "body", "head") == (("A/pin", 2),)


def test_a_way_that_takes_more_of_the_same_pin_is_none(tmp_path: Path) -> None:
    """Upright a strut takes one pin, turned over two of the same: there is no stock for which that is worth it."""
    cache = rig(tmp_path, "A", "[{ends: [A, B], pin: pin}]", "body: 1, base: 1, head: 1, pin: 2")
    stack = [cache.catalogue.by_id[f"A/{name}"] for name in ("base", "body", "head")]

    assert Joints(cache.catalogue, read_rules()).ways_to_pin(stack) == ((("A/pin", ""), (False, False, False)),)


def test_a_listed_pair_goes_before_the_pin_of_its_connector(tmp_path: Path) -> None:
    """Two ends of one name listed as mates take the pin that is listed, or none where that is said."""
    counts = "body: 1, base: 1, head: 1, pin: 1, hook: 1"
    plain, listed, none = (
        rig(tmp_path, "A", mates, counts) for mates in ("[]", "[{ends: [A, A], pin: hook}]", "[{ends: [A, A]}]")
    )

    assert [taken(cache, "base", "body", "head") for cache in (plain, listed, none)] == [
        (("A/pin", 1),), (("A/hook", 1),), (),
    ]  # fmt: skip


def test_a_way_up_that_a_rule_of_another_family_forbids_is_not_the_one_pinned(tmp_path: Path) -> None:
    """Turned over, the body saves a pin, but its captive end then meets the extension, which the head's family forbids.

    The rule is off for family A alone: with A's own head the strut takes one pin, with the head of C two.
    """
    text = FAMILY.format(base="A", mates=UNLIKE).replace("upper: B, either_way_up: true, mass: 10", BODY)
    text = text.replace("lower: B, either_way_up: true, mass: 5", "mass: 5").replace("units: us\n", "units: us\n" + OFF)
    (tmp_path / "a.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "c.yaml").write_text(FAMILY_C, encoding="utf-8")
    (tmp_path / "rig.yaml").write_text(
        f"cache: rig\nunits: us\nbook_date: 2026-03-01\n{STATED}families: [a.yaml, c.yaml]\n"
        "parts: {body: 1, extension: 1, base: 1, head: 1, cap: 1, pin: 2}\nrules: {FAM-1: {on: false, why: a drill}}\n",
        encoding="utf-8",
    )
    cache = read_cache(tmp_path / "rig.yaml", read_rules())

    assert pins(cache, "base", "extension", "body", "head") == 1
    assert pins(cache, "base", "extension", "body", "cap") == 2
