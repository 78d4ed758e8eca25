"""The port to a solver: what planning asks of one, how long it may take, and which one stands behind it.

Nothing here says how it is done: the solver is loaded only when a question needs it.
"""

from collections.abc import Sequence
from enum import StrEnum
from time import monotonic
from typing import TYPE_CHECKING, Protocol

from cache_check.frozen import dataclass

if TYPE_CHECKING:
    from cache_check.planning.solving.programme import Open

Uses = tuple[tuple[int, int], ...]  # what one strut takes: (row, how many), rows rising


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
        self, columns: tuple[int, ...], stock: tuple[int, ...], seconds: float, nodes: int | None = None, most: int = 0
    ) -> Whole:
        """The optimum in whole numbers, or some plan of fewer than ``most`` and the proof that so many cannot stand.

        ``nodes`` bounds the search alike on every machine, ``seconds`` does not.
        """


def make_solver(uses: Sequence[Uses], rows: int, *, growing: bool = False) -> Solver:
    """A solver of packings that knows these columns over so many rows; ``growing`` where more are made as wanted."""
    from cache_check.planning.solving.highs import Highs

    return Highs(uses, rows, growing=growing)


def solver() -> "Open":
    """The solver of programmes."""
    from cache_check.planning.solving.whole_numbers import Opened

    return Opened


class Clock:
    """The time that is left of a limit; ``limit`` is what was asked, whatever share of it this is."""

    def __init__(self, seconds: float, limit: float | None = None) -> None:
        self.limit = seconds if limit is None else limit
        self._begun = monotonic()
        self._end = self._begun + seconds

    def part(self, share: float) -> "Clock":
        """A clock over a share of what is left, for what may be left untold so that the rest gets its turn."""
        return Clock(share * self.left, self.limit)

    @property
    def untold(self) -> str:
        """Why something is left untold: the same words on every machine."""
        return f"not worked out in its share of {self.limit:g} s; --seconds allows more"

    @property
    def spent(self) -> float:
        """Seconds since it was started."""
        return monotonic() - self._begun

    @property
    def left(self) -> float:
        """Seconds left, never none at all: the solver itself says that the limit was reached."""
        return max(0.01, self._end - monotonic())

    @property
    def over(self) -> bool:
        """Whether the limit is reached, but for the last twentieth."""
        return monotonic() > self._end - 0.05 * (self._end - self._begun)
