"""What stops the next strut, and what one lost piece costs."""

from collections.abc import Callable
from functools import cache
from itertools import combinations_with_replacement

from cache_check.model.counting import Binding
from cache_check.planning.packing.packing import Packer

Rows = tuple[int, ...]
SHARE = 0.05
"""Of the time that is left, what one question after the next strut or the worst loss may take."""
MOST_IN_PAIRS = 150
"""Of more part types than this no pairs are tried: there would be tens of thousands."""


def one_more(stock: tuple[int, ...], rows: Rows, step: int) -> tuple[int, ...]:
    """A stock with so many pieces more (``step``; less than nothing: fewer) in some rows."""
    return tuple([have + step if row in rows else have for row, have in enumerate(stock)])


def binding(
    packer: Packer, stock: tuple[int, ...], active: int, count: int, parts: tuple[str, ...], rows: Callable[[str], Rows]
) -> Binding:
    """The part types of which one piece more, or the pairs of which one each, allows a strut more than ``count``.

    ``active`` must admit columns that the stock cannot build yet.  Pairs (twice the same part among them) are
    tried only when no single part helps.  Parts that are counted in the same rows are asked about once.
    """
    own = {part: rows(part) for part in parts}

    @cache
    def helps(*chosen: Rows) -> bool:
        more = stock
        for changed in chosen:
            more = one_more(more, changed, 1)
        return packer.reaches(more, active, count + 1)

    with packer.within(SHARE) as untold:
        if singles := tuple(part for part in parts if helps(own[part])):
            return Binding(singles, (), len(parts))
        if len(set(own.values())) > MOST_IN_PAIRS or len(parts) > 2 * MOST_IN_PAIRS:
            return Binding((), (), len(parts), f"no single part; pairs of {len(parts)} part types are too many to try")
        pairs = (pair for pair in combinations_with_replacement(parts, 2) if helps(*sorted(own[part] for part in pair)))
        return Binding((), tuple(pairs), len(parts))
    return Binding((), (), len(parts), untold[0])


def one_lost(
    packer: Packer, stock: tuple[int, ...], active: int, count: int, parts: tuple[str, ...], rows: Callable[[str], Rows]
) -> tuple[int | None, tuple[str, ...]]:
    """The fewest struts left after any one piece is gone, and the part types whose loss leaves so few.

    None where the time was not enough to tell.

    ``parts`` are types of which there is a piece to lose; straps alike share a row, so that the stock cannot tell.
    Of a base, one with enough attachment points is lost, where there is one.  No part is named where no loss costs
    a strut.  A lost piece costs one strut at most: the one it stood in.  It costs none where the plan leaves one to
    spare, and one where the bound falls.
    """
    plan = packer.most(stock, active)
    assert plan.count == count, "the count is the optimum that the loss is measured against"
    spare, costly = packer.left(stock, plan.plan), []
    with packer.within(SHARE) as untold:
        for part in parts:
            lost = tuple(row for row in rows(part) if stock[row])
            if any(not spare[row] for row in lost) and not packer.reaches(one_more(stock, lost, -1), active, count):
                costly.append(part)
    if untold:
        return None, ()
    return (count - 1, tuple(costly)) if costly else (count, ())
