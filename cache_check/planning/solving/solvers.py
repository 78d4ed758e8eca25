"""Which solver stands behind the ports; it is loaded only when a question needs it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from cache_check.planning.solving.solver import Solver, Uses

if TYPE_CHECKING:
    from cache_check.planning.solving.programme import Answer, Open, Programme


def make_solver(uses: Sequence[Uses], rows: int) -> Solver:
    """The solver of packings."""
    from cache_check.planning.solving.highs import Highs

    return Highs(uses, rows)


def make_growing(uses: Sequence[Uses], rows: int) -> Solver:
    """The same, for columns that are made as they are wanted."""
    from cache_check.planning.solving.highs import Highs

    return Highs(uses, rows, growing=True)


def solver() -> Open:
    """The solver of programmes."""
    from cache_check.planning.solving.whole_numbers import Opened

    return Opened


def solved(programme: Programme, seconds: float) -> Answer:
    """The choice that costs least by a programme's own costs."""
    costs = {i: cost for i, cost in enumerate(programme.costs) if cost}
    return solver()(programme).least(costs, seconds)
