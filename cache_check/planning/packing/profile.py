"""How many at once by length, exact at every breakpoint; and the matched sets of n struts."""

from bisect import bisect_right
from collections.abc import Iterable
from fractions import Fraction
from itertools import zip_longest
from math import inf

from cache_check.model.assembly import Span, merged
from cache_check.model.counting import Step
from cache_check.model.result import MOST_MATCHED, MatchedSet, Profile, Stretch
from cache_check.planning.packing.choice import shown
from cache_check.planning.packing.muster import Ask, Muster

_SHARE = 0.5  # of the time that is left, what all profiles, or all matched sets, may take


def breakpoints(muster: Muster) -> list[int]:
    """The lengths (nm) at which a count can change: ends of reaches and settings, and rows of charts, rising."""
    if not (ends := {end for span in muster.spans for end in span}):
        return []
    return sorted(ends | {edge for edge in muster.ratings.edges if min(ends) < edge < max(ends)})


def profiles(muster: Muster, load: Fraction | None = None) -> tuple[tuple[Profile, ...], str]:
    """The profile on every step, rated too where a load is asked; or none, and why they are not worked out."""
    with muster.packer.within(_SHARE) as untold:
        found = [profile(muster, step) for step in muster.steps]
        return (*found, *([] if load is None else [profile(muster, "rated", load)])), ""
    return (), untold[0]


def matched(muster: Muster, of: Iterable[Profile]) -> tuple[tuple[MatchedSet, ...], str]:
    """The matched sets of several profiles; or none, and why they are not worked out."""
    with muster.packer.within(_SHARE) as untold:
        return tuple(found for one in of for found in matched_sets(muster, one)), ""
    return (), untold[0]


def profile(muster: Muster, step: Step, load: Fraction | None = None) -> Profile:
    """The profile on one step, from the shortest to the longest length that any assembly reaches."""
    # Counts change only at breakpoints; each is asked itself and once before the next, since reaches have both ends.
    ends = breakpoints(muster)
    every, stretches = list[tuple[int, int, bool]](), list[Stretch]()  # from, to, and whether both are of it
    for end, following in zip_longest(ends, ends[1:], fillvalue=0):
        # Any length inside an open span will do; one nanometre in is inside, or the span holds no length.
        every += [(end, end, True), *[(end, following, False)] * (end + 1 < following)]
    asks = [Ask(at, at, load) for at in (low + (not closed) for low, _, closed in every)]
    counts: Iterable[int]
    if step == "buildable":
        counts = map(muster.buildable, asks)
    else:
        packed = muster.packer.sweep(muster.stock, [muster.mask(ask, step) for ask in asks])
        counts = (one.count for one in packed)
    for (low, high, closed), count in zip(every, counts, strict=True):
        muster.packer.in_time()
        before = stretches.pop() if stretches and stretches[-1].count == count else None
        begun = (low, closed) if before is None else (before.low, before.low_included)
        stretches.append(Stretch(begun[0], high, begun[1], closed, count))
    return Profile(step, tuple(stretches), proven=True)


def matched_sets(muster: Muster, of: Profile) -> tuple[MatchedSet, ...]:
    """For n = 1, 2, 3 ... ``MOST_MATCHED``: where n can stand at once, and the n whose common reach is longest."""
    most = max((stretch.count for stretch in of.stretches), default=0)
    found: list[MatchedSet] = []
    for number in range(1, min(most, MOST_MATCHED) + 1):
        spans = merged((stretch.low, stretch.high) for stretch in of.stretches if stretch.count >= number)
        common = _longest_common(muster, of.step, number, found[-1].common if found else None)
        packing = shown(muster, Ask(*common), of.step, at_most=number) if common else None
        found.append(MatchedSet(number, of.step, spans, common, packing))
    return tuple(found)


def _longest_common(muster: Muster, step: Step, number: int, fewer: Span | None) -> Span | None:
    """The longest span that n struts built together all cover without rebuilding; the lowest among equals."""
    limit = inf if fewer is None else fewer[1] - fewer[0]
    lows, highs = (sorted({span[end] for span in muster.spans}) for end in (0, 1))
    best, at, longest = None, 0, -1
    # As the low end rises more columns cover a span to the same high end, so the highest high end never falls:
    # both ends only ever move up. No span is longer than that of one strut fewer.
    for low in lows:
        # Only a span longer than the best is of interest.
        at = max(at, bisect_right(highs, low + longest))
        while at < len(highs) and highs[at] - low <= limit and muster.reaches(Ask(low, highs[at]), step, number):
            best, longest, at = (low, highs[at]), highs[at] - low, at + 1
        if longest == limit:
            break
    return best
