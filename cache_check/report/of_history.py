"""The page of ``history``: whether the record is sound, its entries, and what changed since."""

from __future__ import annotations

from collections.abc import Iterable

from cache_check.model.history import Again, Entry, History, KeptFinding, Since
from cache_check.report.page import Page, Paragraph, Points, Section, Table, words

_UNSIGNED = "nobody"


def page(history: History, entry: int | None = None) -> Page:
    """The page of a record; with ``entry`` the findings of that audit too."""
    sections = [_soundness(history), _entries(history)]
    sections += [_since(one) for one in history.since]
    sections += [_whole(one) for one in history.entries if one.number == entry]
    return Page(f"Record of audits: {history.path}", tuple(sections))


def _soundness(history: History) -> Section:
    read = f"{len(history.entries)} entries read."
    if not history.faults:
        said = f"{read} Each follows from the one before: nothing was changed, and none between them is missing."
        return Section("Is the record sound", (Paragraph(said),))
    lead = f"NOT SOUND. {read} What could be read is shown; do not rely on it alone:"
    return Section("Is the record sound", (Points(lead, history.faults),))


def _entries(history: History) -> Section:
    if not history.entries:
        return Section("Entries", (Paragraph("None."),))
    rows = tuple(_entry(one) for one in history.entries)
    return Section("Entries", (Table(words("#entry|kind|rig|on|by|result|#findings|sound|receipt"), rows),))


def _entry(one: Entry) -> tuple[str, ...]:
    result = f"corrects {one.corrects}: {one.says}" if one.corrects is not None else one.outcome
    by = " and ".join(name for name in (one.by, one.second) if name) or _UNSIGNED
    return (
        str(one.number), one.kind, one.rig or "as corrected", one.on, by, result, str(len(one.findings)),
        "yes" if one.sound else "NO", one.hash[:12],
    )  # fmt: skip


def _since(one: Since) -> Section:
    before = "its first audit" if one.earlier is None else f"since entry {one.earlier}"
    blocks = (
        _points("Open", one.open),
        _points("Found again", one.repeated),
        _points("New", one.new),
        Points("Gone since:", tuple(_says(finding) for finding in one.gone))
        if one.gone
        else Points("Gone since: none."),
        Points("Struts on the step asked:", tuple(_struts(one))),
    )
    return Section(f"{one.rig}: entry {one.later}, {before}", blocks)


def _points(lead: str, found: Iterable[Again]) -> Points:
    items = tuple(f"{_says(one.finding)} (since {one.since}, {one.times} in a row)" for one in found)
    return Points(f"{lead}: {len(items)}", items) if items else Points(f"{lead}: none.")


def _says(one: KeptFinding) -> str:
    return f"{one.severity.upper()} {one.rule}: {one.what}"


def _struts(one: Since) -> Iterable[str]:
    for struts, before in one.struts:
        was = "" if before is None else f", {before} the audit before"
        wanted = "" if struts.wanted is None else f", {struts.wanted} wanted"
        yield f"{struts.label}: {struts.today} {struts.step}{was}; {struts.book} by the book{wanted}"


def _whole(one: Entry) -> Section:
    items = tuple(f"{_says(finding)}; {finding.where or 'place unknown'}" for finding in one.findings)
    return Section(f"Entry {one.number} in full", (Points(f"{one.kind} of {one.on}, receipt {one.hash}", items),))
