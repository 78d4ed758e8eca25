"""What people may lift: how a ruled weight for one becomes one for a team.

Axes, signs, units and ranges: ``loads/conventions.py``.
"""

from __future__ import annotations

from fractions import Fraction

from cache_check.loads.conventions import not_negative

SHARES = {1: Fraction(1), 2: Fraction(2, 3), 3: Fraction(1, 2)}
"""Share of the summed ability that a team of so many has (HSE L23, guidance paras 119-120, 1992)."""


def team_limit(one_person: int | Fraction, persons: int) -> Fraction:
    """Weight that a team may carry: one person's x persons x share (1, 2/3, 1/2).

    With 51 lb for one this gives 68 lb for two and 76.5 lb for three.  Shares: HSE L23, paras 119-120.

    Args:
        one_person: ruled weight or mass for one, 0 or more.
        persons: 1, 2 or 3; a larger team is unlikely to lift together.

    Returns:
        Weight or mass, exact, same unit.

    Raises:
        ValueError: out of range.
    """
    if isinstance(persons, bool) or persons not in SHARES:
        raise ValueError(f"persons is {persons!r}; it must be 1, 2 or 3")
    not_negative("one person's weight", one_person)
    return Fraction(one_person) * persons * SHARES[persons]
