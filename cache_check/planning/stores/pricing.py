"""The cheapest strut for each want at prices of rows, over all assemblies of a store, in whole numbers.

This is both how new columns are found and how a proof is checked: the sums are exact, over every assembly.
"""

from collections.abc import Iterator

import numpy as np

from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly
from cache_check.model.part import LINEAR
from cache_check.planning.packing.rows import Hold
from cache_check.planning.solving.solver import Uses
from cache_check.planning.stores.blocks import NEVER, Asked, Kind, Numbers, Truths, Windows

DEAREST = 1 << 32  # the highest price of a row: sums of prices then stay within 64 bits, and far below ``NEVER``


@dataclass(frozen=True)
class Strut:
    """A column found by pricing: the want it serves, its assembly, how its base is held, what it takes."""

    want: int
    assembly: Assembly
    hold: Hold | None
    uses: Uses


@dataclass(frozen=True)
class _Priced:
    """One kind of wants at one set of prices: each row's price, each class's cheapest pair, each window's price."""

    kind: Kind
    rows: Numbers
    grounds: Numbers
    classes: dict[int, Numbers]
    windows: Numbers


class Pricing:
    """Prices for the wants of a scene, in whole numbers of at most ``DEAREST``."""

    def __init__(self, asked: Asked, stock: tuple[int, ...]) -> None:
        self.asked, self.blocks, self.stock = asked, asked.blocks, stock
        self._begins = np.cumsum([0, *(len(table.lengths) for table in self.blocks.tables)])
        self._bases = sorted({part.id for group in self.blocks.joined.groups.bases for part in group.parts})
        self.holds = {base: tuple(self._ways(base)) for base in self._bases}

    def _ways(self, base: str) -> Iterator[tuple[Hold, Uses]]:
        """Every way of holding a base that the stock has the means for, with what it takes."""
        rows = self.blocks.rows
        # A base is priced apart from what stands on it, so it is held as the strictest of all families wants it.
        families = frozenset(part.family for part in self.blocks.joined.catalogue.parts if part.kind in LINEAR)
        if base not in rows.pointed:
            return
        for hold in (way for way in rows.ways(families) if self.asked.hoped or rows.equipped(way)):
            uses = rows.uses(rows.held(base, hold, families))
            if all(number <= self.stock[row] for row, number in uses):
                yield hold, uses

    def ways(self, base: str, kind: Kind) -> list[tuple[Hold, Uses]]:
        """The ways of holding a base that will do for wants of a kind."""
        return [way for way in self.holds[base] if not kind.rated or self.blocks.rows.rated(way[0])]

    def at(self, prices: Numbers) -> tuple[_Priced, ...]:
        """Everything priced once, for the two questions below (ValueError: a price is out of range)."""
        if len(prices) and not 0 <= int(prices.min()) <= int(prices.max()) <= DEAREST:
            raise ValueError("prices are out of range")
        return tuple(self._priced(prices))

    def cheapest(self, priced_kinds: tuple[_Priced, ...]) -> Numbers:
        """What the cheapest strut for each want costs; ``NEVER`` or more where there is none."""
        least = np.full(len(self.asked.wants), NEVER, dtype=np.int64)
        for priced in priced_kinds:
            windows = self.asked.windows[priced.kind]
            if len(windows.want):
                wants, starts = np.unique(windows.want, return_index=True)
                least[wants] = np.minimum.reduceat(priced.windows, starts)
        return least

    def _priced(self, prices: Numbers) -> Iterator[_Priced]:
        for kind, windows in self.asked.windows.items():
            rows = np.asarray(prices, dtype=np.int64).copy()
            rows[[self.blocks.rows.row[part] for part in sorted(kind.weak) if part in self.blocks.rows.row]] = NEVER
            grounds = rows.copy()
            if kind.held:
                for base in self._bases:
                    costs = [sum(int(rows[row]) * number for row, number in uses) for _, uses in self.ways(base, kind)]
                    grounds[self.blocks.rows.row[base]] += min(costs, default=NEVER)
            distinct = {id(table.pairs): table.pairs for table in self.blocks.tables}
            every = {key: (grounds[pairs.ground] + rows[pairs.load], pairs.starts) for key, pairs in distinct.items()}
            classes: dict[int, Numbers] = {key: np.minimum.reduceat(*own) for key, own in every.items()}
            tables = [(table.priced(rows, classes[id(table.pairs)]), table.starts) for table in self.blocks.tables]
            lengths = [np.minimum.reduceat(entries, starts) for entries, starts in tables]
            yield _Priced(kind, rows, grounds, classes, _over(windows, lengths) + rows[windows.body])

    def struts(self, priced_kinds: tuple[_Priced, ...], below: Numbers, each: int = 1) -> list[Strut]:
        """For each want the cheapest struts that cost less than its ``below``: so many, no two on one body."""
        found = []
        for priced in priced_kinds:
            windows = self.asked.windows[priced.kind]
            cheap = np.flatnonzero(priced.windows < np.minimum(below, NEVER)[windows.want])
            found += [self._strut(priced, windows, at) for at in _first(windows, priced.windows, cheap, each)]
        return found

    def _strut(self, priced: _Priced, windows: Windows, at: int) -> Strut:
        """The cheapest strut of a window."""
        block = int(windows.block[at])
        table, begins = self.blocks.tables[block], int(self._begins[block])
        first, last = int(windows.first[at]) - begins, int(windows.last[at]) - begins
        ends = int(table.starts[last + 1]) if last + 1 < len(table.starts) else len(table.stack)
        entries = slice(int(table.starts[first]), ends)
        pieces = table.pieces[table.stack[entries]]
        costs = priced.rows[pieces].sum(axis=1) + priced.classes[id(table.pairs)][table.pair[entries]]
        entry = int(table.starts[first]) + int(np.argmin(costs))
        pairs, of = table.pairs, int(table.pair[entry])
        first = int(pairs.starts[of])
        ends = int(pairs.starts[of + 1]) if of + 1 < len(pairs.starts) else len(pairs.ground)
        costs = priced.grounds[pairs.ground[first:ends]] + priced.rows[pairs.load[first:ends]]
        row = self.blocks.rows.row
        body = next(part for part in table.block.body.parts if row[part.id] == windows.body[at])
        ground, load = pairs.parts[first + int(np.argmin(costs))]
        stack = table.block.stacks[int(table.stack[entry])]
        assembly = self.blocks.joined.assembly(ground, body, load, table.block.shape, stack)
        hold = None
        if priced.kind.held:
            ways = self.ways(assembly.ground, priced.kind)
            hold = min(ways, key=lambda way: sum(int(priced.rows[row]) * number for row, number in way[1]))[0]
        return Strut(int(windows.want[at]), assembly, hold, self.blocks.rows.uses_of(assembly, hold))


