"""A store too large to be listed: its scenes are planned, what needs every assembly listed says that it is not."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from laws import generators, stores
from report.sample_results import check_result, packing

import cache_check as api
from cache_check.cli.output import guarded
from cache_check.errors import NoPlanError
from cache_check.joining.assemblies import Joinery
from cache_check.model.counting import Binding, SceneAnswer
from cache_check.model.result import CheckResult
from cache_check.model.verdict import Link
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.verdicts import state_of
from cache_check.report.answer import Told, answer
from cache_check.report.answer import page as whole
from cache_check.report.page import View
from cache_check.report.tally import scene_met

STORE = generators.large(0, "scarce")
SCENE = stores.scene_of(0, 40, 2000, reach=(90, 115))


def test_a_store_of_millions_of_assemblies_is_refused_not_guessed() -> None:
    """Counting lists nothing, so it works; listing says that a limit was reached, and claims no figure."""
    muster = Muster(stores.store_of(STORE), STORE.book, date(2026, 11, 25))

    assert Joinery(STORE.catalogue, STORE.counts, STORE.book).count() > 1_000_000
    with pytest.raises(NoPlanError, match="limit reached"):
        muster.most(Ask(60 * 25_400_000, 60 * 25_400_000), "assembled at once")


def test_a_large_store_is_planned_by_a_command_that_says_what_it_leaves_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """``check --pool --needs`` on files ends with 1 for what is short; each part not worked out is named with why."""
    cache, needs = stores.written(STORE, tmp_path), stores.needs_written(SCENE, tmp_path)
    results, asked = [], api.check

    def kept(*arguments: Any, **more: Any) -> CheckResult:
        results.append(asked(*arguments, **more))
        return results[-1]

    monkeypatch.setattr("cache_check.api.check.check", kept)

    status = guarded(["check", str(cache), "--pool", "--needs", str(needs), "--format", "json"])

    (told,), (result,) = json.loads(capsys.readouterr().out)["answers"], results
    (found,) = result.scenes
    assert status == 1
    assert 0 < found.served <= found.bound < found.wanted
    assert (told["scenes"][0]["served"], told["scenes"][0]["bound"]) == (found.served, found.bound)
    assert sum(served for _, _, served in found.by_need) == found.served == found.packing.count
    assert result.reach.count > 1_000_000
    assert (told["tallies"], result.profiles, result.matched) == ([], (), ())
    untold = ["struts on each step", "how many at once, by length", "matched sets", "what binds in a scene"]
    assert [one["part"] for one in told["untold"]] == [part for part, _ in result.untold] == untold
    page = str(whole("check", result, Told(STORE.book)))
    assert page.count("Not worked out: limit reached") == 3
    assert "what binds: not worked out for a store of so many assemblies" in page
    assert "design factor: not asked" not in page


@pytest.mark.parametrize(
    ("served", "bound", "said"),
    [
        (10, 10, "MET"),
        (7, 7, "NOT MET, 3 short"),
        (7, 8, "NOT MET, 2 to 3 short (not proven)"),
        (7, 12, "NOT KNOWN, 0 to 3 short (not proven)"),
    ],
)
def test_a_bound_is_never_called_the_most(served: int, bound: int, said: str) -> None:
    """Where plan and bound differ both are shown, and the scene is called neither met nor short for certain."""
    together = Link("all at once", state_of(served, bound, 10))
    binds = Binding((), (), 0, "no")
    scene = SceneAnswer("s", "", 10, served, bound, (("n", 10, served),), packing(served), binds, (together,))

    checked = check_result(scenes=(scene,), tallies=())
    assert scene_met(scene) == said
    page = str(whole("check", checked, Told(STORE.book)))
    assert (f"at least {served}, at most {bound} (not proven)" in page) == (served < bound)
    short = answer("check", [checked], Told(STORE.book), View())
    assert ("NOT KNOWN   s: " in short) == (served < 10 <= bound)
