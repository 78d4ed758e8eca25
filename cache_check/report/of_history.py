"""The answer of ``history``: whether the record is sound, its entries, and what changed since."""

from collections.abc import Iterable, Iterator

from cache_check.model.history import Again, Entry, History, KeptFinding, Receipt, Since
from cache_check.report import shortly
from cache_check.report.answer import Told, Topic
from cache_check.report.cells import yes
from cache_check.report.page import Block, Cell, Line, Mark, Part, Points, Rows, Short, table
from cache_check.report.say import Say, counted

_REBOOKED = "; the book was changed in between, so what is gone may have gone from the book alone"


def short(history: History, told: Told) -> Short:
    """Whether the record is sound, and of each rig what is open, found again, new or gone."""
    lead, *more = _sound(history)
    lines = [line for one in history.since for line in _rig(one)]
    whole = [text for one in _asked(history, told) for text in (f"{one.number}, {_kept(history, one)}", *_in_full(one))]
    entry = tuple(Line("" if n else "Entry", text) for n, text in enumerate(whole))
    head = Line("Record", lead, "not met" if history.faults else "")
    title = Part((Line("", shortly.title("history", history), wide=True),))
    sound = Part((head, *(Line("", text) for text in more)), "sound")
    return (title, sound, Part(tuple(lines), "since"), Part(entry, "entry"))


def _rig(one: Since) -> Iterator[Line]:
    counts = (
        f"{len(one.open)} open, {len(one.repeated)} found again, {len(one.new)} new, "
        f"{len(one.unseen)} not looked at, {len(one.gone)} looked at and gone"
    )
    yield Line("Rig", f"{one.rig}, entry {one.later}: {counts}{_REBOOKED * one.rebooked}")
    for again, unseen in (*((again, ", not looked at since") for again in one.unseen), *((a, "") for a in one.open)):
        mark: Mark = "not met" if unseen or again.times > 1 else ""
        yield Line("Open", f"{_says(again.finding)} (since {again.since}{unseen})", mark)
    yield from (Line("Struts", text) for text in _struts(one))


def _sound(history: History) -> Iterator[str]:
    number = len(history.entries)
    read = "1 entry read." if number == 1 else f"{number} entries read."
    if history.faults:
        yield f"NOT SOUND. {read} What could be read is shown; do not rely on it:"
        yield from history.faults
    else:
        yield f"{read} Links agree: each entry follows from the one before."
    yield from (_received(history, one) for one in history.receipts if one.entry is not None)
    if not history.receipts:
        yield (
            "No receipt was given. Links that agree do not show a record written anew, or one cut at its end: compare "
            "the last receipt, printed on the signed page, with that of "
            f"entry {history.entries[-1].number}: {history.entries[-1].hash}"
        )


def soundness(history: History, _: Say) -> tuple[Block, ...]:
    """The same as blocks, faults under their lead."""
    lead, *more = _sound(history)
    faults = len(history.faults)
    return (Points(lead, tuple(more[:faults])) if faults else lead, *more[faults:])


def _received(history: History, one: Receipt) -> str:
    later = [entry.number for entry in history.entries if one.entry is not None and entry.number > one.entry]
    said = f"Receipt {one.given[:12]} is that of entry {one.entry}: "
    if not one.agrees:
        return f"{said}the links up to there do not agree, so the record is NOT what it was then."
    since = f" It says nothing of what was kept since: give the receipt of entry {later[-1]} too." if later else ""
    return f"{said}up to there the record is what it was then.{since}"


def _entry(history: History, one: Entry) -> tuple[Cell, ...]:
    result = f"corrects {one.corrects}: {one.says}" if one.corrects is not None else one.outcome
    if one.number in history.corrected:
        result = f"{result}; corrected, does not count"
    if one.number in history.late:
        result = f"{result}; late, kept after a later day's"
    by = " and ".join(name for name in (one.by, one.second) if name) or "nobody"
    rig, sound = one.rig or "as corrected", "yes" if one.sound else "NO"
    return one.number, one.kind, rig, one.on, by, result, len(one.findings), sound, one.hash[:12]


