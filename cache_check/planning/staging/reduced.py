"""What a column of ready sets really adds to the bound: its own reduced cost, and those of what it cannot be without.

An opening takes a set that is left; a run from a set, an opening that yields it; the lower end of a strut, the ends
below it, and a strut above.  So whatever takes a column takes those too, and adds all their reduced costs.
"""

from __future__ import annotations

from math import inf

import numpy as np

from cache_check.planning.solving.tables import Array
from cache_check.planning.staging.runs import Run
from cache_check.planning.staging.staging import Lower, Plan


def raised(plan: Plan, reduced: Array) -> Array:
    """For each column what any choice that takes it adds at least, where ``reduced`` are reduced costs."""
    own = np.maximum(reduced, 0.0)
    adds = own.copy()
    place: dict[int, float] = {}
    for (c, _), x in plan.left.items():
        place[c] = min(place.get(c, inf), own[x])
    left = {key: min(place[c] for c in members) for key, members in plan.alike.items()}
    yields: dict[tuple[int, Run], float] = {}
    for (s, number, _), (x, opening) in plan.opened.items():
        adds[x] += left[s, number]
        for run, _ in opening.yields:
            yields[s, run] = min(yields.get((s, run), inf), adds[x])
    _raise_struts(plan, own, adds, yields)
    return adds


def _raise_struts(plan: Plan, own: Array, adds: Array, yields: dict[tuple[int, Run], float]) -> None:
    """The same of struts and their lower ends: the cheapest way from the ground to each and on to a strut."""
    up: dict[tuple[int, Lower], float] = {}
    for (s, _), (x, lower) in plan.struts.items():
        up[s, lower] = min(up.get((s, lower), inf), own[x])
    rising = sorted(plan.grown.items(), key=lambda one: len(one[0][1][0]))
    down: dict[tuple[int, Lower], float] = {}

    def below(s: int, lower: Lower, at: int) -> tuple[int, Lower]:
        return s, (lower[0][: 2 * at - 1], lower[1])

    for (s, lower, at), (x, _) in rising:
        whole = own[x] + (down[below(s, lower, at)] if at else 0.0)
        down[s, lower] = min(down.get((s, lower), inf), whole)
    for (s, lower, at), (x, grown) in reversed(rising):
        if at:
            end = below(s, lower, at)
            up[end] = min(up.get(end, inf), own[x] + up[s, lower])
        adds[x] += up[s, lower] + (down[below(s, lower, at)] if at else 0.0)
        if len(grown.run) > 1:
            adds[x] += yields[s, grown.run]
    for (s, _), (x, lower) in plan.struts.items():
        adds[x] += down[s, lower]
