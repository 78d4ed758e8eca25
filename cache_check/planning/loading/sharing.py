"""How the struts of a situation divide its load, and which share governs one of them."""

from __future__ import annotations

from fractions import Fraction

from cache_check.frozen import dataclass
from cache_check.loads.demand import two_strut_shares
from cache_check.loads.solve import push_left, ratio
from cache_check.model.load import ShareOf
from cache_check.model.situation import Situation


@dataclass(frozen=True)
class Shared:
    """The whole load (None: unknown) with its multiplier, the share of one strut, and every share there is.

    ``part`` is the share as a fraction of the whole.
    """

    whole: Fraction | None
    share: Fraction
    part: Fraction
    by: str
    shares: tuple[ShareOf, ...]


def shared(one: Situation) -> Shared:
    """The load of a situation, divided; in the unit that the situation gives it in (a lever unknown: of a lever)."""
    whole = _whole(one)
    named = _named(one)
    by, part = max(named, key=lambda item: item[1])
    listed = tuple(ShareOf(name, size * whole, name == by) for name, size in named) if whole is not None else ()
    return Shared(whole, Fraction(0) if whole is None else part * whole, part, by, listed)


def _whole(one: Situation) -> Fraction | None:
    """What all the struts carry together: force, allowance included; at rest what its weight leaves of the push."""
    if one.loaded == "unknown":
        return None
    if one.loaded == "rest":
        assert one.weight is not None
        return one.weight * push_left(one)
    given = one.axial if one.axial is not None else one.vertical if one.loaded == "vertical" else one.weight
    assert given is not None
    return given * one.allowance


def _named(one: Situation) -> list[tuple[str, Fraction]]:
    """Every way of sharing that is checked, as a part of the whole: in place, and with one strut failed there."""
    count = one.sharing
    if one.axial is not None or count == 1:
        return [("one strut", Fraction(1))]
    if count == 2:
        named: dict[str, float | Fraction] = {"one of the two failed: the other takes all": 1}
        if one.strut_places:
            assert one.load_at is not None
            first_at, second_at = one.strut_places
            first, second = two_strut_shares(1, first_at, second_at, one.load_at)
            named |= {"first strut, by lever arm": first, "second strut, by lever arm": second}
        else:
            named["equal"] = Fraction(1, 2)
    else:
        # Three stiff struts and more: statics does not say who carries, and a load that rocks stands on two.
        named = {"any two carry it": Fraction(1, 2), "one failed": Fraction(1, count - 1), "equal": Fraction(1, count)}
    return [(name, part if isinstance(part, Fraction) else ratio(part)) for name, part in named.items()]
