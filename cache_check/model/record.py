"""The common base of everything a person writes, and the field types they share.

A quantity field holds its base unit: lengths whole nanometres, forces newtons, masses kilograms.
Code that already has base units passes them as they are.  A reader passes a validation context
``{"units": "us" | "si"}``; then a bare number takes the file's unit and text may carry its own.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Self, cast

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    PlainValidator,
    StrictBool,
    StrictInt,
    StringConstraints,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)
from pydantic.json_schema import SkipJsonSchema

from cache_check import units
from cache_check.model.told import Degrees, Kilograms, Newtons, Nm, Pascals


class Record(BaseModel):
    """A frozen record that refuses fields it does not know; a bare number stands for its text (``serial: 4711``)."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", arbitrary_types_allowed=True, defer_build=True, coerce_numbers_to_str=True
    )

    def changed(self, **fields: Any) -> Self:
        """A copy with some fields replaced by valid values; nothing worked out from the old ones is kept."""
        own = {name: getattr(self, name) for name in type(self).model_fields}
        return cast("Self", type(self).model_construct(**own | fields))


def _reader(
    dimension: units.Dimension, rounding: units.Rounding = "up"
) -> Callable[[object, ValidationInfo], Fraction | int]:
    def read(value: object, info: ValidationInfo) -> Fraction | int:
        if info.context is None and isinstance(value, int | Fraction) and not isinstance(value, bool):
            return value
        system = (info.context or {}).get("units")
        if dimension == "length":
            return units.length_nm(value, system, rounding)
        return units.parse(value, dimension, system)

    return read


def positive(value: Any) -> Any:
    """A value over zero; anything else is refused."""
    if value <= 0:
        raise ValueError("must be more than zero")
    return value


def _not_negative(value: Any) -> Any:
    if value < 0:
        raise ValueError("must not be negative")
    return value


def _schema(dimension: str, example: str) -> WithJsonSchema:
    return WithJsonSchema(
        {
            "type": ["number", "string"],
            "description": f"a {dimension}; a bare number takes the file's unit, text its own ({example})",
        }
    )


Length = Annotated[Nm, PlainValidator(_reader("length")), AfterValidator(positive), _schema("length", '"62 in"')]
ShortLength = Annotated[
    int, PlainValidator(_reader("length", "down")), AfterValidator(positive), _schema("length", '"62 in"')
]
"""A length that may not be taken for more than it is, so that one finer than our grain is rounded down."""
LengthOrZero = Annotated[
    Nm, PlainValidator(_reader("length")), AfterValidator(_not_negative), _schema("length", '"0 in"')
]
Force = Annotated[Newtons, PlainValidator(_reader("force")), AfterValidator(positive), _schema("force", '"6000 lbf"')]
SignedLength = Annotated[Nm, PlainValidator(_reader("length")), _schema("length, either way", '"-6 in"')]
ForceOrZero = Annotated[
    Newtons, PlainValidator(_reader("force")), AfterValidator(_not_negative), _schema("force", '"0 lbf"')
]
Angle = Annotated[Degrees, PlainValidator(_reader("angle")), _schema("angle in degrees", '"60 deg"')]
Pressure = Annotated[
    Pascals, PlainValidator(_reader("pressure")), AfterValidator(positive), _schema("pressure", '"2000 psf"')
]
Mass = Annotated[Kilograms, PlainValidator(_reader("mass")), AfterValidator(_not_negative), _schema("mass", '"13 lb"')]


def decimal_of(text: str) -> Decimal | None:
    """A finite number as written; None where it is none."""
    try:
        number = Decimal(text.strip())
    except ArithmeticError:
        return None
    return number if number.is_finite() else None


HIGHEST_FACTOR = 100
"""Nobody designs for more; a figure above it is a slip."""


def _ratio(value: object) -> Fraction:
    """A design factor: a number, or text like "2:1"."""
    if isinstance(value, Fraction):
        return value
    text = str(value) if isinstance(value, int | float | str) and not isinstance(value, bool) else ""
    number, _, one = text.partition(":")
    decimal = decimal_of(number)
    if decimal is None or one.strip() not in ("", "1"):
        raise ValueError('not a design factor; write a number or "2:1"')
    if not 1 <= decimal <= HIGHEST_FACTOR:
        raise ValueError(f"a design factor is from 1 to {HIGHEST_FACTOR}")
    return Fraction(decimal)


Factor = Annotated[
    Fraction,
    PlainValidator(_ratio),
    WithJsonSchema({"type": ["number", "string"], "description": 'design factor, 2 or "2:1"'}),
]


MOST_MONEY = 10**11
"""Hundredths: a thousand million is no price; the solver's numbers hold sums of this, not of more."""


def money(value: object) -> int:
    """Money as whole cents; a bare number or text such as "412.50"."""
    amount = decimal_of(str(value)) if isinstance(value, int | float | str) and not isinstance(value, bool) else None
    if amount is not None and amount > MOST_MONEY / 100:
        raise ValueError("no possible amount of money; look for a digit that is too many")
    if amount is None or amount < 0 or amount * 100 % 1:
        raise ValueError("not an amount of money; write 412.50, with no sign and no comma")
    return int(amount * 100)


Money = Annotated[
    int, PlainValidator(money), WithJsonSchema({"type": ["number", "string"], "description": "money, 412.50"})
]


def _day(value: object) -> date:
    day = value.strip() if isinstance(value, str) else value
    if isinstance(day, str) and _DAY.fullmatch(day):
        try:
            day = date.fromisoformat(day)
        except ValueError:
            raise ValueError(f"{value} is not a day of the calendar; check month and day") from None
    if not isinstance(day, date):
        raise ValueError("not a date; write year-month-day, as 2026-03-01")
    if not units.YEARS[0] <= day.year <= units.YEARS[1]:
        between = f"{units.YEARS[0]} to {units.YEARS[1]}"
        raise ValueError(f"{value} is no day of a piece or a book; check the year: {between}")
    return day


_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
Day = Annotated[date, PlainValidator(_day), WithJsonSchema({"format": "date", "type": "string"})]
"""The day of a book or a piece, a ``date`` or written as year-month-day."""
Count = Annotated[StrictInt, Field(ge=0)]
MOST_PIECES = 10_000
"""More pieces of one part than this are on no rig: a slip of typing, and nothing to reckon with."""
Pieces = Annotated[StrictInt, Field(ge=0, le=MOST_PIECES)]
Flag = StrictBool
Name = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=200)]
Placed = Annotated[Name, SkipJsonSchema()]
"""A name that the place of an entry in its file supplies, so that nobody writes it."""
Word = Annotated[str, StringConstraints(strip_whitespace=True, to_lower=True, min_length=1, max_length=200)]
"""A kind of thing, which is the same whether or not it is written with a capital."""
Text = Annotated[str, StringConstraints(max_length=10_000)]


class Answering(Record):
    """A record whose figures may look wrong.  ``sure`` answers, with ``why``, for those that rules call unlikely."""

    sure: Flag = False
    why: Text = ""

    @model_validator(mode="after")
    def _for_a_reason(self) -> Self:
        if self.sure and not self.why.strip():
            raise ValueError("sure: true must be answered for; write the reason as why")
        return self
