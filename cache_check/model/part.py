"""Parts: what a piece of the cache is, how long (what it adds between its two seats), and where it may be joined."""

from typing import Annotated, Any, Literal, Self

from pydantic import Field, field_validator, model_validator

from cache_check.model.quantities import Factor, Force, Length, LengthOrZero, Mass, ShortLength
from cache_check.model.record import Answering, Count, Flag, Name, Placed, Record, Text, Word

Kind = Literal["body", "extension", "adapter", "fitting", "pin", "strap", "chain", "hardware", "pad"]
LINEAR: tuple[Kind, ...] = ("body", "extension", "adapter", "fitting")
TIES: tuple[Kind, ...] = ("strap", "chain")
MOST_HOLES = 200  # more holes than this are in no body; each is a length at which counts can change


class End(Record):
    """One end of a part: its connector, and which kinds of part may meet it there.

    A connector is a name, alone or with "plug" or "socket": equal bare names mate, a plug mates the socket
    of its name.  ``takes`` None means whatever mates.
    """

    connector: Name
    takes: frozenset[Kind] | None = None

    @model_validator(mode="before")
    @classmethod
    def _from_text(cls, value: Any) -> Any:
        return {"connector": value} if isinstance(value, str) else value

    @property
    def name(self) -> str:
        """The connector's name without its gender."""
        return self.connector.removesuffix(" plug").removesuffix(" socket")

    @property
    def gender(self) -> Literal["", "plug", "socket"]:
        """The gender: plug, socket, or empty where the connector has none."""
        return "plug" if self.connector.endswith(" plug") else "socket" if self.connector.endswith(" socket") else ""


class Strength(Record):
    """What a part holds: a failure load, or a rated load with the design factor it was rated at.

    A rated load whose factor is not stated cannot be re-rated at another factor.
    """

    failure_load: Force | None = None
    rated_load: Force | None = None
    factor: Factor | None = None

    @model_validator(mode="after")
    def _one_of_them(self) -> Self:
        if (self.failure_load is None) == (self.rated_load is None):
            raise ValueError("state either failure_load, or rated_load with its factor")
        if self.failure_load is not None and self.factor is not None:
            raise ValueError("factor belongs to rated_load; a failure load has none")
        return self


class PartBase(Answering):
    """What every part type has.  ``id`` is "family/name"; the family of a part made up in a cache is that cache."""

    id: Placed
    family: Placed
    title: Text = ""
    mass: Mass | None = None
    strength: Strength | None = None
    note: Text = ""

    @property
    def name(self) -> str:
        """The id without its family."""
        return self.id.rpartition("/")[2]

    @property
    def points_made(self) -> int:
        """The attachment points that a base was made with; none of any other part."""
        return len(getattr(self, "points", ())) if "base" in getattr(self, "serves", ()) else 0

    @property
    def ends(self) -> tuple[End, ...]:
        """Its ends, if it is a piece of a strut."""
        named = (getattr(self, name, None) for name in ("lower", "upper", "end"))
        return tuple(end for end in named if isinstance(end, End))


class TwoEnded(PartBase):
    """A linear part with a lower and an upper end, as its maker names them."""

    lower: End
    upper: End
    either_way_up: Flag = False

    @model_validator(mode="before")
    @classmethod
    def _ends_of_the_family(cls, value: Any) -> Any:
        if isinstance(value, dict) and cls is not Adapter:  # whose unsaid end would join what it was not made for
            own = {"connector": value.get("family")}
            return {"lower": own, "upper": own} | value
        return value


class Holes(Record):
    """Where a holes-only body locks: every ``pitch`` from ``first`` (its closed length unless said).

    ``fine`` is the travel of a fine screw above each hole.
    """

    pitch: Length
    first: Length | None = None
    fine: LengthOrZero = 0


