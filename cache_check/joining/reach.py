"""Reach: what lengths the assemblies of a stock cover between them, and the blind spots inside."""

from __future__ import annotations

from collections.abc import Callable

from cache_check.joining.assemblies import Block, Joinery
from cache_check.joining.settings import between, merged, settable
from cache_check.model.assembly import Span
from cache_check.model.part import Body, Fitting, Part
from cache_check.model.result import Reach


def union_of(joined: Joinery, keep: Callable[[Part, Part], bool] = lambda ground, load: True) -> tuple[Span, ...]:
    """The lengths (nm) that at least one assembly covers, over the pairs of fittings that ``keep`` lets through."""
    spans: set[Span] = set()
    for block in joined.blocks:
        fixed = {adds + stack.length for adds in _pairs(block, keep) for stack in block.stacks}
        for settings in {settable(body) for body in block.body.parts if isinstance(body, Body)}:
            spans.update((low + more, high + more) for low, high in settings for more in fixed)
    return merged(spans)


def _pairs(block: Block, keep: Callable[[Part, Part], bool]) -> set[int]:
    """What the pairs of fittings of a block add."""
    stock = dict(zip((part.id for part in block.ground.parts), block.ground.counts, strict=True))
    return {
        ground.adds + load.adds
        for ground in block.ground.parts
        for load in block.load.parts
        if isinstance(ground, Fitting) and isinstance(load, Fitting) and keep(ground, load)
        and not (ground.id == load.id and stock[ground.id] < 2)
    }  # fmt: skip


def _only(side: str, part: str) -> Callable[[Part, Part], bool]:
    """Lets through the pairs that have a fitting at one side."""
    return lambda ground, load: (ground if side == "ground" else load).id == part


def reach_of(joined: Joinery, list_at_most: int) -> Reach:
    """The reach of a stock; assemblies are listed only if there are no more than ``list_at_most``."""
    count = joined.count()
    union = union_of(joined)
    ends = [("base", "ground"), ("head", "load")]
    by_fitting = [
        (role, part.id, union_of(joined, _only(side, part.id)))
        for role, side in ends
        for part in joined.catalogue.parts
        if part.kind == "fitting" and joined.counts.get(part.id)
    ]
    return Reach(
        count=count,
        assemblies=tuple(sorted(joined.assemblies(), key=lambda a: a.order)) if count <= list_at_most else (),
        union=union,
        blind_spots=between(union),
        by_fitting=tuple(row for row in by_fitting if row[2]),
    )
