"""Branch and bound over sums of columns: whether a choice costs no more than a given cost, and the best that does.

Every choice makes some sums of columns whole, such as how many of the sets left built have a part.  To branch on such a
sum parts many columns at once where one on a column parts one from all others, so that some ten nodes often prove what
otherwise takes cuts without end.  Several of the sums that are not whole are probed at each node (strong branching):
where a side has no choice left the other is all there is, else that is branched on whose sides raise the bound most.
HiGHS searches a node by itself where few columns are left, or where branching raised no bound on the way to it.

A side is dropped where its bound, summed up anew from the dual prices of its relaxation, is above the cost.  HiGHS's
word is taken for what its presolve takes out, where it finds no relaxed choice at all, and for what it searches.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain
from math import inf, prod
from time import monotonic
from typing import Any

import numpy as np

from cache_check.frozen import dataclass
from cache_check.planning.solving.highs import DEVEX, NEAR_WHOLE, Presolved, begin_at, ended, new_solver, terms_of
from cache_check.planning.solving.programme import Row, Sums, Terms
from cache_check.planning.solving.relaxation import Array, Needs, Table, duals, search, summed
from cache_check.planning.solving.solver import Ending

_OFF = 1e-6  # a sum this far off a whole number is not whole
_PROBED, _PROBED_FIRST, _IN_VAIN = 12, 16, 5  # sums at a node, at the first, and one after the other for no more gain
_LITTLE = 40  # steps of the simplex method that the relaxation of a side is given while it is probed
_ALL = 2**31 - 1
_NO_GAIN = 1e-3  # of a side: less counts as so much
_LEAF, _FLAT = 1000, 2  # columns that HiGHS searches by itself; nodes after each other that raise no bound, likewise
_LOOKS = 5  # at its bound, unless they are few
_AGAIN, _PATIENCE = (
    6,
    10,
)  # nodes to the next such search where one settles nothing, and how often before it is given up

Held = dict[int, tuple[float, float]]
"""From where to where sums are held, by number."""


def branched(
    table: Table, costs: Array, lows: Array, highs: Array, sums: Sums, most: int, seconds: float, known: int
) -> tuple[Ending, list[float] | None, float]:
    """The choice of least cost within bounds, if that is no more than ``most``; else none, and ``most`` and one more.

    How it ended, the best found, and a bound that no choice beats; none costs less than ``known``.  It gives up where
    branching leads nowhere, too.
    """
    return _Tree(table, costs, lows, highs, sums, most, monotonic() + seconds, known).searched()


@dataclass(frozen=True)
class _Node:
    """What is left of the programme: from where to where its sums are held, what columns may be at most, and its bound.

    ``basis`` is where the simplex method begins; ``flat`` are the nodes before it that raised no bound.
    """

    held: Held
    highs: Array
    least: float = -inf
    basis: Any = None
    flat: int = 0


class _Tree:
    """The nodes of one search, over what presolve leaves of the programme."""

    def __init__(
        self, table: Table, costs: Array, lows: Array, highs: Array, sums: Sums, most: float, until: float,
        known: float,
    ) -> None:  # fmt: skip
        self._kept, self._until = np.flatnonzero((highs > 0) | (lows != 0)), until
        self._number = table.columns
        columns = costs[self._kept], lows[self._kept], highs[self._kept]
        self._programme = Presolved(columns, (table.low, table.high), table.of(self._kept))
        left = self._programme.left
        self._costs, self._lows, self._highs = map(np.asarray, (left.col_cost_, left.col_lower_, left.col_upper_))
        self._offset, self._most, self._least = left.offset_, most - left.offset_, known - left.offset_
        self._table = Table(*terms_of(left), np.asarray(left.row_lower_), np.asarray(left.row_upper_), left.num_col_)
        self._solver = new_solver(left, simplex_dual_edge_weight_strategy=DEVEX)
        self._needs = Needs(self._table, self._lows)
        self._sums(sums)
        self._rows: dict[int, int] = {}
        self._held: Held = {}
        self._high = self._highs
        self._best: Array | None = None
        self._stuck, self._in_vain = False, 0

    def _sums(self, sums: Sums) -> None:
        """The sums, then every column, as far as presolve left them; none twice."""
        place = {int(self._kept[x]): at for x, at in self._programme.places.items()}
        kinds: dict[Terms, int] = {}
        for kind, each in enumerate(sums):
            for terms in each:
                kinds.setdefault(tuple([(place[x], n) for x, n in terms if x in place]), kind)
        kinds.pop((), None)
        self._given = list(kinds.items())
        for at in range(len(self._costs)):
            kinds.setdefault(((at, 1),), len(sums))
        self._terms, self._kinds = list(kinds), list(kinds.values())
        lengths = list(map(len, self._terms))
        flat = np.asarray(list(chain.from_iterable(self._terms)), dtype=np.int64).reshape(-1, 2)
        self._of, self._column, self._times = np.repeat(np.arange(len(lengths)), lengths), flat[:, 0], flat[:, 1]

    def searched(self) -> tuple[Ending, list[float] | None, float]:
        """How it ended, the best found, and a bound."""
        most, nodes = self._most, [] if self._programme.impossible else [_Node({}, self._highs)]
        while nodes:
            node = nodes.pop()
            if max(node.least, self._least) <= self._most + NEAR_WHOLE:
                if self._stuck or monotonic() > self._until:
                    return Ending.LIMIT, self._values(), self._offset + min(one.least for one in (node, *nodes))
                nodes += self._parts(node)
        return Ending.OPTIMAL, self._values(), self._offset + min(most, self._most) + 1

    def _values(self) -> list[float] | None:
        if self._best is None:
            return None
        values = np.zeros(self._number)
        values[self._kept] = self._programme.values(self._best)
        return list(values)

    def _parts(self, node: _Node) -> Sequence[_Node]:
        """What a node is parted into, the likelier last."""
        while True:
            least = self._relaxed(node, _ALL)
            if least > self._most + NEAR_WHOLE:
                return ()
            if ended(self._solver) is Ending.LIMIT:
                return (node,)
            values = np.asarray(self._solver.getSolution().col_value)
            totals = np.bincount(self._of, weights=self._times * values[self._column], minlength=len(self._terms))
            off = np.abs(totals - np.rint(totals))
            if not (off > _OFF).any():
                self._take(values)
                return ()
            room = self._most + NEAR_WHOLE - least
            node = _Node(
                node.held,
                np.where(self._needs.dear(self._reduced, self._lows, node.highs, room), self._lows, node.highs), least,
                self._solver.getBasis(), node.flat,
            )  # fmt: skip
            number = (node.highs > self._lows).sum()
            if number <= _LEAF or node.flat == _FLAT:
                settled = self._settled(node, inf if number <= _LEAF else _LOOKS)
                self._in_vain += not settled
                self._stuck = not settled and (number <= _LEAF or self._in_vain == _PATIENCE)
                if settled or self._stuck:
                    return (node,) if self._stuck else ()
                node = replace(node, flat=_FLAT - _AGAIN)
            if len(self._lows) > 1.5 * number:
                return self._alone(node)
            parts = self._probed(node, off, totals)
            if len(parts) != 1:
                return parts
            (node,) = parts

    def _probed(self, node: _Node, off: Array, totals: Array) -> list[_Node]:
        """The sides of the sum whose sides raise the bound most; of the first found with a side that has no choice."""
        score, parts, in_vain = -inf, list[_Node](), 0
        for one in self._likely(off, _PROBED if node.held else _PROBED_FIRST):
            sides = self._sides(node, one, totals[one])
            if len(sides) < 2:
                return sides
            gain = prod(max(side.least - node.least, _NO_GAIN) for side in sides)
            in_vain += 1
            if gain > score:
                score, parts, in_vain = gain, sorted(sides, key=lambda side: -side.least), 0
            if in_vain == _IN_VAIN:
                break
        flat = node.flat + 1 if parts[0].least <= node.least + _NO_GAIN else 0
        return [replace(one, flat=flat) for one in parts]

    def _alone(self, node: _Node) -> Sequence[_Node]:
        """What a node is parted into of which a third is shut: it is searched by itself, without that."""
        sums = [[terms for terms, of in self._given if of == kind] for kind in {kind: 0 for _, kind in self._given}]
        tree = _Tree(self._table, self._costs, self._lows, node.highs, sums, self._most, self._until, self._least)
        ending, values, _ = tree.searched()
        self._stuck = tree._stuck
        if values is not None:
            self._take(np.asarray(values))
        return (node,) if ending is Ending.LIMIT else ()

    def _settled(self, node: _Node, looks: float) -> bool:
        """Whether HiGHS settles a node by itself, with so many looks at its bound; the best it finds is taken."""
        of_node, left = (self._table, self._costs, self._lows, node.highs), max(self._until - monotonic(), 0.01)
        ending, values, bound = search(*of_node, left, self._least, (most := self._most) + 1, looks)
        if values is not None and self._costs @ values <= most + NEAR_WHOLE:
            self._take(np.asarray(values))
        return ending is not Ending.LIMIT or bound > most + NEAR_WHOLE

    def _take(self, values: Array) -> None:
        self._best, self._most = values, float(np.rint(self._costs @ values)) - 1

    def _sides(self, node: _Node, one: int, total: float) -> list[_Node]:
        """A node with a sum held below what it is, and with it held above, as far as they may have a choice."""
        low, high = node.held.get(one, (-inf, inf))
        sides = []
        for side in ((low, np.floor(total)), (np.floor(total) + 1, high)):
            if side[0] <= side[1]:
                part = _Node(node.held | {one: side}, node.highs, node.least, node.basis)
                least = max(self._relaxed(part, _LITTLE), node.least)
                if least <= self._most + NEAR_WHOLE:
                    sides.append(_Node(part.held, node.highs, least, node.basis))
        return sides

    def _likely(self, off: Array, number: int) -> Iterator[int]:
        """The sums to probe, those furthest off whole first, some of each kind; columns where all sums are whole."""
        loose = np.flatnonzero(off > _OFF)
        given = loose[loose < len(self._given)]
        loose, had = given if len(given) else loose, Counter[int]()
        for one in loose[np.argsort(-off[loose], kind="stable")].tolist():
            kind = self._kinds[one]
            if had[kind] < max(3, number // 3) and had.total() < number:
                had[kind] += 1
                yield one

    def _relaxed(self, node: _Node, steps: int) -> float:
        """A bound of a node by its relaxation, solved in so many steps at most; infinite where there is no choice."""
        for one in self._held.keys() | node.held.keys():
            if self._held.get(one) != node.held.get(one):
                self._hold(one, *node.held.get(one, (-inf, inf)))
        self._held = node.held
        changed = np.flatnonzero(self._high != node.highs).astype(np.int32)
        if len(changed):
            self._solver.changeColsBounds(len(changed), changed, self._lows[changed], node.highs[changed])
        self._high = node.highs
        if node.basis is not None:
            begin_at(self._solver, node.basis)
        self._solver.setOptionValue("simplex_iteration_limit", steps)
        self._solver.run()
        if ended(self._solver) is Ending.INFEASIBLE:
            return inf
        prices, self._reduced = duals(self._table, self._costs, self._solver)
        return summed(self._table, prices, self._reduced, self._lows, node.highs)

    def _hold(self, one: int, low: float, high: float) -> None:
        """Hold a sum from now on, by a row of its own."""
        if one not in self._rows:
            self._rows[one] = len(self._table.low)
            columns, numbers = np.asarray(self._terms[one]).T
            self._table.add(Row(self._terms[one]))
            self._solver.addRow(-inf, inf, len(columns), columns.astype(np.int32), numbers.astype(np.float64))
        row = self._rows[one]
        self._table.low[row], self._table.high[row] = low, high
        self._solver.changeRowBounds(row, low, high)
