"""What policy says where a situation says nothing, printed as assumed; and how struts divide the load that is left."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from cache_check import units
from cache_check.frozen import dataclass
from cache_check.loads.demand import two_strut_shares
from cache_check.loads.solve import push_left, ratio
from cache_check.model.load import ShareOf
from cache_check.model.situation import Situation
from cache_check.planning.packing.muster import Muster


@dataclass(frozen=True)
class Settled:
    """A situation with policy's values, the sentences that say what was assumed, and who says so."""

    one: Situation
    assumed: tuple[str, ...]


def settled(muster: Muster, one: Situation) -> Settled:
    """The situation with policy's allowance, sideways share, pre-tension and friction."""
    assumed: list[str] = []
    values: dict[str, Any] = {}
    if one.on_this_side is None and not one.strut_places:
        assumed.append("struts that share the load not stated (on_this_side): one carries all of it")
    allowance = allowance_ruled(muster)
    if one.dynamic_allowance is None:
        values["dynamic_allowance"] = allowance
        said = f"load times {float(allowance):g}, {_who(muster, 'assumed_loads')}"
        assumed.append(f"dynamic allowance not stated: {said}")
    share = Fraction(muster.book.ruled("assumed_loads", "sideways", default=0))
    if (one.weight_inside is not None and one.sideways_share is None) and share:
        values["sideways_share"] = share
        said = f"{float(share):g} of the weight pushes to the side"
        assumed.append(f"sideways share not stated: {said}, {_who(muster, 'assumed_loads')}")
    if one.weight_inside is not None and one.push_height is None:
        assumed.append("height of the push not stated: that of the contact")
    tight = pretension_ruled(muster)
    if not one.pretension and one.ties != "none" and tight and one.steepness != 90 and one.base_offset != 0:
        values["pretension"] = (tight,)
        shown = units.show(tight, "force", muster.cache.units, "up")
        assumed.append(f"pre-tension not stated: {shown} in each tie, {_who(muster, 'strap_tension')}")
    values["friction"] = min(one.friction, Fraction(muster.book.ruled("assumed_loads", "friction", default=0)))
    if one.ties != "none":
        assumed.append("ties act in the strut's plane; lines share at the worst, ties on one line evenly")
    if one.on_the_other_side:
        assumed.append("struts on the other side are taken as set like those on this side")
    return Settled(one.changed(**values), tuple(assumed))


def allowance_ruled(muster: Muster) -> Fraction:
    """What policy takes every load times, where a situation names nothing."""
    return Fraction(muster.book.ruled("assumed_loads", "allowance", default=1))


def pretension_ruled(muster: Muster) -> Fraction:
    """The policy's pre-tension of each strap, N, where a situation names none."""
    return Fraction(muster.book.ruled("strap_tension", "pretension", default=0))


def half_angles_ruled(muster: Muster) -> tuple[Fraction, Fraction]:
    """The narrowest and the widest half-angle of straps in plan that the rules allow, degrees."""
    book = muster.book
    narrowest = Fraction(book.ruled("strap_narrow", "min", default=0))
    return narrowest, Fraction(book.ruled("strap_spread", "max", default=89))


def _who(muster: Muster, kind: str) -> str:
    """The rule that says a value, and what of its source is about that: after "otherwise", else the first words."""
    said = ((rule.id, rule.source.rpartition("; otherwise ")[2]) for rule in muster.book.in_force(kind))
    return "; ".join(f"{rule}: {source.partition(';')[0]}" for rule, source in said)


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
