"""A piece is usable only in a condition that is ruled fine; in words that nobody knows, it is not known."""

from __future__ import annotations

import re
from datetime import date

from cache_check.files.shipped import removal
from cache_check.joining.kind import Kind, Reasons
from cache_check.model.cache import Item
from cache_check.model.piece import Why
from cache_check.model.tables import says_one_of


class Check(Kind):
    """Compares the words written about a piece with those that are fine, and those that take a piece out.

    A note that speaks of damage, beside no condition, leaves it not known.
    """

    def piece(self, item: Item, on: date) -> Reasons:
        written, family = item.condition.strip(), self.family_of(item.part)
        noted = says_one_of(item.note, self.book.ruled("out_of_service", "notes", sorted(family), default=()))
        if not written and not noted and says_one_of(item.note, self.value("out", family)):
            yield self.reason(Why.CONDITION_UNKNOWN, f"noted: {item.note.strip()}; whether it is sound is not written")
        fine = {word.casefold() for word in self.value("fine", family)}
        said = [word.strip(" .!") for word in re.split(r"[,;/]|\band\b", written.casefold())]
        if all(word in fine for word in said if word):
            return
        named = removal().named(self.catalogue.by_id[item.part].kind, written)
        criteria = "; ".join(f"{one.says} ({one.limit})" for one in named)
        if named:
            sources = ", ".join(dict.fromkeys(one.source for one in named))
            yield self.reason(Why.DAMAGED, f"{written}: {criteria}", source=sources)
        elif says_one_of(written, self.value("out", family)):
            yield self.reason(Why.DAMAGED, f"condition: {written}")
        else:
            yield self.reason(Why.CONDITION_UNKNOWN, f"condition: {written}, words that no rule knows")
