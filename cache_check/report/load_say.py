"""Forces, angles and pressures in words, rounded towards safety."""

from __future__ import annotations

import math
from fractions import Fraction

from cache_check import units
from cache_check.report.say import UNKNOWN, Say, ratio
from cache_check.units import Rounding


def percent(share: Fraction) -> str:
    """A margin, rounded down to a whole per cent; one that is under 0 as what is missing."""
    if share < 0:
        return f"{math.ceil(-share * 100)} % short"
    return f"{math.floor(share * 100)} %"


class LoadSay(Say):
    """Says the figures of a load."""

    def up(self, newtons: Fraction | None) -> str:
        """A demand, rounded up."""
        return UNKNOWN if newtons is None else units.show(newtons, "force", self.system, "up")

    def down(self, newtons: Fraction | None) -> str:
        """A capacity, rounded down."""
        return UNKNOWN if newtons is None else units.show(newtons, "force", self.system, "down")

    def bare_up(self, newtons: Fraction | None) -> str:
        """A demand without its unit."""
        return UNKNOWN if newtons is None else units.show(newtons, "force", self.system, "up", unit=False)

    def bare_down(self, newtons: Fraction | None) -> str:
        """A capacity without its unit."""
        return UNKNOWN if newtons is None else units.show(newtons, "force", self.system, "down", unit=False)

    def size(self, nm: int) -> str:
        """The size of a chain as it is sold: sixteenths of an inch, or millimetres."""
        if self.system == "us":
            return f"{Fraction(nm, units.NM_PER_INCH)} in"
        return units.show(nm, "length", self.system, "up")

    def angle(self, degrees: Fraction) -> str:
        """An angle, to the nearest tenth."""
        return units.show(degrees, "angle", self.system, "nearest")

    def pressure(self, pascal: Fraction, rounding: Rounding) -> str:
        """A pressure."""
        return units.show(pascal, "pressure", self.system, rounding)

    def ratio(self, factor: Fraction | None) -> str:
        """A design factor as an addition: " at 2:1"."""
        return "" if factor is None else f" at {ratio(factor)}"
