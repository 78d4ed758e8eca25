"""Why a piece is not usable: the rules about pieces, each as it is in force for the piece's family."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind, kinds_in_force
from cache_check.joining.kinds import out_of_service
from cache_check.model.cache import Item, Status
from cache_check.model.family import Catalogue
from cache_check.model.rule import RuleBook


class Fitness:
    """The rules about pieces, in the order of the book."""

    def __init__(self, book: RuleBook, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self.kinds: tuple[Kind, ...] = kinds_in_force(book, catalogue)

    def of(self, item: Item, on: date) -> tuple[str, str]:
        """(rule, why) that a piece is not usable on a day; ("", "") where it is."""
        for kind in self.kinds:
            if kind.is_on(kind.family_of(item.part)) and (why := kind.item(item, on)):
                return kind.rule.id, why
        return "", ""

    def of_lot(self, part: str, status: Status) -> tuple[str, str]:
        """(rule, why) that pieces of a part without serials in a state are not usable; ("", "") where they are."""
        for kind in self.kinds:
            if isinstance(kind, out_of_service.Check) and kind.is_on(kind.family_of(part)):
                why = kind.state(part, status)
                if why:
                    return kind.rule.id, why
        return "", ""
