"""Scenes: all needs of one scene at once, from one stock."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import accumulate, chain
from typing import TYPE_CHECKING

from cache_check.errors import summed
from cache_check.frozen import dataclass
from cache_check.loads.demand import axial_from_vertical
from cache_check.model.counting import NeedAsked, Packing, SceneAnswer, SceneServed
from cache_check.model.told import Pieces
from cache_check.model.verdict import Link, worst
from cache_check.planning.packing.choice import of_columns, settled
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.packing import MANY
from cache_check.planning.packing.rows import bits, places
from cache_check.planning.packing.tally import why_none
from cache_check.planning.packing.verdicts import Field, binding, hoped_stock, missing, one_lost, state_of, unknowns
from cache_check.planning.packing.verify import verify, verify_together

if TYPE_CHECKING:
    from cache_check.model.need import Need, Scene


def ask_of(need: Need) -> Ask:
    """What a need asks of every strut that serves it."""
    if (place := need.place) is not None:
        from cache_check.loads.solve import ratio

        along = ratio(axial_from_vertical(1, place.steepness or 90)) * (need.vertical or 0)
        return Ask(need.shortest, need.longest, along, need.factor, contact=need.contact, angle=need.angle, place=place)
    wants = need.load, need.factor, need.restrained, need.contact, need.angle, need.answer()
    return Ask(need.shortest, need.longest, *wants)


def pads_of(muster: Muster, wanted: Scene) -> Pieces:
    """The pads that lie under the bases of a scene: the first on the book that are large enough for any of them."""
    if muster.judge is None or muster.large:
        return ()
    needing, large = muster.judge.pads((ask_of(need), need.count) for need in wanted.needs)
    before = accumulate((there for _, there in large), initial=0)
    return tuple((part, max(0, min(there, needing - had))) for (part, there), had in zip(large, before, strict=False))


def asked(muster: Muster, wanted: Scene) -> tuple[NeedAsked, ...]:
    """What each need of a scene asks, at its own design factor or the policy's."""
    return tuple(
        NeedAsked(
            wanted.id, wanted.title, wanted.weight, need.id, need.count, ask.shortest, ask.longest, ask.load,
            muster.factor(ask).k if need.loaded else None, muster.top(ask), need.contact,
            need.angle, need.height, need.vertical,
        )
        for need in wanted.needs for ask in (ask_of(need),)
    )  # fmt: skip


@dataclass(frozen=True)
class Split:
    """The one choice, in every command, of how a scene is served: columns with the need of each, and the verdict."""

    field: _SceneField
    taken: tuple[tuple[int, int, int], ...]
    count: int
    most: int
    links: tuple[Link, ...]
    left: int | None
    lost: tuple[str, ...]
    missing: Link | None

    def served(self, wanted: Scene) -> SceneServed:
        """How far the scene is met."""
        served = summed((n, times) for n, _, times in self.taken)
        by_need = tuple((need.id, need.count, served[n]) for n, need in enumerate(wanted.needs))
        return SceneServed(wanted.id, wanted.title, wanted.weight, by_need, worst(self.links), self.missing, self.links)


def split(muster: Muster, wanted: Scene) -> Split:
    """How a scene is served: as many struts as can be, and what is to be said of that."""
    asks = [ask_of(need) for need in wanted.needs]
    field = _field(muster, wanted, asks)
    count, plan, most = settled(field.packer, field.stock, field.counted)
    taken = tuple((field.needs[column], field.origin(column)[1], times) for column, times in plan)
    links = _links(muster, asks, field, count, wanted.needs)
    left, lost = one_lost(field.packer, field.stock, field.counted, count, muster.parts_there, muster.columns.changed)
    each = list(zip(asks, (need.count for need in wanted.needs), strict=True))
    beside = missing(muster, each, left, lost) if worst(links) == "met" else None
    return Split(field, taken, count, most, links, left, lost, beside)


def told(one: SceneAnswer, wanted: Scene) -> SceneServed:
    """How far a scene is met, of its answer."""
    return SceneServed(one.scene, one.title, wanted.weight, one.by_need, one.verdict, one.missing, one.links)


