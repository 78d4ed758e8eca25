"""A count: what an inspector found, line by line, on a sheet made from the book; blank is not looked at, never fine."""

from datetime import date
from typing import Annotated, Literal

from cache_check.frozen import dataclass
from cache_check.model.cache import Status
from cache_check.model.quantities import Day, Length
from cache_check.model.record import Count, Flag, Name, Pieces, Record, Text
from cache_check.units import System

OF_LOT = "without serial "  # before the number by which a piece of a lot is told apart, in place of a serial


class CountLine(Record):
    """What was found of a lot of one part, or of one piece by its serial (``found`` 0 or 1)."""

    part: Name
    serial: Text = ""
    where: Annotated[Text, "where it was found, if not where the book says"] = ""
    rig: Annotated[Text, "the rig that it is marked for, if another"] = ""
    found: Pieces | None = None
    usable: Annotated[Pieces | None, "how many of those found are fit"] = None
    state: Status | None = None
    label: Literal["legible", "unreadable", "unknown"] | None = None
    inspected: Day | None = None
    acquired: Day | None = None
    expires: Day | None = None
    points: Count | None = None
    pins: Annotated[Flag | None, "whether their pins and keepers are with them"] = None
    measured: Length | None = None
    condition: Text = ""
    edition: Annotated[Text, "the chart edition that its label names"] = ""
    tag: Text = ""
    initials: Text = ""
    second: Text = ""
    note: Text = ""


class SetLine(Record):
    """What was found of one ready set: built and there, where, and held from moving."""

    id: Name
    found: Flag | None = None
    held: Flag | None = None
    where: Text = ""
    second: Text = ""
    note: Text = ""


class CountSheet(Record):
    """A filled count sheet.  ``book`` is the hash of the book that it was made from."""

    rig: Name
    units: System | None = None
    on: Day | None = None
    by: Text = ""
    second: Text = ""
    book: Text = ""
    lines: tuple[CountLine, ...] = ()
    sets: tuple[SetLine, ...] = ()
    path: Text = ""
    sha256: Text = ""


@dataclass(frozen=True)
class SheetLine:
    """One line of a sheet to be filled in."""

    place: str
    part: str  # a ready set has none
    serial: str
    book: int | None  # how many pieces should be found there; None: nobody knows
    says: str
    ready_set: str = ""
    kind: str = ""  # of part
    points: int = 0  # that a base was made with; 0: it has none


@dataclass(frozen=True)
class BlankSheet:
    """A count sheet in drawer order, to be filled in."""

    rig: str
    title: str
    units: System
    book_date: date | None
    book: str
    names: tuple[tuple[str, str], ...]
    lines: tuple[SheetLine, ...]
    top: tuple[tuple[str, str], ...]  # the words above its table, each with its value
    heads: tuple[str, ...]  # those of the table, with units
