"""Quantities and days as people write them: field types in base units (nm, N, kg, Pa, degrees, hundredths of money).

Code that already has base units passes them as they are.  A reader passes a validation context
``{"units": "us" | "si"}``; then a bare number takes the file's unit and text may carry its own.
"""

import contextlib
import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, ValidationInfo
from pydantic_core import CoreSchema
from pydantic_core.core_schema import no_info_plain_validator_function as alone
from pydantic_core.core_schema import with_info_plain_validator_function as with_units

from cache_check import units
from cache_check.errors import NotReadError
from cache_check.model.record import Ready
from cache_check.model.told import Degrees, Kilograms, Newtons, Nm, Pascals

STRUCTURE = "structure"  # what ``far_anchors`` says of anchors on frame, axle or hub, which somebody has looked at
FLATTEST_DEG, STEEPEST_DEG = 1, 90  # a strut flatter than 1 degree is no strut
HIGHEST_FACTOR = 100  # nobody designs for more; a figure above it is a slip
MOST_MONEY = 10**11  # hundredths: a thousand million is no price; the solver's numbers hold sums of this, not of more
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def _base(value: object, info: ValidationInfo) -> int | Fraction | None:
    """A value that code gives in base units; None where somebody wrote it."""
    return value if info.context is None and isinstance(value, int | Fraction) and not isinstance(value, bool) else None


_Bound = tuple[Callable[[Any], bool], str]  # what may not be, and how that is said
_OVER: _Bound = (lambda value: value <= 0), "must be more than zero"
_FROM: _Bound = (lambda value: value < 0), "must not be negative"


def _written(schema: CoreSchema, about: str) -> Ready:
    return Ready(schema, {"type": ["number", "string"], "description": about})


def _read(
    dimension: units.Dimension, example: str, bound: _Bound | None = None, rounding: units.Rounding = "up",
    more: str = "",
) -> Ready:  # fmt: skip
    def read(value: object, info: ValidationInfo) -> Fraction | int:
        number: Fraction | int | None = _base(value, info)
        if number is None:
            system = (info.context or {}).get("units")
            long = dimension == "length"
            number = units.length_nm(value, system, rounding) if long else units.parse(value, dimension, system)
        if bound is not None and bound[0](number):
            raise ValueError(bound[1])
        return number

    about = f"a {dimension}{more}; a bare number takes the file's unit, text its own ({example})"
    return _written(with_units(read), about)


def _weight(value: object, info: ValidationInfo) -> Fraction:
    """A weight as a force (N), of a mass ("3200 lb", "1.5 t") or a force ("14 kN")."""
    number = _base(value, info)
    try:
        if number is None:
            number = units.weight_n(units.mass_kg(value, (info.context or {}).get("units")))
    except NotReadError as error:
        with contextlib.suppress(NotReadError):
            number = units.force_n(value, None)
        if number is None:
            raise error from None
    if number <= 0:
        raise ValueError(_OVER[1])
    return Fraction(number)


def _far(value: object, info: ValidationInfo) -> Fraction | str:
    """What the far anchors hold: a force (N), or the word for anchors on structure."""
    if value == STRUCTURE:
        return STRUCTURE
    if isinstance(value, Fraction):
        return value
    try:
        return units.force_n(value, (info.context or {}).get("units"))
    except NotReadError as error:
        raise ValueError(f"{error}, nor {STRUCTURE!r} for anchors on frame, axle or hub") from None


def _text(value: object) -> str:
    return str(value) if isinstance(value, int | float | str) and not isinstance(value, bool) else ""


def decimal_of(text: str) -> Decimal | None:
    """A finite number as written; None where it is none."""
    try:
        number = Decimal(text.strip())
    except ArithmeticError:
        return None
    return number if number.is_finite() else None


def _number(value: object) -> Fraction:
    if isinstance(value, Fraction):
        return value
    decimal = None if isinstance(value, float) else decimal_of(_text(value))
    if decimal is None or abs(decimal.adjusted()) > 9:
        raise ValueError("not a number; write one with a point, as 0.3")
    return Fraction(decimal)


def _ratio(value: object) -> Fraction:
    """A design factor: a number, or text like "2:1"."""
    if isinstance(value, Fraction):
        return value
    number, _, one = _text(value).partition(":")
    if (decimal := decimal_of(number)) is None or one.strip() not in ("", "1"):
        raise ValueError('not a design factor; write a number or "2:1"')
    if not 1 <= decimal <= HIGHEST_FACTOR:
        raise ValueError(f"a design factor is from 1 to {HIGHEST_FACTOR}")
    return Fraction(decimal)


def money(value: object) -> int:
    """Money as whole cents; a bare number or text such as "412.50"."""
    amount = decimal_of(_text(value))
    if amount is not None and amount > MOST_MONEY / 100:
        raise ValueError("no possible amount of money; look for a digit that is too many")
    if amount is None or amount < 0 or amount * 100 % 1:
        raise ValueError("not an amount of money; write 412.50, with no sign and no comma")
    return int(amount * 100)


def _day(value: object) -> date:
    day = value.strip() if isinstance(value, str) else value
    if isinstance(day, str) and _DAY.fullmatch(day):
        try:
            day = date.fromisoformat(day)
        except ValueError:
            raise ValueError(f"{value} is not a day of the calendar; check month and day") from None
    if not isinstance(day, date):
        raise ValueError("not a date; write year-month-day, as 2026-03-01")
    first, last = units.YEARS
    if not first <= day.year <= last:
        raise ValueError(f"{value} is no day of a piece or a book; check the year: {first} to {last}")
    return day


def within(low: int, high: int) -> AfterValidator:
    """Refuses a number outside two bounds; either is within."""

    def check(value: Any) -> Any:
        if not low <= value <= high:
            raise ValueError(f"must be at least {low} and at most {high}")
        return value

    return AfterValidator(check)


# What says how to read comes last, so that pydantic asks nothing else of the type: that is most of a short command.
Length = Annotated[Nm, _read("length", '"62 in"', _OVER)]
ShortLength = Annotated[int, _read("length", '"62 in"', _OVER, "down")]
"""A length that may not be taken for more than it is, so that one finer than our grain is rounded down."""
LengthOrZero = Annotated[Nm, _read("length", '"0 in"', _FROM)]
SignedLength = Annotated[Nm, _read("length", '"-6 in"', more=", either way")]
Force = Annotated[Newtons, _read("force", '"6000 lbf"', _OVER)]
ForceOrZero = Annotated[Newtons, _read("force", '"0 lbf"', _FROM)]
FarAnchors = Annotated[
    Fraction | Literal["structure"], _written(with_units(_far), 'what each holds; "5000 lbf" or structure')
]
Mass = Annotated[Kilograms, _read("mass", '"13 lb"', _FROM)]
Weight = Annotated[Newtons, _written(with_units(_weight), 'a weight, as a mass or a force; "3200 lb" or "14 kN"')]
Pressure = Annotated[Pascals, _read("pressure", '"2000 psf"', _OVER)]
Angle = Annotated[Degrees, _read("angle", '"60 deg"', more=" in degrees")]
Steepness = Annotated[Angle, within(FLATTEST_DEG, STEEPEST_DEG)]
Share = Annotated[Fraction, _written(alone(_number), "a number; 0.3")]
Factor = Annotated[Fraction, _written(alone(_ratio), 'design factor, 2 or "2:1"')]
Money = Annotated[int, _written(alone(money), "money, 412.50")]
Day = Annotated[date, Ready(alone(_day), {"format": "date", "type": "string"})]
"""The day of a book or a piece, a ``date`` or written as year-month-day."""
