"""What stands beside the answer: short cuts of the trade, the ground, the way back, and how many struts in all."""

import math
from bisect import bisect_left
from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import chain
from operator import itemgetter

from cache_check.loads import demand as equations
from cache_check.loads.conventions import settled, sin_deg
from cache_check.loads.solve import product, push_arm, push_left, ratio
from cache_check.model.load import Carrier, Comparison, Ground, Largest, TieWay, Wanted
from cache_check.model.situation import Situation
from cache_check.planning.loading.carrying import Here, largest
from cache_check.planning.loading.demand import NM_PER_M, Demand, Shared, pads_large
from cache_check.planning.loading.links import OFF_PIVOT
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.rows import bits, mask_of
from cache_check.planning.packing.verdicts import unruled_why

HALF = "Half left by one end pivoting"
BY_LEVER = "Weight times lever over contact offset"
SIDEWAYS = "Sideways load at 45 deg"
NO_PADS = "then the pads that are large enough are all in use"


def comparisons(demand: Demand, ways: tuple[TieWay, ...]) -> tuple[Comparison, ...]:
    """The trade's short cuts that speak of this situation, beside the statics."""
    return (*_half(demand), *_by_lever(demand), *_sideways(demand, ways))


def _half(demand: Demand) -> Iterator[Comparison]:
    """Half of the weight against the moments about the pivot; both as what the struts lift upright in all."""
    one = demand.one
    if one.weight is None or not one.one_end_pivots:
        return
    weight = one.weight * one.allowance
    lifts = weight * demand.each.vertical if demand.loaded == "overturning" and not demand.by_lever else None
    yield Comparison(
        what=HALF, practice=weight * ratio(equations.half_left_by_pivoting(1)), statics=lifts, along_strut=None,
        rests_on="common practice, no source: the centre of gravity lies midway between the pivot and the struts",
        differ="Half is right only where the weight lies midway; moments about the pivot use where it really lies."
        if lifts is not None
        else "Statics needs the weight's lever about the pivot, which is not known; half holds only if it lies midway.",
    )  # fmt: skip


def _by_lever(demand: Demand) -> Iterator[Comparison]:
    """Upright forces alone about the pivot, W e / x, against all moments; both as what the struts lift in all."""
    one = demand.one
    if one.weight is None or not one.weight_outside or one.contact_x <= 0 or demand.by_lever:
        return
    weight = one.weight * one.allowance
    along = max(demand.each.axial_with_straps, demand.each.axial)
    yield Comparison(
        what=BY_LEVER, practice=weight * one.weight_outside / one.contact_x,
        statics=weight * along * ratio(sin_deg(demand.setup.angle)), along_strut=weight * along,
        rests_on="common practice, no source: the strut only lifts, at the contact's distance out from the pivot",
        differ="A raked strut also pushes level, which holds by the contact's height and eases the lift; straps to the "
        "vehicle pull it back onto the strut and add to it. The short cut leaves both out: statics alone is checked.",
    )  # fmt: skip


def _sideways(demand: Demand, ways: tuple[TieWay, ...]) -> Iterator[Comparison]:
    setup, known = demand.setup, demand.known
    practice = equations.sideways_by_practice(1, setup.angle)
    if known is None or practice is None:
        return
    lifted = known.vertical
    if demand.loaded == "half" or known.axial_checked > known.axial_with_straps:
        lifted = max(lifted, known.axial_checked * ratio(sin_deg(setup.angle)))
    statics = lifted * ratio(equations.thrust_from_vertical(1, setup.angle))
    first = next((way for way in ways if way.rated), None)
    yield Comparison(
        what=SIDEWAYS, practice=lifted * ratio(practice), statics=statics,
        along_strut=lifted * ratio(equations.axial_from_vertical(1, setup.angle)),
        rests_on="common practice, no source: 1.5 times what the strut lifts, said of 45 deg only",
        differ="Statics puts 1.00 times the vertical along the ground and 1.41 times along the strut; the short cut "
        "rounds the second up to 1.5 and lays it on the ground, so it asks half as much again of the straps.",
        tie=first.part if first else "", ties_by_practice=_ties(lifted * ratio(practice), first),
        ties_by_statics=_ties(statics, first),
    )  # fmt: skip


def _ties(thrust: Fraction, way: TieWay | None) -> int | None:
    """How many ties hold a thrust beside their pre-tension, if all run along the strut's line."""
    if way is None or way.rated is None or way.rated <= way.pretension:
        return None
    return equations.struts_needed(thrust, way.rated - way.pretension, 2)


