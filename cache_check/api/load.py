"""What each strut carries in one situation, and what holds its base."""

from dataclasses import replace

from cache_check.api.base import SECONDS, WhatIf, head_of, muster_of
from cache_check.checks.facts import LoadFacts
from cache_check.checks.run import findings
from cache_check.errors import AskError
from cache_check.loads.likely import believed
from cache_check.model.cache import Cache
from cache_check.model.load import LoadResult, TieWay
from cache_check.model.rule import RuleBook
from cache_check.model.situation import Situation, disagreements
from cache_check.model.verdict import worst
from cache_check.planning.loading import judging, loading, weighing
from cache_check.planning.loading.carrying import Here, carriers
from cache_check.planning.loading.loading import worked_out


def load(
    cache: Cache, book: RuleBook, situation: Situation, *, suppose: WhatIf | None = None, seconds: float = SECONDS
) -> LoadResult:
    """Geometry, forces, straps, which assemblies carry it and how many at once, and the way back.

    Raises AskError: something supposed cannot be, or the situation does not go together; NoPlanError: an optimum could
    not be proven in time.
    """
    for entry, what, right in disagreements(situation):
        raise AskError(f"{entry}: {what}; {right}")
    suppose = suppose or WhatIf()
    muster = muster_of(cache, book, suppose, seconds)
    situation, doubts = believed(situation, muster.book)
    muster.unlikely += doubts
    worked = worked_out(muster, situation)
    demand, divided = worked.demand, worked.divided
    one, setup, here = demand.one, demand.setup, Here(muster, demand)
    found, ways = carriers(here), _ways(here)
    floors = weighing.floors_of(muster, one.vehicle)
    least = floors.get(one.vehicle or "", 1)
    planned = one.struts if one.on_this_side is not None or one.strut_places else least
    wanted = judging.Wanted(max(one.struts, least), planned, floors)
    counts = loading.counted(here, found, wanted.count, one.title or "here")
    best = next(iter(found), None)
    by_limit = weighing.wanted_of(muster, demand, divided, best)
    links = (*judging.links(here, found, wanted), *judging.limit(one, by_limit))
    named = tuple(link.link_of() for link in links)
    verdict = worst(named)
    ground = weighing.ground_of(here, best)
    own = one.factor is not None and one.factor == demand.factor.k  # the situation's own is the one used
    factors = ((one.title or "this situation", demand.factor.k),) if own else ()
    told = replace(
        counts, angle_deg=setup.shape.geometry().angle_deg, links=named,
        missing=judging.missing(here, found[0], wanted, counts.missing) if verdict == "met" else None,
    )  # fmt: skip
    result = LoadResult(
        *head_of(muster, suppose, asked=True, factors=factors), verdict=verdict, links=links,
        unchecked=judging.unchecked(here), situation=situation, settled=one, geometry=setup.shape.geometry(),
        assumed=worked.assumed, lines=setup.lines(), refused=demand.refused,
        forces=demand.known, shares=divided.shares, comparisons=weighing.comparisons(demand, ways),
        slip=loading.slip_of(situation, setup.shape, one.friction),
        push=loading.push_of(here.links, best.way if best else None), ties=ways,
        failed=judging.failed(here, best), ticks=judging.ticks(one, best),
        chain=loading.chain_instead(demand) if not demand.refused else None,
        carriers=judging.shown(here, found), alike=judging.alike(here, best, wanted.count), tally=told,
        wanted=by_limit, ground=ground, largest=tuple(weighing.largest_of(here, divided, best, ground, wanted.count)),
        near=() if found else loading.near(muster, setup.shape, demand.length), findings=(),
    )  # fmt: skip
    return replace(result, findings=findings(LoadFacts(muster, result)))


def _ways(here: Here) -> tuple[TieWay, ...]:
    kinds = {here.columns.families(assembly) for assembly in here.columns.assemblies}
    every = sorted({number for families in kinds for number in here.numbers(families)})
    return tuple(here.ties.way(tie.id, number) for tie in here.ties.allowed for number in every)