def _kept(history: History, one: Entry) -> str:
    _, kind, _, on, by, result, *_ = _entry(history, one)
    return f"{kind}{f' of {one.rig}' * bool(one.rig)} on {on}, by {by}: {result}; receipt {one.hash}"


def _since(one: Since) -> Iterator[Block]:
    before = "its first audit" if one.earlier is None else f"since entry {one.earlier}"
    yield f"{one.rig}: entry {one.later}, {before}{_REBOOKED * one.rebooked}"
    yield _points("Open", one.open)
    yield _points("Found again", one.repeated)
    yield _points("New", one.new)
    yield _points("Not looked at since, or asked less strictly, so still open", one.unseen)
    gone = tuple(map(_says, one.gone))
    yield Points("Looked at and gone:", gone) if gone else Points("Looked at and gone: none.")
    yield Points("Struts on the step asked:", tuple(_struts(one)))


def _points(lead: str, found: Iterable[Again]) -> Points:
    items = tuple(f"{_says(one.finding)} (since {one.since}, {counted(one.times, 'day')} in a row)" for one in found)
    return Points(f"{lead}: {len(items)}", items) if items else Points(f"{lead}: none.")


def _says(one: KeptFinding) -> str:
    return f"{one.severity.upper()} {one.rule}: {one.what}"


def _struts(one: Since) -> Iterable[str]:
    for struts, before in one.struts:
        was = "" if before is None else f", {before} the audit before"
        wanted = "" if struts.wanted is None else f", {struts.wanted} wanted"
        yield f"{struts.label}: {struts.today} {struts.step}{was}; {struts.book} by the book{wanted}"


def _asked(history: History, told: Told) -> tuple[Entry, ...]:
    return tuple(one for one in history.entries if one.number == told.more.get("entry"))


def _whole(history: History, _: Say, told: Told) -> tuple[Points, ...]:
    found = (Points(_kept(history, one), _in_full(one)) for one in _asked(history, told))
    return tuple(found) or (Points("Not asked; --entry N does."),)


def _in_full(one: Entry) -> tuple[str, ...]:
    return tuple(f"{_says(finding)}; {finding.where or 'place unknown'}" for finding in one.findings)


def _entry_rows(history: History, _: Say) -> Rows:
    for one in history.entries:
        counts = one.number not in history.corrected and one.corrects is None
        states = (yes(counts), yes(one.number in history.late), yes(one.sound))
        signed = (one.on, one.by, one.second, one.outcome, one.corrects)
        yield one.number, one.kind, one.rig, *signed, len(one.findings), *states, one.hash


def _since_rows(history: History, _: Say) -> Rows:
    for rig in history.since:
        for state, found in (("new", rig.new), ("found again", rig.repeated), ("not looked at", rig.unseen)):
            yield from ((rig.rig, rig.later, state, *_finding(one.finding), one.since, one.times) for one in found)
        yield from ((rig.rig, rig.later, "looked at and gone", *_finding(one), None, None) for one in rig.gone)


def _finding(one: KeptFinding) -> tuple[Cell, ...]:
    return one.severity, one.rule, one.part, one.serial, one.where, one.what


_SHOWN = "#entry|kind|rig|on|by|result|#findings|follows|receipt"
ENTRIES = "#entry|kind|rig|on|by|second|result|#corrects|#findings|counts|kept late|follows|receipt"
TABLE = "entries"
SECTIONS: dict[str, Topic] = {
    "sound": Topic("Is the record sound", soundness),
    "entries": Topic("Entries", lambda one, _: (table(_SHOWN, (_entry(one, entry) for entry in one.entries)),), ENTRIES,
                     _entry_rows),
    "since": Topic("Since the audit before", lambda one, _: (block for rig in one.since for block in _since(rig)),
                   "rig|#entry|state|severity|rule|part|serial|place|what|since|#days in a row", _since_rows),
    "entry": Topic(lambda of, _, told: next((f"Entry {one.number} in full" for one in _asked(of, told)),
                                            "One entry in full"), _whole, beside=True),
}  # fmt: skip
