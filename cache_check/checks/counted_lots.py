"""Lots as they were counted: pieces without serials, of which a line says how many were found, fit and tagged."""

import re
from collections import Counter
from collections.abc import Sequence

from cache_check.checks.counted import AWAY, NUMBERS, Noted, Work, expected, given
from cache_check.checks.say import listed
from cache_check.frozen import dataclass
from cache_check.joining.kinds.pieces import NO_TAG
from cache_check.model.cache import Item, Status, Stock, same_place
from cache_check.model.count import OF_LOT, CountLine

_WORD = re.compile(rf"\b(?:[0-9]{{1,6}}|{'|'.join(NUMBERS)})\b")

_ALL = {"all", "any", "both", "each", "every", "other", "others", "rest", "whole"}  # a note of more than its numbers


def tags(written: str, found: int) -> int:
    """How many tags are written on a line: "12, 13" are two, "12-14" are three, if so many pieces were ``found``."""
    number, none = 0, written.strip().casefold() in NO_TAG
    for one in () if none else re.split(r"[,;\s]+(?:and\s+)?", written.strip()):
        run = re.fullmatch(r"\D*(\d{1,6})-\D*(\d{1,6})", one)
        more = int(run[2]) - int(run[1]) if run else 0
        number += more + 1 if 0 < more < found else bool(one)
    return number


def lot(work: Work, stock: Stock, items: list[Item], lines: list[CountLine]) -> Stock:
    """A line of the book: its pieces with serials as counted, and of the rest what was found."""
    own = [line for line in lines if not line.rig]
    for line in lines:
        if line not in own and line.found:
            work.unbooked(line, line.found)
            if untagged := _Seen.of(work, stock, line).untagged:
                work.result.untagged.append(Noted(line.part, "", untagged, line.where))
    # What one line alone says of a lot may be of those that nobody found.
    missed = (stock.count or 0) - len(stock.items) - (own[0].found or 0) if len(own) == 1 else 0
    seen = [_Seen.of(work, stock, line, max(0, missed)) for line in own if line.found is not None]
    unseen = [line for line in own if line.found is None]
    marked = sorted({line.rig for line in lines if line not in own and line.found})
    says = f"found marked for {listed(marked)} only" if marked else work.written(unseen)
    return _seen_lot(work, stock, items, seen, unseen) if seen else _unseen_lot(work, stock, items, says)


