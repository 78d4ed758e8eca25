"""What each strut carries in one situation, and what holds its base."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from cache_check.api.base import WhatIf, basis_of, muster_of, names_of
from cache_check.errors import AskError
from cache_check.model.cache import Cache
from cache_check.model.load import Carrier, LoadResult
from cache_check.model.rule import RuleBook
from cache_check.model.situation import Situation

if TYPE_CHECKING:
    from cache_check.loads.solve import Shape
    from cache_check.planning.loading.carrying import Demand
    from cache_check.planning.loading.loading import Statics, Straps
    from cache_check.planning.loading.sharing import Shared
    from cache_check.planning.packing.muster import Muster


def load(cache: Cache, book: RuleBook, situation: Situation, *, suppose: WhatIf | None = None) -> LoadResult:
    """Geometry, forces, straps, which assemblies carry it and how many at once, and the way back.

    Raises:
        AskError: something supposed cannot be, or the situation does not go together.
        NoPlanError: an optimum could not be proven in time.
    """
    from dataclasses import replace

    from cache_check.checks.load import findings
    from cache_check.loads.likely import believed
    from cache_check.loads.solve import shape_of
    from cache_check.model.agreement import disagreements
    from cache_check.planning.loading.loading import pretensioned, straps_of
    from cache_check.planning.loading.sharing import shared

    for entry, what, right in disagreements(situation):
        raise AskError(f"{entry}: {what}; {right}")
    suppose = suppose or WhatIf()
    muster = muster_of(cache, book, suppose)
    situation, doubts = believed(situation, muster.book)
    muster.unlikely += doubts
    one = pretensioned(muster, situation)
    shape = shape_of(one)
    _possible(one, shape)
    divided = shared(one)
    solved, straps = _solved(muster, one, shape, straps_of(muster, one, shape), divided)
    result = _answer(muster, suppose, one, solved, straps, divided)
    return replace(result, findings=findings(muster, result))


def _possible(one: Situation, shape: Shape) -> None:
    if any(anchor.x >= one.contact_x + shape.offset for anchor in one.anchors):
        what = "an anchor lies level with the base or beyond it, where a strap holds no thrust"
        raise AskError(f"anchors: {what}; check x")


def _solved(muster: Muster, one: Situation, shape: Shape, straps: Straps, divided: Shared) -> tuple[Statics, Straps]:
    """The statics; where straps and vehicle find no balance the straps are refused and left out."""
    from dataclasses import replace

    from cache_check.planning.loading.loading import NO_BALANCE, statics_of

    try:
        return statics_of(muster, one, shape, straps, divided), straps
    except ValueError as error:
        refused = replace(straps, refused=straps.refused or f"{NO_BALANCE}: {_reason(str(error))}")
    try:
        return statics_of(muster, one, shape, refused, divided), refused
    except ValueError:
        raise AskError(
            "the strut's line passes the pivot on the wrong side, so it cannot hold the vehicle; "
            "check contact_x, the heights and the angle"
        ) from None


def _reason(error: str) -> str:
    """The words of an equation that finds no balance, without its figures."""
    return error.rpartition(": ")[2]


def _answer(
    muster: Muster, suppose: WhatIf, one: Situation, solved: Statics, straps: Straps, divided: Shared
) -> LoadResult:
    from cache_check.files.default_wll import default_wll
    from cache_check.planning.loading import loading, weighing
    from cache_check.planning.loading.carrying import carriers, leading
    from cache_check.planning.packing.muster import Ask

    table = default_wll()
    ways = () if straps.refused else loading.ways_of(muster, one, solved, table)
    demand = loading.demand_of(one, solved, ways, muster.factor(Ask(1, 1, factor=one.factor)), straps.refused)
    here = loading.here_of(muster, ways)
    found = carriers(here, demand)
    wanted = max(one.sharing, weighing.floor_of(muster, one))
    tally = loading.counted(here, demand, found, wanted, one.title or "here")
    buildable = here.columns.within(here.stock)
    there = tuple(c for c in found if here.built_of(c.assembly) & buildable)
    best = next(iter(there), None)
    way = leading(ways)
    base = best.assembly.ground if best is not None else None
    ground = weighing.ground_of(muster, one, solved.known, _own_upright(demand.sine, best), base)
    return LoadResult(
        name=muster.cache.id,
        title=muster.cache.title,
        basis=basis_of(muster, suppose, asked=True, factors=_factor(one, demand)),
        names=names_of(muster),
        situation=one,
        geometry=solved.setup.shape.geometry(),
        assumed=straps.assumed,
        lines=solved.setup.lines(),
        refused=straps.refused,
        forces=solved.known,
        shares=divided.shares,
        comparisons=weighing.comparisons(one, solved, ways),
        slip=loading.slip_of(one, solved.setup.shape),
        push=loading.push_of(solved, way),
        ties=ways,
        doubled=None if straps.refused else loading.doubled_way(muster, one, solved, table),
        chain=loading.chain_instead(solved, table) if not straps.refused else None,
        carriers=there,
        tally=tally,
        wanted=weighing.wanted_of(muster, one, solved, divided, best),
        ground=ground,
        largest=weighing.largest_of(one, solved, divided, best, ground),
        near=loading.near(muster, solved.setup.shape, demand.length),
        findings=(),
    )


def _factor(one: Situation, demand: Demand) -> tuple[tuple[str, Fraction], ...]:
    """The situation with its own design factor where that is the one used."""
    own = one.factor is not None and one.factor == demand.factor.k
    return ((one.title or "this situation", demand.factor.k),) if own else ()


def _own_upright(sine: Fraction, best: Carrier | None) -> Fraction:
    """The upright part of the strut force that pre-tension makes."""
    return best.way.own * sine if best is not None and best.way is not None else Fraction(0)
