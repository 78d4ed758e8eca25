"""What is counted in a scene: what its struts run out of."""

from collections import Counter
from collections.abc import Sequence

from cache_check.planning.packing.rows import points_row
from cache_check.planning.solving.solver import Clock, solver
from cache_check.planning.staging.played import Served, pieces_of
from cache_check.planning.staging.staging import Plan, Stager
from cache_check.planning.staging.staging_rows import scene_of
from cache_check.planning.staging.ways import Counted

_FEW = 50
"""Of a scene of fewer columns all that could run out is counted at once: to see what does would take longer."""


def joints_of(plan: Plan, values: Sequence[int]) -> Counter[int]:
    """The joints of each scene as a programme has them."""
    found = Counter[int]()
    for s, x, number in plan.made():
        if values[x]:
            found[s] += number * values[x]
    return found


def used_up(stager: Stager, served: Served) -> frozenset[str]:
    """The parts and pins that a scene leaves none of."""
    taken = pieces_of(way.assembly for way in served.built)
    return frozenset(part for part, n in taken.items() if n >= stager.muster.usable.counts[part])


def counted_for(
    stager: Stager, s: int, counted: Counted, sets: Sequence[int], least: int | None, joints: int | None, clock: Clock
) -> Counted:
    """What must be counted, beside ``counted``, for a scene to take as many joints with these sets as it does.

    ``joints`` are none where it cannot be served.  First what the programme's own plan runs out of is counted, as long
    as it runs out of something, then what could run out.
    """
    number = Counter(sets)
    scarce = Counted(stager.short(s), stager.scarce(s, number))
    while True:
        plan = scene_of(stager, s, number, least, counted)
        if len(plan.draft.lows) < _FEW and (all_scarce := counted.more(scarce)) != counted:
            return all_scarce
        values = solver()(plan.draft.done()).least(stager.joints(plan).costs, clock.left).values
        if values is None or (joints is not None and joints_of(plan, values)[s] >= joints):
            return counted
        more = (counted.more(one) for one in (_short(stager, plan, values, sets), scarce, stager.everything))
        found = next((one for one in more if one != counted), None)
        if found is None:
            return counted
        counted = found


def _short(stager: Stager, plan: Plan, values: Sequence[int], sets: Sequence[int]) -> Counted:
    """What the struts of a scene's own programme take more of than there is, or more beside its sets."""
    taken: Counter[str] = Counter()
    loose = pieces_of(stager.candidates[c].assembly for c in sets)
    points = Counter(stager.candidates[c].assembly.ground for c in sets)
    for x, stand in plan.stood.values():
        for _ in range(values[x]):
            taken.update(stand.strut.takes)
            loose.update(run[0] for run in stand.split.runs if len(run) == 1)
            for pin, number in filter(None, (stand.strut.pins[at] for at in stand.split.at)):
                loose[pin] += number
            points[stand.strut.base[0]] += len(stand.split.runs[0]) == 1
    usable = stager.muster.usable
    pointed = {name: base for name, base in stager.points.items() if points[base] > usable.pointed[name]}
    few = {part for part, n in loose.items() if n > usable.counts[part]}
    every = frozenset(part for part, n in taken.items() if n > usable.counts[part])
    return Counted(every, frozenset(few | {*pointed.values()} | set(map(points_row, pointed))))
