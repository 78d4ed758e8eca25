"""What an audit answers: plain facts, in base units."""

from datetime import date
from typing import Annotated, Literal

from cache_check.frozen import dataclass
from cache_check.model.count import CountSheet
from cache_check.model.counting import Tally
from cache_check.model.finding import Finding
from cache_check.model.piece import Idle, Why
from cache_check.model.result import Answer
from cache_check.model.rule import Limit
from cache_check.model.told import UNTOLD, keys
from cache_check.model.verdict import Link, broken

Outcome = Literal["pass", "pass with fixes", "not known", "out of service", "not judged"]
"""From the best to the worst; "not known" where nothing stops the rig but not every line was looked at."""


@dataclass(frozen=True)
class Cause:
    """Pieces that do not count, or bases that lost attachment points (as ``does`` says), and the rule that says so."""

    rule: str
    part: str
    serial: Annotated[str, "empty for pieces of a lot"]
    number: int
    why: str
    remedy: str
    does: Literal["out", "points"]
    idle: Annotated[Idle, UNTOLD]


@dataclass(frozen=True)
class Cost:
    """What one cause costs."""

    cause: Cause
    back: Annotated[tuple[int, ...], "struts per need, given back if it alone is mended today"] = ()
    alone: Annotated[tuple[int, ...], "struts per need, taken from the book if it alone happens"] = ()
    met_again: Annotated[int, "needs that it alone makes met again"] = 0
    unmet_alone: Annotated[int, "needs that it alone makes unmet"] = 0
    untold: Annotated[str, "why none of these was worked out, where the time was up"] = ""

    @property
    def weight(self) -> Annotated[tuple[int, int, int, int], UNTOLD]:
        """What to sort by: needs met again, struts back, needs lost by it alone, struts lost by it alone."""
        return (self.met_again, sum(self.back), self.unmet_alone, sum(self.alone))


@dataclass(frozen=True)
class AuditFinding:
    """A finding, the pieces it is about, what it costs, and how often in a row it was found."""

    finding: Finding
    cost: Cost | None
    contained: Annotated[bool, "the piece that it names is already counted out, so tagging it is all that is to do"]
    times: Annotated[int, "the days on which it was found, this one too; 0: no record is kept"] = 0
    column: Annotated[str, "of a count sheet, shows it gone; empty: any look does; ``NEEDS``, ``WHOLE``: none"] = ""


@dataclass(frozen=True)
class Looked:
    """What a count looked at: part, serial (empty for a lot) and columns of each line; and what was left blank."""

    seen: Annotated[tuple[tuple[str, str, tuple[str, ...]], ...], keys("part serial columns")] = ()
    blank: Annotated[tuple[tuple[str, str], ...], keys("part serial")] = ()


@dataclass(frozen=True)
class Compared:
    """One need, or length: its tally by the book, on the book's day, and today, as counted."""

    label: str
    book: Tally
    today: Tally


@dataclass(frozen=True)
class Fall:
    """A piece usable today, or so many of a lot, that will not be: the first day that it is not, and why."""

    on: date
    part: str
    serial: str
    number: int
    where: str
    rule: str
    why: Why


@dataclass(frozen=True)
class Ahead:
    """What falls between today and a day to come, with nothing done about it."""

    until: date
    falls: tuple[Fall, ...]
    tallies: tuple[Tally, ...]
    steps: Annotated[tuple[Annotated[tuple[tuple[date, int], ...], keys("from_day count")], ...], "for each need"]


@dataclass(frozen=True)
class AuditVerdict:
    """The result, the policy that gives it, and the links that it is the worst of."""

    outcome: Outcome
    policy: str
    links: tuple[Link, ...]

    @property
    def why(self) -> tuple[str, ...]:
        """What keeps it from a pass, what does not hold before what nobody knows, each once."""
        held = (
            f"{'not known: ' if link.state == 'unknown' else ''}{link.why or link.name}" for link in broken(self.links)
        )
        return tuple(dict.fromkeys(held)) or ("nothing to fix",)


@dataclass(frozen=True)
class Kept:
    """Where an audit was kept: the record, the number of its entry and the hash that ends with it."""

    path: str
    entry: int
    hash: str


@dataclass(frozen=True)
class AuditResult(Answer):
    """The answer of ``audit`` for one rig."""

    count: CountSheet | None
    book: str
    book_on: Annotated[date | None, "the day that the book was judged on; None: no date has passed"]
    verdict: AuditVerdict
    compared: tuple[Compared, ...]
    costs: tuple[Cost, ...]
    findings: tuple[AuditFinding, ...]
    ahead: Ahead | None
    looked: Looked = Looked()
    limits: Annotated[tuple[Limit, ...], UNTOLD] = ()
    kept: Annotated[Kept | None, "there once the audit stands in a record"] = None
