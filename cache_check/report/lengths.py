"""Reach, blind spots, how many at once by length, and matched sets."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from cache_check.model.assembly import Assembly
from cache_check.model.counting import Packing
from cache_check.model.result import MOST_MATCHED, MatchedSet, Profile, Reach
from cache_check.model.told import Pieces
from cache_check.report.page import Block, Paragraph, Points, Section, Table, words
from cache_check.report.say import MANY_SPANS, Say, proven
from cache_check.report.stretches import shown_stretches

NOT_TOGETHER = (
    "Each row uses the whole cache afresh: the most struts and the longest reach are not to be had together. "
    "A set is counted on the step named in its row."
)

NOT_TOGETHER_AT_ONE = (
    "Each most is at some one length, and uses the whole cache afresh: it and the longest reach are not to be had "
    "together. Reach says what one strut can be set to, by itself."
)

_PROFILE = {"buildable": "Buildable, by length: usable strut bodies that do it, each by itself and not at once."}


def reach(one: Reach, say: Say) -> Section:
    """The union of all buildable lengths, its blind spots, and what one choice of fitting leaves of it."""
    if not one.count:
        return Section("Reach and blind spots", (Paragraph("No legal assembly can be built: no reach."),))
    spots = blind_spots(one, say)
    blocks: list[Block] = [
        Paragraph(
            f"{one.count:,} legal {'assembly' if one.count == 1 else 'assemblies'} can be built, one at a time, "
            f"covering {say.reachable(one.union)}. A length in reach says nothing of how many struts reach it."
        ),
        Points("Blind spots, which no assembly covers:" if spots else "Blind spots: none.", spots),
    ]
    if one.by_fitting:
        rows = tuple((role, say.name(part), say.reachable(spans)) for role, part, spans in one.by_fitting)
        blocks.append(Table(words("with this|as the only one|reach"), rows))
    return Section("Reach and blind spots", tuple(blocks))


def blind_spots(one: Reach, say: Say) -> tuple[str, ...]:
    """Each blind spot; where there are nothing but single settings, one line for all."""
    if len(one.blind_spots) > MANY_SPANS and all(low == high for low, high in one.union):
        widest = max(high - low for low, high in one.blind_spots)
        return (f"{len(one.blind_spots)}, one between each two settings; the widest {say.length(widest, 'up')}",)
    return tuple(say.blind(spot) for spot in one.blind_spots)


def profiles(all_steps: Sequence[Profile], say: Say) -> Section:
    """How many at once by length, a table for each step."""
    blocks: list[Block] = []
    for one in all_steps:
        unproven = "" if one.proven else " Not proven: there may be more."
        blocks.append(Paragraph(_PROFILE.get(one.step, f"{one.step.capitalize()} at once, by length.") + unproven))
        rows = tuple(shown_stretches(one.stretches, say))
        blocks.append(Table(words(f"lengths, {say.length_unit}|#{one.step}"), rows) if rows else Paragraph("None."))
    return Section("How many at once, by length", tuple(blocks) or (Paragraph("Not asked."),))


def matched(sets: Sequence[MatchedSet], say: Say) -> Section:
    """For each number of struts, where they stand at once, and the set whose common reach is longest."""
    if not sets:
        return Section("Matched sets", (Paragraph("No strut can stand, so there is no set."),))
    alike = [list(group) for _, group in groupby(sets, _alike)]
    rows = tuple(
        (
            _numbers(group),
            group[0].step,
            say.reachable(group[0].spans),
            say.reachable([group[0].common] if group[0].common else []),
        )
        for group in alike
    )
    heads = "#struts at once|step|lengths they can stand at|longest common reach without rebuilding"
    notes = tuple(_way(group, say) for group in alike if group[0].packing is not None)
    more = [Paragraph(f"Sets of more than {MOST_MATCHED} struts are not worked out.")] * (
        max(one.count for one in sets) == MOST_MATCHED
    )
    return Section(
        "Matched sets",
        (
            Paragraph(NOT_TOGETHER),
            Table(words(heads), rows),
            *more,
            *([Points("One way to build each:", notes)] if notes else []),
        ),
    )


def _alike(one: MatchedSet) -> tuple[object, ...]:
    """What sets that are told in one row share: step, reach and, where all struts are alike, what each of them is."""
    each = one.packing and _each(one.packing)
    return one.step, one.spans, one.common, each, None if each else one.count


def _each(packing: Packing) -> tuple[Assembly, Pieces] | None:
    """The assembly and the ties of every strut, where all are alike."""
    if len(packing.assemblies) > 1 or any(number % packing.count for _, number in packing.ties):
        return None
    return packing.assemblies[0][0], tuple((part, number // packing.count) for part, number in packing.ties)


def _numbers(group: Sequence[MatchedSet]) -> str:
    first, last = group[0].count, group[-1].count
    return str(first) if first == last else f"{first} to {last}"


def _way(group: Sequence[MatchedSet], say: Say) -> str:
    """One way to build sets that are told together."""
    packing = group[0].packing
    assert packing is not None
    each = _each(packing)
    stacks = (f"{number} x {say.stack(one.parts)}" for one, number in packing.assemblies)
    said = f"each {say.stack(each[0].parts)}" if each else ", and ".join(stacks)
    ties = each[1] if each else packing.ties
    unproven = "" if packing.proven else f" ({proven(packing)})"
    return f"{_numbers(group)} {group[0].step}{unproven}: {said}" + (f"; held by {say.pieces(ties)}" if ties else "")
