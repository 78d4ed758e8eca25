"""What a muster asks of whoever judges how the bases of its loaded struts are held."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from cache_check.model.verdict import Link
    from cache_check.planning.packing.columns import Columns
    from cache_check.planning.packing.muster import Ask, Muster


class Judge(Protocol):
    """What may be said of struts that a load pushes outwards, each as its base is held."""

    def columns(self) -> Columns | None:
        """The columns of the muster where its own will not do: bases held by more ties than the rules ask."""

    def bearing(self, ask: Ask) -> tuple[int, int]:
        """The columns that do a loaded ask for certain, and those that may."""

    def unknown(self, ask: Ask, column: int) -> Iterator[Link]:
        """What is not known of a strut under a loaded ask."""

    def fewest(self, ask: Ask, base: str, tie: str) -> int | None:
        """The fewest of one kind of tie that hold a base under a loaded ask, from the parts alone; None: none do."""

    def together(self, asks: Iterable[tuple[Ask, int]]) -> Iterator[Link]:
        """What so many struts need together beside their columns."""

    def failing(self, ask: Ask) -> str:
        """What keeps the best strut from doing a loaded ask, "" where none comes near."""


Judging = Callable[["Muster"], Judge]
