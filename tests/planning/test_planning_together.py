"""What is asked of several stocks, or several sets of columns, at once answers as each asked by itself."""

from __future__ import annotations

from functools import cache
from itertools import combinations, combinations_with_replacement
from random import Random

import pytest

from cache_check.planning.packing.columns import Column
from cache_check.planning.packing.packing import Packer
from cache_check.planning.packing.verdicts import binding, one_more

ROWS = 7
PAIRS = tuple(combinations(range(ROWS), 2))


def packer(draw: Random) -> tuple[Packer, tuple[int, ...]]:
    """Columns that take one of each of two rows, so that relaxed bounds fall short at odd rings; and a stock."""
    taken = draw.sample(PAIRS, 18)
    columns = [Column(n, None, tuple((row, 1) for row in rows), 2) for n, rows in enumerate(taken)]
    return Packer(columns, ROWS), tuple(draw.choice([0, 1, 1, 1, 2]) for _ in range(ROWS))


def most(one: Packer, stock: tuple[int, ...], active: int) -> int:
    """The most struts, by trying all that there is."""
    uses = [column.uses for n, column in enumerate(one.columns) if active >> n & 1]

    @cache
    def tried(left: tuple[int, ...]) -> int:
        fit = (own for own in uses if all(left[row] >= number for row, number in own))
        return max((1 + tried(one_more(left, [row for row, _ in own], -1)) for own in fit), default=0)

    return tried(stock)


@pytest.mark.parametrize("seed", range(60))
def test_what_binds(seed: int) -> None:
    """Every row, or every two rows, of which one more makes one strut more, and no other."""
    one, stock = packer(Random(f"binding {seed}"))
    every, parts = (1 << len(one.columns)) - 1, tuple(map(str, range(ROWS)))
    count = most(one, stock, every)
    found = binding(one, stock, every, count, parts, lambda part: (int(part),))
    singles = tuple(part for part in parts if most(one, one_more(stock, [int(part)], 1), every) > count)
    pairs = () if singles else tuple(
        two for two in combinations_with_replacement(parts, 2)
        if most(one, one_more(one_more(stock, [int(two[0])], 1), [int(two[1])], 1), every) > count
    )  # fmt: skip

    assert (found.singles, found.pairs) == (singles, pairs)


@pytest.mark.parametrize("seed", range(60))
def test_a_sweep(seed: int) -> None:
    """Neighbours that differ in a column or two, each with the most there is."""
    draw = Random(f"sweep {seed}")
    one, stock = packer(draw)
    masks = [(1 << len(one.columns)) - 1]
    for _ in range(30):
        masks.append(masks[-1] ^ (1 << draw.randrange(len(one.columns))))

    assert [found.count for found in one.sweep(stock, masks)] == [most(one, stock, mask) for mask in masks]


def test_what_a_search_has_shown_is_remembered() -> None:
    """Two rings of three, one of each row: two struts, though three are paid for; no more of less, or fewer columns."""
    rings = [(a, b) for ring in (0, 3) for a, b in combinations(range(ring, ring + 3), 2)]
    columns = [Column(n, None, ((a, 1), (b, 1)), 2) for n, (a, b) in enumerate(4 * rings)]
    one, stock, asked, every = Packer(columns, 6), (1,) * 6, (1 << 20) - 1, (1 << 24) - 1
    assert one.told(stock, asked, 3) is None

    assert one.most(stock, asked).count == 2
    assert one.told(stock, asked >> 1, 3) is False
    assert one.told((1, 1, 1, 1, 1, 0), asked, 3) is False
    assert one.told((2, 1, 1, 1, 1, 1), asked, 3) is None
    assert one.told(stock, every, 3) is None
