"""The port to a solver: what planning asks of one, and nothing of how it is done."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import Protocol

from cache_check.frozen import dataclass

Uses = tuple[tuple[int, int], ...]
"""What one strut takes: (row, how many), rows rising."""


class Ending(StrEnum):
    """How a search ended; only "limit reached" proves nothing."""

    OPTIMAL = "optimal"
    INFEASIBLE = "infeasible"
    LIMIT = "limit reached"


@dataclass(frozen=True)
class Relaxed:
    """An optimum with fractions: how much of each column, and what one more of each row would be worth."""

    amounts: tuple[float, ...]
    worth: tuple[float, ...]


@dataclass(frozen=True)
class Whole:
    """A plan in whole numbers (how many of each column), and how the search for the most ended."""

    amounts: tuple[int, ...]
    ending: Ending


class Solver(Protocol):
    """Packs as many columns as the stock allows; each column counts for one strut."""

    def relaxed(self, columns: tuple[int, ...], stock: tuple[int, ...]) -> Relaxed:
        """The optimum with fractions over the columns given by number."""

    def whole(
        self,
        columns: tuple[int, ...],
        stock: tuple[int, ...],
        used: tuple[int, ...],
        seconds: float,
        nodes: int | None = None,
    ) -> Whole:
        """The optimum in whole numbers among plans that use at least so much of each row; zeros where none does.

        ``nodes`` bounds the search alike on every machine, ``seconds`` does not.
        """


class SolverMaker(Protocol):
    """Makes a solver for a set of columns."""

    def __call__(self, uses: Sequence[Uses], rows: int) -> Solver:
        """A solver that knows these columns over so many rows; columns may be added to them later."""
