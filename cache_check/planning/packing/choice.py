"""One plan among equals, the same on every run and machine, shown with its straps, and verified."""

from collections import Counter
from collections.abc import Iterable, Sequence

from cache_check.errors import summed
from cache_check.model.assembly import Assembly
from cache_check.model.counting import Packing, Step
from cache_check.model.told import Pieces
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.packing import Packed, Packer, Plan
from cache_check.planning.packing.rows import Hold, Rows, bits
from cache_check.planning.packing.verify import verify

_FEW = 2_000
"""Up to so many admitted columns the choice is settled column by column; beyond, the packer's own plan stands,
which is the same on every run since nothing in it is left to chance."""


def settled(packer: Packer, stock: tuple[int, ...], active: int, at_most: int | None = None) -> tuple[int, Plan, int]:
    """The most struts (or ``at_most``, where that is fewer), the chosen plan and the proven most of that."""
    best = packer.most(stock, active)
    if at_most is not None and best.count >= at_most:
        best = Packed(at_most, best.plan, at_most)
    # One that a leaner one makes needless is never taken: the leaner comes first, and could be taken in its place.
    active = packer.lean(active)
    # Columns are taken as often as they can be, those of the fewest pieces first, then in the order of the assemblies.
    order = sorted(bits(active), key=lambda column: (packer.columns[column].pieces, column))
    wanted, plan, known = best.count, list[tuple[int, int]](), dict(best.plan)
    if len(order) > _FEW:
        for column, number in best.plan:
            if wanted:
                plan.append((column, min(number, wanted)))
                wanted -= min(number, wanted)
        return best.count, tuple(plan), best.most
    for column in order:
        if not wanted:
            break
        number, known = _as_often(packer, column, stock, wanted, active, known)
        if number:
            stock, wanted = packer.left(stock, ((column, number),)), wanted - number
            plan.append((column, number))
        # Settled for good: shut from here on, or a later column would be weighed against a plan that takes it again.
        active &= ~(1 << column)
    return best.count, tuple(sorted(plan)), best.most


def _as_often(
    packer: Packer, column: int, stock: tuple[int, ...], wanted: int, active: int, known: dict[int, int]
) -> tuple[int, dict[int, int]]:
    """How often a column can be taken so that the stock still makes up ``wanted``, and a plan of the rest."""
    # With so many it can be taken any fewer times too, so the steps double while they succeed, and halve after.
    # A plan that is ``known`` to make it up takes the column as often as it does.
    cap = min(wanted, *(stock[row] // each for row, each in packer.taken(((column, 1),)).items()))
    taken, step = min(cap, known.pop(column, 0)), 1
    while step and taken < cap:
        number = min(cap, taken + step)
        found = packer.most(packer.left(stock, ((column, number),)), active, wanted - number)
        if found.count >= wanted - number:
            known = dict(found.plan)
            taken, step = min(cap, number + known.pop(column, 0)), step * 2
        else:
            cap, step = number - 1, step // 2
    return taken, known


def ties_of_holds(rows: Rows, held: Sequence[tuple[Hold | None, int]], counts: dict[str, int]) -> Pieces:
    """The straps or chains of so many bases held in each way, by part; within a group in the catalogue's order."""
    wanted: Counter[int] = Counter()
    for hold, number in held:
        for group, each in hold.ties if hold else ():
            wanted[group] += each * number
    taken = []
    for i, alike in enumerate(rows.groups):
        for part in alike.parts:
            number = min(wanted[i], counts.get(part, 0))
            wanted[i] -= number
            if number:
                taken.append((part, number))
    return tuple(taken)


def shown(muster: Muster, ask: Ask, step: Step, at_most: int | None = None) -> Packing:
    """The chosen packing of the most struts (or ``at_most``) for an ask on a step, verified."""
    count, plan, most = settled(muster.packer, muster.stock, muster.mask(ask, step), at_most)
    packing = of_columns(muster, plan, most)
    assert packing.count == count
    verify(muster, ask, step, packing)
    return packing


def of_columns(muster: Muster, plan: Iterable[tuple[int, int]], most: int) -> Packing:
    """A plan, in which a column may come more than once, as assemblies and straps."""
    taken = [(muster.columns.all[column], number) for column, number in plan]
    struts = [(muster.columns.assemblies[column.assembly], column.hold, number) for column, number in taken]
    return as_packing(muster, muster.columns, struts, most)


def as_packing(muster: Muster, rows: Rows, struts: list[tuple[Assembly, Hold | None, int]], most: int) -> Packing:
    """So many struts of assemblies, each held so, as assemblies in their order and straps."""
    built = summed((assembly, number) for assembly, _, number in struts)
    listed = tuple(sorted(built.items(), key=lambda one: one[0].order))
    ties = ties_of_holds(rows, [(hold, number) for _, hold, number in struts], muster.usable.counts)
    return Packing(built.total(), most, listed, ties)
