"""The book and its count: how old it is, who counted, what differs, what nobody looked at or tagged."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings, Inspection
from cache_check.errors import grouped
from cache_check.joining.kinds.pieces import NO_TAG
from cache_check.model.cache import Status
from cache_check.model.part import TIES
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.counted import Noted
    from cache_check.model.count import CountSheet


def check_book_age(facts: Facts, rule: Rule) -> Findings:
    """A finding for each rig whose book is older than the rule allows, or does not say of which day it is."""
    most = int(facts.value(rule, "most"))
    effect = f"what is gone since it does not say, and every count here rests on it; {most:,} days at most"
    for rig, day in facts.muster.cache.book_dates:
        if day is None:
            yield facts.finding(rule, f"nobody wrote on which day the book of {rig} was counted", effect, rig=rig)
        elif (age := (facts.muster.on - day).days) > most:
            what = f"the book of {rig} was counted on {day.isoformat()}, {age:,} days ago"
            yield facts.finding(rule, what, effect, figures=(("age_days", age), ("most_days", most)), rig=rig)


def check_uncounted(facts: Facts, rule: Rule) -> Findings:
    """A finding for each line without a figure, and one for each rig that lists no strap and no chain at all."""
    cache = facts.muster.cache
    effect = "taken as none on every step above the book"
    for line in (line for line in cache.stock if line.count is None):
        what = f"{facts.name(line.part)} is listed without a figure"
        yield facts.finding(rule, what, effect, part=line.part, where=line.where, rig=line.rig)
    what = "no strap and no chain is listed: are there none, or did nobody count?"
    for rig in cache.rigs:
        kinds = {cache.catalogue.by_id[line.part].kind for line in cache.stock if line.rig == rig}
        if kinds and not kinds & set(TIES):
            yield facts.finding(rule, what, "taken as none: nothing on this rig restrains a base", rig=rig)


def audit_counted_by(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each thing that the head of the sheet does not say, or says of another book or day."""
    yield from (inspection.finding(rule, what, effect) for what, effect in _wrong(inspection, rule))


def _signed(count: "CountSheet", head: str, column: str) -> set[str]:
    """Who signed, by letters and digits alone: the head of the sheet, or every line; nobody where a line is not."""
    signed, lines = getattr(count, head), [line for line in count.lines if line.found is not None]
    written = [signed] if _plain(signed) not in (*NO_TAG, "nobody") else [getattr(line, column) for line in lines]
    names = {_plain(name) for name in written}
    return names if all(names) else set()


def _plain(name: str) -> str:
    return "".join(filter(str.isalnum, name.casefold()))


def _wrong(inspection: Inspection, rule: Rule) -> Iterator[tuple[str, str]]:
    count, on = inspection.count, inspection.muster.on
    if count is None:
        yield "no count: the book itself is audited", "nothing here was seen by anybody"
        return
    if count.book and count.book != inspection.book_hash:
        what = f"the sheet was made from book {count.book}, this book is {inspection.book_hash}"
        yield what, "what changed in the book since is not on the sheet"
    first, second = _signed(count, "by", "initials"), _signed(count, "second", "second")
    if not first:
        yield "nobody signed the count", "nobody can be asked"
    if inspection.value(rule, "second"):
        if not second:
            yield "no second person signed the count", "one pair of eyes"
        elif second <= first:
            yield "one person signed as both", "one pair of eyes"
    if count.on is None:
        yield "the count has no date", "nobody knows how old it is"
    elif count.on > on:
        yield f"the count is dated {count.on.isoformat()}, after today", "the date is wrong, so its age is unknown"
    elif inspection.book.book_date is not None and count.on < inspection.book.book_date:
        what = f"the count of {count.on.isoformat()} is older than the book of {inspection.book.book_date.isoformat()}"
        yield what, "the book knows later things than the count"


TRAINING: Status = "training"
_EFFECTS = {
    "extra": "not counted on until it is entered in the book",
    "wrong place": "counted, but not where people will look for it",
    "wrong rig": "not counted here; its own rig is short of it",
    "two books": "one piece cannot be on two rigs: one of the books is wrong",
    "two counts": "nobody knows which is right until it is counted again",
    "not as booked": "not counted on until its state is written",
    "set": "people will look for a built set that is not there",
}


