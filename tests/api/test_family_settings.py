"""What a family's own sheet sets holds for the family, whatever kind of rule it is."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from cli.running import SAMPLES

import cache_check
from cache_check import WhatIf
from cache_check.api.base import muster_of
from cache_check.errors import AskError, InputError
from cache_check.files.pool import pool
from cache_check.model.cache import Cache
from cache_check.model.result import CheckResult
from cache_check.model.rule import Setting
from cache_check.units import NEWTON_PER_LBF, NM_PER_INCH

ON = date(2026, 11, 25)


def rig(folder: Path, settings: str) -> Cache:
    """Rescue 41, family P's sheet saying ``settings`` besides what it says."""
    sheet = (SAMPLES / "family-p.yaml").read_text(encoding="utf-8")
    assert "rules:\n" in sheet
    (folder / "family-p.yaml").write_text(sheet.replace("rules:\n", f"rules:\n  {settings}\n", 1), encoding="utf-8")
    (folder / "rig.yaml").write_text((SAMPLES / "rescue-41.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    return cache_check.read_cache(folder / "rig.yaml", cache_check.read_rules())


def test_family_s_design_factor_is_used(tmp_path: Path) -> None:
    """A sheet that trains at 5:1 is judged at 5:1; counting at the program's own 2:1 would overload it."""
    book = cache_check.read_rules()
    answer = cache_check.reach(
        rig(tmp_path, "CAP-1: {factor: 5}"), book, at=48 * NM_PER_INCH, load=5000 * NEWTON_PER_LBF,
        suppose=WhatIf(on=ON),
    )  # fmt: skip

    assert answer.at is not None
    assert answer.basis.factor == 5
    # At 48 in: 24,000 / 5 = 4,800 lbf and less with extensions, all under 5,000.  At 2:1 all would do.
    assert answer.at.count("rated") == 0


def test_family_s_inspection_interval_takes_its_pieces_out(tmp_path: Path) -> None:
    """An interval of one day in the family's sheet makes every dated piece of it overdue."""
    book = cache_check.read_rules()
    strict = cache_check.check(rig(tmp_path, "INS-1: {every: 1}"), book, suppose=WhatIf(on=ON))
    plain = cache_check.check(cache_check.read_cache(SAMPLES / "rescue-41.yaml", book), book, suppose=WhatIf(on=ON))

    def overdue(answer: CheckResult) -> int:
        return sum("inspection overdue" in one for one in answer.basis.ignored)

    assert overdue(plain) == 0
    assert overdue(strict) > 0


def test_rule_switched_off_in_the_only_family_s_sheet_is_off_and_said_to_be() -> None:
    """EXT-3 off in the only family is listed under the rules switched off."""
    book = cache_check.read_rules()
    rules = book.changed(families=("P",))
    off = rules.changed(settings=(Setting(rule="EXT-3", on=False, by="sheet", family="P"),))
    both = off.changed(families=("P", "Q"))

    assert not off.is_on("EXT-3")
    assert both.is_on("EXT-3")


@pytest.mark.parametrize(("families", "value"), [((), 2), (("P",), 4), (("P", "Q"), 4), (("Q",), 2)])
def test_value_of_no_family_in_particular_is_the_stricter_of_all(families: tuple[str, ...], value: int) -> None:
    """Of the cache's families the strictest speaks, where a question is of none in particular."""
    setting = Setting(rule="CAP-1", values={"factor": Fraction(4)}, by="sheet", family="P")
    book = cache_check.read_rules().changed(settings=(setting,), families=families)

    assert book.value("CAP-1", "factor") == value


def test_a_weight_that_a_family_lets_nobody_carry_alone_is_found(tmp_path: Path) -> None:
    """What is asked of no family in particular is asked at the strictest of them: no set of the rig is light enough."""
    book = cache_check.read_rules()
    strict = cache_check.check(rig(tmp_path, "LFT-1: {one_person: 1 lb}"), book, suppose=WhatIf(on=ON))

    sets = {ready.id for ready in cache_check.read_cache(SAMPLES / "rescue-41.yaml", book).ready_sets}
    told = [one.what for one in strict.findings if one.rule == "LFT-1"]
    assert sets
    assert all(any(f"ready set {name} weighs" in one for one in told) for name in sets)


def sheets(p: dict[str, Any], q: dict[str, Any], rule: str = "ANG-1") -> WhatIf:
    """What P's and Q's sheets say of a rule."""
    said = (("P", p), ("Q", q))
    return WhatIf(on=ON, settings=tuple(Setting(rule=rule, values=one, by="sheet", family=of) for of, one in said))


def two_families() -> Cache:
    """Rescue 41, of family P, and Truck 9, of Q, which has an adapter from a base of P to its body."""
    book = cache_check.read_rules()
    return pool([cache_check.read_cache(SAMPLES / name, book) for name in ("rescue-41.yaml", "truck-9.yaml")])


@pytest.mark.parametrize("sheet", ["ANG-1: {min: 71 deg}", "ANG-1: {max: 44 deg}"])
def test_a_family_that_may_stand_at_no_angle_is_refused(tmp_path: Path, sheet: str) -> None:
    """With no angle stated and none allowed nothing stood in the way of any: 3 of 3 were rated."""
    book, suppose = cache_check.read_rules(), WhatIf(on=ON)
    said: dict[str, Any] = {"at": 50 * NM_PER_INCH, "load": 3000 * NEWTON_PER_LBF}

    with pytest.raises(AskError, match=r"ANG-1 for P: min is (71|45) deg and max (70|44) deg; put right"):
        cache_check.reach(rig(tmp_path, sheet), book, suppose=suppose, **said)


def test_two_families_of_one_strut_that_allow_no_angle_together_let_none_stand() -> None:
    """P from 60 deg up, Q to 50: struts of one of them stand, those of Q on a base of P at no angle, stated or not."""
    muster = muster_of(two_families(), cache_check.read_rules(), sheets({"min": 60}, {"max": 50}))
    by_id = muster.cache.catalogue.by_id
    mixed = {
        i for i, one in enumerate(muster.columns.assemblies) if len({by_id[part].family for part in one.parts}) > 1
    }

    assert mixed
    for angle in (None, Fraction(60), Fraction(50)):
        may = {i for i in range(len(muster.columns.assemblies)) if muster.ratings.standing_at(angle) >> i & 1}
        assert may
        assert not may & mixed


@pytest.mark.parametrize(
    ("rule", "stricter", "rated"),
    [
        ("ANG-1", {"min": 65}, 1), ("ANG-1", {"max": 46}, 1), ("STR-3", {"max": 20}, 1), ("STR-6", {"min": 30}, 1),
        ("STR-3", {"max": 0}, 0),
    ],
)  # fmt: skip
def test_what_another_family_of_the_rig_asks_makes_no_strut_or_strap_stand_better(
    rule: str, stricter: dict[str, int], rated: int
) -> None:
    """Nothing is stated of them: P is judged as flat and wide as P allows, where at 65 deg or 20 three held 4,500 lbf.

    One whose straps may not spread at all is held by none.
    """
    book, cache = cache_check.read_rules(), two_families()
    asked: dict[str, Any] = {"at": 50 * NM_PER_INCH, "load": 4500 * NEWTON_PER_LBF}
    plain, other = (cache_check.reach(cache, book, suppose=sheets({}, one, rule), **asked).at for one in ({}, stricter))

    assert plain is not None
    assert other is not None
    assert [one.count("rated") for one in (plain, other)] == [1, rated]


@pytest.mark.parametrize("angle", ["0 deg", "91 deg"])
def test_an_angle_that_no_strut_stands_at_is_no_limit(tmp_path: Path, angle: str) -> None:
    """Not on a sheet, and not in a policy's own rule of the kind: 225 deg ended in a fault."""
    policy = tmp_path / "policy.yaml"
    policy.write_text(
        "policy: own\nunits: us\nrules:\n  - {id: OWN-1, title: Own, why: own, severity: short, source: own, "
        "kind: strut_angle, since: '1', remedy: own, parameters: {min: {type: angle, value: 45 deg, stricter: higher}, "
        f"max: {{type: angle, value: {angle}, stricter: lower}}}}}}\n",
        encoding="utf-8",
    )
    for read in (lambda: rig(tmp_path, f"ANG-1: {{max: {angle}}}"), lambda: cache_check.read_rules([policy])):
        with pytest.raises(InputError, match="which it can never be"):
            read()
