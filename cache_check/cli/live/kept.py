"""What was made of files, kept for as long as these stay as they are: readings, and whole answers."""

from __future__ import annotations

import time
from collections.abc import Callable, Hashable, Iterable
from datetime import date
from typing import Generic, TypeVar

from cache_check.cli.live.folder import Signature, signature

Made = TypeVar("Made")
SETTLED = 1_000_000_000
"""Nanoseconds: of a file that was changed so shortly before it was read, nobody knows which state was read."""


class Kept(Generic[Made]):
    """The last things made, by what they were made for and the day."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._held: dict[Hashable, tuple[Signature, tuple[str, ...], Made]] = {}

    def made(self, key: Hashable, make: Callable[[], Made], files: Callable[[Made], Iterable[str]]) -> Made:
        """What was made for a key, or is made now; ``files`` says what it rests on: what rests on none is not kept."""
        key = (key, date.today())
        held = self._held.pop(key, None)
        if held is not None and signature(held[1]) == held[0]:
            self._held[key] = held  # the last asked is the last to go
            return held[2]
        begun = time.time_ns()
        made = make()
        rests = tuple(files(made))
        seen = signature(rests)
        if seen and all(0 < changed < begun - SETTLED for _, changed, _, _ in seen):
            self._held[key] = (seen, rests, made)
            while len(self._held) > self._most:
                del self._held[next(iter(self._held))]
        return made
