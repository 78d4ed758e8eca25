"""Drawing by lot that is the same on every machine and release: a counter under SHA-256 (FIPS 180-4)."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256
from typing import TypeVar

One = TypeVar("One")


class Draw:
    """A source of choices that a seed and a name fix."""

    def __init__(self, seed: int, name: str) -> None:
        self._key = f"{seed}:{name}"
        self._count = 0

    def below(self, most: int) -> int:
        """A whole number from 0 to below ``most``; of 256 bits, so that no remainder is favoured noticeably."""
        self._count += 1
        return int.from_bytes(sha256(f"{self._key}:{self._count}".encode()).digest()) % most

    def one(self, of: Sequence[One]) -> One:
        """One of some things."""
        return of[self.below(len(of))]

    def some(self, of: Sequence[One], most: int) -> list[One]:
        """At most so many of some things, in a drawn order."""
        left = list(of)
        return [left.pop(self.below(len(left))) for _ in range(min(most, len(left)))]
