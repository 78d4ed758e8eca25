"""How many at once by length, exact at every breakpoint; and the matched sets of n struts."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from cache_check.model.assembly import Span
from cache_check.model.result import MatchedSet, Profile, Rung, Step
from cache_check.planning.packing.choice import shown
from cache_check.planning.packing.muster import Ask, Muster


def breakpoints(muster: Muster) -> list[int]:
    """The lengths (nm) at which a count can change: ends of reaches and settings, and rows of charts, rising."""
    there = muster.columns.within(muster.stock)
    ends = {
        end
        for assembly, columns in zip(muster.columns.assemblies, muster.columns.of_assembly, strict=True)
        if columns & there
        for span in assembly.spans
        for end in span
    }
    if not ends:
        return []
    return sorted(ends | {edge for edge in muster.chart_edges if min(ends) < edge < max(ends)})


def profile(muster: Muster, rung: Rung, load: Fraction | None = None, factor: Fraction | None = None) -> Profile:
    """The profile on one rung, from the shortest to the longest length that any assembly reaches.

    Counts can change only at breakpoints; each is asked itself and once in the open span to the next, since
    reaches include both their ends.
    """
    ends = breakpoints(muster)
    steps: list[Step] = []
    proven = True
    for i, end in enumerate(ends):
        spans = [Step(end, end, True, True, 0)]
        if i + 1 < len(ends):
            spans.append(Step(end, ends[i + 1], False, False, 0))
        for step in spans:
            # Any length inside an open span will do; one nanometre in is inside, or the span holds no length.
            at = step.low if step.low_included else step.low + 1
            if at == step.high and not step.low_included:
                continue
            packed = _count(muster, at, rung, load, factor)
            proven = proven and packed[0] == packed[1]
            _append(steps, replace(step, count=packed[0]))
    return Profile(rung, tuple(steps), proven)


def _count(muster: Muster, length: int, rung: Rung, load: Fraction | None, factor: Fraction | None) -> tuple[int, int]:
    ask = Ask(length, length, load, factor)
    if rung == "buildable":
        count = muster.buildable(ask)
        return count, count
    packed = muster.most(ask, rung)
    return packed.count, packed.most


def _append(steps: list[Step], step: Step) -> None:
    if steps and steps[-1].count == step.count:
        steps[-1] = replace(steps[-1], high=step.high, high_included=step.high_included)
    else:
        steps.append(step)


def matched_sets(muster: Muster, of: Profile) -> tuple[MatchedSet, ...]:
    """For n = 1, 2, 3 ...: where n struts can stand at once, and the n whose common reach is longest."""
    most = max((step.count for step in of.steps), default=0)
    return tuple(_matched(muster, of, number) for number in range(1, most + 1))


def _matched(muster: Muster, of: Profile, number: int) -> MatchedSet:
    spans: list[Span] = []
    for step in of.steps:
        if step.count >= number:
            if spans and spans[-1][1] == step.low:
                spans[-1] = (spans[-1][0], step.high)
            else:
                spans.append((step.low, step.high))
    common = _longest_common(muster, of.rung, number)
    if common is None:
        return MatchedSet(number, of.rung, tuple(spans), None, None)
    packing = shown(muster, Ask(*common), of.rung, at_most=number)
    return MatchedSet(number, of.rung, tuple(spans), common, packing)


def _longest_common(muster: Muster, rung: Rung, number: int) -> Span | None:
    """The longest span that n struts built together all cover without rebuilding; the lowest among equals.

    As the low end rises more columns cover a span to the same high end, so the highest high end never falls:
    both ends only ever move up.
    """
    there = muster.columns.within(muster.stock)
    spans = [
        span
        for assembly, columns in zip(muster.columns.assemblies, muster.columns.of_assembly, strict=True)
        if columns & there
        for span in assembly.spans
    ]
    lows = sorted({low for low, _ in spans})
    highs = sorted({high for _, high in spans})
    best: Span | None = None
    at = 0
    for low in lows:
        while at < len(highs) and highs[at] < low:
            at += 1
        while at < len(highs) and muster.most(Ask(low, highs[at]), rung).count >= number:
            if best is None or highs[at] - low > best[1] - best[0]:
                best = (low, highs[at])
            at += 1
        if best is not None:
            # Only a span longer than the best is of interest from here on.
            while at < len(highs) and highs[at] - low <= best[1] - best[0]:
                at += 1
    return best
