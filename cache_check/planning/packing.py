"""How many struts at once: an exact answer, its plan, and the proof that no more can stand.

A proof is a *price* for each row such that every admitted column costs at least one: then the stock, at these
prices, bounds the struts.  It is checked in whole numbers, so no rounding of a solver can spoil it, and it
holds for any stock and any set of columns that it is checked against.  A plan likewise serves wherever its
columns are admitted and the stock suffices.  So a packer remembers both: a sweep over lengths, one piece
lost, one piece more are mostly answered from memory, and the solver is asked only when memory leaves a gap.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import combinations
from math import floor

from cache_check.errors import NoPlanError
from cache_check.planning.columns import Column
from cache_check.planning.solver import Solver, SolverMaker

Plan = tuple[tuple[int, int], ...]
"""How many of each column: (column number, how many), rising."""
_FINE = 1 << 20
_REMEMBERED = 64


@dataclass(frozen=True)
class Packed:
    """The most struts at once: how many, one plan, and the proven most (equal: a proven optimum)."""

    count: int
    plan: Plan
    most: int


@dataclass(frozen=True)
class _Kept:
    """A remembered plan: how many struts, the mask of its columns, what it takes of each row."""

    count: int
    plan: Plan
    mask: int
    takes: tuple[tuple[int, int], ...]

    def serves(self, stock: tuple[int, ...], active: int) -> bool:
        return not self.mask & ~active and all(stock[row] >= number for row, number in self.takes)


@dataclass
class _Prices:
    """Prices of rows, whole numbers; columns by what they cost, cheapest first."""

    prices: tuple[tuple[int, int], ...]
    by_cost: list[tuple[int, int]] = field(default_factory=list)

    def bound(self, stock: tuple[int, ...], active: int) -> int | None:
        """The most struts that the stock can pay for; None where some admitted column is free."""
        for cost, mask in self.by_cost:
            if mask & active:
                if not cost:
                    return None
                return sum(price * stock[row] for row, price in self.prices) // cost
        return 0


class Packer:
    """Packs columns into stocks, remembering proofs and plans from one question to the next."""

    def __init__(self, columns: tuple[Column, ...], rows: int, make_solver: SolverMaker, seconds: float = 60.0) -> None:
        self.columns = columns
        self.rows = rows
        self._uses = [column.uses for column in columns]
        self._make_solver = make_solver
        self._made: Solver | None = None
        self._seconds = seconds
        self._plans: list[_Kept] = []
        self._proofs: list[_Prices] = []
        for rows_together in self._first_guesses():
            self._learn(dict.fromkeys(rows_together, 1))

    def _first_guesses(self) -> Iterable[frozenset[int]]:
        """Rows that bound by themselves: each row alone, and for each slot of a column the rows that fill it."""
        used = sorted({row for uses in self._uses for row, _ in uses})
        yield from (frozenset({row}) for row in used)
        partners: dict[int, set[int]] = {row: set() for row in used}
        for uses in self._uses:
            for row, _ in uses:
                partners[row].update(other for other, _ in uses if other != row)
        slots: set[frozenset[int]] = set()
        for row in used:
            apart = frozenset({row} | {other for other in used if other not in partners[row]})
            slots.add(apart)
        yield from sorted(slots, key=sorted)

    def _learn(self, prices: dict[int, int]) -> _Prices:
        costs: dict[int, int] = {}
        for i, uses in enumerate(self._uses):
            cost = sum(prices.get(row, 0) * number for row, number in uses)
            costs[cost] = costs.get(cost, 0) | 1 << i
        proof = _Prices(tuple(sorted((row, price) for row, price in prices.items() if price)), sorted(costs.items()))
        self._proofs.insert(0, proof)
        return proof

    def _keep(self, amounts: dict[int, int]) -> _Kept:
        takes: dict[int, int] = {}
        mask = 0
        for column, number in amounts.items():
            mask |= 1 << column
            for row, each in self._uses[column]:
                takes[row] = takes.get(row, 0) + each * number
        plan = tuple(sorted((column, number) for column, number in amounts.items() if number))
        kept = _Kept(sum(amounts.values()), plan, mask, tuple(sorted(takes.items())))
        self._plans.insert(0, kept)
        del self._plans[_REMEMBERED:]
        return kept

    @property
    def _solver(self) -> Solver:
        if self._made is None:
            pieces = tuple(column.pieces for column in self.columns)
            self._made = self._make_solver(tuple(self._uses), pieces, self.rows)
        return self._made

    def bound(self, stock: tuple[int, ...], active: int) -> int:
        """The best remembered bound."""
        best = sum(stock)
        found: _Prices | None = None
        for proof in self._proofs:
            bound = proof.bound(stock, active)
            if bound is not None and bound < best:
                best, found = bound, proof
        if found is not None:
            self._proofs.remove(found)
            self._proofs.insert(0, found)
        return best

    def _remembered(self, stock: tuple[int, ...], active: int) -> _Kept | None:
        served = [kept for kept in self._plans if kept.serves(stock, active)]
        return max(served, key=_count, default=None)

    def most(self, stock: tuple[int, ...], active: int) -> Packed:
        """The most struts of the admitted columns that the stock allows.

        Raises:
            NoPlanError: the time limit was reached before the optimum was proven.
        """
        if not active:
            return Packed(0, (), 0)
        most = self.bound(stock, active)
        best = self._remembered(stock, active) or self._filled(stock, active, {})
        for start in ({}, dict(best.plan)):
            if best.count < most:
                best = max(best, self._filled(stock, active, start), key=_count)
        if best.count < most:
            most = self._paired(stock, active, most)
        if best.count < most:
            best, most = self._solved(stock, active, best, most)
        return Packed(best.count, best.plan, most)

    def _paired(self, stock: tuple[int, ...], active: int, most: int) -> int:
        """The best bound that prices on two rows give; learnt where it is better than ``most``.

        Two scarce rows together (extensions and either-end fittings, say) bind small caches more often than
        any other proof, and finding them so spares loading the solver.
        """
        admitted = [dict(self._uses[column]) for column in bits(active)]
        rows = sorted({row for uses in admitted for row in uses})
        taken = {row: [uses.get(row, 0) for uses in admitted] for row in rows}
        for one, two in combinations(rows, 2):
            for first, second in ((1, 1), (1, 2), (2, 1)):
                cost = min(first * a + second * b for a, b in zip(taken[one], taken[two], strict=True))
                if cost and (bound := (first * stock[one] + second * stock[two]) // cost) < most:
                    most = bound
                    self._learn({one: first, two: second})
        return most

    def _filled(self, stock: tuple[int, ...], active: int, amounts: dict[int, int]) -> _Kept:
        """A plan filled up one strut at a time, each time the column that presses least on what is left."""
        left = list(stock)
        for column, number in amounts.items():
            for row, each in self._uses[column]:
                left[row] -= each * number
        open_columns = bits(active)
        while True:
            best, lightest = -1, 0.0
            fitting = []
            for column in open_columns:
                press = 0.0
                for row, each in self._uses[column]:
                    if each > left[row]:
                        break
                    press += each / left[row]
                else:
                    fitting.append(column)
                    if best < 0 or press < lightest:
                        best, lightest = column, press
            if best < 0:
                return self._keep(amounts)
            amounts[best] = amounts.get(best, 0) + 1
            for row, each in self._uses[best]:
                left[row] -= each
            open_columns = fitting

    def _solved(self, stock: tuple[int, ...], active: int, best: _Kept, most: int) -> tuple[_Kept, int]:
        """Closes the gap with the solver: prices from the relaxed optimum, then whole numbers."""
        columns = tuple(bits(active))
        relaxed = self._solver.relaxed(columns, stock)
        proof = self._learn({row: round(worth * _FINE) for row, worth in enumerate(relaxed.worth)})
        bound = proof.bound(stock, active)
        most = most if bound is None else min(most, bound)
        if best.count < most:
            whole = {column: floor(amount + 1e-9) for column, amount in zip(columns, relaxed.amounts, strict=True)}
            rounded = self._filled(stock, active, {column: number for column, number in whole.items() if number})
            best = max(best, rounded, key=_count)
        if best.count < most:
            answer = self._solver.whole(columns, stock, most, self._seconds)
            found = self._keep({c: n for c, n in zip(columns, answer.amounts, strict=True) if n})
            best = max(best, found, key=_count)
            most = min(most, answer.most)
            if best.count < most:
                raise NoPlanError(
                    f"the search was stopped after {self._seconds:g} s: at least {best.count} struts stand at once, "
                    f"at most {most}; neither is proven to be the most"
                )
        return best, most


def bits(mask: int) -> list[int]:
    """The numbers of the bits that are set, rising."""
    text = bin(mask)[:1:-1]
    found, at = [], text.find("1")
    while at >= 0:
        found.append(at)
        at = text.find("1", at + 1)
    return found


def _count(kept: _Kept) -> int:
    return kept.count
