"""Families: parts whose ends mate without an adapter, their connectors, and the charts they are rated by."""

from collections import Counter
from functools import cached_property
from typing import Literal, Self

from pydantic import Field, model_validator

from cache_check.model.part import Part
from cache_check.model.quantities import Day, Factor, Force, ShortLength
from cache_check.model.record import Answering, Name, Placed, Record, Text

CAPTIVE = "captive"  # written where a joint carries its own pin, so that none is counted loose
IN_A_LINE = 60  # so many letters of a title can be said in a line with others


class Mate(Record):
    """Two connectors of unlike name that mate all the same, and the pin that their joint takes."""

    ends: tuple[Name, Name]
    pin: Name = CAPTIVE


class ChartRow(Record):
    """One row of a load chart: at or under ``length``, the load with 0, 1, 2 ... extensions; None is unrated."""

    length: ShortLength
    loads: tuple[Force | None, ...]


class Chart(Answering):
    """A load chart as the family's sheet prints it.

    ``bodies`` empty means all bodies of the family.  It speaks for complete struts of the family's own parts.
    """

    id: Name
    family: Placed
    bodies: tuple[Name, ...] = ()
    states: Literal["failure load", "rated load"]
    factor: Factor | None = None
    edition: Text = ""
    dated: Day | None = None
    rows: tuple[ChartRow, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _rows_in_order(self) -> Self:
        lengths = [row.length for row in self.rows]
        if sorted(set(lengths)) != lengths:
            raise ValueError("the rows do not rise in length; sort them, each length once")
        if self.states == "failure load" and self.factor is not None:
            raise ValueError("factor belongs to a chart of rated loads; a failure load has none")
        return self


class Family(Record):
    """A family.  ``connectors`` gives each connector name the pin that its joints take ("captive": none loose)."""

    id: Name
    title: Text = ""
    connectors: dict[Name, Name] = Field(default_factory=dict)
    mates: tuple[Mate, ...] = ()
    charts: tuple[Chart, ...] = ()
    sheet: Text = ""


class Catalogue(Record):
    """Every part type that is spoken of, with its families, in the order of the files."""

    families: tuple[Family, ...] = ()
    parts: tuple[Part, ...] = ()
    doubted: frozenset[str] = frozenset()  # parts of which an unlikely limit was taken out as not known

    @cached_property
    def by_id(self) -> dict[str, Part]:
        """Part types by id."""
        return {part.id: part for part in self.parts}

    @cached_property
    def family(self) -> dict[str, Family]:
        """Families by id."""
        return {family.id: family for family in self.families}

    @cached_property
    def pin_of(self) -> dict[str, str]:
        """For each connector name, the id of the loose pin of its joints, or "captive"."""
        return {name: pin for family in self.families for name, pin in family.connectors.items()}

    def captive(self, part: str) -> bool:
        """Whether a joint of a part takes a pin of the part's own, without which it cannot be built."""
        return any(self.pin_of.get(end.name) == CAPTIVE for end in self.by_id[part].ends)

    @cached_property
    def short_names(self) -> dict[str, str]:
        """For each part id, the shortest name that still tells it apart."""
        seen = Counter(part.name for part in self.parts)
        return {part.id: part.name if seen[part.name] == 1 else part.id for part in self.parts}

    @cached_property
    def said(self) -> dict[str, str]:
        """For each part id, what people call it: its title if that is short and its alone, else its short name."""
        short = self.short_names
        titles = Counter([part.title for part in self.parts] + list(short.values()))
        own = {one.id: one.title for one in self.parts if titles[one.title] == 1 and 0 < len(one.title) <= IN_A_LINE}
        return short | own
