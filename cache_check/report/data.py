"""Tables of data of what a cache can do: one head for every run, a row a thing, each verdict in a column of its own.

In a head "#" stands before what holds figures, and {length}, {force} and {mass} where its unit goes.  A cell of None is
blank: not asked, not known or none.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly, Span
from cache_check.model.counting import STEPS, NeedAsked, SceneAnswer, Tally
from cache_check.model.finding import Finding
from cache_check.model.result import BuildResult, CheckResult, MatchedSet, PartLine, Profile, Reach
from cache_check.model.rule import RuleBook, Setting
from cache_check.model.verdict import OF_STATE, Link, Verdict
from cache_check.report import told_rules
from cache_check.report.say import Say

if TYPE_CHECKING:
    from cache_check.model.audit import AuditResult

Cell = str | int | None
Rows = Iterable[tuple[Cell, ...]]
ENDS = "#closed, {length}|#open, {length}"
STACK = f"parts, ground to load|{ENDS}|#extensions|#joints|" + "#weight, {mass}"
ASKED = (
    "#from, {length}|#to, {length}|contact|#load along each, {force}|#upright load on each, {force}|#angle, deg"
    "|#factor|#wanted"
)
"""What a need asks, in this order wherever it is told."""
_STEPS = "|".join(f"#{step}" for step in STEPS)
_BOTH = "|".join(f"#{step} {when}" for step in STEPS for when in ("by the book", "today"))


@dataclass(frozen=True)
class Data:
    """The head of a table, its rows of a result (what was ``told`` beside the results comes last), why it has none.

    A table that was not worked out is refused: without rows it would say that there is nothing.
    """

    heads: str
    rows: Callable[[Any, Say, Any], Rows]
    untold: Callable[[Any], str | None] = lambda _: None


def _untold(part: str) -> Callable[[Any], str | None]:
    return lambda result: dict(result.untold).get(part)


def yes(one: bool) -> str:
    """A yes or a no."""
    return "yes" if one else "no"


def text(value: told_rules.Value) -> str:
    """A value of a rule as a cell."""
    return yes(value) if isinstance(value, bool) else ", ".join(value) if isinstance(value, list) else str(value)


def said(verdict: Verdict | None) -> str | None:
    """A verdict, and nothing where nothing was wanted."""
    return verdict and verdict.upper()


def missing(link: Link | None) -> str | None:
    """The verdict with any one piece missing, where that was asked."""
    return None if link is None else OF_STATE[link.state].upper()


def span(one: Span | None, say: Say) -> tuple[Cell, Cell]:
    """Lengths from and to, rounded inwards."""
    return (say.bare_length(one[0], "up"), say.bare_length(one[1], "down")) if one else (None, None)


def down(load: Fraction | None, say: Say) -> str | None:
    """A capacity; nothing where it is unrated."""
    return None if load is None else say.bare_down(load)


def number(one: Fraction | None) -> str | None:
    """A bare figure, to the sixth digit after the point, never with an exponent."""
    return None if one is None else f"{float(one):.6f}".rstrip("0").rstrip(".")


def up(load: Fraction | None, say: Say) -> str | None:
    """A demand; nothing where it is not known."""
    return None if load is None else say.bare_up(load)


def stack(one: Assembly, say: Say) -> tuple[Cell, ...]:
    """The cells of ``STACK``."""
    mass = None if one.mass is None else say.bare_mass(one.mass)
    return (say.stack(one.parts), *span((one.closed, one.open), say), one.extensions, one.joints, mass)


def asked(one: Tally | NeedAsked, say: Say) -> tuple[Cell, ...]:
    """The cells of ``ASKED``; a load is told as it was put, along the strut or upright."""
    return (
        say.bare_length(one.shortest, "nearest"),
        say.bare_length(one.longest, "nearest"),
        one.contact,
        up(one.load, say) if one.vertical is None else None,
        up(one.vertical, say),
        number(one.angle_deg),
        number(one.factor),
        one.wanted,
    )


def tallies(each: Iterable[Tally], say: Say) -> Rows:
    """A row for each need or length, under ``TALLIES``."""
    for one in each:
        yield one.label, *asked(one, say), *map(one.count, STEPS), said(one.verdict), missing(one.missing)


def _scenes(scenes: Iterable[SceneAnswer]) -> Rows:
    for one in scenes:
        for need, wanted, served in one.by_need:
            yield one.title or one.scene, need, wanted, served, said(one.verdict), missing(one.missing)


def _brings(scenes: Iterable[SceneAnswer], say: Say) -> Rows:
    for one in scenes:
        for rig in one.brings:
            yield from ((one.title or one.scene, rig.rig, say.name(part), number) for part, number in rig.pieces)


def _losses(result: CheckResult, say: Say) -> Rows:
    losses = result.losses
    if losses is None:
        return
    for one in losses.parts:
        figures = zip(losses.wanted, losses.served, one.one, one.none, strict=True)
        for (scene, title, _), of in zip(losses.scenes, figures, strict=True):
            yield say.name(one.part), one.usable, title or scene, *of


def _reach(reach: Reach, say: Say) -> Rows:
    for role, part, spans in (("any", None, reach.union), *reach.by_fitting):
        yield from ((role, part and say.name(part), *span(one, say)) for one in spans)


def _assemblies(reach: Reach, say: Say) -> Rows:
    for one in reach.assemblies:
        settings = len(one.spans)
        yield (
            *stack(one, say),
            None if settings == 1 and one.closed < one.open else settings,
        )


def _profiles(profiles: Iterable[Profile], say: Say) -> Rows:
    """A row for each stretch of lengths, rounded inwards; whether its very ends have the same count stands beside."""
    for of in profiles:
        for one in of.stretches:
            low, high = span((one.low, one.high), say)
            yield of.step, low, yes(one.low_included), high, yes(one.high_included), one.count


def _matched(sets: Iterable[MatchedSet], say: Say) -> Rows:
    return ((one.count, one.step, *span(one.common, say)) for one in sets)


def _findings(found: Iterable[Finding], say: Say) -> Rows:
    for one in sorted(found, key=lambda one: one.order):
        part = say.name(one.part) if one.part else None
        yield one.severity, one.rule, one.rig, part, one.serial, one.where, one.what, one.remedy


def _parts(lines: Iterable[PartLine]) -> Rows:
    """A row for each part, and for each reason for which pieces of it do not count."""
    for one in lines:
        counts = (one.title or one.part.rpartition("/")[2], one.part, one.kind, one.on_book, one.usable)
        yield from ((*counts, number, why) for why, number in one.out or (("", 0),))


def settings(changes: Iterable[Setting], book: RuleBook) -> Rows:
    """A row for each value that a setting sets, in SI with its unit beside it, as in JSON."""
    for setting in changes:
        one = told_rules.setting(setting, book)
        state = [] if one.on is None else [("in force", yes(one.on), None)]
        state += [] if one.severity is None else [("severity", one.severity, None)]
        values = ((of.name, text(of.value), of.value_unit) for of in one.values)
        yield from ((one.rule, *value, one.family, one.rig, one.by, one.why) for value in (*state, *values))


def _built(result: BuildResult, say: Say) -> Rows:
    one, carries = result.verdict, result.carries
    rated = (down(carries.closed, say), down(carries.open, say)) if carries else (None, None)
    held = OF_STATE[carries.base.state].upper() if carries else None
    cells = stack(one.assembly, say) if one.assembly else (say.stack(one.parts), *(None,) * 5)
    yield *cells, yes(one.legal), len(one.broken), sum(want - have for _, want, have in one.short_of), *rated, held


def _compared(result: AuditResult) -> Rows:
    for one in result.compared:
        counts = (when.count(step) for step in STEPS for when in (one.book, one.today))
        each = (one.book, one.today)
        yield (one.label, one.today.wanted, *counts, *(said(when.verdict) for when in each),
               *(missing(when.missing) for when in each))  # fmt: skip


def _costs(result: AuditResult, say: Say) -> Rows:
    for one in result.costs:
        cause = one.cause
        weight = (None,) * 4 if one.untold else one.weight
        yield say.name(cause.part), cause.serial, cause.number, cause.why, cause.rule, *weight


def _falls(result: AuditResult, say: Say) -> Rows:
    for one in result.ahead.falls if result.ahead else ():
        yield one.on.isoformat(), say.name(one.part), one.serial, one.number, one.where, one.why, one.rule


TALLIES = f"need or length|{ASKED}|{_STEPS}|verdict|verdict with one missing"
PROFILES = Data(
    "step|#from, {length}|from included|#to, {length}|to included|#struts at once",
    lambda one, say, _: _profiles(one.profiles, say),
    _untold("how many at once, by length"),
)
REACH = Data("with|as the only one|#from, {length}|#to, {length}", lambda one, say, _: _reach(one.reach, say))
MATCHED = Data(
    "#struts at once|step|#common reach from, {length}|#common reach to, {length}",
    lambda one, say, _: _matched(one.matched, say),
)
FINDINGS = "severity|rule|found on|part|serial|place|what|do"
SETTINGS = "rule|sets|to|unit|family|for rig|by|why"
BASIS = Data(SETTINGS, lambda one, _, told: settings(one.basis.settings, told.rules))
CHECK: Mapping[str, Data] = {
    "needs": Data(TALLIES, lambda one, say, _: tallies(one.tallies, say), _untold("struts on each step")),
    "scenes": Data(
        "scene|need|#wanted|#served at once|verdict of the scene|verdict with one missing",
        lambda one, _, __: _scenes(one.scenes),
    ),
    "rigs": Data("scene|brought by|part|#pieces", lambda one, say, _: _brings(one.scenes, say)),
    "losses": Data(
        "part|#usable|scene|#struts wanted|#served|#served with one piece lost|#served with all lost",
        lambda one, say, _: _losses(one, say),
        _untold("what each part's loss costs"),
    ),
    "reach": REACH,
    "lengths": PROFILES,
    "sets": replace(MATCHED, untold=_untold("matched sets")),
    "gaps": Data(
        "what|#have|#want|#short|binds|rule",
        lambda one, say, _: ((g.what, g.have, g.want, g.short, yes(bool(g.binds)), g.rule) for g in one.gaps),
    ),
    "findings": Data(FINDINGS, lambda one, say, _: _findings(one.findings, say)),
    "parts": Data("part|id|kind|#on the book|#usable|#not usable|why", lambda one, _, __: _parts(one.parts)),
    "basis": BASIS,
}
REACHED: Mapping[str, Data] = {
    "lengths": PROFILES,
    "at": Data(TALLIES, lambda one, say, _: tallies((one.at,) if one.at else (), say)),
    "reach": REACH,
    "assemblies": Data(
        f"{STACK}|#settings, none where any",
        lambda one, say, _: _assemblies(one.reach, say),
        lambda one: f"--limit {one.reach.count} lists them" if one.reach.count and not one.reach.assemblies else None,
    ),
    "basis": BASIS,
}
BUILD: Mapping[str, Data] = {
    "built": Data(
        f"{STACK}|legal|#rules broken|#short|" + "#rated closed, {force}|#rated open, {force}|verdict on its base",
        lambda one, say, _: _built(one, say),
    ),
    "broken": Data(
        "severity|rule|title|what|do|source",
        lambda one, _, __: ((b.severity, b.rule, b.title, b.says, b.remedy, b.source) for b in one.verdict.broken),
    ),
    "basis": BASIS,
}
AUDIT: Mapping[str, Data] = {
    "findings": Data(FINDINGS, lambda one, say, _: _findings((each.finding for each in one.findings), say)),
    "needs": Data(
        f"need or length|#wanted|{_BOTH}|verdict by the book|verdict today|verdict with one missing by the book"
        "|verdict with one missing today",
        lambda one, _, __: _compared(one),
    ),
    "costs": Data(
        "part|serial|#pieces|why|rule|#needs met again if mended|#struts back|#needs it alone loses"
        "|#struts it alone takes",
        lambda one, say, _: _costs(one, say),
    ),
    "ahead": Data("first day out|part|serial|#pieces|place|why|rule", lambda one, say, _: _falls(one, say)),
    "basis": BASIS,
}