def _over(windows: Windows, lengths: list[Numbers]) -> Numbers:
    """The least over each window of lengths, by a table of leasts over runs of 1, 2, 4 ... lengths."""
    if not len(windows.want):
        return np.zeros(0, dtype=np.int64)
    levels = [np.concatenate(lengths)]
    size = windows.last - windows.first + 1
    while 1 << len(levels) <= int(size.max()):
        run = 1 << (len(levels) - 1)
        level = levels[-1].copy()
        level[:-run] = np.minimum(levels[-1][:-run], levels[-1][run:])
        levels.append(level)
    table = np.stack(levels)
    level = np.floor(np.log2(size)).astype(np.int64)
    least: Numbers = np.minimum(table[level, windows.first], table[level, windows.last + 1 - (1 << level)])
    return least


def _first(windows: Windows, costs: Numbers, cheap: Numbers, each: int) -> list[int]:
    """Of cheap windows the best few of each want, no two on one body; ties go to the first."""
    order = cheap[np.lexsort((cheap, costs[cheap], windows.body[cheap], windows.want[cheap]))]
    best = order[_begins(windows.want[order], windows.body[order])]
    best = best[np.lexsort((best, costs[best], windows.want[best]))]
    starts = np.flatnonzero(_begins(windows.want[best]))
    rank = np.arange(len(best)) - np.repeat(starts, np.diff(np.append(starts, len(best))))
    kept: list[int] = best[rank < each].tolist()
    return kept


def _begins(*columns: Numbers) -> Truths:
    """Where a row differs from the one before it."""
    if not len(columns[0]):
        return np.zeros(0, dtype=bool)
    return np.append(True, np.logical_or.reduce([column[1:] != column[:-1] for column in columns]))
