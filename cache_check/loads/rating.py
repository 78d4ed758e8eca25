"""From a printed load to what may be counted on at a design factor.

Axes, signs, units and ranges: ``loads/conventions.py``.  The rated load of web and chain is their working
load limit as marked; it already holds a factor and is never divided again.
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from cache_check.loads.conventions import not_negative, positive

Exact = int | Fraction


class DesignFactor(NamedTuple):
    """A design factor ``k``, and whether somebody ``said`` so for what is asked, or it is only the rules' own.

    A load that its maker rated at a higher factor is raised to ``k`` only where that was said in so many words.
    """

    k: Fraction
    said: bool = False

    def of(self, stated: Exact | None) -> Fraction:
        """The factor at which a load is used that is marked at ``stated``; None: a failure load."""
        return self.k if self.said or stated is None else max(self.k, Fraction(stated))


def _factor(name: str, value: Exact) -> Fraction:
    if positive(name, value) < 1:
        raise ValueError(f"{name} is {value}; it must be at least 1")
    return Fraction(value)


def rated_from_ultimate(ultimate: Exact, design_factor: Exact) -> Fraction:
    """Rated load from a failure load, exact: ``ultimate`` / ``design_factor``, which is at least 1."""
    not_negative("failure load", ultimate)
    return Fraction(ultimate) / _factor("design factor", design_factor)


def rated_at_factor(load: Exact, stated_factor: Exact, asked: DesignFactor) -> Fraction:
    """A load that its maker rated, at the ``asked`` design factor: as marked, or ``load`` x ``stated_factor`` / k.

    A load rated at 2:1 and asked at 4 is halved; rated at 4:1 and asked at 2 it is doubled where 2 was said, and
    else stays as marked.  Exact; both factors are at least 1.
    """
    stated = _factor("stated factor", stated_factor)
    return rated_from_ultimate(Fraction(load) * stated, asked.of(stated))