class Body(TwoEnded):
    """A strut body: closed and open effective lengths, and how it locks between them.

    ``open`` already respects minimum insertion; ``pull_apart``, where known, is where the inner tube leaves.
    """

    kind: Literal["body"] = "body"
    closed: Length
    open: ShortLength
    lock: Literal["collar", "holes", "pin only", "unknown"] = "unknown"
    holes: Holes | None = None
    pull_apart: ShortLength | None = None

    @model_validator(mode="after")
    def _lengths_agree(self) -> Self:
        if self.open < self.closed:
            raise ValueError("'open' is shorter than 'closed'; check the two lengths")
        if self.pull_apart is not None and self.pull_apart <= self.open:
            raise ValueError("pull_apart is where the inner tube leaves, so it is longer than open")
        if (self.lock == "holes") != (self.holes is not None):
            raise ValueError('lock: holes and the entry "holes" (pitch, first, fine) go together')
        if self.holes and self.holes.first is not None and not self.closed <= self.holes.first <= self.open:
            raise ValueError("holes.first lies outside closed to open")
        if self.holes and (number := (self.open - self.closed) // self.holes.pitch + 1) > MOST_HOLES:
            raise ValueError(f"holes.pitch makes {number:,} holes, and no body has over {MOST_HOLES}; check its unit")
        return self


class Extension(TwoEnded):
    """A fixed-length piece between body and fittings."""

    kind: Literal["extension"] = "extension"
    length: Length


class Adapter(TwoEnded):
    """A fixed piece that joins two families; it belongs to neither."""

    kind: Literal["adapter"] = "adapter"
    length: LengthOrZero


class Point(Record):
    """One attachment point; a working load limit of None is unknown."""

    wll: Force | None = None


class Footprint(Record):
    """Length and width of what stands on the ground."""

    length: ShortLength
    width: ShortLength


class Fitting(PartBase):
    """An end fitting: a base, a head, or either."""

    kind: Literal["fitting"] = "fitting"
    adds: LengthOrZero
    serves: frozenset[Literal["base", "head"]] = Field(min_length=1)
    end: End
    points: tuple[Point, ...] = ()
    footprint: Footprint | None = None
    contacts: frozenset[Word] = frozenset()
    index: Text = ""

    @model_validator(mode="before")
    @classmethod
    def _as_written(cls, value: Any) -> Any:
        if not isinstance(value, dict):
            return value
        value = {"end": {"connector": value.get("family")}} | value
        points = value.get("points")
        if isinstance(points, int) and not isinstance(points, bool) and 0 <= points <= 20:
            value["points"] = ({},) * points
        if isinstance(value.get("serves"), str):
            value["serves"] = [value["serves"]]
        return value


class Pin(PartBase):
    """A loose joint pin."""

    kind: Literal["pin"] = "pin"


class Beside(PartBase):
    """A part that stands in no strut.  A strength would be taken for its limit and rate nothing, so it is refused."""

    @model_validator(mode="after")
    def _no_strength(self) -> Self:
        if self.strength is not None:
            raise ValueError(
                "strength is of parts of a strut and of pins; what a strap, chain or hardware holds is wll"
            )
        return self


class Tie(Beside):
    """What straps and chains share.

    ``wll`` is the marked limit; unmarked, the default of the size and grade governs.  ``needs`` is the hardware that
    each piece takes into use, by part name or id: {} (written "none" too) where it takes none, None where nobody says.
    """

    wll: Force | None = None
    size: Length | None = None
    length: ShortLength | None = None
    needs: dict[Name, Count] | None = None

    @field_validator("needs", mode="before")
    @classmethod
    def _none_needed(cls, value: Any) -> Any:
        return {} if value == "none" else value

    @property
    def hardware(self) -> dict[str, int]:
        """The hardware that each piece takes into use, as far as anybody says."""
        return self.needs or {}


class Strap(Tie):
    """A web strap."""

    kind: Literal["strap"] = "strap"


class Chain(Tie):
    """A chain; an unmarked one is taken as grade 30."""

    kind: Literal["chain"] = "chain"
    grade: Literal[30, 43, 70, 80, 100] | None = None


class Hardware(Beside):
    """A binder, hook, shackle or other anchor hardware."""

    kind: Literal["hardware"] = "hardware"
    wll: Force | None = None


class Pad(Beside):
    """A pad that spreads a base on soft ground."""

    kind: Literal["pad"] = "pad"
    footprint: Footprint | None = None


Part = Annotated[
    Body | Extension | Adapter | Fitting | Pin | Strap | Chain | Hardware | Pad, Field(discriminator="kind")
]
