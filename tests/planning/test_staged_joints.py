"""What stays joined on scene must sit there as the strut wants it: the same way up, with as many pins in its joints."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

import cache_check as api
from cache_check.files.cache import read_cache
from cache_check.files.needs import read_needs
from cache_check.files.rules import read_rules
from cache_check.model.staging import Staging

STATED = "inspected: 2026-01-10\nlabel: legible\nmade: 2024-01-01\n"
TURNED = """
cache: turned
units: us
connectors: {A: captive, B: captive, E: captive}
mates: [{ends: [E, A]}, {ends: [E, B]}]
parts: {body: 1, ext: 1, head: 1, low: 1, tall: 1}
types:
  body: {kind: body, closed: 20, open: 24, lock: collar, lower: A, upper: B, either_way_up: true, mass: 10}
  ext: {kind: extension, length: 6, lower: E, upper: A, mass: 5}
  head: {kind: fitting, serves: head, adds: 1, end: A, mass: 2}
  low: {kind: fitting, serves: base, adds: 1, end: A, mass: 2}
  tall: {kind: fitting, serves: base, adds: 20, end: B, mass: 2}
"""
FAMILY = """
family: P
units: us
joint_pin: {joint_pin}
parts:
  body: {{kind: body, closed: 20, open: 24, lock: collar, mass: 10}}
  long: {{kind: body, closed: 40, open: 44, lock: collar, mass: 12}}
  base: {{kind: fitting, serves: base, adds: 1, points: 3, mass: 2}}
  head: {{kind: fitting, serves: head, adds: 1, mass: 2}}
  adapter: {{kind: adapter, length: 2, lower: P, upper: Q, mass: 1}}
  pin: {{kind: pin, mass: 0.1}}
  strap: {{kind: strap, wll: 5000, mass: 1}}
"""
OTHER = """
family: Q
units: us
joint_pin: captive
rules: {{{rule}: {{{asks}, why: the sheet of Q}}}}
parts:
  tall: {{kind: fitting, serves: head, adds: 20, mass: 2}}
"""
TWO_BASES = """
cache: rig
units: us
families: [p.yaml, q.yaml]
parts:
  body: 1
  long: 1
  base: {count: 2, items: [{serial: B1, points_usable: 3}, {serial: B2, points_usable: 2}]}
  head: 2
  adapter: 2
  tall: 2
  strap: 8
"""
THREE_ASKED = "captive", "PTS-1", "min: 3"
"""What ``families`` writes where a head of Q asks more points of a base than P does."""
SAME_ENDS = """
cache: same-ends
units: us
connectors: {A: captive}
parts: {body: 1, short: 0, bridge: 1, long: 1, base: 1, head: 1}
types:
  body: {kind: body, closed: 20, open: 24, lock: collar, lower: A, upper: A, mass: 10}
  short: {kind: extension, length: 2, lower: A, upper: A, mass: 1}
  bridge: {kind: adapter, length: 4, lower: A, upper: A, mass: 2}
  long: {kind: extension, length: 6, lower: A, upper: A, mass: 3}
  base: {kind: fitting, serves: base, adds: 1, end: A, mass: 2}
  head: {kind: fitting, serves: head, adds: 1, end: A, mass: 2}
"""
TWO_LENGTHS = """
cache: two-lengths
units: us
connectors: {A: captive}
parts: {short: 2, long: 2, base: 3, head: 3}
types:
  short: {kind: body, closed: 20, open: 24, lock: collar, lower: A, upper: A, mass: 10}
  long: {kind: body, closed: 40, open: 44, lock: collar, lower: A, upper: A, mass: 10}
  base: {kind: fitting, serves: base, adds: 1, end: A, mass: 2}
  head: {kind: fitting, serves: head, adds: 1, end: A, mass: 2}
