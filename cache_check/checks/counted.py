"""The cache as it was counted: the book with what an inspector found in place of what it says.

It never flatters: what nobody looked at is unknown, what is tagged is out, what is on no book is not counted on until
it is, and a piece that the book has elsewhere stays there until somebody writes its state.
"""

import re
from collections.abc import Callable, Container, Iterable, Iterator
from dataclasses import field
from typing import Any, Literal

from cache_check.errors import grouped
from cache_check.frozen import dataclass
from cache_check.joining.kinds.pieces import NO_TAG
from cache_check.model.audit import Looked
from cache_check.model.cache import Cache, Item, ReadySet, Status, Stock, folded, same_place
from cache_check.model.count import CountLine, CountSheet, SetLine
from cache_check.model.piece import Judged, Why

AWAY: tuple[Status, ...] = ("repair", "loaned", "missing")  # states in which a piece is not looked for on the rig
Sort = Literal["missing", "extra", "wrong place", "wrong rig", "two books", "not as booked", "set", "two counts"]
NUMBERS = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_NO = ("no", "not", "none", "nil", "zero", "missing", "absent", "gone")  # of one who did not find it, not of a name
_SPOKEN = {word: number for number, word in enumerate(NUMBERS)} | dict.fromkeys(_NO, 0)
_SHOWN = ("usable", "label", "points", "pins", "measured", "condition", "state", "edition", "held", "inspected",
          "acquired", "expires")  # fmt: skip
"""Columns in which an inspector says that something was looked at."""
_STRANGE = "on no book; not counted on until it is"
_SAYS_NOTHING = {"part", "serial", "where", "found", "initials", "second"}


@dataclass(frozen=True)
class Difference:
    """One way in which book and count differ: of which part, or piece, how many, where by book and where found."""

    sort: Sort
    part: str
    serial: str
    number: int
    booked: str
    found: str
    says: str


@dataclass(frozen=True)
class Noted:
    """Pieces of which something is to be told: the part, the piece, how many, where, and columns left blank."""

    part: str
    serial: str
    number: int
    where: str
    columns: tuple[str, ...] = ()
    says: str = ""  # why nothing is known of them all the same, whatever is filled in or the book has


@dataclass
class Counted:
    """The cache as counted, where it differs from the book, what nobody looked at, and what lies untagged."""

    cache: Cache
    differences: list[Difference] = field(default_factory=list)
    blanks: list[Noted] = field(default_factory=list)
    untagged: list[Noted] = field(default_factory=list)


def expected(stock: Stock) -> int | None:
    """How many pieces without serials should lie on the rig; None where nobody ever counted."""
    away = sum(n for status, n in stock.out.items() if status in AWAY)
    return None if stock.count is None else stock.count - len(stock.items) - away


def _name(rig: str) -> str:
    """The name of a rig as it is compared: "Rescue 41" is "rescue-41"."""
    return " ".join(re.findall(r"[^\W_]+", rig.casefold()))


def _second(written: str, found: int) -> int:
    """How many the second person counted, of so many ``found``; as many, where they only signed.

    A number after their initials is a count where it is fewer; a greater one may be that of a badge.
    """
    day_or_time = r"\d+([-/.]\d+){2}|\d+:\d+"
    words = re.findall(r"\d+|[^\W\d]+\d*", re.sub(day_or_time, "", written.casefold().removesuffix(".0")))
    numbers = {one: int(one) if one.isdecimal() else _SPOKEN[one] for one in words if one.isdecimal() or one in _SPOKEN}
    if 0 not in numbers.values() and words and words[0] in numbers:
        return numbers[words[0]]
    return min([found, *numbers.values()])


def given(line: CountLine) -> dict[str, Any]:
    """What a line says of each of its pieces, by field of the piece."""
    names = ("label", "inspected", "acquired", "expires", "measured", "condition", "where", "note")
    said = {name: getattr(line, name) for name in names}
    return {name: value for name, value in said.items() if value not in (None, "")}


