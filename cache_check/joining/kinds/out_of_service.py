"""Only pieces in a listed state are usable, and none that bears a tag or a note that says not to use it."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind, Reasons
from cache_check.model.cache import Item
from cache_check.model.piece import BY_STATUS, Why
from cache_check.model.tables import says_one_of

NO_TAG = ("", "-", "no", "none")
"""What people write where there is no tag."""


class Check(Kind):
    """Reads the state, the tag and the note of a piece."""

    def piece(self, item: Item, on: date) -> Reasons:
        family = self.family_of(item.part)
        if item.status not in self.value("counts", family):
            yield self.reason(BY_STATUS.get(item.status, Why.STATE_UNKNOWN))
        if item.tag.strip().casefold() not in NO_TAG:
            yield self.reason(Why.TAGGED, f"tagged {item.tag.strip()}")
        if says_one_of(item.note, self.value("notes", family)):
            yield self.reason(Why.NOTED, f"noted: {item.note.strip()}")