@dataclass(frozen=True)
class _Seen:
    """A line that was filled in: how many of those found are fit, in which state the others are, how many untagged."""

    line: CountLine
    found: int
    fit: int
    status: Status
    out: int
    untagged: int
    blank: bool
    each: Item | None  # of the fit pieces, where the line says something that matters; they are told apart
    short: int | None  # of the points of the fit ones so many are not usable; None: nobody looked

    @classmethod
    def of(cls, work: Work, stock: Stock, line: CountLine, missed: int = 0) -> "_Seen":
        """A line as it is meant; tags and blanks take pieces out, never put any back."""
        found = line.found or 0
        whole, bad = _piece(work, stock, line, missed)
        stated, tagged = line.state not in (None, "in service"), tags(line.tag, found)
        usable = 0 if stated else found if line.usable is None else line.usable
        fit = max(0, usable if bad else min(usable, found - tagged))
        out = found if bad else found - fit
        blank = bool(found) and line.usable is None and line.state is None and not bad and fit > 0
        made = work.book.catalogue.by_id[stock.part].points_made
        short = 0 if not made or not fit else None if line.points is None else max(0, made * found - line.points)
        status: Status = line.state if stated and line.state else "quarantined"
        worn = -(-short // made) if short and not bad else 0  # bases that lost a point are out of use with it
        untagged = max(0, min(found, out + worn) - tagged)
        return cls(line, found, fit, status, out, untagged, blank, whole, short)


def _piece(work: Work, stock: Stock, line: CountLine, missed: int) -> tuple[Item | None, bool]:
    """One piece of a line, where what the line says of it matters; and whether that takes it out of use.

    Words that nobody knows, a label that could not be made out, or a note of damage leave every piece of the line not
    known; but for a note of so many pieces ("two bent, 1 lost"), where as many were ``missed``, or found and not fit.
    """
    fields = given(line)
    spoken = (int(word) if word.isdecimal() else NUMBERS.index(word) for word in _WORD.findall(line.note.casefold()))
    of_all = _ALL & set(re.findall(r"\w+", line.note.casefold()))
    if line.usable is not None and 0 < sum(spoken) <= missed + (line.found or 0) - line.usable and not of_all:
        del fields["note"]
    whole = stock.piece().changed(serial="?", **fields)
    dated = any(name in fields for name in ("inspected", "acquired", "expires", "measured"))
    told = bool(set(fields) - {"where", "label"}) or whole.label in ("unreadable", "unknown")
    judged = work.judged(whole)
    return (whole if dated or (told and not judged.usable) else None), told and judged.out


def _seen_lot(work: Work, stock: Stock, items: list[Item], seen: list[_Seen], unseen: list[CountLine]) -> Stock:
    found, booked = sum(one.found for one in seen), expected(stock)
    wanted = found if booked is None else booked
    astray = [one for one in seen if one.line.where and not same_place(stock.where, one.line.where)]
    left = max(0, wanted - sum(one.found for one in seen if one not in astray))  # the rest of these are extra
    for one in seen:
        if one in astray:
            work.placed(stock.part, "", min(one.found, left), stock.where, one.line.where)
            left -= min(one.found, left)
        columns = (*(["usable"] if one.blank else []), *(["points"] if one.short is None else []))
        work.blank(stock.part, "", one.found, one.line.where or stock.where, columns)
    here, gone = min(found, wanted), max(0, wanted - found)
    for line in unseen:  # what is not found elsewhere may lie there
        work.blank(stock.part, "", gone, line.where or stock.where, ("found",), work.written([line]))
    if gone and not unseen:
        work.differs("missing", stock.part, "", gone, stock.where, "", f"{wanted} on the book, {found} found")
    elif found > wanted:
        work.unbooked(seen[-1].line, found - wanted)
    unfit = _unfit(work, stock, seen, here)
    made = _told_apart(work, stock, seen, here - unfit.total(), len(items))
    out: Counter[Status] = Counter({status: n for status, n in stock.out.items() if status in AWAY})
    count = len(items) + wanted + out.total()
    as_book = unseen and work.blank_as_book and not work.written(unseen)
    out["unknown" if unseen else "missing"] += 0 if as_book else gone
    out.update(unfit)
    return stock.changed(count=count, out=dict(+out), items=(*items, *made))


def _unseen_lot(work: Work, stock: Stock, items: list[Item], says: str) -> Stock:
    """A lot that nobody looked at, or of which ``says`` tells why not; a part not on the book is not looked for."""
    if stock.part not in work.parts:
        return stock.changed(items=tuple(items))
    wanted = expected(stock)
    away = sum(n for status, n in stock.out.items() if status in AWAY)
    if wanted is None or wanted or away or not stock.items:
        work.blank(stock.part, "", (wanted or 0) + away, stock.where, ("found",), says)
    out: Counter[Status] = Counter(stock.out)
    if wanted and (says or not work.blank_as_book):
        out["unknown"] += wanted - sum(n for status, n in stock.out.items() if status not in AWAY)
    return stock.changed(out=dict(+out), items=tuple(items))


def _unfit(work: Work, stock: Stock, seen: list[_Seen], most: int) -> Counter[Status]:
    """Found pieces that are not fit, by state: those the book knows of, then those that the count adds."""
    out: Counter[Status] = Counter()
    untagged = sum(one.untagged for one in seen)
    for one in seen:
        out[one.status] += one.found - one.fit
        if one.blank and not work.blank_as_book:
            out["unknown"] += one.fit
    known: Counter[Status] = Counter({status: n for status, n in stock.out.items() if status not in AWAY and n})
    if all(one.line.state == "in service" for one in seen):  # somebody looked for them, and wrote their state
        del known["unknown"]
    untagged += max(0, known.total() - known["unknown"] - sum(one.out for one in seen))
    if untagged:
        work.result.untagged.append(Noted(stock.part, "", untagged, seen[0].line.where or stock.where))
    quarantined = known.pop("quarantined", 0)
    for status, number in known.items():
        more = max(0, number - out[status])
        # They may be among those that the count found not fit without a state of their own.
        out["quarantined"] -= min(more, out["quarantined"])
        out[status] += more
    out["quarantined"] = max(out["quarantined"], quarantined)
    kept: Counter[Status] = Counter()
    for status, number in out.items():
        kept[status] = max(0, min(number, most - kept.total()))
    return kept


def _told_apart(work: Work, stock: Stock, seen: list[_Seen], most: int, start: int) -> list[Item]:
    """Fit pieces of which a line says something that matters: each a piece of its own from here on, worst first."""
    made: list[Item] = []
    for one in seen:
        points = _points(work, stock, one)
        apart = one.fit if one.each is not None else len(points)
        for number in range(min(apart, most - len(made))):
            piece = (one.each or stock.piece()).changed(serial=f"{OF_LOT}{start + len(made) + 1}")
            made.append(piece.changed(points_usable=points[number]) if number < len(points) else piece)
    return made


def _points(work: Work, stock: Stock, one: _Seen) -> Sequence[int | str]:
    """The points of those fit bases of a line that have fewer than they were made with, the fewest first."""
    if one.short is None and not work.blank_as_book:
        return ["unknown"] * one.fit
    if not one.short:
        return []
    designed = work.book.catalogue.by_id[stock.part].points_made
    least = max(1, min(work.least_points[stock.part], designed))
    # A number for a whole lot does not say which base lost its points. If n bases lost so many each, the n-th worst
    # lost no more than an n-th of all: each is taken for that bad, down to where it cannot be restrained.
    return [max(least - 1, designed - one.short // n) for n in range(1, min(one.fit, one.short) + 1)]
