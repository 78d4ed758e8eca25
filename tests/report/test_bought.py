"""What a person reads of a list, where it could be taken for more than it says."""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

from builders import needs_of, tidy
from cli.running import ON, SAMPLES, cache_check

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.purchase import BuyResult, Purchase
from cache_check.report.bought import frontier
from cache_check.report.page import Table
from cache_check.report.pages.sheets import office
from cache_check.report.say import Say


def told(result: BuyResult, found: Purchase) -> str:
    """What stands above the steps."""
    first = next(iter(frontier(result, found, Say("us", ()))))
    assert isinstance(first, str)
    return first


def test_steps_that_are_left_out_are_not_said_to_be_all() -> None:
    """Only where every step is shown does the page say without reserve that none lies between them."""
    needs = needs_of([{"at": 40, "count": 4}])
    terms, on = api.BuyTerms(frontier=True), api.WhatIf(on=date(2026, 11, 25))
    result = api.buy(tidy(), read_rules(), needs, (), terms=terms, suppose=on)
    (found,) = result.purchases

    assert told(result, found).endswith("none lies between them.")
    cut = told(result, replace(found, frontier_whole=False))
    assert "none lies between them, save just above today: steps there are left out" in cut


def test_a_scene_that_only_the_list_makes_met_is_not_said_to_be_met_today() -> None:
    """Both struts stand today, and not with a spare body: the list gives the spare, and the office page says so."""
    needs, on = needs_of([{"at": 40, "count": 2}]), api.WhatIf(on=date(2026, 11, 25))
    terms = api.BuyTerms(spare=(("T/body", 1),))
    (found,) = api.buy(tidy(), read_rules(), needs, (), terms=terms, suppose=on).purchases
    assert [(one.served, one.verdict) for one in (*found.before, *found.after)] == [(2, "not met"), (2, "met")]

    (shown,) = office._scenes(found)
    assert isinstance(shown, Table)
    assert shown.rows[0][1:4] == ("2", "2", "2")


def test_what_is_not_known_is_named_once_for_all_scenes(tmp_path: Path) -> None:
    """Pieces that several scenes wait for stand once in what to find out, and no line says a scene's count again."""
    folder = shutil.copytree(SAMPLES, tmp_path / "county")
    rig = folder / "rescue-41.yaml"
    rig.write_text(rig.read_text(encoding="utf-8").replace("label: legible\nmade", "made"), encoding="utf-8")
    lists = ("check", "--show", "needs"), ("stage", "--show", "scenes")
    verbs = ("check",), *lists, ("buy", "--prices", folder / "prices.yaml", "--show", "free")
    runs = [cache_check(*verb, rig, "--needs", folder / "needs.yaml", *ON) for verb in verbs]
    shown = [" ".join(run.stdout.split()) for run in runs]

    assert all("16 x Joint pin" in one and " at once: 0 of" not in one for one in shown)
    assert shown[1].partition("floor side: not known: ")[2].partition(" - ")[0].count("not known") == 0
    assert shown[3].partition("Find out first")[2].partition("Bring back")[0].count("16 x Joint pin") == 1


def test_what_a_rig_that_gives_then_lacks_is_on_the_first_screen() -> None:
    """Every scene of one rig met for nothing, and the other rig left without: only the whole answer said so."""
    run = cache_check("buy", "rescue-44.yaml", "--from", "rescue-41.yaml", "--needs", "needs.yaml", *ON)

    assert "But Rescue 41 then serves less by itself: car-on-side 2 struts" in " ".join(run.stdout.split())


def test_what_a_quote_says_beside_a_price_is_told(tmp_path: Path) -> None:
    """That a piece is out of stock stood in the quote, and nobody who was told to buy it read it."""
    for path in SAMPLES.glob("*.yaml"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    quote = (tmp_path / "prices.yaml").read_text().replace("1895.00", "{price: 1895, note: out of stock}")
    (tmp_path / "prices.yaml").write_text(quote.replace("minimum: 2}", "minimum: 2, note: red ones}"))
    asked = ("buy", "rescue-41.yaml", "--needs", "needs.yaml", "--prices", "prices.yaml", *ON)
    short, whole, data = (" ".join(cache_check(*asked, *more, cwd=tmp_path).stdout.split())
                          for more in ((), ("--show", "list"), ("--format", "json")))  # fmt: skip

    assert "1 x Long body (out of stock), 2 x Strap (sold 2 at least; red ones) from" in short
    assert "Noted beside the prices: - Long body: out of stock - Strap: red ones" in whole
    assert '"note": "out of stock"' in data
