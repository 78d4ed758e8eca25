"""The longest extension next to the body, shorter ones going away from it."""

from __future__ import annotations

from typing import ClassVar

from cache_check.joining.kind import Kind
from cache_check.model.part import Extension, Part


class Check(Kind):
    """Compares the extensions on one side of the body, whatever stands between them."""

    reads: ClassVar[tuple[str, ...]] = ("length",)

    def inward(self, passed: tuple[Part, ...], part: Part) -> str | None:
        if not isinstance(part, Extension):
            return None
        longer = [piece for piece in passed if isinstance(piece, Extension) and piece.length > part.length]
        return f"{longer[-1].name} is longer than {part.name}, which is nearer the body" if longer else None
