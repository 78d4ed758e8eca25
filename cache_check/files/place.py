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


@dataclass(slots=True)
class Spot:
    """The place of a key or list entry, with the places of what is inside it."""

    line: int
    column: int
    inside: dict[str, Spot] | list[Spot] | None = None


def shown_route(route: Iterable[str | int]) -> str:
    """A route as people read it."""
    text = ""
    for part in route:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else part
    return text


@dataclass
class Page:
    """One file that was read: its lines, the tree of places, and the mistakes met so far."""

    name: str
    sha256: str
    lines: list[str]
    root: Spot
    mistakes: list[Mistake] = field(default_factory=list)
    met: set[Mistake] = field(default_factory=set)

    def find(self, route: Route) -> tuple[Spot, Route]:
        """The spot nearest to a route, and the part of the route that led there.

        A part that names no key or entry is skipped, so that a missing field points at its parent.
        """
        spot, walked = self.root, []
        for part in route:
            below: Spot | None = None
            if isinstance(spot.inside, dict):
                below = spot.inside.get(str(part))
            elif isinstance(spot.inside, list) and isinstance(part, int) and part < len(spot.inside):
                below = spot.inside[part]
            if below is not None:
                spot = below
                walked.append(part)
        return spot, tuple(walked)

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
        spot, walked = self.find(route)
        return self.at(spot.line, spot.column, what, right, shown_route(walked))