"""
SCENE = "  {at}: {{needs: [{{id: side, count: {count}, length: {at}, restrained: {restrained}}}]}}\n"


def families(folder: Path, joint_pin: str, rule: str, asks: str) -> None:
    """Family P, and Q beside it, of which one rule asks more."""
    (folder / "p.yaml").write_text(FAMILY.format(joint_pin=joint_pin), encoding="utf-8")
    (folder / "q.yaml").write_text(OTHER.format(rule=rule, asks=asks), encoding="utf-8")


def staged(folder: Path, cache: str, *lengths: int, sets: int = 1, restrained: str = "false", two: int = 0) -> Staging:
    """So many sets of a cache, for one strut of each of these lengths (in), or two, each in a scene of its own."""
    (folder / "rig.yaml").write_text(cache + STATED, encoding="utf-8")
    scenes = "".join(SCENE.format(at=at, restrained=restrained, count=1 + (at == two)) for at in lengths)
    (folder / "needs.yaml").write_text(f"needs: drill\nunits: us\nscenes:\n{scenes}", encoding="utf-8")
    found = api.stage(
        read_cache(folder / "rig.yaml", read_rules()), read_rules(), needs=read_needs(folder / "needs.yaml"), sets=sets,
        suppose=api.WhatIf(on=date(2026, 3, 2)),
    )  # fmt: skip
    assert found.staging is not None
    return found.staging


def test_a_body_that_must_be_turned_over_is_taken_off_the_extension(tmp_path: Path) -> None:
    """The tall base goes on the other end of the body: its run with the extension is no run of the taller strut.

    So two joints are broken and two made, whichever of the two struts is left built, in the scene and by itself.
    """
    found = staged(tmp_path, TURNED, 30, 48)

    assert sorted(scene.joints for scene in found.scenes) == [0, 4]
    assert found.weighted_joints == 4
    assert [joints for other, *joints in found.sets[0].turns_into if len(other.parts) == 4] == [[2, 2]]


def test_a_set_is_the_stack_that_a_strut_of_its_parts_is(tmp_path: Path) -> None:
    """A part of which there is none, shorter than one that joins alike, changes no order: the set is kept whole."""
    (found,) = staged(tmp_path, SAME_ENDS, 34).scenes

    assert found.joints == 0


@pytest.mark.parametrize("more", [22, 42])
@pytest.mark.parametrize("lengths", [(22, 42), (42, 22)])
def test_of_equal_sets_that_is_kept_which_spares_the_longest_scene(
    tmp_path: Path, more: int, lengths: tuple[int, int]
) -> None:
    """A set spares two joints in either scene, of which one takes two struts: four joints and not two."""
    found = staged(tmp_path, TWO_LENGTHS, *lengths, two=more)

    assert [scene.joints for scene in found.scenes] == [2, 2]
    assert found.sets[0].assembly.body == f"two-lengths/{'short' if more == 22 else 'long'}"


@pytest.mark.parametrize("lengths", [(30, 48), (48, 30)])
def test_of_equal_sets_that_is_kept_which_spares_the_first_of_scenes_as_long(
    tmp_path: Path, lengths: tuple[int, int]
) -> None:
    """Either strut spares as much, its base being the one part that the other does not have."""
    found = staged(tmp_path, TURNED, *lengths)

    assert [scene.joints for scene in found.scenes] == [0, 4]


def test_a_joint_of_fewer_pins_than_a_strut_must_have_is_made_anew(tmp_path: Path) -> None:
    """Beside a part of a family that asks two pins of a joint every joint has two, so none of a set with one is kept.

    The tall strut is left built: of it two joints are broken for the short one, and two made.
    """
    families(tmp_path, "pin", "PIN-1", "per_joint: 2")
    cache = "cache: rig\nunits: us\nfamilies: [p.yaml, q.yaml]\n"

    found = staged(tmp_path, cache + "parts: {body: 1, base: 1, head: 1, adapter: 1, tall: 1, pin: 9}\n", 24, 45)

    assert found.weighted_joints == 4


def test_sets_are_built_on_bases_with_the_points_of_the_strictest_strut(tmp_path: Path) -> None:
    """Beside the head of Q a base must have three points, as one of two has: so one set is left built, and not two.

    Two would save every joint, but only one of them can stand on the base with three.  From the longer one the other
    strut is made by another head, which asks for two points only: one joint broken and one made.
    """
    families(tmp_path, *THREE_ASKED)

    found = staged(tmp_path, TWO_BASES, 45, 65, sets=2, restrained="true")

    assert len(found.sets) == 1
    assert found.weighted_joints == 2


def test_a_base_with_fewer_points_than_a_strut_wants_is_not_moved_for_it(tmp_path: Path) -> None:
    """Beside the head of Q a base must have three points: one that was made with three and has two does not help."""
    families(tmp_path, *THREE_ASKED)
    (tmp_path / "rig.yaml").write_text(
        TWO_BASES.replace(
            "count: 2, items: [{serial: B1, points_usable: 3}, {serial: B2, points_usable: 2}]", "count: 0"
        )
        + STATED,
        encoding="utf-8",
    )
    (tmp_path / "needs.yaml").write_text(
        "needs: drill\nunits: us\nscenes:\n" + SCENE.format(at=65, restrained="true", count=1), encoding="utf-8"
    )
    needs, found = read_needs(tmp_path / "needs.yaml"), []
    for points in (2, 3):
        other = TWO_BASES[: TWO_BASES.index("parts")].replace("rig", "other")
        other += f"parts: {{base: {{count: 1, items: [{{serial: B1, points_usable: {points}}}]}}}}\n"
        (tmp_path / "other.yaml").write_text(other + STATED, encoding="utf-8")
        caches = [read_cache(tmp_path / f"{name}.yaml", read_rules()) for name in ("rig", "other")]
        terms = api.BuyTerms(givers=(caches[1],))
        bought = api.buy(caches[0], read_rules(), needs, terms=terms, suppose=api.WhatIf(on=date(2026, 3, 2)))
        found.append((len(bought.purchases[-1].lines), bought.purchases[-1].whole))

    assert found == [(0, False), (1, True)]
