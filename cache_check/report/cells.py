"""Cells of tables, for people and as data: one head for every run, each verdict in a column of its own.

In a head "#" stands before what holds figures, and {length}, {force} and {mass} where its unit goes.  A cell of None is
blank in data: not asked, not known or none.
"""

from collections.abc import Iterable
from fractions import Fraction

from cache_check.model.assembly import Assembly, Span
from cache_check.model.counting import STEPS, NeedAsked, SceneAnswer, SceneServed, Tally
from cache_check.model.rule import RuleBook, Setting
from cache_check.model.verdict import OF_STATE, Verdict
from cache_check.report import told_rules
from cache_check.report.page import Cell, Rows
from cache_check.report.say import Say

ENDS = "#closed, {length}|#open, {length}"
STACK = f"parts, ground to load|{ENDS}|#extensions|#joints|" + "#weight, {mass}"
ASKED = (  # what a need asks, in this order wherever it is told
    "#from, {length}|#to, {length}|contact|#load along each, {force}|#upright load on each, {force}|#angle, deg"
    "|#factor|#wanted"
)
TALLIES = f"need or length|{ASKED}|{'|'.join(f'#{step}' for step in STEPS)}|verdict|verdict with one missing"
SETTINGS = "rule|sets|to|unit|family|for rig|by|why"


def yes(one: bool) -> str:
    """A yes or a no."""
    return "yes" if one else "no"


def text(value: told_rules.Value) -> str:
    """A value of a rule as a cell."""
    return yes(value) if isinstance(value, bool) else ", ".join(value) if isinstance(value, list) else str(value)


def said(verdict: Verdict | None) -> str | None:
    """A verdict, and nothing where nothing was wanted."""
    return verdict and verdict.upper()


def verdicts(of: Tally | SceneAnswer | SceneServed) -> tuple[Cell, Cell]:
    """The verdict on something, and that with any one piece missing, where that was asked."""
    return said(of.verdict), None if of.missing is None else OF_STATE[of.missing.state].upper()


def span(one: Span | None, say: Say) -> tuple[Cell, Cell]:
    """Lengths from and to, rounded inwards."""
    return (say.bare_length(one[0], "up"), say.bare_length(one[1], "down")) if one else (None, None)


def down(load: Fraction | None, say: Say) -> str | None:
    """A capacity; nothing where it is unrated."""
    return None if load is None else say.bare_down(load)


def up(load: Fraction | None, say: Say) -> str | None:
    """A demand; nothing where it is not known."""
    return None if load is None else say.bare_up(load)


def number(one: Fraction | None) -> str | None:
    """A bare figure, to the sixth digit after the point, never with an exponent."""
    return None if one is None else f"{float(one):.6f}".rstrip("0").rstrip(".")


def stack(one: Assembly, say: Say, unknown: Cell = None) -> tuple[Cell, ...]:
    """The cells of ``STACK``; ``unknown`` stands for a weight that is not known."""
    mass = unknown if one.mass is None else say.bare_mass(one.mass)
    return (say.stack(one.parts), *span((one.closed, one.open), say), one.extensions, one.joints, mass)


def asked(one: Tally | NeedAsked, say: Say) -> tuple[Cell, ...]:
    """The cells of ``ASKED``; a load is told as it was put, along the strut or upright."""
    ends = (say.asked(length, length) for length in (one.shortest, one.longest))
    along = up(one.load, say) if one.vertical is None else None
    return (*ends, one.contact, along, up(one.vertical, say), number(one.angle_deg), number(one.factor), one.wanted)


def tallies(each: Iterable[Tally], say: Say) -> Rows:
    """A row for each need or length, under ``TALLIES``."""
    return ((one.label, *asked(one, say), *map(one.count, STEPS), *verdicts(one)) for one in each)


def settings(changes: Iterable[Setting], book: RuleBook) -> Rows:
    """A row for each value that a setting sets, in SI with its unit beside it, as in JSON."""
    for setting in changes:
        one = told_rules.setting(setting, book)
        state = [] if one.on is None else [("in force", yes(one.on), None)]
        state += [] if one.severity is None else [("severity", one.severity, None)]
        values = ((of.name, text(of.value), of.value_unit) for of in one.values)
        yield from ((one.rule, *value, one.family, one.rig, one.by, one.why) for value in (*state, *values))
