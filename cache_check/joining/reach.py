"""Reach: what lengths the assemblies of a stock cover between them, and the blind spots inside."""

from __future__ import annotations

from collections.abc import Callable

from cache_check.joining.assemblies import Joinery
from cache_check.joining.groups import ends
from cache_check.joining.seats import added_length, between, merged, settable
from cache_check.model.assembly import Span
from cache_check.model.part import Body, Part
from cache_check.model.result import Reach


def union_of(joined: Joinery, keep: Callable[[Part, Part], bool] = lambda ground, load: True) -> tuple[Span, ...]:
    """The lengths (nm) that at least one assembly covers, over the pairs of fittings that ``keep`` lets through."""
    spans: set[Span] = set()
    for block in joined.blocks:
        pairs = (pair for pair in ends(block.ground, block.load) if keep(*pair))
        fittings = {added_length(ground) + added_length(load) for ground, load in pairs}
        fixed = {adds + stack.length for adds in fittings for stack in block.stacks}
        for settings in {settable(body) for body in block.body.parts if isinstance(body, Body)}:
            spans.update((low + more, high + more) for low, high in settings for more in fixed)
    return merged(spans)


def reach_of(joined: Joinery, list_at_most: int) -> Reach:
    """The reach of a stock; assemblies are listed only if there are no more than ``list_at_most``."""
    count = joined.count()
    union = union_of(joined)
    by_fitting = [
        (role, part.id, union_of(joined, lambda *pair, at=at, own=part.id: pair[at].id == own))
        for at, role in enumerate(("base", "head"))
        for part in joined.catalogue.parts
        if part.kind == "fitting"
    ]
    return Reach(
        count=count,
        assemblies=tuple(sorted(joined.assemblies(), key=lambda a: a.order)) if count <= list_at_most else (),
        union=union,
        blind_spots=between(union),
        by_fitting=tuple(row for row in by_fitting if row[2]),
    )
