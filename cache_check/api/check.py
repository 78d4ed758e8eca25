"""The main job: what a cache can build, at once, and what it lacks."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from cache_check.api.base import LENGTHS, LIST_AT_MOST, SECONDS, WhatIf, head_of, loaded, muster_of, tried
from cache_check.checks.facts import Facts
from cache_check.checks.run import findings, gaps
from cache_check.joining.assemblies import reach_of
from cache_check.model.assembly import Span
from cache_check.model.cache import Cache
from cache_check.model.counting import Tally
from cache_check.model.need import Needs, Scene
from cache_check.model.result import CheckResult, MatchedSet, Profile
from cache_check.model.rule import RuleBook
from cache_check.planning.packing.columns import MOST_ASSEMBLIES
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.profile import matched, profiles
from cache_check.planning.packing.tally import tally
from cache_check.planning.scenes import ask_of, scene
from cache_check.units import NM_PER_INCH, NM_PER_MM, System, show

SETS, LOSSES = "matched sets", "what each part's loss costs"


def check(
    cache: Cache, book: RuleBook, *, needs: Needs | None = None, suppose: WhatIf | None = None, whole: bool = True,
    losses: bool = False, seconds: float = SECONDS,
) -> CheckResult:  # fmt: skip
    """The main job: the tally at the needs, reach, matched sets, gaps and findings of one cache or pool.

    What is not ``whole`` has no profiles and no matched sets, which take as long as all the rest; what each part's loss
    costs the scenes is worked out where ``losses`` are asked for.  Where ``seconds`` are not enough for them, for what
    binds or for the worst loss, these are said to be untold.

    Raises:
        AskError: something supposed cannot be (an unknown part, more pieces gone than there are).
        NoPlanError: an optimum could not be proven in time.
    """
    muster = muster_of(cache, book, suppose, seconds, needs=needs)
    reached = reach_of(muster.joined, LIST_AT_MOST)
    scenes = needs.scenes if needs else ()
    tallies = () if muster.large else tuple(_tallies(muster, scenes, reached.union))
    answers = tuple(scene(muster, wanted) for wanted in scenes)
    if len(cache.rigs) > 1 and answers:
        from cache_check.planning.staging.rigs import Rigs

        rigs = Rigs(muster)
        answers = tuple(replace(one, brings=rigs.bring(one.packing)) for one in answers)
    facts = Facts(muster, scenes, tallies, answers, reached)
    untold = tuple(_untold(muster, scenes)) if muster.large else ()
    by_length: tuple[Profile, ...] = ()
    sets: tuple[MatchedSet, ...] = ()
    if whole and not muster.large:
        by_length, late = profiles(muster)
        sets, later = ((), late) if late else matched(muster, by_length[1:])
        untold += tuple((part, why) for part, why in ((LENGTHS, late), (SETS, later)) if why)
    lost = None
    if losses and scenes:
        from cache_check.planning.buying.worth import part_losses

        lost, unlost = tried(lambda: part_losses(muster, scenes))
        untold += ((LOSSES, unlost),) if unlost else ()
    return CheckResult(
        *head_of(muster, suppose, asked=loaded(scenes), factors=_higher_factors(muster, scenes)),
        parts=muster.usable.lines, tallies=tallies, scenes=answers, reach=reached, profiles=by_length, matched=sets,
        gaps=gaps(facts), findings=findings(facts), untold=untold, losses=lost,
    )  # fmt: skip


def _higher_factors(muster: Muster, scenes: tuple[Scene, ...]) -> tuple[tuple[str, Fraction], ...]:
    """The needs that ask a higher design factor than the rules do, with it."""
    ruled = muster.factor().k
    needs = [(f"{scene.id}: {need.id}", need) for scene in scenes for need in scene.needs if need.loaded]
    return tuple((who, need.factor) for who, need in needs if need.factor is not None and need.factor > ruled)


def _untold(muster: Muster, scenes: tuple[Scene, ...]) -> Iterator[tuple[str, str]]:
    """What is not worked out of a store too large to list, and why; its scenes and its reach are."""
    why = f"limit reached: {muster.laid.assemblies:,} assemblies are more than the {MOST_ASSEMBLIES:,} that are listed"
    for part in ("struts on each step", LENGTHS, SETS, *["what binds in a scene"] * bool(scenes)):
        yield part, why


def _tallies(muster: Muster, scenes: tuple[Scene, ...], union: tuple[Span, ...]) -> Iterator[Tally]:
    for one in scenes:
        for need in one.needs:
            yield tally(muster, ask_of(need), f"{one.id}: {need.id}", need.count)
    if not scenes:
        for length in round_lengths(union, muster.cache.units):
            yield tally(muster, Ask(length, length), show(length, "length", muster.cache.units, "nearest"))


def round_lengths(union: tuple[Span, ...], units: System) -> tuple[int, ...]:
    """At most eight round lengths inside a reach: feet, or quarter metres, or multiples of them."""
    if not union:
        return ()
    low, high = union[0][0], union[-1][1]
    unit = 12 * NM_PER_INCH if units == "us" else 250 * NM_PER_MM
    step = unit
    while high // step - (low - 1) // step > 8:
        step += unit
    return tuple(range(-(-low // step) * step, high + 1, step))
