"""Laws of figures over every verb: a worse figure never makes an answer better, and one question has one answer."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from builders import checked, loaded, needs_of, tidy
from hypothesis import given
from hypothesis import strategies as st

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.units import NEWTON_PER_LBF
from laws.strategies import some

FEW = some(15)
LOADS: list[list[int | None]] = [[8000, 7600, 7200], [5000, 4700, 4400]]
LENGTHS = (55, 75)
ORDER = ("not met", "not known", "met")


def _rig(loads: list[list[int | None]], strap: int | None, point: int | None, **chart: Any) -> Cache:
    rows = [{"length": length, "loads": row} for length, row in zip(LENGTHS, loads, strict=True)]
    points = [{} if point is None else {"wll": point}] * 2
    parts: dict[str, dict[str, Any]] = {"strap": {"wll": strap}, "base": {"points": points}}
    return tidy(chart={"rows": rows} | chart, parts=parts)


def _answers(cache: Cache, at: int, load: int) -> list[int]:
    """Figures that are each no worse when higher: rated counts, served struts, a verdict, and what is rated."""
    needs = needs_of([{"at": at, "count": 2, "load": load}])
    book = read_rules()
    result = checked(cache, needs=needs)
    reached = api.reach(cache, book, at=at * 25_400_000, load=load * NEWTON_PER_LBF)
    staged = api.stage(cache, book, needs=needs)
    one = loaded(cache, contact_height=40, angle=60, vertical=load, half_angles=30)
    assert reached.at is not None
    assert staged.staging is not None
    rated = max((carrier.rated or Fraction(0) for carrier in one.carriers), default=Fraction(0))
    return [
        result.tallies[0].count("rated") or 0,
        ORDER.index(result.tallies[0].verdict or "not met"),
        result.scenes[0].served,
        reached.at.count("rated") or 0,
        sum(scene.served.served for scene in staged.staging.scenes),
        ORDER.index(one.verdict),
        int(rated),
    ]


@FEW
@given(st.sampled_from([50, 60]), st.integers(1000, 8000), st.data())
def test_a_worse_figure_never_makes_an_answer_better(at: int, load: int, data: st.DataObject) -> None:
    """A cell lowered or blanked, a limit halved or no longer known: no verb says more than before."""
    before = _answers(_rig(LOADS, 3333, 5000), at, load)
    spoilt: list[list[int | None]] = [list(row) for row in LOADS]
    row, cell = data.draw(st.integers(0, 1)), data.draw(st.integers(0, 2))
    spoilt[row][cell] = data.draw(st.none() | st.integers(1, LOADS[row][cell] or 1))
    strap, point = data.draw(st.sampled_from([3333, 1666, None])), data.draw(st.sampled_from([5000, 2500, None]))
    after = _answers(_rig(spoilt, strap, point), at, load)

    assert all(new <= old for new, old in zip(after, before, strict=True)), (before, after)


@FEW
@given(st.integers(36, 53), st.sampled_from([2, 4]), st.sampled_from([None, Fraction(2), Fraction(3), Fraction(4)]))
def test_one_question_has_one_rating(at: int, stated: int, factor: Fraction | None) -> None:
    """What ``load`` rates the best assembly at is just the most that ``check`` and ``reach`` rate any for."""
    cache = _rig(LOADS, 3333, 5000, factor=stated)
    asked: dict[str, Any] = {} if factor is None else {"factor": factor}
    one = loaded(cache, contact_height=at, angle=90, axial=1, ties="none", **asked)
    assert one.geometry.length == at * 25_400_000
    rated = max(carrier.rated for carrier in one.carriers if carrier.rated is not None)
    for more, count in ((Fraction(0), True), (Fraction(1), False)):
        load = rated / NEWTON_PER_LBF + more
        need: dict[str, Any] = {"at": at, "load": f"{load.numerator}/{load.denominator} lbf", "restrained": False}
        found = checked(cache, needs=needs_of([need | asked])).tallies[0].count("rated")
        assert bool(found) == count
