"""What ``--move`` supposes: pieces that go from one of the rigs named to another."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from cache_check.cli.input import nearest
from cache_check.errors import AskError

if TYPE_CHECKING:
    from cache_check.cli.options import Asked
    from cache_check.model.cache import Cache, Source
    from cache_check.model.rule import RuleBook


def moving(
    read: list[Cache], asked: Asked, book: RuleBook
) -> tuple[list[Cache], tuple[tuple[str, frozenset[str]], ...]]:
    """The caches with what is supposed moved between them, and that in words with the rigs that it concerns.

    Raises:
        AskError: it cannot be moved, or a rig that gives or takes is not named.
    """
    from cache_check.api.move import moved

    if len(read) < 2:
        raise AskError("--move is between two rigs, and one is named; name both")
    known = {name: n for n, one in enumerate(read) for name in (one.title, *one.rigs, *map(_stem, one.sources[:1]))}
    found, moves = [], []
    for part, number, *ends in asked.moves:
        giver, taker = (known[nearest(end, known, "rig")] for end in ends)
        if giver == taker:
            raise AskError(f"--move of {part} goes from {read[giver].title} to itself; name two rigs")
        said = f"{number} {part} moved from {read[giver].title} to {read[taker].title}"
        found.append((said, frozenset((*read[giver].rigs, *read[taker].rigs))))
        moves.append((part, number, giver, taker))
    return moved(read, moves, book, asked.suppose), tuple(found)


def _stem(source: Source) -> str:
    return Path(source.path).stem