def audit_book_against_count(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each difference between book and count."""
    for one in inspection.counted.differences:
        what = f"{inspection.called(one.part, one.serial, one.number)}: {one.sort}; {one.says}"
        effect = f"not usable; {inspection.left(one.part)}" if one.sort == "missing" else _EFFECTS[one.sort]
        places = f"book: {one.booked or 'nowhere'}; found: {one.found or 'nowhere'}"
        yield inspection.finding(
            rule, what, effect, figures=(("different_count", one.number), ("places", places)), part=one.part,
            where=one.found or one.booked, serial=one.serial,
        )  # fmt: skip


def audit_not_looked_at(inspection: Inspection, rule: Rule) -> Findings:
    """One finding for the blanks of each part that are alike."""
    as_book = bool(inspection.value(rule, "blank_as_book"))
    alike = grouped(((one.part, one.columns, one.says), one) for one in inspection.counted.blanks)
    for (part, columns, says), blanks in alike.items():
        places = dict.fromkeys(blank.where for blank in blanks if blank.where)
        effect = "not counted on until somebody looks"
        if columns == ("held",):
            effect = "taken as the book has it, though nobody looked"
        elif as_book and not says:
            effect = "taken as the book has it, as the rule is set"
        said = says or f"{say.listed(columns)} left blank"
        what = f"{_what(inspection, part, blanks)}: {said}, so unknown"
        figures = (("blank_count", sum(blank.number for blank in blanks)),)
        yield inspection.finding(rule, what, effect, figures=figures, part=part, where=", ".join(places))


def _what(inspection: Inspection, part: str, blanks: "list[Noted]") -> str:
    serials = [blank.serial for blank in blanks if blank.serial]
    lots = sum(blank.number for blank in blanks if not blank.serial)
    name = inspection.name(part) if part else ""
    said = [f"{name} {say.listed(serials)}".strip()] if serials else []
    if len(serials) < len(blanks):
        said.append(inspection.pieces(part, lots) if lots else name)
    return " and ".join(said)


def audit_tagged_out(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each piece, or so many of a lot, that the count found out of use and not tagged."""
    effect = "it lies where somebody could take it and build with it"
    for one in inspection.counted.untagged:
        what = f"{inspection.called(one.part, one.serial, one.number)}: out of use, and not tagged"
        figures = (("untagged_count", one.number),)
        yield inspection.finding(rule, what, effect, figures=figures, part=one.part, where=one.where, serial=one.serial)


def audit_pins_kept(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each line of which the inspector wrote that pins or keepers are not with it."""
    effect = "it cannot be built as it lies; the pins are counted where they were found"
    for line in inspection.count.lines if inspection.count else ():
        if line.pins is False:
            what = f"{f'{inspection.name(line.part)} {line.serial}'.rstrip()}: its pins and keepers are not with it"
            yield inspection.finding(rule, what, effect, part=line.part, where=line.where, serial=line.serial)


def check_training_only(facts: Facts, rule: Rule) -> Findings:
    """A finding for each part of which training pieces are counted as usable."""
    book = facts.muster.book
    rules = book.of_kind("out_of_service")
    by = next((one.id for one in rules if not book.is_on(one.id) or TRAINING in book.value(one.id, "counts")), "")
    for line in facts.muster.cache.stock if by else ():
        if pieces := line.out.get(TRAINING, 0) + sum(item.status == TRAINING for item in line.items):
            what = f"{facts.pieces(line.part, pieces)} for training only, counted as usable"
            figures = (("training_count", pieces),)
            effect = f"every step is too high by them; {by} is set so"
            yield facts.finding(rule, what, effect, figures=figures, part=line.part, where=line.where, rig=line.rig)


def audit_training_only(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each training piece in a ready set."""
    sets = {serial: ready for ready in inspection.muster.cache.ready_sets for serial in ready.serials}
    for item, where in inspection.items():
        if item.status == TRAINING and item.serial in sets:
            says = f"for training only, and in ready set {sets[item.serial].id}"
            yield inspection.of_piece(rule, item, where, says, "the set is not to be used")
