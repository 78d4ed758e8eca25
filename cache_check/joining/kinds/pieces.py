"""What takes a piece out, or leaves it not known: its condition, state, label, dates, wear."""

import re
from datetime import date

from cache_check.files.rules import removal
from cache_check.joining.kind import Kind, Reasons, in_both
from cache_check.model.cache import Item
from cache_check.model.part import Chain
from cache_check.model.piece import BY_STATUS, Why, says_one_of

NO_TAG = ("", "-", "no", "none")  # what people write where there is no tag

_PARTED = re.compile(r"[,;:/()]|[.!]\s|\s[-–—]+\s|\band\b")
_DENIES = re.compile(r"(no|not|never|without)\b(?!.*\b(but|only|except)\b)")


class Condition(Kind):
    """A piece is usable only in a condition ruled fine; in words unknown, or none beside noted damage, not known."""

    def piece(self, item: Item, on: date) -> Reasons:
        written, family = item.condition.strip(), self.family_of(item.part)
        noted = says_one_of(item.note, self.book.ruled("out_of_service", "notes", sorted(family), default=()))
        if not written and not noted and says_one_of(item.note, self.value("out", family)):
            yield self.reason(Why.CONDITION_UNKNOWN, f"noted: {item.note.strip()}; whether it is sound is not written")
        fine = {word.casefold() for word in self.value("fine", family)} if written else set()
        said = [word.strip(" .!") for word in _PARTED.split(written.casefold())]
        if all(word in fine for word in said if word):
            return
        out = self.value("out", family)
        # "not bent" denies damage, in words that no rule knows; "not good" is one that a rule knows.
        bad = ", ".join(word for word in said if not _DENIES.match(word) or any(word.startswith(one) for one in out))
        named = removal().named(self.catalogue.by_id[item.part].kind, bad)
        criteria = "; ".join(f"{one.says} ({one.limit})" for one in named)
        if named:
            sources = ", ".join(dict.fromkeys(one.source for one in named))
            yield self.reason(Why.DAMAGED, f"{written}: {criteria}", source=sources)
        elif says_one_of(bad, out):
            yield self.reason(Why.DAMAGED, f"condition: {written}")
        else:
            yield self.reason(Why.CONDITION_UNKNOWN, f"condition: {written}, words that no rule knows")


class OutOfService(Kind):
    """Only pieces in a listed state are usable, and none that bears a tag or, as its type may, a note not to use it."""

    def piece(self, item: Item, on: date) -> Reasons:
        family = self.family_of(item.part)
        if item.status not in self.value("counts", family):
            yield self.reason(BY_STATUS.get(item.status, Why.STATE_UNKNOWN))
        if item.tag.strip().casefold() not in NO_TAG:
            yield self.reason(Why.TAGGED, f"tagged {item.tag.strip()}")
        for note in filter(None, (item.note, self.catalogue.by_id[item.part].note)):
            if says_one_of(note, self.value("notes", family)):
                yield self.reason(Why.NOTED, f"noted: {note.strip()}")


class LabelLegible(Kind):
    """A piece whose label cannot be read is not usable; of one that nobody looked at it is not known."""

    def piece(self, item: Item, on: date) -> Reasons:
        source = self.source_for(item)
        if item.label == "unreadable":
            yield self.reason(Why.UNREADABLE, source=source)
        elif item.label != "legible":
            counts = bool(self.value("unknown_counts", self.family_of(item.part)))
            yield self.reason(Why.LABEL_UNSEEN, counts=counts, source=source)


class InspectionDue(Kind):
    """A piece past its last day or its inspection is not usable; the last day still counts, blank is not known."""

    def piece(self, item: Item, on: date) -> Reasons:
        family, source = self.family_of(item.part), self.source_for(item)
        if item.expires is not None and item.expires < on:
            yield self.reason(Why.EXPIRED, f"expired on {item.expires.isoformat()}", source=source)
        if item.inspected is None:
            yield self.reason(Why.NOT_INSPECTED, counts=bool(self.value("unknown_counts", family)), source=source)
            return
        if (last := due(item.inspected, int(self.value("every", family)))) < on:
            yield self.reason(Why.OVERDUE, f"inspection was due on {last.isoformat()}", source=source)


def due(inspected: date, every: int) -> date:
    """The last day on which an inspection still counts; the calendar's own last day where it would pass that."""
    return date.fromordinal(min(inspected.toordinal() + every, date.max.toordinal()))


class DateToCome(Kind):
    """Of a piece inspected or acquired on a day to come it is not known: that has not been done."""

    def piece(self, item: Item, on: date) -> Reasons:
        for word, day in (("inspected", item.inspected), ("acquired", item.acquired)):
            if day is not None and day > on:
                yield self.reason(Why.TO_COME, f"{word} on {day.isoformat()}, which is to come")


class WebbingAge(Kind):
    """A strap of a label older than policy allows is not usable; the last day still counts, blank is not known."""

    def piece(self, item: Item, on: date) -> Reasons:
        if self.catalogue.by_id[item.part].kind != "strap":
            return
        family = self.family_of(item.part)
        if item.acquired is None:
            yield self.reason(Why.AGE_UNKNOWN, counts=bool(self.value("unknown_counts", family)))
            return
        days, most = (on - item.acquired).days, int(self.value("most", family))
        if days > most:
            says = f"acquired {item.acquired.isoformat()}, {days:,} days ago; {most:,} at most"
            yield self.reason(Why.OVER_AGE, says, figures=(("age_days", days), ("most_days", most)))


class ChainWear(Kind):
    """A chain with a link worn below its published least (met exactly is met) is not usable; without one, not known."""

    def piece(self, item: Item, on: date) -> Reasons:
        chain = self.catalogue.by_id[item.part]
        if item.measured is None or not isinstance(chain, Chain):
            return
        measured = f"{in_both(item.measured, 'down')} at its thinnest"
        if (least := next((one.least for one in removal().chain.sizes if one.size == chain.size), None)) is None:
            yield self.reason(Why.WEAR_UNKNOWN, f"{measured}, and no published least size for a chain of its size")
        elif item.measured < least:
            figures = (("measured_nm", item.measured), ("least_nm", least))
            yield self.reason(Why.WORN, f"{measured}, {in_both(least, 'up')} at least", figures=figures)


class DamagedPoints(Kind):
    """A base at whose points nobody looked is not known; what those that are left allow is counted in stock."""

    def piece(self, item: Item, on: date) -> Reasons:
        if item.points_usable == "unknown":
            yield self.reason(Why.POINTS_UNSEEN)
