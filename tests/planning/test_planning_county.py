"""Several rigs side by side, of which one has a rule less than the others."""

from __future__ import annotations

from datetime import date

from builders import moved, needs_of, tidy

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.rule import Setting
from cache_check.report.of_county import matrix

ON = api.WhatIf(on=date(2026, 4, 1))
STRAPLESS = {"strap": 0}


def test_each_count_is_on_a_step_that_its_own_rig_can_tell() -> None:
    """No straps on either rig: the one whose rules ask none counts what is assembled, the other what is restrained."""
    off = Setting(rule="STR-1", on=False, rig="loose", by="a test")
    ruled, loose = tidy(counts=STRAPLESS), moved(tidy(counts=STRAPLESS), "loose").changed(settings=(off,))
    found = api.county([ruled, loose], read_rules(), needs_of([{"at": 40, "count": 2}]), suppose=ON)

    assert found.steps == (("drill 1", "need 1", "restrained"),)
    assert found.otherwise == (("Loose", "drill 1", "need 1", "assembled at once"),)
    assert matrix(found).rows == (
        ("drill 1", "need 1", "2", "restrained", "0, 2 SHORT", "2 assembled at once NOT KNOWN"),
    )


def test_a_rig_of_which_something_is_not_known_gives_nothing_that_it_would_want_then() -> None:
    """Two bodies for two struts: with its pins undated the rig stands none today, and would not stand two without one.

    Rich in bodies it gives one either way; what is left blank of a giver makes it give no more.
    """
    needs = needs_of([{"at": 40, "count": 2}])
    short = moved(tidy(counts={"body": 1}), "short")

    def given(bodies: int, dated: bool) -> list[tuple[tuple[str, str], ...]]:
        rig = tidy(counts={"body": bodies})
        pins = (one if dated or one.part != "T/pin" else one.changed(inspected=None) for one in rig.stock)
        found = api.county([rig.changed(stock=tuple(pins)), short], read_rules(), needs, suppose=ON)
        assert found.served[0][0].served == (2 if dated else 0)
        return [one.pieces for one in found.moves if one.taker == "Short"]

    body = (("T/body", "Tidy"),)
    assert (given(2, dated=True), given(2, dated=False)) == ([], [])
    assert (given(3, dated=True), given(3, dated=False)) == ([body], [body])
