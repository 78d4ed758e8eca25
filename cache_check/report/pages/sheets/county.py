"""The county index: a row for each rig, the rigs side by side, what falls due, and links to each rig's sheets."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from typing import Any

from cache_check.model.counting import Step
from cache_check.model.piece import Why
from cache_check.model.report import CountyIndex, OfficeResult, RigShown
from cache_check.model.result import CheckResult
from cache_check.report import basis, findings, lengths, of_check, of_county
from cache_check.report.answer import Told
from cache_check.report.page import Cell, Points, Table, plain, short, table
from cache_check.report.pages.shell import Part, Sheet, Widget, rests_on
from cache_check.report.say import Say, counted

KIND, NAME, ORDER, OF = "county", "County", 10, "county"
MOST_DUE = 4
_OF_ALL = ("rigs", "book_dates", "rules_off", "factors", "above_mark", "changes", "on_word")  # of any is of all
_RIGS = (
    "rig|counted on|#bodies on the book|#usable|reach|#blind spots|#most assembled at once|"
    "#most restrained at once|needs|findings"
)
ENDS = {Why.EXPIRED: "last day", Why.OVERDUE: "inspection", Why.OVER_AGE: "age"}


def sheet(index: CountyIndex, told: Told, _key: str) -> Sheet:
    """The page, in the units of the first cache."""
    say = Say(index.rigs[0].basis.units, ())
    parts = (Part("Rig by rig", (table(_RIGS, (_rig(one, say) for one in index.rigs)), lengths.NOT_TOGETHER_AT_ONE)),
             Part("Blind spots", (_blind_spots(index, say),)),
             Part("Sheets of each rig", (Widget("links.html.j2", "", "", {"rigs": index.rigs}),)),
             *sided(index), Part("What falls due next", tuple(_due(index))),
             *(rests_on(one.basis, told, f"What {one.title} rests on") for one in index.rigs))  # fmt: skip
    return Sheet("county", f"{counted(len(index.rigs), 'rig')} of the county", _rests(index), parts)


def _rests(index: CountyIndex) -> Points:
    """What all of it rests on; a design factor for each rig where they differ."""
    each = [one.basis for one in index.rigs]
    of_all: Any = {name: tuple(dict.fromkeys(said for one in each for said in getattr(one, name))) for name in _OF_ALL}
    settings = tuple(setting for one in each for setting in one.settings)
    whole = basis.head(replace(each[0], **of_all, settings=settings, pooled=False))
    if len({one.factor for one in each}) == 1:
        return whole
    own = ", ".join(f"{one.title} {basis.factors(one.basis)}" for one in index.rigs if one.basis.factor)
    items = (f"design factor: {own}" if item.startswith("design factor:") else item for item in whole.items)
    return Points(whole.lead, tuple(items))


def _rig(one: RigShown, say: Say) -> tuple[Cell, ...]:
    dates = ", ".join(basis.day(day) for _, day in one.basis.book_dates)
    if one.check is None:
        return (one.title, dates, *[f"NOT PROVEN: {one.unproven}" if n == 2 else "" for n in range(8)])
    bodies = [line for line in one.check.parts if line.kind == "body"]
    unknown = ", some unknown" if any(line.on_book is None for line in bodies) else ""
    return (one.title, dates, f"{sum(line.on_book or 0 for line in bodies)}{unknown}",
            sum(line.usable for line in bodies), say.reachable(one.check.reach.union),
            len(one.check.reach.blind_spots) if one.check.reach.count else "no reach",
            _most(one.check, "assembled at once"), _most(one.check, "restrained"), of_check.needs_met(one.check),
            findings.by_severity(one.check.findings))  # fmt: skip


def _most(check: CheckResult, step: Step) -> str:
    """The most struts at once at any one length; not known where nothing says what that step is, or it is untold."""
    for one in check.profiles:
        if one.step == step:
            most = max((stretch.count for stretch in one.stretches), default=0)
            return str(most) if one.proven else f"{most} found, not proven"
    return "NOT KNOWN"


def _blind_spots(index: CountyIndex, say: Say) -> Points:
    reaches = ((one.title, one.check.reach) for one in index.rigs if one.check is not None)
    said = tuple(f"{title}: {'; '.join(lengths.blind_spots(reach, say)) or 'none'}" for title, reach in reaches)
    return Points("Lengths between the shortest and the longest that no assembly of a rig covers:", said)


def sided(one: CountyIndex | OfficeResult) -> Iterator[Part]:
    """The rigs side by side, or why that is not proven."""
    if one.unsided:
        yield Part(of_county.SIDE_BY_SIDE, (f"NOT PROVEN: {one.unsided}",))
    elif one.side is not None:
        yield Part(of_county.SIDE_BY_SIDE, of_county.blocks(one.side, of_county.POOLED))


def _due(index: CountyIndex) -> Iterator[Table | str | Points]:
    yield (
        "The soonest last days of usable pieces, if nobody inspects or replaces them before. The day itself still "
        "counts. What is overdue already is among each rig's findings."
    )
    rows = []
    for rig, due in ((one, due) for one in index.rigs for due in one.due[:MOST_DUE]):
        name = dict(rig.names).get(due.part, due.part)
        piece = f"{name} {short(due.serial, 40)}" if due.serial else f"{due.number} x {name}"
        rows.append((rig.title, str(due.on - timedelta(1)), ENDS.get(due.why, due.why.text), piece))
    if rows:
        yield table("rig|day|what ends|piece", rows)
    more = (f"{one.title}: {len(one.due) - MOST_DUE} later" for one in index.rigs if len(one.due) > MOST_DUE)
    blank = (f"{one.title}: {counted(one.undated, 'piece')} without a day" for one in index.rigs if one.undated)
    if said := tuple(map(plain, (*more, *blank))):
        yield Points("Not in the table; a piece without a day is UNKNOWN here, not fine:", said)
