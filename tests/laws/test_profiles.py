"""How many at once by length: exact at every breakpoint and between."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from cache_check.model.counting import Step
from cache_check.model.result import Profile
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.profile import matched_sets, profile
from cache_check.units import NEWTON_PER_LBF
from laws import strategies as drawn
from laws.oracles import Question

FEWER = drawn.some(60)
STEPS: list[Step] = ["assembled at once", "restrained"]


def _muster(cache: drawn.Drawn) -> Muster:
    return Muster(cache.cache, cache.book, date(2026, 3, 1))


def _at(found: Profile, length: Fraction) -> int:
    """The count of the one stretch that holds a length; lengths beyond all stretches count none."""
    holding = [
        stretch.count
        for stretch in found.stretches
        if (stretch.low < length or (stretch.low == length and stretch.low_included))
        and (length < stretch.high or (length == stretch.high and stretch.high_included))
    ]
    assert len(holding) <= 1
    return holding[0] if holding else 0


@FEWER
@given(drawn.caches(), st.sampled_from([*STEPS, "rated"]), st.integers(1, 10))
def test_profile_is_the_oracles_at_every_breakpoint_and_between(cache: drawn.Drawn, step: Step, kips: int) -> None:
    """At each length where the count can change, chart rows too with a load, and in the middle of each span between.

    Stretches rise, meet without gap or overlap, and neighbours differ in count.
    """
    load = kips * 1000 * NEWTON_PER_LBF if step == "rated" else None
    expected = drawn.bearable(cache.rig).profile(Question(0, 0, step != "assembled at once", load))

    found = profile(_muster(cache), step, load)

    assert found.proven
    assert {length: _at(found, length) for length in expected} == expected
    for one, two in pairwise(found.stretches):
        assert one.high == two.low
        assert one.high_included != two.low_included
        assert one.count != two.count


@drawn.some(25)
@given(drawn.caches(), st.sampled_from(STEPS))
def test_matched_sets_have_the_longest_common_reach(cache: drawn.Drawn, step: Step) -> None:
    """For each n there is one entry; its reach is the longest that n struts at once all cover, and its plan does."""
    rig = drawn.bearable(cache.rig)
    restrained = step == "restrained"
    muster = _muster(cache)
    found = profile(muster, step)

    matched = matched_sets(muster, found)

    most = max((stretch.count for stretch in found.stretches), default=0)
    assert [entry.count for entry in matched] == list(range(1, most + 1))
    for entry in matched:
        longest = rig.longest_common(entry.count, Question(0, 0, restrained))
        assert entry.common == longest
        assert entry.packing is not None
        assert entry.packing.count == entry.count
        assert longest is not None
        assert all(assembly.covers(*longest) for assembly, _ in entry.packing.assemblies)
        lengths = rig.profile(Question(0, 0, restrained))
        inside = {length for length in lengths if any(low <= length <= high for low, high in entry.spans)}
        assert {length for length, count in lengths.items() if count >= entry.count} <= inside