def ground_of(here: Here, best: Carrier | None) -> Ground | None:
    """The ground under one base; None where no load is known or nothing stands."""
    demand = here.demand
    if demand.known is None or best is None:
        return None
    soil, link = demand.one.softest, next((link for link in best.links if link.of == "ground"), None)
    bearing = demand.known.bearing + (demand.upright(best.way.own) if best.way else 0)
    on, area = next(iter(here.links.ground.stands_on(best.assembly.ground)))
    if soil is not None and link is not None and link.rated is not None:
        on, area = link.why, link.rated / soil
    return Ground(
        soil=soil, bearing=bearing, on=on, area=area, pressure=None if area is None else bearing / area,
        pad_side=None if soil is None else int(settled(math.sqrt(bearing / soil)) * NM_PER_M) + 1,
        pads=() if soil is None else pads_large(here, bearing / soil),
    )  # fmt: skip


def largest_of(
    here: Here, shared: Shared, best: Carrier | None, ground: Ground | None, wanted: int
) -> Iterator[Largest]:
    """The way back: the largest load, weight or push that so many struts pass at once, and the softest ground."""
    demand, one = here.demand, here.demand.one
    whole, because = _whole(here, shared, best, wanted)
    struts = "" if one.sharing == 1 else f" on {one.sharing} struts"
    if demand.by_lever:
        yield Largest(f"distance of this weight outside the edge{struts}", whole, "length", "at most", because)
    elif demand.loaded in ("overturning", "half"):
        said = "where it lies" if demand.loaded == "overturning" else "by the trade's half"
        yield Largest(f"weight {said}{struts}", whole, "force", "at most", because)
    elif demand.loaded == "axial":
        yield Largest("force along one strut", whole, "force", "at most", because)
    elif demand.loaded == "rest":
        yield from _at_rest(one, whole, because, struts)
    elif one.weight_inside is None:
        yield Largest(f"load lifted upright{struts}", whole, "force", "at most", because)
    if one.softest is None and ground is not None and ground.pressure is not None:
        softest = pressed(here, wanted)
        because = "the soil is not known" if softest is not None else f"fewer than the {wanted} wanted stand here"
        yield Largest(f"bearing value of the ground {ground.on}", softest, "pressure", "at least", because)


def _whole(here: Here, shared: Shared, best: Carrier | None, wanted: int) -> tuple[Fraction | None, str]:
    """The largest whole load, its allowance left out, that passes, and what stops more; None: none does, and why."""
    demand = here.demand
    if not here.restraint_ruled and demand.one.ties != "none":
        return None, unruled_why(here)[0]
    if best is None or best.largest is None:
        return None, _bars(best)

    def of(share: Fraction) -> Fraction:
        return share / shared.part / demand.one.allowance

    share, because = together(here, wanted, lambda share: _filled(demand, of(share)))
    whole = None if share is None else of(share)
    if demand.on_pivot is not None and whole is not None and whole > demand.on_pivot:
        return demand.on_pivot, f"then {OFF_PIVOT}"
    return whole, because


def _filled(demand: Demand, whole: Fraction) -> Situation:
    one = demand.one
    if demand.by_lever:
        return one.changed(weight_outside=int(whole) or 1)
    if one.weight is None and demand.loaded in ("overturning", "rest"):
        part = push_left(one) / one.allowance if demand.loaded == "rest" else 1
        return one.changed(weight=whole / part if part else whole)
    return one.changed(vertical=whole) if one.weight is None and one.axial is None else one


def _at_rest(one: Situation, left: Fraction | None, because: str, struts: str) -> Iterator[Largest]:
    """The push at which struts begin to carry, and the largest held, ``left`` beyond that; or the heaviest vehicle."""
    if one.weight is None:
        part = push_left(one) / one.allowance
        heaviest = None if left is None or not part else left / part
        because = because if part else "its own weight rights more than that push, whatever it weighs"
        yield Largest(f"weight with that push{struts}", heaviest, "force", "at most", because)
        return
    begins = one.weight * Fraction(one.weight_inside or 0, push_arm(one)) / one.allowance
    why = "until then its own weight keeps it where it is"
    yield Largest(f"sideways push at which the struts begin to carry{struts}", begins, "force", "at least", why)
    holds = None if left is None else begins + left
    yield Largest(f"sideways push that every link holds{struts}", holds, "force", "at most", because)


def _bars(best: Carrier | None) -> str:
    """The link of the best assembly that bars every load."""
    if (bars := None if best is None else next((link for link in best.links if link.bars()), None)) is None:
        return "no assembly here reaches it"
    fails = "is not rated" if bars.loaded else "does not hold" if bars.state == "does not hold" else "is not known"
    return f"{bars.named()} {fails}: {bars.why}" if bars.why else f"{bars.named()} {fails}"


