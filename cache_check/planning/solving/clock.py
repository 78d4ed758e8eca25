"""How long a search may take, and what is left of it."""

from __future__ import annotations

from time import monotonic


class Clock:
    """The time that is left of a limit; ``limit`` is what was asked, whatever share of it this is."""

    def __init__(self, seconds: float, limit: float | None = None) -> None:
        self.limit = seconds if limit is None else limit
        self._begun = monotonic()
        self._end = self._begun + seconds

    def part(self, share: float) -> Clock:
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
