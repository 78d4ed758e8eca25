"""What a family's own sheet sets holds for the family, whatever kind of rule it is."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from cli.running import SAMPLES

import cache_check
from cache_check import WhatIf
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
