"""Exact quantities: what a person writes in, whole nanometres, newtons and kilograms out.

Inside the program a length is a whole number of nanometres (1 in = 25,400,000 nm), so that a limit met
exactly is met in either unit system.  A force is a ``Fraction`` of newtons, a mass a ``Fraction`` of
kilograms, both exact.  Conversion and rounding happen here and nowhere else.

Factors: 1 in = 25.4 mm and 1 lb = 0.45359237 kg by the international yard and pound agreement of 1959,
standard gravity 9.80665 m/s2, so 1 lbf = 4.4482216152605 N, all exact (NIST SP 811, from memory).
"""

import math
import re
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
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

TYPED = (1_000, 3_175)
"""Lengths that people type are whole numbers of one of these, nm: a micrometre, 1/8000 in (so 1/64 and 0.001 in)."""
LONGEST = 200
"""Letters and digits of a quantity: nobody writes more, and Python makes no whole number of some thousands."""
YEARS = (1950, 2100)
"""Years in which anything here can have been made, looked at or run out: common practice, no source."""
BARE: dict[Dimension, dict[System, str]] = {
    "length": {"us": "in", "si": "mm"},
    "force": {"us": "lbf", "si": "kN"},
    "mass": {"us": "lb", "si": "kg"},
    "angle": {"us": "deg", "si": "deg"},
    "pressure": {"us": "psf", "si": "kPa"},
}
"""The unit of a bare number, and the one in which a quantity is shown."""


@dataclass(frozen=True)
class _Kind:
    """A dimension: its units in the base unit, what would be right to write, digits shown after the point, bounds."""

    units: dict[str, Fraction]
    right: str
    digits: dict[System, int]
    least: Fraction  # nothing can be under it, 0 aside
    most: Fraction  # or over this


def _units(scales: dict[str, Fraction | int]) -> dict[str, Fraction]:
    return {name: Fraction(scale) for names, scale in scales.items() for name in names.split()}


_PSF = NEWTON_PER_LBF / Fraction("0.3048") ** 2
_KINDS: dict[Dimension, _Kind] = {
    "length": _Kind(
        _units({'in inch inches "': NM_PER_INCH, "ft foot feet '": 12 * NM_PER_INCH, "mm": NM_PER_MM,
                "cm": 10 * NM_PER_MM, "m": 1000 * NM_PER_MM}),
        'write a number with in, ft, mm, cm or m, for example "62 in", "58 1/2 in" or "1.2 m"',
        {"us": 1, "si": 0}, Fraction(1), Fraction(10**14),
    ),
    "force": _Kind(
        _units({"lbf lb lbs": NEWTON_PER_LBF, "kip": 1000 * NEWTON_PER_LBF, "N": 1, "kN": 1000, "daN": 10}),
        'write a number with lbf, kip, N or kN, for example "6000 lbf" or "5 kN"',
        {"us": 0, "si": 2}, Fraction(1, 1000), Fraction(10**9),
    ),
    "mass": _Kind(
        _units({"lb lbs": KG_PER_LB, "kg": 1, "g": Fraction(1, 1000), "t": 1000}),
        'write a number with lb, kg or t, for example "13 lb" or "6 kg"',
        {"us": 1, "si": 1}, Fraction(1, 10**6), Fraction(10**7),
    ),
    "angle": _Kind(
        _units({"deg degrees °": 1}), 'write a number of degrees, for example "60 deg"',
        {"us": 1, "si": 1}, Fraction(1, 1000), Fraction(360),
    ),
    "pressure": _Kind(
        _units({"psf": _PSF, "ksf": 1000 * _PSF, "psi": 144 * _PSF, "Pa": 1, "kPa": 1000, "MPa": 1_000_000}),
        'write a number with psf, psi or kPa, for example "2000 psf" or "100 kPa"',
        {"us": 0, "si": 1}, Fraction(1), Fraction(10**10),
    ),
}  # fmt: skip
_TERM = re.compile(
    r"""(?P<number>(?P<sign>-?)(?:(?P<whole>\d+)(?:\s+|-)(?P<top>\d+)/(?P<bottom>\d+)
        |(?P<num>\d+)/(?P<den>\d+)
        |(?P<decimal>\d+(?:\.\d+)?|\.\d+)))
        \s*(?P<unit>[A-Za-z°]+|'|\")?\s*""",
    re.VERBOSE,
)


def _number(match: re.Match[str]) -> Fraction:
    bottom = int(match["bottom"] or match["den"] or 1)
    if bottom == 0:
        raise NotReadError(f"{match['number']!r} divides by zero")
    if written := match["decimal"]:
        value = Fraction(int(written)) if written.isdecimal() else Fraction(Decimal(written))
    else:
        value = Fraction(int(match["whole"] or 0) * bottom + int(match["top"] or match["num"]), bottom)
    return -value if match["sign"] else value


