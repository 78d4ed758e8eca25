"""Loaded needs: bases held against what they push out, and upright loads worked out as ``load`` does."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from builders import change, checked, rescue_41, situation, tidy

import cache_check as api
from cache_check.errors import InputError
from cache_check.files.needs import WrittenNeed, read_needs
from cache_check.files.rules import read_rules
from cache_check.loads.solve import shape_of
from cache_check.model.cache import Cache
from cache_check.model.need import Needs, Scene, reaching
from cache_check.report.of_load import in_short
from cache_check.report.say import Say
from cache_check.report.tally import but_for, lead, met, served_met

PLACE: dict[str, Any] = {
    "vertical": 2000, "height": 40, "angle": 60, "contact": "edge", "far_anchors": "structure",
    "anchor_distance": 60, "soil": 9_000,
}  # fmt: skip
WHATIF = api.WhatIf(on=date(2026, 4, 1))


def verdict_of(need: dict[str, Any], cache: Cache | None = None) -> str | None:
    """What check says of one need, and of the scene that is no more than it."""
    one = WrittenNeed.model_validate({"id": "a", "count": 1} | need, context={"units": "us"})
    result = checked(cache or rescue_41(), needs=Needs(scenes=(Scene(id="s", needs=(one,)),)))
    assert result.tallies[0].verdict == result.scenes[0].verdict
    return result.tallies[0].verdict


@pytest.mark.parametrize(
    "changed", [{}, {"angle": 30}, {"vertical": 30_000}, {"contact": None}, {"soil": None}, {"soil": 500},
                {"soil": 20_000}, {"far_anchors": 100}, {"far_anchors": None},
                {"anchor_distance": 250}, {"contact": "hole"}],
)  # fmt: skip
def test_an_upright_load_is_what_load_says_of_it(changed: dict[str, Any]) -> None:
    """The same rig, day, rules and question: the same verdict in ``check`` and in ``load``.

    A need says itself how many are wanted, of whatever vehicle: no floor of struts holds for it.
    """
    said = {name: value for name, value in (PLACE | changed).items() if value is not None}
    there = {("contact_height" if name == "height" else name): value for name, value in said.items()}
    no_floor = api.WhatIf(on=WHATIF.on, settings=(change("NUM-1", on=False),))
    loaded = api.load(rescue_41(), read_rules(), situation(**there), suppose=no_floor)
    pre = [link for link in loaded.links if link.state != "holds"]

    assert verdict_of(said) == loaded.verdict, [(link.link, link.why) for link in pre]


def test_an_upright_load_can_be_met_and_each_base_wants_its_own_pad_and_ties() -> None:
    """All stated: met; the straps of one base are not enough for two."""
    assert verdict_of(PLACE) == "met"
    assert verdict_of(PLACE | {"count": 2}, rescue_41(strap=2)) == "not met"


@pytest.mark.parametrize(("pads", "verdict"), [(0, "not met"), (1, "not met"), (2, "met")])
def test_two_struts_on_soft_ground_want_two_pads(pads: int, verdict: str) -> None:
    """2,000 lbf and more want over a square foot of ground at 2,000 lbf/ft2; 15 x 15 in are 1.56: one pad each."""
    there = {"pad": {"kind": "pad", "footprint": {"length": 15, "width": 15}}}
    rig = tidy(parts=there, counts={"pad": pads, "strap": 8})

    assert verdict_of(PLACE | {"count": 2, "soil": 2000}, rig) == verdict
    assert verdict_of(PLACE | {"count": 1, "soil": 2000}, rig) == ("met" if pads else "not met")


@pytest.mark.parametrize(("pads", "says"), [(1, "NOT MET for want of pads"), (2, "MET; one missing NOT MET")])
def test_a_count_without_its_pads_is_told_as_none_that_is_met(pads: int, says: str) -> None:
    """Two struts stand and one pad lies there: two of two rated is no yes, so what it wants stands beside it."""
    there = {"pad": {"kind": "pad", "footprint": {"length": 15, "width": 15}}}
    rig = tidy(parts=there, counts={"pad": pads, "strap": 8})
    need = WrittenNeed.model_validate({"id": "a", "count": 2} | PLACE | {"soil": 2000}, context={"units": "us"})
    result = checked(rig, needs=Needs(scenes=(Scene(id="s", needs=(need,)),)))
    [tally], [scene] = result.tallies, result.scenes

    assert (tally.count("rated"), scene.served) == (2, 2)
    assert met(tally) == served_met(scene) == says
    assert but_for(scene.links) == (" but for pads" if pads == 1 else "")


@pytest.mark.parametrize(("stated", "says"), [("edge", "on edge, "), (None, "with any head, ")])
def test_what_is_counted_for_a_contact_not_stated_is_told_as_counted_with_any_head(stated: str, says: str) -> None:
    """More stand with any head than with those for an edge, and none of them is known to hold."""
    said = {name: value for name, value in (PLACE | {"contact": stated}).items() if value is not None}
    need = WrittenNeed.model_validate({"id": "a", "count": 1} | said, context={"units": "us"})
    result = checked(rescue_41(), needs=Needs(scenes=(Scene(id="s", needs=(need,)),)))
    there = {("contact_height" if name == "height" else name): value for name, value in said.items()}

    assert lead(result.tallies[0], Say.of(result)).startswith(f"s: a, {says}46.2 in")
    assert (", with any head, " in in_short(api.load(rescue_41(), read_rules(), situation(**there)))) == (not stated)


@pytest.mark.parametrize(("pads", "state"), [(2, "does not hold"), (3, "holds")])
def test_a_pad_may_be_the_piece_that_is_missing(pads: int, state: str) -> None:
    """Two bases that want one each, one of everything else to spare: with a third pad one may be missing."""
    parts = ("body", "base", "head", "ext-12", "pin", "strap")
    rig = tidy(
        parts={"pad": {"kind": "pad", "footprint": {"length": 15, "width": 15}}},
        counts=dict.fromkeys(parts, 9) | {"pad": pads},
    )
    one = WrittenNeed.model_validate({"id": "a", "count": 2} | PLACE | {"soil": 2000}, context={"units": "us"})
    (tally,) = checked(rig, needs=Needs(scenes=(Scene(id="s", needs=(one,)),))).tallies

    assert tally.verdict == "met"
    assert tally.missing is not None
    assert tally.missing.state == state


@pytest.mark.parametrize(("small", "large", "verdict"), [(0, 1, "not met"), (1, 1, "not met"), (1, 2, "met")])
def test_a_pad_too_small_for_the_load_is_none(small: int, large: int, verdict: str) -> None:
    """4,000 lbf and more want over 2 ft2 of ground at 2,000 lbf/ft2: 20 x 20 in are 2.78, 15 x 15 in only 1.56."""
    sides = {"small": 15, "large": 20}
    there = {name: {"kind": "pad", "footprint": {"length": side, "width": side}} for name, side in sides.items()}
    rig = tidy(parts=there, counts={"small": small, "large": large, "strap": 8})

    assert verdict_of(PLACE | {"vertical": 4000, "count": 2, "soil": 2000}, rig) == verdict


@pytest.mark.parametrize(
    ("need", "straps", "verdict"),
    [
        ({"length": 45, "load": 4000}, 2, "met"),
        ({"length": 45, "load": 6000}, 2, "not known"),
        ({"length": 45, "load": 6000}, 4, "met"),
        ({"length": 45, "load": 6000, "angle": 60}, 2, "met"),
        ({"length": 45, "load": 6000, "angle": 45}, 2, "not met"),
        ({"length": 45, "load": 6000, "angle": 45}, 4, "met"),
        ({"length": 45, "load": 6000, "restrained": False}, 0, "met"),
    ],
)
def test_a_load_along_is_met_only_where_its_base_is_held(need: dict[str, Any], straps: int, verdict: str) -> None:
    """By hand: 6,000 lbf at 45 deg is 6,364 sideways by the trade, 4,500 in each of two straps of 3,333 at 45 deg."""
    assert verdict_of(need, rescue_41(strap=straps)) == verdict


@pytest.mark.parametrize(("height", "angle"), [(40, 60), (33.3, 47), (100, 70), (12, 45)])
def test_a_need_reaches_its_height_as_a_situation_does(height: float, angle: int) -> None:
    """One length for both, to the nanometre."""
    one = situation(contact_height=height, angle=angle)

    assert reaching(one.contact_height, Fraction(angle)) == shape_of(one).geometry().length


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        ("load: 3000, vertical: 3000, height: 40, angle: 60", "keep one: load is along"),
        ("vertical: 3000, height: 40", "'vertical' says nothing without 'angle'"),
        ("vertical: 3000, angle: 60", "'vertical' says nothing without 'height'"),
        ("vertical: 3000, height: 40, angle: 60, length: 50", "height and angle say how long"),
        ("vertical: 3000, height: 40, angle: 60, restrained: false", "what a strut pushes out must be held"),
        ("length: 50, soil: 2000", "'soil' says nothing without 'vertical'"),
        ("length: 50, angle: 60", "'angle' says nothing without 'load' or 'vertical'"),
        ("length: 50, factor: 4", "'factor' says nothing without 'load' or 'vertical'"),
    ],
)
def test_what_does_not_go_together_is_one_line(tmp_path: Path, entries: str, said: str) -> None:
    """The file, what is wrong and what would be right."""
    file = tmp_path / "needs.yaml"
    file.write_text(f"needs: drill\nunits: us\nscenes:\n  s: {{needs: [{{id: a, count: 1, {entries}}}]}}\n")

    with pytest.raises(InputError, match=said):
        read_needs(file)