def as_found(item: Item, line: CountLine) -> Item:
    """A piece with what its line says; a remark takes back nothing that the book notes."""
    note = "; ".join(filter(None, (item.note, line.note)))
    return item.changed(status=line.state or item.status, tag=line.tag or item.tag, **given(line) | {"note": note})


@dataclass
class Work:
    """Works through a book line by line, against what is known beside it."""

    book: Cache
    count: CountSheet
    judged: Callable[[Item], Judged]  # what a piece is, for all that is known of it
    blank_as_book: bool = False
    owners: dict[str, str] = field(default_factory=dict)  # whose rig a serial of another book belongs to; folded
    least_points: dict[str, int] = field(default_factory=dict)  # that a base must have to be restrained, by part

    def __post_init__(self) -> None:
        self.result, self.unseen = Counted(self.book), list[tuple[str, str]]()
        self.own = {_name(self.book.id), _name(self.book.title)}
        self.parts = {line.part for line in self.book.stock}
        self.booked = {folded(item.serial): item for line in self.book.stock for item in line.items}
        self.by_part = grouped((line.part, self._agreed(line)) for line in self.count.lines)

    def counted(self) -> Counted:
        """The cache of one rig as counted: what it should be, with what was found in place of it."""
        others = dict.fromkeys(line.part for line in self.count.lines if line.part not in self.parts)
        lines = (*self.book.stock, *(Stock(part=part, rig=self.book.id, count=0) for part in others))
        stock = tuple(map(self.line, lines))
        self.result.cache = self.book.changed(stock=stock, ready_sets=tuple(self.sets()), unseen=tuple(self.unseen))
        return self.result

    def line(self, stock: Stock) -> Stock:
        """A line of the book as it was counted."""
        from cache_check.checks.counted_lots import lot

        lines = self.by_part.get(stock.part, [])
        by_serial = {folded(line.serial): line for line in lines if line.serial}
        items = [self._item(stock, item, by_serial.pop(folded(item.serial), None)) for item in stock.items]
        for line in (line for line in by_serial.values() if line.found != 0):
            self.unbooked(line, 1)
        return lot(self, stock, items, [line for line in lines if not line.serial])

    def _agreed(self, line: CountLine) -> CountLine:
        """A line as it is meant: marked for another rig or for none; not fit where what is captive has lost its pins.

        Of two counts it has the lower; what is over is taken for sound, so that no fault goes with it.
        """
        said: dict[str, Any] = {"rig": ""} if line.rig and _name(line.rig) in self.own else {}
        if line.pins is False and self.book.catalogue.captive(line.part):
            said |= {"usable": 0}
        line = line.changed(**said) if said else line
        second = line.found if line.found is None else _second(line.second, line.found)
        if second is None or line.found is None or second == line.found:
            return line
        says = f"{line.found} counted first, {second} by the second person; the lower is taken"
        self.differs("two counts", line.part, line.serial, abs(line.found - second), "", line.where, says)
        if second == 0:
            self._lying(line)
        less = max(0, line.found - second)
        sound = {"usable": less, "points": less * self.book.catalogue.by_id[line.part].points_made}
        left = {name: max(0, had - n) for name, n in sound.items() if (had := getattr(line, name)) is not None}
        return line.changed(found=line.found - less, **left)

    def _item(self, stock: Stock, item: Item, line: CountLine | None) -> Item:
        booked = item.where or stock.where
        if line is None or line.found is None:
            said = self.written([line] if line else [])
            self.blank(item.part, item.serial, 1, booked, ("found",), said)
            as_book = self.blank_as_book and not said and folded(item.serial) not in self.owners
            return item.changed(status="unknown") if item.status == "in service" and not as_book else item
        if line.found > 0:
            self.placed(item.part, item.serial, 1, booked, line.where)
            return self._seen(item, line, booked)
        # It is not on the rig: away as the book has it, or as its line says, else missing.
        state: Status = line.state if line.state in AWAY else item.status if item.status in AWAY else "missing"
        if state != item.status:
            says = "not found" if line.state != state else f"the book has it as {item.status}, the count as {state}"
            sort: Sort = "missing" if line.state != state else "not as booked"
            self.differs(sort, item.part, item.serial, 1, booked, "", says)
        return item.changed(status=state)

    def _seen(self, item: Item, line: CountLine, booked: str) -> Item:
        known = as_found(item, line)
        made = self.book.catalogue.by_id[item.part].points_made
        if line.points is not None:
            known = known.changed(points_usable=min(line.points, made))
        out, tagged = self.judged(known).out, line.tag.strip().casefold() not in NO_TAG
        if line.state is None and item.status in AWAY:
            says = f"the book has it as {item.status}, and it is here; not counted on until its state is written"
            self.differs("not as booked", item.part, item.serial, 1, booked, line.where, says)
        elif line.rig:
            self.differs("wrong rig", item.part, item.serial, 1, booked, line.where, f"marked for {line.rig}")
            known = known.changed(status="unknown")
        elif not out and line.usable == 0:
            out, known = True, known.changed(status="quarantined")
        if not tagged and (out or (isinstance(known.points_usable, int) and known.points_usable < made)):
            self.result.untagged.append(Noted(item.part, item.serial, 1, line.where or booked))
        return self._unknown(known, line, made, booked, out=out)

    def _unknown(self, known: Item, line: CountLine, made: int, booked: str, *, out: bool) -> Item:
        """The piece less what was left blank; of one that is out of use nothing more need be known."""
        if out:
            return known
        looked = {"usable": line.usable if line.state is None else line.state, "label": line.label}
        looked |= {"points": line.points} if made else {}
        blank = tuple(column for column, value in looked.items() if value is None)
        self.blank(known.part, known.serial, 1, line.where or booked, blank)
        field_of = {"usable": "status", "label": "label", "points": "points_usable"}
        return known if self.blank_as_book else known.changed(**{field_of[one]: "unknown" for one in blank})

    def unbooked(self, line: CountLine, number: int) -> None:
        """Tell of pieces that are not on the book; they are not counted on, so they stay out of the cache."""
        owner = line.rig or self.owners.get(folded(line.serial), "")
        item = self.booked.get(folded(line.serial))
        says = f"belongs to {owner}" if owner else _STRANGE
        if item:
            says = f"the book has this serial as {self.book.catalogue.said[item.part]}"
        self.differs("wrong rig" if owner else "extra", line.part, line.serial, number, owner, line.where, says)
        if line.serial:
            self._lying(line)

    def _lying(self, line: CountLine) -> None:
        """Note what a line tells out of use and without a tag, be it on no book or seen by one of two people."""
        found, made = line.found or 0, self.book.catalogue.by_id[line.part].points_made
        known = self.booked.get(folded(line.serial), Stock(part=line.part, rig=self.book.id, count=0).piece())
        out = self.judged(as_found(known, line)).out
        lost = 0 if line.points is None else made * found - line.points
        unfit = found if out else max(found - (found if line.usable is None else line.usable), min(found, lost))
        if unfit > 0 and line.tag.strip().casefold() in NO_TAG:
            self.result.untagged.append(Noted(line.part, line.serial, unfit, line.where))

    def sets(self) -> Iterator[ReadySet]:
        """The ready sets that were found, each where it was found."""
        lines = {line.id: line for line in self.count.sets}
        for ready in self.book.ready_sets:
            line, name = lines.pop(ready.id, None), f"ready set {ready.id}"
            doubt = self._doubt(ready, line) if line and line.found else ""
            if line is None or line.found is None or doubt:
                self.blank("", name, 1, ready.where, ("found",), doubt)
                why = doubt or ("" if self.blank_as_book else "nobody looked whether it is there")
                self.unseen += [(ready.id, why)] if why else []
                yield ready
            elif not line.found:
                self.differs("set", "", name, 1, ready.where, "", f"{name} is on the book and not built")
            else:
                self.blank("", name, 1, ready.where, ("held",) if line.held is None else ())
                ids = [one.id for one in self.book.compartments]
                alike = [one for one in ids if same_place(one, line.where)]
                where = line.where if line.where in ids or not alike else alike[0]
                if moved := bool(where) and not same_place(where, ready.where):
                    self.placed("", name, 1, ready.where, where, "set")
                yield ready.changed(where=where) if moved else ready
        for other in (line for line in lines.values() if line.found is not False):
            self.differs("extra", "", f"ready set {other.id}", 1, "", other.where, _STRANGE)

    def _doubt(self, ready: ReadySet, line: SetLine) -> str:
        """Why a set that was found is not counted on all the same: who did not find it, its pieces, its note; or ""."""
        if _second(line.second, 1) == 0:
            return "found, and not by the second person"
        lies = {folded(one.serial): one.where for one in self.count.lines if one.serial and one.found}
        pieces = ((item, stock) for stock in self.book.stock for item in stock.items if item.serial in ready.serials)
        for item, stock in pieces:
            right, at = (item.where or stock.where, line.where or ready.where), lies.get(folded(item.serial), "")
            if at and not any(same_place(at, place) for place in right):
                return f"found, and {item.serial} of it in {at}"
        noted = self.judged(Stock(part=ready.parts[0], rig=ready.rig, count=0).piece().changed(note=line.note))
        whys = {one.why for one in noted.reasons} & {Why.NOTED, Why.CONDITION_UNKNOWN}
        return f"noted: {line.note.strip()}" if whys else ""

    def written(self, lines: Iterable[CountLine]) -> str:
        """That lines say more than that they were not filled in, so that no policy takes them as the book has them."""
        said = [line.model_dump(exclude_defaults=True, exclude=_SAYS_NOTHING) for line in lines]
        more = [one for one in said if one not in ({}, {"label": "legible"})]
        return "found left blank beside what else is written" if more else ""

    def placed(self, part: str, of: str, number: int, booked: str, found: str, sort: Sort = "wrong place") -> None:
        """Tell of pieces, or a set, that are not where the book has them."""
        if number and booked and found and not same_place(booked, found):
            self.differs(sort, part, of, number, booked, found, f"{of} " * (sort == "set") + f"belongs in {booked}")

    def differs(self, sort: Sort, part: str, serial: str, number: int, booked: str, found: str, says: str) -> None:
        """Note a difference between book and count."""
        self.result.differences.append(Difference(sort, part, serial, number, booked, found, says))

    def blank(self, part: str, serial: str, number: int, where: str, columns: tuple[str, ...], says: str = "") -> None:
        """Note what was left blank, if anything."""
        if columns:
            self.result.blanks.append(Noted(part, serial, number, where, columns, says))


