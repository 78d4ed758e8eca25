"""From a chart to what may be counted on: design factor, and the weakest link.

Axes, signs, units and ranges: ``loads/conventions.py``.  The rated load of web and chain is their working
load limit as marked; it already holds a factor and is never divided again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from cache_check.loads.conventions import not_negative, positive

Exact = int | Fraction


def _factor(name: str, value: Exact) -> Fraction:
    if positive(name, value) < 1:
        raise ValueError(f"{name} is {value}; it must be at least 1")
    return Fraction(value)


def rated_from_ultimate(ultimate: Exact, design_factor: Exact) -> Fraction:
    """Rated load from a failure load: ultimate / k.

    Axes, signs, units and ranges: ``loads/conventions.py``.

    Args:
        ultimate: failure load; force, 0 or more.
        design_factor: k, at least 1.

    Returns:
        Force, exact.

    Raises:
        ValueError: out of range.
    """
    not_negative("failure load", ultimate)
    return Fraction(ultimate) / _factor("design factor", design_factor)


def rated_at_factor(load: Exact | None, stated_factor: Exact | None, design_factor: Exact) -> Fraction | None:
    """A chart's load at the asked design factor: load x stated factor / k.

    A chart of failure loads states 1.  A chart already at 2:1 states 2, and asked at 2 stays as printed.
    Axes, signs, units and ranges: ``loads/conventions.py``.

    Args:
        load: the chart's cell; force, 0 or more; None when unrated.
        stated_factor: what the chart says it already holds, at least 1; None when it says nothing.
        design_factor: k, at least 1.

    Returns:
        Force, exact; None when unrated, or when nothing is stated, for then no factor can be known.

    Raises:
        ValueError: out of range.
    """
    _factor("design factor", design_factor)
    if load is None or stated_factor is None:
        return None
    return rated_from_ultimate(Fraction(load) * _factor("stated factor", stated_factor), design_factor)


@dataclass(frozen=True)
class Governing:
    """The link that governs an assembly or a restraint; ``rated`` None when that link is unrated."""

    link: str
    rated: Exact | None


def governing_link(links: Mapping[str, Exact | None]) -> Governing:
    """The weakest of the links; one unrated link leaves the whole unrated, and is named.

    A chain is as strong as its weakest link (49 CFR 393.108 says it of tiedowns, anchor points included).
    Axes, signs, units and ranges: ``loads/conventions.py``.

    Args:
        links: rated load of each by name, 0 or more, None when unrated; ties go to the first named.

    Returns:
        Name and rated load.

    Raises:
        ValueError: out of range, or no link at all.
    """
    if not links:
        raise ValueError("links are none; there must be at least one to rate")
    for name, load in links.items():
        if load is None:
            return Governing(name, None)
        not_negative(f"rated load of {name}", load)
    rated = {name: load for name, load in links.items() if load is not None}
    return Governing(*min(rated.items(), key=lambda item: item[1]))
