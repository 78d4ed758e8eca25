"""What a piece is: every rule about pieces, each as it is in force for the piece's family."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind, is_about_pieces, kinds_in_force
from cache_check.model.cache import Item
from cache_check.model.family import Catalogue
from cache_check.model.piece import Judged
from cache_check.model.rule import RuleBook


class Fitness:
    """The rules about pieces, in the order of the book.  Nothing else settles whether a piece counts."""

    def __init__(self, book: RuleBook, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self.kinds: tuple[Kind, ...] = kinds_in_force(book, catalogue)
        self._about_pieces = tuple(kind for kind in self.kinds if is_about_pieces(kind.rule.kind))

    def of(self, item: Item, on: date) -> Judged:
        """What a piece, with a serial or of a lot, is on a day."""
        found = [
            reason
            for kind in self._about_pieces
            if kind.is_on(kind.family_of(item.part))
            for reason in kind.piece(item, on)
        ]
        found.sort(key=lambda reason: reason.why.rank)
        return Judged(tuple(one for one in found if not one.counts), tuple(one for one in found if one.counts))
