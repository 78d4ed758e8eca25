"""A cache: the counted parts of one rig or store, where they are, and what state they are in."""

from datetime import date
from functools import cached_property
from typing import Literal, Self

from pydantic import Field, model_validator

from cache_check.errors import summed
from cache_check.model.family import Catalogue
from cache_check.model.quantities import Day, Length, LengthOrZero, Mass, ShortLength
from cache_check.model.record import Count, Flag, Name, Pieces, Placed, Record, Text
from cache_check.model.rule import Setting
from cache_check.units import System

Status = Literal["in service", "repair", "loaned", "missing", "training", "retired", "quarantined", "unknown"]
Label = Literal["legible", "unreadable", "unknown"]


def folded(serial: str) -> str:
    """A serial as it is compared: neither case nor spaces tell two pieces apart."""
    return "".join(serial.casefold().split())


def same_place(one: str, two: str) -> bool:
    """Whether two places are the same but for case and spaces."""
    return " ".join(one.casefold().split()) == " ".join(two.casefold().split())


class Item(Record):
    """One physical piece of a part type.  A blank date or label is unknown, never fine.

    ``measured`` is the thinnest place of a chain's worst link, ``acquired`` the day from which webbing ages.
    ``points_usable`` None is all that the piece was made with.  A piece of a lot has no serial.
    """

    serial: Name
    part: Placed
    rig: Placed
    where: Text = ""
    status: Status = "in service"
    acquired: Day | None = None
    inspected: Day | None = None
    expires: Day | None = None
    label: Label | None = None
    points_usable: Count | Literal["unknown"] | None = None
    measured: Length | None = None
    condition: Text = ""
    tag: Text = ""
    note: Text = ""


class Stock(Record):
    """How many of one part type a rig holds.  ``count`` None means that nobody counted.

    ``out`` counts pieces without serials that are not in service.  Items are among the count.  ``inspected``,
    ``label`` and ``made`` (the day from which webbing ages) are of every piece that does not say otherwise.
    """

    part: Placed
    rig: Placed
    count: Pieces | None
    out: dict[Status, Pieces] = Field(default_factory=dict)
    where: Text = ""
    inspected: Day | None = None
    label: Label | None = None
    made: Day | None = None
    items: tuple[Item, ...] = ()

    @property
    def in_service(self) -> int:
        """How many pieces without serials are in service."""
        return (self.count or 0) - len(self.items) - sum(self.out.values())

    @property
    def pieces(self) -> tuple[tuple[Item, int], ...]:
        """Every piece with a serial, and those without, one for each state, each with how many there are."""
        numbers: dict[Status, int] = {"in service": self.in_service, **self.out}
        lots = ((self.piece(status), number) for status, number in numbers.items() if number > 0)
        return (*((item, 1) for item in self.items), *lots)

    def piece(self, status: Status = "in service") -> Item:
        """A piece of the lot in a state, with all that is known of it."""
        return Item.model_construct(
            serial="", part=self.part, rig=self.rig, where=self.where, status=status, acquired=self.made,
            inspected=self.inspected, label=self.label,
        )  # fmt: skip

    @model_validator(mode="after")
    def _no_more_than_counted(self) -> Self:
        named = len(self.items) + sum(self.out.values())
        if self.count is None and (self.out or self.items):
            raise ValueError("pieces are listed, so the count is known; write it")
        if self.count is not None and named > self.count:
            raise ValueError(f"{named} pieces are listed under a count of {self.count}")
        return self


class Compartment(Record):
    """A place on the rig where ready sets lie; ``clearance`` is what the latch and hands need."""

    id: Placed
    rig: Placed
    length: ShortLength
    width: ShortLength | None = None
    height: ShortLength | None = None
    clearance: LengthOrZero = 0
    carries: Mass | None = None
    diagonal: Flag = False


class ReadySet(Record):
    """An assembly left built on the rig: its parts, ground to load, and where it lies."""

    id: Placed
    rig: Placed
    parts: tuple[Name, ...] = Field(min_length=1)
    where: Text = ""
    serials: tuple[Name, ...] = ()


class Stated(Record):
    """What the book of a rig says once, of all pieces that do not say otherwise."""

    rig: Name
    inspected: date | None = None
    label: Label | None = None
    made: date | None = None


class Source(Record):
    """A file that was read: its path as given and the SHA-256 of its bytes."""

    path: Text
    sha256: Text


class Cache(Record):
    """One rig's cache, or that of all ``rigs`` pooled as one; part counts of a pool stay apart by rig in ``stock``."""

    id: Name
    title: Name
    units: System
    book_date: date | None = None
    rig_dates: tuple[tuple[Name, date | None], ...] = ()
    catalogue: Catalogue
    stock: tuple[Stock, ...] = ()
    compartments: tuple[Compartment, ...] = ()
    ready_sets: tuple[ReadySet, ...] = ()
    unseen: tuple[tuple[str, str], ...] = ()  # ids of ready sets that a count does not vouch for, each with why not
    settings: tuple[Setting, ...] = ()
    rigs: tuple[Name, ...]
    stated: tuple[Stated, ...] = ()
    sources: tuple[Source, ...] = ()

    @property
    def book_dates(self) -> tuple[tuple[str, date | None], ...]:
        """The book date of each rig."""
        return self.rig_dates or tuple((rig, self.book_date) for rig in self.rigs)

    @cached_property
    def counted(self) -> dict[str, int]:
        """Pieces on the book by part id; a part that nobody counted is left out."""
        return dict(summed((line.part, line.count) for line in self.stock if line.count is not None))

    @cached_property
    def uncounted(self) -> tuple[str, ...]:
        """Part ids of which at least one rig's count is unknown."""
        return tuple(dict.fromkeys(line.part for line in self.stock if line.count is None))