def _wrong(value: object, dimension: Dimension) -> NotReadError:
    article = "an" if dimension == "angle" else "a"
    said = "an empty text" if value == "" else repr(value)
    return NotReadError(f"{said} is not {article} {dimension}", _KINDS[dimension].right)


def _terms(text: str, dimension: Dimension) -> Iterator[tuple[Fraction, str | None]]:
    """The numbers of a text, each with its unit; only the last may be without one."""
    position = 0
    while position < len(text):
        term = _TERM.match(text, position)
        if term is None or (term["unit"] is None and term.end() < len(text)):
            raise _wrong(text, dimension)
        yield _number(term), term["unit"]
        position = term.end()


def parse(value: object, dimension: Dimension, system: System | None) -> Fraction:
    """Read a quantity exactly, in the base unit of its dimension (nm, N, kg, degree or Pa).

    A bare number takes the unit of ``system``; with ``system`` None a bare number is refused.
    Feet and inches may be added ("4 ft 10 1/2 in"); a comma is refused, since it means two things.

    Raises NotReadError: the text is not such a quantity, or carries no unit where one is needed.
    """
    kind = _KINDS[dimension]
    if isinstance(value, str):
        text = value.strip().replace("″", '"').replace("′", "'")
    elif isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value):
        text = format(Decimal(repr(value)), "f")  # no exponent
    else:
        raise _wrong(value, dimension)
    if len(text) > LONGEST:
        raise NotReadError(f"{text[:20] + ' ...'!r} is too long for a quantity", "check it")
    if "," in text:
        raise NotReadError(f"{text!r} has a comma, which reads as thousands or as a decimal", "write it without")
    terms = list(_terms(text, dimension))
    added = len(terms) > 1 and dimension == "length" and all(unit and number >= 0 for number, unit in terms)
    if len(terms) != 1 and not added:
        raise _wrong(text, dimension)
    scaled: list[Fraction] = []
    for number, written in terms:
        unit = written or (BARE[dimension][system] if system else None)
        if unit is None:
            raise NotReadError(f"{text!r} carries no unit", kind.right)
        scale = kind.units.get(unit) or kind.units.get(unit.lower())
        if scale is None:
            raise NotReadError(f"{unit!r} is not a unit of {dimension}", kind.right)
        scaled.append(number * scale)
    total = sum(scaled[1:], scaled[0])
    if total and not kind.least <= abs(total) <= kind.most:
        raise NotReadError(f"{text!r} is no possible {dimension}", "look for a digit or a unit that is wrong")
    return total


def length_nm(value: object, system: System | None = None, rounding: Rounding = "up") -> int:
    """A length in whole nm (NotReadError: none); a finer one (1/128 in, say) goes up, unless down is the safe side."""
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
    if rounding == "up":
        return math.ceil(value / step) * step
    return math.floor(value / step + (Fraction(1, 2) if rounding == "nearest" else 0)) * step


def shown_unit(dimension: Dimension, system: System) -> str:
    """The unit in which a dimension is shown in a unit system."""
    return BARE[dimension][system]


def shown_digits(dimension: Dimension, system: System) -> int:
    """How many digits after the point a dimension is shown with."""
    return _KINDS[dimension].digits[system]


def in_shown_unit(
    value: Fraction | int, dimension: Dimension, system: System, rounding: Rounding, *, finer: int = 0
) -> Fraction:
    """``value`` (base unit) in the unit it is shown in, rounded to the digits it is shown with and ``finer`` more."""
    kind = _KINDS[dimension]
    step = Fraction(1, 10 ** (kind.digits[system] + finer))
    return rounded(Fraction(value) / kind.units[BARE[dimension][system]], step, rounding)


def show(
    value: Fraction | int, dimension: Dimension, system: System, rounding: Rounding, *, unit: bool = True,
    finer: int = 0,
) -> str:  # fmt: skip
    """A quantity as people read it: "58.5 in", "12,000 lbf", "1,486 mm", with ``finer`` digits more."""
    # ``rounding`` has no default: whoever shows a number decides which way is the safe one.
    exact = in_shown_unit(value, dimension, system, rounding, finer=finer)
    number = f"{Decimal(exact.numerator) / Decimal(exact.denominator):,.{shown_digits(dimension, system) + finer}f}"
    return f"{number} {shown_unit(dimension, system)}" if unit else number


@lru_cache(1_000)  # of rig after rig the same lengths are told
def as_asked(nm: int, system: System, rounding: Rounding = "nearest", *, unit: bool = True) -> str:
    """A length as somebody typed it, with more digits where it has them, so that it is taken for no other."""
    # One that was worked out (not of TYPED) is rounded to the digits of others.
    finest = 0 if all(nm % step for step in TYPED) else 4
    each = [in_shown_unit(nm, "length", system, rounding, finer=finer) for finer in range(finest + 1)]
    return show(nm, "length", system, rounding, unit=unit, finer=each.index(each[-1]))


def ratio(factor: Fraction) -> str:
    """A design factor as the trade writes it: "2:1"."""
    return f"{float(factor):g}:1"