def scene(muster: Muster, wanted: Scene) -> SceneAnswer:
    """How many of a scene's wanted struts are served at once, each on the step its need asks, and what binds."""
    asks = [ask_of(need) for need in wanted.needs]
    if muster.large:
        from cache_check.planning.stores.store import scene_of_store

        return scene_of_store(muster, wanted, asks)
    found, number = split(muster, wanted), sum(need.count for need in wanted.needs)
    field, count, by_need = found.field, found.count, []
    for n, (need, ask) in enumerate(zip(wanted.needs, asks, strict=True)):
        by_need.append(of_columns(muster, [(column, times) for m, column, times in found.taken if m == n], need.count))
        verify(muster, ask, ask.top, by_need[-1])
    whole = of_columns(muster, [(column, times) for _, column, times in found.taken], found.most)
    held = [part for part, ask in zip(by_need, asks, strict=True) if muster.holds(ask, ask.top)]
    verify_together(muster, whole, by_need, held)
    return SceneAnswer(
        scene=wanted.id, title=wanted.title, wanted=number, served=count, bound=found.most, left=found.left,
        by_need=tuple((need.id, need.count, own.count) for need, own in zip(wanted.needs, by_need, strict=True)),
        binding=binding(field.packer, field.stock, field.wide, count, muster.parts_in_play, muster.columns.changed),
        links=found.links, pins=_pins(muster, field, number, whole), packing=whole,
        lost=found.lost, missing=found.missing,
    )  # fmt: skip


@dataclass(frozen=True)
class _SceneField(Field):
    """The columns of all needs of a scene; ``needs`` says which need each is for, ``wide`` are those to be bought."""

    needs: Sequence[int]
    wide: int


def _field(muster: Muster, wanted: Scene, asks: list[Ask]) -> _SceneField:
    needs, columns, masks = list[int](), list[list[int]](), [0, 0, 0]
    for n, ask in enumerate(asks):
        wide, hoped = muster.mask(ask, ask.top, owned=False), muster.hoped(ask, ask.top)
        if len(muster.columns.all) >= MANY:
            # What takes less than one that is there is there too, so that those counted are lean where all are.
            wide, hoped = muster.columns.lean(wide), muster.columns.lean(hoped)
        columns.append(bits(wide | hoped))
        for m, mask in enumerate((wide & muster.there, hoped, wide)):
            masks[m] |= places(mask, columns[-1]) << len(needs)
        needs += [n] * len(columns[-1])
    (counted, hoped, wide), numbers = masks, list(chain(*columns))
    return _SceneField(
        packer=muster.laid.serving(muster.columns, columns, muster.clock),
        stock=(*muster.stock, *(need.count for need in wanted.needs)),
        origin=lambda column: (asks[needs[column]], numbers[column]),
        counted=counted, hoped=hoped, needs=needs, wide=wide,
    )  # fmt: skip


def _pins(muster: Muster, field: _SceneField, wanted: int, taken: Packing) -> Pieces:
    """The pins that the scene's struts take, short ones too: those that lack anything, built of the fewest pieces."""
    plan, columns, total = list(taken.assemblies), muster.columns, Counter[str]()
    if taken.count < wanted:
        most, rows = wanted * columns.most_of_one, len(columns.rows)
        stock = (*(number + most for number in field.stock[:rows]), *field.stock[rows:])
        plenty = field.taken(stock, field.wide, wanted)
        plan = [(columns.assemblies[columns.all[column].assembly], number) for _, column, number in plenty]
    for assembly, number in plan:
        total.update({pin: each * number for pin, each in assembly.pins})
    return tuple(total.items())


def _links(muster: Muster, asks: list[Ask], field: Field, count: int, needs: tuple[Need, ...]) -> tuple[Link, ...]:
    """All needs at once, then why one has no strut, what struts need together, and all that is not known of them."""
    each, stock = [need.count for need in needs], field.stock
    wanted = sum(each)
    hoped = count if count >= wanted else field.packer.most(hoped_stock(muster, stock, wanted), field.hoped).count
    together = Link("all at once", state_of(count, hoped, wanted), f"{count} of {wanted}")
    found = [together, *(muster.judge.together(zip(asks, each, strict=True)) if muster.judge else ())]
    if together.state == "does not hold":
        none = ((need.id, why_none(muster, ask, need.count)) for need, ask in zip(needs, asks, strict=True))
        found += [Link(need, "does not hold", why) for need, why in none if why]
    return (*found, *unknowns(muster, asks, field, wanted, found))