def doubted(book: Cache, serials: Container[str]) -> Cache:
    """The book with nobody knowing whether pieces of these serials, folded, are there: another rig's has them too."""

    def known(item: Item) -> Item:
        doubt = item.status == "in service" and folded(item.serial) in serials
        return item.changed(status="unknown") if doubt else item

    return book.changed(stock=tuple(line.changed(items=tuple(map(known, line.items))) for line in book.stock))


def two_books(book: Cache, owners: dict[str, str]) -> list[Difference]:
    """Serials of a book that another rig's book lists too."""
    return [
        Difference("two books", i.part, i.serial, 1, i.where or line.where, "", f"the book of {owner} lists it too")
        for line in book.stock for i in line.items if (owner := owners.get(folded(i.serial))) is not None
    ]  # fmt: skip


def looked(count: CountSheet | None, counted: Counted) -> Looked:
    """What a count looked at, line by line; of a lot in several places, the columns that every line fills in."""
    if count is None:
        return Looked()
    own = {folded(item.serial): item.serial for line in counted.cache.stock for item in line.items}
    seen: dict[tuple[str, str], set[str]] = {}
    for line in (line for line in count.lines if line.found is not None):
        columns = {name for name in _SHOWN if getattr(line, name, None) not in (None, "")}
        seen.setdefault((line.part, own.get(folded(line.serial), line.serial)), columns).intersection_update(columns)
    blank = dict.fromkeys((one.part, one.serial) for one in counted.blanks)
    whole = tuple((part, serial, tuple(sorted(columns))) for (part, serial), columns in seen.items())
    return Looked(tuple(one for one in whole if one[:2] not in blank), tuple(blank))
