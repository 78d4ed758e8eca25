"""Laws of leaving sets built, against playing every choice of sets through every scene joint by joint."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

from builders import rescue_41
from hypothesis import HealthCheck, assume, given
from hypothesis import strategies as st

from cache_check.model.need import Need, Scene
from cache_check.planning.packing.muster import Muster
from cache_check.planning.staging.played import Chosen
from cache_check.planning.staging.stage import choose
from cache_check.planning.staging.staging import Stager
from cache_check.units import KG_PER_LB
from laws import books, oracles
from laws import strategies as drawn
from laws.plan_oracles import Stack, Yard

TODAY = date(2026, 11, 25)
FEW = drawn.some(30, suppress_health_check=list(HealthCheck))
TWO_PERSONS = 68 * KG_PER_LB


@st.composite
def reachable(draw: st.DrawFn, rig: oracles.Rig, number: int) -> Need:
    """A need that some assembly serves: lengths in one of its spans, often at an end."""
    low, high = draw(st.sampled_from(draw(st.sampled_from(rig.found)).spans))
    shortest, longest = sorted(draw(st.sampled_from([low, high, (low + high) // 2])) for _ in range(2))
    return Need(
        id=f"need {number}", count=draw(st.integers(1, 2)), shortest=shortest, longest=longest,
        restrained=draw(drawn.seldom(3)),
    )  # fmt: skip


@st.composite
def yards(draw: st.DrawFn) -> tuple[drawn.Drawn, tuple[Scene, ...]]:
    """A cache of a few assemblies of one family without damage, and two or three scenes of it.

    Without listed pairs of unlike mates, since the yard knows one pin for each joint of two parts.
    """
    cache = replace(draw(drawn.caches(most_families=1)), damaged={})
    assume(not any(family.mates for family in cache.catalogue.families))
    rig = cache.rig
    assume(2 <= len(rig.found) <= 10)
    asked = tuple(
        Scene(
            id=f"scene {s}",
            needs=tuple(draw(reachable(rig, n)) for n in range(draw(st.integers(1, 2)))),
            weight=draw(st.integers(1, 3)),
        )
        for s in range(draw(st.integers(2, 3)))
    )
    return cache, asked


def stager_of(cache: drawn.Drawn, asked: tuple[Scene, ...], sets: int) -> Stager:
    """The product's view."""
    muster = Muster(cache.cache, cache.book, TODAY)
    return Stager(muster, asked, sets)


def heaviest(chosen: Chosen) -> Fraction:
    """The weight of the heaviest set."""
    return max((one.assembly.mass or Fraction(0) for one, _ in chosen.sets), default=Fraction(0))


def figures(stager: Stager, chosen: Chosen) -> tuple[int, int, Fraction, list[int], int]:
    """Weighted joints, least margin, heaviest set, joints by scene, and pieces."""
    joints = [one.joints for one in chosen.scenes]
    total = sum(scene.weight * number for scene, number in zip(stager.scenes, joints, strict=True))
    margins = [way.margin for one in chosen.scenes for way in one.built]
    pieces = sum(len(one.assembly.parts) for one, _ in chosen.sets)
    return total, min(margins, default=0), heaviest(chosen), joints, pieces


@FEW
@given(yards(), st.integers(1, 2))
def test_the_sets_are_the_best_of_all_choices_goal_by_goal(
    yard: tuple[drawn.Drawn, tuple[Scene, ...]], sets: int
) -> None:
    """Joints on scene, least margin, heaviest set, joints by scene, pieces: the best of every choice in that order."""
    cache, asked = yard
    stager = stager_of(cache, asked, sets)
    listed: dict[tuple[str, str, str, tuple[str, ...]], Stack] = {
        one.identity: one.parts for one in stager.muster.joined.assemblies()
    }
    masses = {
        one.parts: one.mass
        for one in stager.muster.joined.assemblies()
        if one.mass is not None and one.mass <= TWO_PERSONS
    }

    yard_of = Yard(cache.rig, cache.counts, listed)
    best = yard_of.best_sets(asked, stager.by_need, sorted(masses), sets, masses)

    assert figures(stager, choose(stager)) == best


@FEW
@given(yards(), st.integers(1, 3))
def test_a_set_more_never_costs_a_joint(yard: tuple[drawn.Drawn, tuple[Scene, ...]], sets: int) -> None:
    """With one set more that may be left built, no more joints are made or broken."""
    few, many = (stager_of(*yard, number) for number in (sets, sets + 1))

    assert figures(many, choose(many))[0] <= figures(few, choose(few))[0]


def test_the_same_cache_gets_the_same_sets() -> None:
    """Two runs choose the same sets, serve each scene alike, and say so in the same order."""
    from builders import needs_of

    needs = needs_of([{"at": 45, "count": 2}, {"at": 36, "count": 1}], [{"at": 60, "count": 3, "load": 5000}])

    def run() -> Chosen:
        muster = Muster(rescue_41(), books.book(), TODAY)
        return choose(Stager(muster, needs.scenes, 3))

    assert run() == run()
