"""Reach, blind spots, how many at once by length in figures that never claim more than there is, and matched sets."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby
from typing import TYPE_CHECKING

from cache_check.model.assembly import Assembly
from cache_check.model.counting import Packing
from cache_check.model.result import MOST_MATCHED, CheckResult, MatchedSet, Reach, ReachResult, Stretch
from cache_check.model.told import Pieces
from cache_check.report.cells import span, yes
from cache_check.report.page import Block, Points, Rows
from cache_check.report.say import MANY_SPANS, Say, proven

if TYPE_CHECKING:
    from cache_check.model.card import CardResult
    from cache_check.model.staging import StageResult

    Reaches = CheckResult | ReachResult | CardResult

SPANS = "with|as the only one|#from, {length}|#to, {length}"
STRETCHES = "step|#from, {length}|from included|#to, {length}|to included|#struts at once"
MATCHED = "#struts at once|step|#common reach from, {length}|#common reach to, {length}"
NOT_TOGETHER = (
    "Each row uses the whole cache afresh: the most struts and the longest reach are not to be had together. "
    "A set is counted on the step named in its row."
)
NOT_TOGETHER_AT_ONE = (
    "Each most is at some one length, and uses the whole cache afresh: it and the longest reach are not to be had "
    "together. Reach says what one strut can be set to, by itself."
)
_End = tuple[Fraction, str, bool]  # an end of a stretch as shown: its value, its text, and whether it is included
_PROFILE = {"buildable": "Buildable, by length: usable strut bodies that do it, each by itself and not at once."}


def reach(result: "Reaches", say: Say) -> Iterator[Block]:
    """The union of all buildable lengths, its blind spots, and what one choice of fitting leaves of it."""
    one = result.reach
    if not one.count:
        yield f"No legal assembly can be built: no reach{f'; {one.why}' * bool(one.why)}."
        return
    spots = blind_spots(one, say)
    yield (
        f"{one.count:,} legal {'assembly' if one.count == 1 else 'assemblies'} can be built, one at a time, "
        f"covering {say.reachable(one.union)}. A length in reach says nothing of how many struts reach it."
    )
    yield Points("Blind spots, which no assembly covers:" if spots else "Blind spots: none.", spots)
    if one.by_fitting:
        rows = ((role, say.name(part), say.reachable(spans)) for role, part, spans in one.by_fitting)
        yield say.table("with this|as the only one|reach", rows)


def reach_rows(result: "Reaches", say: Say) -> Rows:
    """A row for each span of all and of each fitting, under ``SPANS``."""
    for role, part, spans in (("any", None, result.reach.union), *result.reach.by_fitting):
        yield from ((role, part and say.name(part), *span(one, say)) for one in spans)


def blind_spots(one: Reach, say: Say) -> tuple[str, ...]:
    """Each blind spot; one line for all where there are nothing but single settings, or no reach that has any."""
    if not one.count:
        return ("no reach at all",)
    if len(one.blind_spots) > MANY_SPANS and all(low == high for low, high in one.union):
        widest = max(high - low for low, high in one.blind_spots)
        return (f"{len(one.blind_spots)}, one between each two settings; the widest {say.length(widest, 'up')}",)
    return tuple(say.blind(spot) for spot in one.blind_spots)


def profiles(result: "Reaches", say: Say) -> Iterator[Block]:
    """How many at once by length, a table for each step."""
    if not result.profiles:
        yield "Not asked."
    for one in result.profiles:
        unproven = "" if one.proven else " Not proven: there may be more."
        yield _PROFILE.get(one.step, f"{one.step.removesuffix(' at once').capitalize()} at once, by length.") + unproven
        yield say.table("lengths, {length}|#" + one.step, shown_stretches(one.stretches, say))


def profile_rows(result: "Reaches", say: Say) -> Rows:
    """A row for each stretch of lengths, rounded inwards; whether its very ends have the same count stands beside."""
    for of in result.profiles:
        for one in of.stretches:
            low, high = span((one.low, one.high), say)
            yield of.step, low, yes(one.low_included), high, yes(one.high_included), one.count


def matched(result: "CheckResult | StageResult", say: Say) -> Iterator[Block]:
    """For each number of struts, where they stand at once, and the set whose common reach is longest."""
    if not result.matched:
        asked = getattr(result, "staging", None)
        yield "Not asked: scenes were." if asked else "No strut can stand, so there is no set."
        return
    alike = [list(group) for _, group in groupby(result.matched, _alike)]
    yield NOT_TOGETHER
    rows = (
        (_numbers(group), one.step, say.reachable(one.spans), say.reachable([one.common] if one.common else []))
        for group in alike
        for one in group[:1]
    )
    yield say.table("#struts at once|step|lengths they can stand at|longest common reach without rebuilding", rows)
    if max(one.count for one in result.matched) == MOST_MATCHED:
        yield f"Sets of more than {MOST_MATCHED} struts are not worked out."
    if notes := tuple(_way(group, say) for group in alike if group[0].packing is not None):
        yield Points("One way to build each:", notes)


def _alike(one: MatchedSet) -> tuple[object, ...]:
    """What sets that are told in one row share: step, reach and, where all struts are alike, what each of them is."""
    each = one.packing and _each(one.packing)
    return one.step, one.spans, one.common, each, None if each else one.count


def _each(packing: Packing) -> tuple[Assembly, Pieces] | None:
    if len(packing.assemblies) > 1 or any(number % packing.count for _, number in packing.ties):
        return None
    return packing.assemblies[0][0], tuple((part, number // packing.count) for part, number in packing.ties)


def _numbers(group: Sequence[MatchedSet]) -> str:
    first, last = group[0].count, group[-1].count
    return str(first) if first == last else f"{first} to {last}"


def _way(group: Sequence[MatchedSet], say: Say) -> str:
    packing = group[0].packing
    assert packing is not None
    each = _each(packing)
    stacks = (f"{number} x {say.stack(one.parts)}" for one, number in packing.assemblies)
    said = f"each {say.stack(each[0].parts)}" if each else ", and ".join(stacks)
    ties = each[1] if each else packing.ties
    unproven = "" if packing.proven else f" ({proven(packing)})"
    return f"{_numbers(group)} {group[0].step}{unproven}: {said}" + (f"; held by {say.pieces(ties)}" if ties else "")


def shown_stretches(stretches: Sequence[Stretch], say: Say) -> Iterator[tuple[str, str]]:
    """(lengths, count) of each stretch, rising in length; single settings in a row of one count are counted."""
    # Where two counts meet between two figures that can be shown, the lower count takes the doubt. A stretch too
    # short to be shown takes its neighbour's lower count.
    kept = _settled(_merged(stretches), say)
    for (alone, count), group in groupby(range(len(kept)), key=lambda i: (_alone(kept, i), kept[i].count)):
        together = list(group)
        if alone and len(together) > 1:
            first, last = say.bare_length(kept[together[0]].low, "up"), say.bare_length(kept[together[-1]].high, "down")
            yield f"{len(together)} settings from {first} to {last}, nothing between them", str(count)
        else:
            for (at, first, low_in), (to, last, high_in) in (_ends(kept, i, say) for i in together):
                said = f"{'' if low_in else 'over '}{first} to {'' if high_in else 'under '}{last}"
                yield f"at {first}" if at == to else said, str(count)


def _merged(stretches: Sequence[Stretch]) -> list[Stretch]:
    merged: list[Stretch] = []
    for one in stretches:
        if merged and merged[-1].count == one.count and _touch(merged[-1], one):
            merged[-1] = replace(merged[-1], high=one.high, high_included=one.high_included)
        elif one.count:
            merged.append(one)
    return merged


def _touch(lower: Stretch, upper: Stretch) -> bool:
    return lower.high == upper.low and (lower.high_included or upper.low_included)


def _beside(stretches: list[Stretch], i: int) -> tuple[int, int]:
    before = stretches[i - 1].count if i and _touch(stretches[i - 1], stretches[i]) else 0
    after = stretches[i + 1].count if i + 1 < len(stretches) and _touch(stretches[i], stretches[i + 1]) else 0
    return before, after


def _alone(stretches: list[Stretch], i: int) -> bool:
    return stretches[i].low == stretches[i].high and _beside(stretches, i) == (0, 0)


def _ends(stretches: list[Stretch], i: int, say: Say) -> tuple[_End, _End]:
    one = stretches[i]
    before, after = _beside(stretches, i)
    if _alone(stretches, i):
        return ((say.shown_length(one.low, "nearest"), say.bare_length(one.low, "nearest"), True),) * 2
    low = _end(one.low, one.low_included, one.count > before, one.count > before, say)
    return low, _end(one.high, one.high_included, one.count < after, one.count > after, say)


def _end(nm: int, included: bool, up: bool, higher: bool, say: Say) -> _End:
    """An end rounded into the side that counts more; that side keeps the figure itself."""
    value = say.shown_length(nm, "up" if up else "down")
    exact = say.shown_length(nm, "up") == say.shown_length(nm, "down")
    return value, say.bare_length(nm, "up" if up else "down"), included if exact else higher


def _settled(stretches: list[Stretch], say: Say) -> list[Stretch]:
    for i, one in enumerate(stretches):
        (low, _, low_in), (high, _, high_in) = _ends(stretches, i, say)
        if low < high or (low == high and low_in and high_in):
            continue
        count = max((beside for beside in _beside(stretches, i) if beside < one.count), default=0)
        return _settled(_merged([*stretches[:i], replace(one, count=count), *stretches[i + 1 :]]), say)
    return stretches
