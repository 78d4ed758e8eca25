"""The answer of ``history``: whether the record is sound, its entries, and what changed since."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from cache_check.model.history import Again, Entry, History, KeptFinding, Receipt, Since
from cache_check.report.answer import Maker, Told
from cache_check.report.data import Data, Rows, yes
from cache_check.report.page import Block, Line, Mark, Part, Points, Section, Short, Table, words
from cache_check.report.say import Say, counted

_UNSIGNED = "nobody"

SECTIONS: dict[str, Maker] = {
    "sound": lambda one, _: soundness(one),
    "entries": lambda one, _: _entries(one),
    "since": lambda one, _: Section(
        "Since the audit before", tuple(block for rig in one.since for block in _since(rig))
    ),
    "entry": lambda one, told: _whole(one, told.more.get("entry")),
}


def title(history: History) -> str:
    """The head of the whole page."""
    return f"Record of audits: {history.path}"


def short(history: History, told: Told) -> Short:
    """Whether the record is sound, and of each rig what is open, found again, new or gone."""
    lead, *more = [
        text
        for block in soundness(history).blocks
        for text in ((block.lead, *block.items) if isinstance(block, Points) else (block,))  # type: ignore[union-attr]
    ]
    lines = [line for one in history.since for line in _rig(one)]
    asked = told.more.get("entry")
    entry = tuple(Line("", text) for text in _whole(history, asked).blocks[0].items) if asked else ()  # type: ignore[union-attr]
    head = Line("Record", lead, "not met" if history.faults else "")
    return (
        Part((Line("", title(history), wide=True),)),
        Part((head, *(Line("", text) for text in more)), "sound"),
        Part(tuple(lines), "since"),
        Part(entry, "entry"),
    )


def _rig(one: Since) -> Iterator[Line]:
    """What is open on one rig and how its struts stand, the open findings by name."""
    counts = ", ".join(
        f"{len(found)} {word}"
        for word, found in (
            ("open", one.open),
            ("found again", one.repeated),
            ("new", one.new),
            ("not looked at", one.unseen),
            ("looked at and gone", one.gone),
        )
    )
    yield Line("Rig", f"{one.rig}, entry {one.later}: {counts}")
    for again, unseen in (*((again, ", not looked at since") for again in one.unseen), *((a, "") for a in one.open)):
        mark: Mark = "not met" if unseen or again.times > 1 else ""
        yield Line("Open", f"{_says(again.finding)} (since {again.since}{unseen})", mark)
    for text in _struts(one):
        yield Line("Struts", text)


def soundness(history: History) -> Section:
    """What was checked, and what nobody can see from the file alone."""
    number = len(history.entries)
    read = "1 entry read." if number == 1 else f"{number} entries read."
    blocks: list[Block] = []
    if history.faults:
        blocks.append(Points(f"NOT SOUND. {read} What could be read is shown; do not rely on it:", history.faults))
    else:
        blocks.append(f"{read} Links agree: each entry follows from the one before.")
    blocks += [_received(history, one) for one in history.receipts if one.entry is not None]
    if not history.receipts:
        last = history.entries[-1]
        blocks.append(
            "No receipt was given. Links that agree do not show a record written anew, or one cut at its end: "
            "compare the last receipt, printed on the signed page, with that of "
            f"entry {last.number}: {last.hash}"
        )
    return Section("Is the record sound", tuple(blocks))


def _received(history: History, one: Receipt) -> str:
    later = [entry.number for entry in history.entries if one.entry is not None and entry.number > one.entry]
    said = f"Receipt {one.given[:12]} is that of entry {one.entry}: up to there the record is what it was then."
    if not later:
        return said
    listed = f"entry {later[0]}" if len(later) == 1 else f"entries {later[0]} to {later[-1]}"
    return f"{said} It says nothing of {listed}, kept since: give the receipt of entry {later[-1]} too."


def _entries(history: History) -> Section:
    rows = tuple(_entry(history, one) for one in history.entries)
    return Section("Entries", (Table(words("#entry|kind|rig|on|by|result|#findings|follows|receipt"), rows),))


def _entry(history: History, one: Entry) -> tuple[str, ...]:
    result = f"corrects {one.corrects}: {one.says}" if one.corrects is not None else one.outcome
    if one.number in history.corrected:
        result = f"{result}; corrected, does not count"
    if one.number in history.late:
        result = f"{result}; late, kept after a later day's"
    by = " and ".join(name for name in (one.by, one.second) if name) or _UNSIGNED
    return (
        str(one.number), one.kind, one.rig or "as corrected", one.on, by, result, str(len(one.findings)),
        "yes" if one.sound else "NO", one.hash[:12],
    )  # fmt: skip


def _since(one: Since) -> tuple[Block, ...]:
    before = "its first audit" if one.earlier is None else f"since entry {one.earlier}"
    return (
        f"{one.rig}: entry {one.later}, {before}",
        _points("Open", one.open),
        _points("Found again", one.repeated),
        _points("New", one.new),
        _points("Not looked at since, so still open", one.unseen),
        Points("Looked at and gone:", tuple(_says(finding) for finding in one.gone))
        if one.gone
        else Points("Looked at and gone: none."),
        Points("Struts on the step asked:", tuple(_struts(one))),
    )


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


def _whole(history: History, number: int | None) -> Section:
    found = [one for one in history.entries if one.number == number]
    if not found:
        return Section("One entry in full", (Points("Not asked; --entry N does."),))
    (one,) = found
    items = tuple(f"{_says(finding)}; {finding.where or 'place unknown'}" for finding in one.findings)
    return Section(f"Entry {one.number} in full", (Points(f"{one.kind} of {one.on}, receipt {one.hash}", items),))


def _entry_rows(history: History, _: Say, __: Any) -> Rows:
    for one in history.entries:
        counts = one.number not in history.corrected and one.corrects is None
        late = one.number in history.late
        yield (one.number, one.kind, one.rig, one.on, one.by, one.second, one.outcome, one.corrects,
               len(one.findings), yes(counts), yes(late), yes(one.sound), one.hash)  # fmt: skip


def _since_rows(history: History, _: Say, __: Any) -> Rows:
    """A row for each finding of each rig's last audit and of those before that are still open or gone."""
    for rig in history.since:
        kinds = (("new", rig.new), ("found again", rig.repeated), ("not looked at", rig.unseen))
        for state, found in kinds:
            for again in found:
                one = again.finding
                which = (one.severity, one.rule, one.part, one.serial, one.where, one.what)
                yield rig.rig, rig.later, state, *which, again.since, again.times
        for one in rig.gone:
            yield (rig.rig, rig.later, "looked at and gone", one.severity, one.rule, one.part, one.serial, one.where,
                   one.what, None, None)  # fmt: skip


TABLES = {
    "entries": Data(
        "#entry|kind|rig|on|by|second|result|#corrects|#findings|counts|kept late|follows|receipt", _entry_rows
    ),
    "since": Data("rig|#entry|state|severity|rule|part|serial|place|what|since|#days in a row", _since_rows),
}
