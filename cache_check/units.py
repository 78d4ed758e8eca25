"""Exact quantities: what a person writes in, whole nanometres, newtons and kilograms out.

Inside the program a length is a whole number of nanometres (1 in = 25,400,000 nm), so that a limit met
exactly is met in either unit system.  A force is a ``Fraction`` of newtons, a mass a ``Fraction`` of
kilograms, both exact.  Conversion and rounding happen here and nowhere else.

Factors: 1 in = 25.4 mm and 1 lb = 0.45359237 kg by the international yard and pound agreement of 1959,
standard gravity 9.80665 m/s2, so 1 lbf = 4.4482216152605 N, all exact (NIST SP 811, from memory).
"""

from __future__ import annotations

import math
import re
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from cache_check.errors import NotReadError
from cache_check.frozen import dataclass

System = Literal["us", "si"]
Dimension = Literal["length", "force", "mass", "angle", "pressure"]
Rounding = Literal["up", "down", "nearest"]

NM_PER_MM = 1_000_000
NM_PER_INCH = 25_400_000
NEWTON_PER_LBF = Fraction("4.4482216152605")
KG_PER_LB = Fraction("0.45359237")
STANDARD_GRAVITY = Fraction("9.80665")

YEARS = (1950, 2100)
"""Years in which anything here can have been made, looked at or run out: common practice, no source."""
_LENGTHS = {
    "in": Fraction(NM_PER_INCH), "inch": Fraction(NM_PER_INCH), "inches": Fraction(NM_PER_INCH),
    '"': Fraction(NM_PER_INCH), "ft": Fraction(12 * NM_PER_INCH), "foot": Fraction(12 * NM_PER_INCH),
    "feet": Fraction(12 * NM_PER_INCH), "'": Fraction(12 * NM_PER_INCH),
    "mm": Fraction(NM_PER_MM), "cm": Fraction(10 * NM_PER_MM), "m": Fraction(1000 * NM_PER_MM),
}  # fmt: skip
_FORCES = {
    "lbf": NEWTON_PER_LBF, "lb": NEWTON_PER_LBF, "lbs": NEWTON_PER_LBF, "kip": 1000 * NEWTON_PER_LBF,
    "N": Fraction(1), "kN": Fraction(1000), "daN": Fraction(10),
}  # fmt: skip
_MASSES = {"lb": KG_PER_LB, "lbs": KG_PER_LB, "kg": Fraction(1), "g": Fraction(1, 1000), "t": Fraction(1000)}
_PSF = NEWTON_PER_LBF / Fraction("0.3048") ** 2
_PRESSURES = {
    "psf": _PSF, "ksf": 1000 * _PSF, "psi": 144 * _PSF,
    "Pa": Fraction(1), "kPa": Fraction(1000), "MPa": Fraction(1_000_000),
}  # fmt: skip
_ANGLES = {"deg": Fraction(1), "degrees": Fraction(1), "°": Fraction(1)}
_UNITS: dict[Dimension, dict[str, Fraction]] = {
    "length": _LENGTHS,
    "force": _FORCES,
    "mass": _MASSES,
    "angle": _ANGLES,
    "pressure": _PRESSURES,
}
BARE: dict[Dimension, dict[System, str]] = {
    "length": {"us": "in", "si": "mm"},
    "force": {"us": "lbf", "si": "kN"},
    "mass": {"us": "lb", "si": "kg"},
    "angle": {"us": "deg", "si": "deg"},
    "pressure": {"us": "psf", "si": "kPa"},
}
_RIGHT: dict[Dimension, str] = {
    "length": 'write a number with in, ft, mm, cm or m, for example "62 in", "58 1/2 in" or "1.2 m"',
    "force": 'write a number with lbf, kip, N or kN, for example "6000 lbf" or "5 kN"',
    "mass": 'write a number with lb, kg or t, for example "13 lb" or "6 kg"',
    "angle": 'write a number of degrees, for example "60 deg"',
    "pressure": 'write a number with psf, psi or kPa, for example "2000 psf" or "100 kPa"',
}
_POSSIBLE: dict[Dimension, tuple[Fraction, Fraction]] = {
    "length": (Fraction(1), Fraction(10**14)),
    "force": (Fraction(1, 1000), Fraction(10**9)),
    "mass": (Fraction(1, 10**6), Fraction(10**7)),
    "angle": (Fraction(1, 1000), Fraction(360)),
    "pressure": (Fraction(1), Fraction(10**10)),
}
"""What nothing here can be under or over, 0 aside: 1 nm to 100 km, 1 mN to 1 GN, 1 mg to 10,000 t, 1 Pa to 10 GPa."""
_A: dict[Dimension, str] = {name: f"{'an' if name == 'angle' else 'a'} {name}" for name in _RIGHT}
_NUMBER = re.compile(
    r"""(?P<sign>-?)(?:(?P<whole>\d+)(?:\s+|-)(?P<top>\d+)/(?P<bottom>\d+)
        |(?P<num>\d+)/(?P<den>\d+)
        |(?P<decimal>\d+(?:\.\d+)?|\.\d+))""",
    re.VERBOSE,
)
_UNIT = re.compile(r"\s*(?P<unit>[A-Za-z°]+|'|\")?\s*")


