"""Where everything stood: a route of keys to line and column.

Lines and columns count from 1, and so do entries of lists in the routes that are shown: ``charts[1].rows[3]``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from cache_check.errors import Mistake

Route = tuple[str | int, ...]
_OURS = re.compile(
    r"""[\s{"']*(cache|county|count|family|needs|policy|prices|situation|rules|title|units|families|types|parts|scenes"""
    r"""|rigs|set|charts)["']?\s*:"""
)
"""How some line of a file that people write for us begins; of one without, whatever its name, nothing is shown."""
_WIDEST = 160


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a key or entry stands: line and column, in a table of which sheet, and its number among the sheets."""

    line: int
    column: int
    sheet: str = ""
    order: int = 0


def shown_route(route: Iterable[str | int]) -> str:
    """A route as people read it."""
    text = ""
    for part in route:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else part
    return text


@dataclass
class Page:
    """One file that was read: its lines, the places of all that it says, and the mistakes met so far."""

    name: str
    sha256: str
    lines: list[str]
    spots: dict[Route, Spot] = field(default_factory=lambda: {(): Spot(1, 1)})
    mistakes: list[Mistake] = field(default_factory=list)
    met: set[Mistake] = field(default_factory=set)

    def nearest(self, route: Route) -> Route:
        """As much of a route as is there, so that a missing field points at its parent."""
        walked: Route = ()
        for part in route:
            walked = (*walked, part) if (*walked, part) in self.spots else walked
        return walked

    def at(self, line: int, column: int, what: str, right: str = "", route: str = "") -> Mistake:
        """A mistake at a line and column of this page, with the line itself if the file is one of ours."""
        ours = any(map(_OURS.match, self.lines))
        shown = self.lines[line - 1].replace("\t", " ").rstrip() if ours and 0 < line <= len(self.lines) else ""
        if not shown.isprintable() or column > _WIDEST:
            shown = ""
        if len(shown) > _WIDEST:
            shown = shown[:_WIDEST] + " ..."
        return Mistake(self.name, what, right, route, line, column, shown)

    def mistake(self, route: Route, what: str, right: str = "") -> Mistake:
        """A mistake at the place of a route."""
        walked = self.nearest(route)
        return self.at(self.spots[walked].line, self.spots[walked].column, what, right, shown_route(walked))