def together(here: Here, wanted: int, filled: Callable[[Fraction], Situation]) -> tuple[Fraction | None, str]:
    """The largest share that each of so many struts takes, and what is then at its limit.

    None where not so many stand of which no link bars every load; then why.  ``filled`` is the situation under a share.
    """
    takes = {column: here.judged.largest_of(column) for column in bits(here.reaching & here.there)}

    def standing(share: Fraction) -> int:
        return mask_of([column for column, most in takes.items() if most >= share], len(here.columns.all))

    def short_at(share: Fraction) -> bool:
        return not here.packer.reaches(here.stock, standing(share), wanted)

    shares = sorted({share for share in takes.values() if share})
    if not (short := bisect_left(shares, True, key=short_at)):
        most = here.packer.most(here.stock, standing(shares[0])).count if shares else 0
        return None, f"{wanted} wanted at once, and no more than {most} of them hold any load at all"
    by_links = shares[short - 1]
    # The shares at which a base, alone or on some pad of the book, comes to what the ground takes.
    held = ((one.ground, {way.own for way in ways or ()}) for one, ways in map(here.judged.held, takes))
    ground = (here.links.ground.shares(base, own) for base, each in held for own in each or {Fraction(0)})
    lower = sorted({*shares[:short], *chain.from_iterable(ground)}, reverse=True)
    for share in (share for share in lower if 0 < share <= by_links):
        needing, least = here.judged.pads(standing(share), wanted, share=share)
        if needing <= sum(number for _, number in pads_large(here, least)):
            if _moved(here, standing(share), filled(share)):
                return None, "pre-tension alone moves every load that passes"
            alike = [column for column, most in takes.items() if most == by_links]
            return share, _limit(here, alike) if share == by_links else NO_PADS
    return None, "there are too few pads for any load"


def pressed(here: Here, wanted: int) -> Fraction | None:
    """The least bearing value (Pa) of ground that takes so many struts at once, on what they stand on before any pad.

    Of those of which no link fails; None where fewer stand, or it is not known on what.
    """
    demand, known, pressure = here.demand, here.demand.known, dict[int, Fraction]()
    assert known is not None
    for column in bits((here.by_verdict["met"] | here.by_verdict["not known"]) & here.there):
        assembly, own = here.judged.pressed_on(column)
        _, area = next(here.links.ground.stands_on(assembly.ground))
        if area:
            pressure[column] = (known.bearing + demand.upright(own)) / area
    for most in sorted(set(pressure.values())):
        mask = mask_of([column for column, own in pressure.items() if own <= most], len(here.columns.all))
        if here.packer.most(here.stock, mask).count >= wanted:
            return most
    return None


def _moved(here: Here, columns: int, one: Situation) -> bool:
    """Whether the pre-tension of some struts moves more of a load than is allowed; of a lighter one it moves more."""
    if not here.book.in_force("pretension_push"):
        return False
    most = Fraction(here.book.ruled("pretension_push", "share"))
    ways = {way for column in bits(columns) for way in here.judged.held(column)[1] or () if way.pretension}
    return any((share := here.links.turned(way, one)) is not None and settled(float(share)) > most for way in ways)


def _limit(here: Here, columns: list[int]) -> str:
    """The link that comes to its limit on one of some columns, which take alike."""
    assembly, ways = here.judged.held(columns[0])
    links = min((here.links.of(assembly, way) for way in ways or (None,)), key=lambda one: largest(one) or Fraction(0))
    least = min((link for link in links if link.largest is not None), key=lambda link: link.largest or Fraction(0))
    return f"then {least.link} is at its limit"


def wanted_of(muster: Muster, demand: Demand, shared: Shared, best: Carrier | None) -> Wanted | None:
    """Struts for the whole load by equal share; None where the load is one strut's or not known, or nothing carries."""
    one = demand.one
    if shared.whole is None or one.axial is not None or demand.by_lever:
        return None
    upright = max(demand.each.vertical, product(demand.each.axial_checked, ratio(sin_deg(demand.setup.angle))))
    lifted = upright * shared.whole
    limits = [("the limit given for one strut", one.strut_limit)] if one.strut_limit is not None else []
    limits += [("the best assembly here", best.largest * upright)] if best and best.largest and upright else []
    if not limits:
        return None
    by, each = min(limits, key=itemgetter(1))
    floor = max(floors_of(muster, one.vehicle).values(), default=1)
    return Wanted(equations.struts_needed(lifted, each, floor), equations.struts_needed(lifted, each), each, by, floor)


def floors_of(muster: Muster, vehicle: str | None) -> dict[str, int]:
    """The policy's least number of struts for a class of vehicle, or for each where none is said; empty: no rule."""
    ruled = muster.book.ruled
    floors = {"car": ruled("strut_count", "car"), "heavy": ruled("strut_count", "heavy")}
    return {of: int(least) for of, least in floors.items() if least is not None and vehicle in (None, of)}