@dataclass(frozen=True)
class _Term:
    value: Fraction
    unit: str | None


def _number(match: re.Match[str]) -> Fraction:
    if match["decimal"] is not None:
        value = Fraction(match["decimal"])
    else:
        bottom = int(match["bottom"] or match["den"])
        if bottom == 0:
            raise NotReadError(f"{match[0]!r} divides by zero")
        top = int(match["top"] or match["num"])
        value = Fraction(int(match["whole"] or 0)) + Fraction(top, bottom)
    return -value if match["sign"] else value


def _terms(text: str, dimension: Dimension) -> list[_Term]:
    terms: list[_Term] = []
    position = 0
    while position < len(text):
        number = _NUMBER.match(text, position)
        if number is None:
            raise NotReadError(f"{text!r} is not {_A[dimension]}", _RIGHT[dimension])
        unit = _UNIT.match(text, number.end())
        assert unit is not None
        terms.append(_Term(_number(number), unit["unit"]))
        if unit["unit"] is None and unit.end() < len(text):
            raise NotReadError(f"{text!r} is not {_A[dimension]}", _RIGHT[dimension])
        position = unit.end()
    if not terms:
        raise NotReadError(f"an empty text is not {_A[dimension]}", _RIGHT[dimension])
    return terms


def _scale(dimension: Dimension, unit: str) -> Fraction:
    scales = _UNITS[dimension]
    scale = scales.get(unit) or scales.get(unit.lower())
    if scale is None:
        raise NotReadError(f"{unit!r} is not a unit of {dimension}", _RIGHT[dimension])
    return scale


def _plain(value: float | str, dimension: Dimension) -> str:
    """The text to read: trimmed, no exponent, one kind of quote marks."""
    if isinstance(value, str):
        return value.strip().replace("″", '"').replace("′", "'")
    if not math.isfinite(value):
        raise NotReadError(f"{value!r} is not {_A[dimension]}", _RIGHT[dimension])
    return format(Decimal(repr(value)), "f")


