"""The heaviest car on its side that a rig's struts hold, by contact height: from the links that ``load`` judges by."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from cache_check.errors import NoPlanError
from cache_check.joining.assemblies import reach_of
from cache_check.loads.conventions import settled
from cache_check.loads.geometry import length_at_angle
from cache_check.model.quantities import STRUCTURE
from cache_check.model.report import Heaviest
from cache_check.model.rule import Setting
from cache_check.model.situation import Situation
from cache_check.planning.loading.at_hand import angles_ruled
from cache_check.planning.loading.carrying import Here
from cache_check.planning.loading.loading import Worked, worked_out
from cache_check.planning.loading.weighing import floor_of
from cache_check.planning.packing.masks import bits, mask_of
from cache_check.planning.packing.muster import Muster
from cache_check.units import NEWTON_PER_LBF, NM_PER_INCH, NM_PER_MM

STEEP_DEG = 60
MOST_HEIGHTS, MOST_WAYS = 6, 5000
UNSTATED = ("ground_bearing", "head_for_contact", "head_captured", "strap_reach", "pretension_push")
"""Kinds of rules on what only the place says: they are left to ``load``, which asks for it."""
_LIGHT = 100 * NEWTON_PER_LBF
"""A weight that asks for no more straps than the rules do; what is held grows with it in proportion."""


def heaviest(muster: Muster) -> Heaviest:
    """For round contact heights the largest weight that as many struts as policy asks for a car hold at once.

    The car lies as high as it is wide and is met at its upper edge: at rest with its weight half its width inside the
    edge, leaning with it as far outside.  Bases are held by as many straps or chains as the rules ask.

    Raises:
        NoPlanError: too many ways to put struts up to go through.
    """
    if muster.large or len(muster.columns.all) > MOST_WAYS:
        raise NoPlanError("there are too many ways to put struts up; ask load of a place")
    ruled = angles_ruled(muster) or (Fraction(STEEP_DEG),)
    angle = min(max(Fraction(STEEP_DEG), ruled[0]), max(ruled[-1], ruled[0]))
    left = [rule.id for kind in UNSTATED for rule in muster.book.of_kind(kind)]
    off = [Setting(rule=rule, on=False, by="left to load") for rule in left]
    plain = muster.changed(book=muster.book.changed(settings=(*muster.book.settings, *off)))
    struts = max(2, floor_of(muster, Situation.model_construct(contact_height=1, vehicle="car")))
    rows, places = [], []
    for height in _heights(plain, angle):
        places = [worked_out(plain, _place(height, angle, struts, inside=inside)) for inside in (True, False)]
        at_rest, leaning = (_most(plain, one, struts) for one in places)
        rows.append((height, _length(height, angle), at_rest, leaning))
    assumed = dict.fromkeys(text for one in places for text in one.of_policy)
    rights = any(not one.divided.share for one in places[:1])
    return Heaviest(angle, struts, tuple(rows), rights, tuple(assumed))


def _length(height: int, angle: Fraction) -> int:
    return round(settled(length_at_angle(height, angle)))


def _heights(muster: Muster, angle: Fraction) -> Iterator[int]:
    """A few round contact heights that some assembly reaches at an angle."""
    union = reach_of(muster.joined, 0).union
    unit = 2 * NM_PER_INCH if muster.cache.units == "us" else 50 * NM_PER_MM
    lengths = range(unit * -(-union[0][0] // 2 // unit), union[-1][1], unit) if union else ()
    reached = [at for at in lengths if any(low <= _length(at, angle) <= high for low, high in union)]
    yield from reached[:: -(-len(reached) // MOST_HEIGHTS) or 1]


def _place(height: int, angle: Fraction, struts: int, *, inside: bool) -> Situation:
    lies: dict[str, Any] = {"weight_inside" if inside else "weight_outside": height // 2, "edges_apart": height}
    said: dict[str, Any] = {"weight": _LIGHT, "on_this_side": struts, "vehicle": "car", "far_anchors": STRUCTURE}
    return Situation.model_construct(contact_height=height, angle=angle, **said, **lies)


def _most(muster: Muster, worked: Worked, struts: int) -> Fraction | None:
    """The largest weight (N) of which so many struts at once hold their shares; None where none is held."""
    here = Here(muster, worked.demand)
    by_share: dict[Fraction, list[int]] = {}
    for column in bits(here.by_verdict["met"] & here.columns.within(here.stock)):
        by_share.setdefault(here.judged.largest_of(column), []).append(column)
    mask = 0
    for share in sorted(by_share, reverse=True):
        mask |= mask_of(by_share[share], len(here.columns.all))
        if here.packer.most(here.stock, mask).count >= struts:
            known = worked.divided.share
            return _LIGHT * share / known if known and share else None
    return None
