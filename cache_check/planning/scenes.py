"""Scenes: all needs of one scene at once, from one stock."""

from __future__ import annotations

from cache_check.model.need import Need, Scene
from cache_check.model.result import Packing, SceneAnswer
from cache_check.model.served import NeedAsked
from cache_check.planning.packing.binding import binding
from cache_check.planning.packing.choice import as_packing, settled
from cache_check.planning.packing.columns import Column
from cache_check.planning.packing.masks import bits
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.packing import Packer
from cache_check.planning.packing.tally import parts_in_play
from cache_check.planning.packing.verify import verify, verify_together
from cache_check.planning.solving.solvers import make_solver


def ask_of(need: Need) -> Ask:
    """What a need asks of every strut that serves it."""
    return Ask(need.shortest, need.longest, need.load, need.factor, need.restrained)


def asked(muster: Muster, wanted: Scene) -> tuple[NeedAsked, ...]:
    """What each need of a scene asks, at its own design factor or the policy's."""
    return tuple(
        NeedAsked(
            wanted.id, wanted.title, wanted.weight, need.id, need.count, need.shortest, need.longest, need.load,
            muster.factor(ask_of(need)).k if need.load is not None else None, ask_of(need).top,
        )
        for need in wanted.needs
    )  # fmt: skip


def scene(muster: Muster, wanted: Scene) -> SceneAnswer:
    """How many of a scene's wanted struts are served at once, each on the step its need asks, and what binds.

    Each need gets a row of its own that holds as many as are wanted, so that no need is served twice over.
    """
    asks = [ask_of(need) for need in wanted.needs]
    if muster.large:
        from cache_check.planning.stores.store import scene_of_store

        return scene_of_store(muster, wanted, asks)
    owned: list[int] = []
    columns: list[Column] = []
    origin: list[tuple[int, int]] = []
    rows = len(muster.columns.rows)
    for n, ask in enumerate(asks):
        there = muster.mask(ask, ask.top)
        for i in bits(muster.mask(ask, ask.top, owned=False)):
            column = muster.columns.all[i]
            columns.append(Column(column.assembly, column.hold, (*column.uses, (rows + n, 1)), column.pieces))
            origin.append((n, i))
            if there >> i & 1:
                owned.append(len(columns) - 1)
    packer = Packer(tuple(columns), rows + len(asks), make_solver)
    stock = (*muster.stock, *(need.count for need in wanted.needs))
    count, plan, most = settled(packer, stock, sum(1 << i for i in owned))
    by_need = _by_need(muster, wanted, asks, [(origin[column], number) for column, number in plan])
    every = (1 << len(columns)) - 1
    whole = as_packing(muster, _whole([(origin[column][1], number) for column, number in plan]), most)
    held = [part for part, ask in zip(by_need, asks, strict=True) if ask.restrained]
    verify_together(muster, whole, by_need, held)
    return SceneAnswer(
        scene=wanted.id,
        title=wanted.title,
        wanted=sum(need.count for need in wanted.needs),
        served=count,
        bound=most,
        by_need=tuple(
            (need.id, need.count, packing.count) for need, packing in zip(wanted.needs, by_need, strict=True)
        ),
        packing=whole,
        binding=binding(packer, stock, every, count, parts_in_play(muster), muster.columns.changed),
    )


def _whole(taken: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    total: dict[int, int] = {}
    for column, number in taken:
        total[column] = total.get(column, 0) + number
    return tuple(sorted(total.items()))


def _by_need(muster: Muster, wanted: Scene, asks: list[Ask], taken: list[tuple[tuple[int, int], int]]) -> list[Packing]:
    """The part of a plan that serves each need, verified for what that need asks."""
    packings = []
    for n, (need, ask) in enumerate(zip(wanted.needs, asks, strict=True)):
        plan = _whole([(column, number) for (which, column), number in taken if which == n])
        packing = as_packing(muster, plan, need.count)
        verify(muster, ask, ask.top, packing)
        packings.append(packing)
    return packings