def parse(value: object, dimension: Dimension, system: System | None) -> Fraction:
    """Read a quantity exactly, in the base unit of its dimension (nm, N, kg, degree or Pa).

    A bare number takes the unit of ``system``; with ``system`` None a bare number is refused.
    Feet and inches may be added ("4 ft 10 1/2 in"); a comma is refused, since it means two things.

    Raises:
        NotReadError: the text is not such a quantity, or carries no unit where one is needed.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise NotReadError(f"{value!r} is not {_A[dimension]}", _RIGHT[dimension])
    text = _plain(value, dimension)
    if "," in text:
        raise NotReadError(f"{text!r} has a comma, which reads as thousands or as a decimal", "write it without")
    terms = _terms(text, dimension)
    if len(terms) > 1 and (dimension != "length" or any(t.unit is None or t.value < 0 for t in terms)):
        raise NotReadError(f"{text!r} is not {_A[dimension]}", _RIGHT[dimension])
    total = Fraction(0)
    for term in terms:
        unit = term.unit or (BARE[dimension][system] if system else None)
        if unit is None:
            raise NotReadError(f"{text!r} carries no unit", _RIGHT[dimension])
        total += term.value * _scale(dimension, unit)
    least, most = _POSSIBLE[dimension]
    if total and not least <= abs(total) <= most:
        raise NotReadError(f"{text!r} is no possible {dimension}", "look for a digit or a unit that is wrong")
    return total


def length_nm(value: object, system: System | None = None, rounding: Rounding = "up") -> int:
    """A length in whole nanometres; one that is finer (1/128 in, say) is rounded, up unless down is the safe side.

    Raises:
        NotReadError: not a length.
    """
    return int(rounded(parse(value, "length", system), Fraction(1), rounding))


def force_n(value: object, system: System | None = None) -> Fraction:
    """A force in newtons, exact.  A bare "lb" is read as pounds-force, as charts and labels print it."""
    return parse(value, "force", system)


def mass_kg(value: object, system: System | None = None) -> Fraction:
    """A mass in kilograms, exact."""
    return parse(value, "mass", system)


def weight_n(mass: Fraction) -> Fraction:
    """The weight of a mass under standard gravity, newtons.  20,000 lb weighs 20,000 lbf exactly."""
    return mass * STANDARD_GRAVITY


def rounded(value: Fraction, step: Fraction, rounding: Rounding) -> Fraction:
    """``value`` rounded to a multiple of ``step``; "nearest" breaks ties upward."""
    count = value / step
    if rounding == "up":
        whole = math.ceil(count)
    elif rounding == "down":
        whole = math.floor(count)
    else:
        whole = math.floor(count + Fraction(1, 2))
    return whole * step


_SHOWN: dict[Dimension, dict[System, tuple[str, int]]] = {
    "length": {"us": ("in", 1), "si": ("mm", 0)},
    "force": {"us": ("lbf", 0), "si": ("kN", 2)},
    "mass": {"us": ("lb", 1), "si": ("kg", 1)},
    "angle": {"us": ("deg", 1), "si": ("deg", 1)},
    "pressure": {"us": ("psf", 0), "si": ("kPa", 1)},
}


def shown_unit(dimension: Dimension, system: System) -> str:
    """The unit in which a dimension is shown in a unit system."""
    return _SHOWN[dimension][system][0]


def shown_digits(dimension: Dimension, system: System) -> int:
    """How many digits after the point a dimension is shown with."""
    return _SHOWN[dimension][system][1]


def in_shown_unit(
    value: Fraction | int, dimension: Dimension, system: System, rounding: Rounding, *, finer: int = 0
) -> Fraction:
    """``value`` (base unit) in the unit it is shown in, rounded to the digits it is shown with and ``finer`` more."""
    unit, digits = _SHOWN[dimension][system]
    return rounded(Fraction(value) / _UNITS[dimension][unit], Fraction(1, 10 ** (digits + finer)), rounding)


def show(value: Fraction | int, dimension: Dimension, system: System, rounding: Rounding, *, unit: bool = True) -> str:
    """A quantity as people read it: "58.5 in", "12,000 lbf", "1,486 mm".

    ``rounding`` has no default: whoever shows a number decides which way is the safe one.
    """
    name, digits = _SHOWN[dimension][system]
    exact = in_shown_unit(value, dimension, system, rounding)
    number = f"{Decimal(exact.numerator) / Decimal(exact.denominator):,.{digits}f}"
    return f"{number} {name}" if unit else number
