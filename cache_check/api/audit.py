"""The count sheet of a rig; then, of the count: is it as the book says, what can it still do, what costs most?"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from hashlib import sha256

from cache_check.api.base import LIST_AT_MOST, SECONDS, WhatIf, head_of, in_force, judging_of, refuse_to_come
from cache_check.api.check import asks_of
from cache_check.checks.costs import ahead_of, costs_of
from cache_check.checks.counted import AWAY, Counted, Work, doubted, expected, looked, two_books
from cache_check.checks.facts import Facts, Inspection
from cache_check.checks.run import LOOKED_AT, findings, lacks
from cache_check.checks.verdict import verdict
from cache_check.errors import AskError, grouped
from cache_check.files.count import HEAD, TABLE
from cache_check.joining.assemblies import union_of
from cache_check.joining.stock import Fitness, least_points
from cache_check.model.audit import AuditFinding, AuditResult, Compared, Cost
from cache_check.model.cache import Cache, Item, Stock, folded
from cache_check.model.count import OF_LOT, BlankSheet, CountSheet, SheetLine
from cache_check.model.finding import Finding
from cache_check.model.history import NEEDS, WHOLE
from cache_check.model.need import Need, Needs, Scene, stated
from cache_check.model.part import Part
from cache_check.model.piece import Why
from cache_check.model.rule import Limit, RuleBook, Setting
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.tally import tally
from cache_check.planning.scenes import scene
from cache_check.planning.solving.solver import Clock

_DAYS = {Why.OVERDUE: ("inspected",), Why.EXPIRED: ("expires",), Why.OVER_AGE: ("acquired",),
         Why.TO_COME: ("inspected", "acquired")}  # fmt: skip
"""The columns in which a count may have written the day that is the matter."""


def audit(
    cache: Cache, book: RuleBook, count: CountSheet | None = None, *, needs: Needs | None = None,
    suppose: WhatIf | None = None, others: Sequence[Cache] = (), ahead: str | None = None, seconds: float = SECONDS,
) -> AuditResult:  # fmt: skip
    """The audit of one rig.

    ``count`` is what was found; without it the book is audited as it stands.  ``suppose`` has the day, units and rules;
    pieces cannot be supposed.  ``others`` are caches of other rigs, to say whose a strange serial is.  ``ahead`` is how
    far to look ahead, as "12 months".

    Raises AskError: the count is of another rig, several rigs are pooled, or the span is none; NoPlanError: an optimum
    could not be proven in time.
    """
    suppose = suppose or WhatIf()
    if len(cache.rigs) != 1:
        raise AskError("an audit is of one rig; name one cache")
    if count is not None and count.rig != cache.id:
        raise AskError(f"{count.path or 'the count'} is of {count.rig!r}, and the book is of {cache.id!r}")
    if suppose.without or suppose.extra:
        raise AskError("an audit supposes no pieces: what is there is what was counted")
    on, settled = suppose.on or date.today(), in_force(cache, book, suppose)
    refuse_to_come(cache, settled, on)
    counted = _counted(cache, settled, count, on, others)
    clock, judging = Clock(seconds), judging_of(needs)
    today = Muster(counted.cache, settled, on, clock=clock, judging=judging)
    # The book is believed on its own day; by one without a date no date has passed.
    believed = tuple(Setting(rule=one.id, on=False, by="the book's own day") for one in settled.of_kind("date_to_come"))
    as_booked = settled.changed(settings=(*settled.settings, *believed))
    by_book = Muster(cache, as_booked, cache.book_date or date.min, clock=clock, judging=judging)
    scenes = needs.scenes if needs else ()
    asked = tuple(asks_of(scenes, (union_of(muster.joined) for muster in (by_book, today)), today.cache.units))
    compared = tuple(
        Compared(label, *(tally(muster, ask, label, wanted) for muster in (by_book, today)))
        for label, ask, wanted in asked
    )
    answers = tuple(scene(today, wanted) for wanted in scenes)
    costs = costs_of(asked, by_book, today)
    facts = Facts(today, scenes, tuple(one.today for one in compared), answers, today.joined.reach(LIST_AT_MOST))
    inspection = Inspection(today, facts, cache, book_hash(cache), count, counted)
    found = _findings(inspection, costs)
    if (judged := verdict(inspection, compared, found)).outcome == "out of service":
        held = "; ".join(link.name for link in judged.links if link.state == "does not hold")
        out = inspection.finding(
            today.book.by_id[judged.policy], what=f"does not hold: {held}",
            effect="the rig is out of service until this is mended", rig=today.cache.id, asked="the result",
        )  # fmt: skip
        found = (AuditFinding(out, None, contained=False), *found)
    name, title, basis, names = head_of(today, suppose, scenes=scenes)
    if count is not None:
        basis = replace(basis, book_dates=((cache.id, count.on),))
    return AuditResult(
        name, title, basis, names, count=count, book=book_hash(cache), book_on=cache.book_date,
        verdict=judged, compared=compared, costs=costs, findings=found,
        ahead=ahead_of(today, asked, ahead) if ahead else None, looked=looked(count, counted),
        limits=(*settled.limits, *(one for scene in scenes for need in scene.needs for one in _asked(scene, need))),
    )  # fmt: skip


def _asked(scene: Scene, need: Need) -> Iterator[Limit]:
    """How many a need wants, and each word of what it says of them: one that says more asks no less."""
    said = {f"{name} {getattr(need, name)}": 1 for name in sorted(stated(need) - {"id", "count", "note"})}
    yield from (("", f"{scene.id}: {need.id}", what, n, 1) for what, n in ({"count": need.count} | said).items())


def as_found(
    cache: Cache, book: RuleBook, count: CountSheet, *, others: Sequence[Cache], suppose: WhatIf
) -> Cache:  # fmt: skip
    """One rig as a count found it, its book dated by the count; blank in it is as unknown as in its audit."""
    on = suppose.on or date.today()
    return _counted(cache, in_force(cache, book, suppose), count, on, others).cache.changed(book_date=count.on)


def _counted(cache: Cache, book: RuleBook, count: CountSheet | None, on: date, others: Sequence[Cache]) -> Counted:
    lines = [line for other in others if other.id != cache.id for line in other.stock]
    owners = {folded(item.serial): item.rig for line in lines for item in line.items}
    twice = two_books(cache, owners)
    if count is None:
        return Counted(doubted(cache, owners), twice)
    judged = partial(Fitness(book, cache.catalogue).of, on=on)
    as_book = bool(book.ruled("not_looked_at", "blank_as_book", default=False))
    counted = Work(cache, count, judged, as_book, owners, least_points(cache, book)).counted()
    counted.differences += twice
    return counted


def _findings(inspection: Inspection, costs: Sequence[Cost]) -> tuple[AuditFinding, ...]:
    facts, counted = inspection.facts, inspection.counted
    book = facts.muster.book
    missing = [one for one in counted.differences if one.sort == "missing" and book.in_force("book_against_count")]
    told = {(one.part, one.serial, f"{one.number}") for one in missing}

    def twice(one: Finding) -> bool:
        """Whether a piece out of service is one that the count found missing, so that it is told there."""
        return one.why is Why.MISSING and (one.part, one.serial, str(dict(one.figures)["pieces_count"])) in told

    whole = [one for one in findings(facts, lacks(facts)) if not twice(one)]
    found = sorted((*whole, *findings(inspection)), key=lambda finding: finding.order)
    by_piece = grouped(((cost.cause.part, cost.cause.serial), cost) for cost in costs)
    untagged = {(one.part, one.serial) for one in counted.untagged}
    away = {(item.part, item.serial) for line in counted.cache.stock for item in line.items if item.status in AWAY}
    sets = {rule.id for rule in book.of_kind("ready_set_sound")}  # which no tag on a piece that is not there settles
    return tuple(
        _priced(one, by_piece, untagged | away if one.rule in sets else untagged, _column(inspection, one))
        for one in found
    )


def _column(inspection: Inspection, finding: Finding) -> str:
    """The column of a count sheet that shows whether what a finding names is mended, or that it is on what is asked.

    A day that the count wrote, and not the book, is looked at where a count writes one again.
    """
    if finding.asked:
        return NEEDS
    if finding.why is not None:
        of = finding.part, "" if finding.serial.startswith(OF_LOT) else folded(finding.serial)
        count = inspection.count.lines if inspection.count else ()
        lines = [line for line in count if (line.part, folded(line.serial)) == of]
        days = (day for day in _DAYS.get(finding.why, ()) if any(getattr(line, day) for line in lines))
        return next(days, LOOKED_AT.get(finding.why, "usable"))
    return LOOKED_AT.get(inspection.muster.book.by_id[finding.rule].kind, "" if finding.serial else WHOLE)


def _priced(
    finding: Finding, costs: dict[tuple[str, str], list[Cost]], untagged: set[tuple[str, str]], column: str
) -> AuditFinding:
    """A finding with the cost of the pieces that it is about; contained if they are out and do not lie untagged."""
    piece = (finding.part, finding.serial)
    mine = costs.get(piece, [])
    named = [cost for cost in mine if cost.cause.rule == finding.rule] or (mine if finding.serial else [])
    contained = bool(finding.serial and mine) and piece not in untagged
    return AuditFinding(finding, next(iter(named), None), contained, column=column)


def book_hash(cache: Cache) -> str:
    """A short hash of the files that a cache was read from, whatever their names."""
    return sha256("\n".join(sorted(source.sha256 for source in cache.sources)).encode()).hexdigest()[:12]


def sheet(cache: Cache) -> BlankSheet:
    """The count sheet of one rig: its lots, pieces and ready sets by place."""
    names = cache.catalogue.short_names
    lines = [line for stock in cache.stock for line in _of_stock(stock, cache.catalogue.by_id[stock.part])]
    for ready in cache.ready_sets:
        lines.append(SheetLine(ready.where, "", "", 1, "; ".join(names[part] for part in ready.parts), ready.id))
    order = {part.id: number for number, part in enumerate(cache.catalogue.parts)}
    order[""] = len(order)
    lines.sort(key=lambda line: (_place_order(line.place), order[line.part], line.ready_set, bool(line.serial)))
    known = {"count": cache.id, "title": cache.title, "book": book_hash(cache), "units": cache.units,
             "book date": cache.book_date.isoformat() if cache.book_date else "unknown"}  # fmt: skip
    return BlankSheet(
        rig=cache.id, title=cache.title, units=cache.units, book_date=cache.book_date, book=book_hash(cache),
        names=tuple(names.items()), lines=tuple(lines), top=tuple((one.head, known.get(one.head, "")) for one in HEAD),
        heads=tuple(one.headed(cache.units) for one in TABLE.headings),
    )  # fmt: skip


def _of_stock(stock: Stock, part: Part) -> Iterator[SheetLine]:
    lot, points = expected(stock), part.points_made
    says = ", ".join(f"{number} {status}" for status, number in stock.out.items() if number)
    if lot or says or not stock.items:
        yield SheetLine(stock.where, stock.part, "", lot, says, kind=part.kind, points=points)
    for item in stock.items:
        here, where = int(item.status not in AWAY), item.where or stock.where
        yield SheetLine(where, item.part, item.serial, here, _says(item), kind=part.kind, points=points)


def _says(item: Item) -> str:
    days = (("inspected", item.inspected), ("acquired", item.acquired), ("expires", item.expires))
    said = [
        "" if item.status == "in service" else item.status,
        *(f"{word} {day.isoformat() if day else 'unknown'}" for word, day in days if day or word == "inspected"),
        f"label {item.label or 'unknown'}", item.tag and f"tag {item.tag}", item.note and f"note: {item.note}",
        "" if item.points_usable is None else f"{item.points_usable} points", item.condition,
    ]  # fmt: skip
    return ", ".join(filter(None, said))


def _place_order(place: str) -> tuple[bool, list[tuple[int, str]]]:
    """Places as people walk past them: drawer 2 before drawer 10, the unknown last."""
    parts = re.findall(r"\d+|\D+", place.casefold())
    return (not place, [(int(part), "") if part.isdecimal() else (-1, part) for part in parts])
