"""Scenes of a store too large to list: many needs at once, with a plan that is verified and a bound that is proven."""

from collections.abc import Sequence

from cache_check.errors import NoPlanError
from cache_check.model.assembly import Assembly
from cache_check.model.counting import Binding, Packing, SceneAnswer
from cache_check.model.need import Scene
from cache_check.model.verdict import Link
from cache_check.planning.packing.choice import ties_of_holds
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.rows import Rows, unmarked
from cache_check.planning.packing.verdicts import state_of, unruled
from cache_check.planning.packing.verify import verify, verify_together
from cache_check.planning.solving.solver import make_solver
from cache_check.planning.stores.blocks import Asked, Blocks, Want, want_of
from cache_check.planning.stores.generating import Generated, Generator, Plan
from cache_check.planning.stores.pricing import Pricing

SECONDS = 5.0
"""The longest that the last few struts are searched for; what the bound says needs no search."""
UNTOLD = "not worked out for a store of so many assemblies"


def scene_of_store(muster: Muster, wanted: Scene, asks: Sequence[Ask]) -> SceneAnswer:
    """How many of a scene's struts a large store serves at once: at least and at most; what binds is not told.

    Raises:
        NoPlanError: a need asks for heads by contact.
        FalsePlanError: the plan does not hold, which is our fault.
    """
    for what, asked in (("heads by contact", "contact"), ("a load in its place", "place")):
        if any(getattr(ask, asked) is not None for ask in asks):
            raise NoPlanError(
                f"limit reached: scene {wanted.id} asks for {what}, which is {UNTOLD}; ask of fewer rigs together"
            )
    wants = [want_of(muster, ask, ask.top, need.count) for need, ask in zip(wanted.needs, asks, strict=True)]
    rows, found = packed(muster, wants)
    bound = found.certificate.bound
    by_need = [_part(muster, rows, wants, found.plan, n) for n in range(len(wants))]
    whole = as_packing(muster, rows, found.plan, bound)
    verify_together(muster, whole, by_need, [part for part, want in zip(by_need, wants, strict=True) if want.held])
    return SceneAnswer(
        scene=wanted.id, title=wanted.title, wanted=sum(need.count for need in wanted.needs), served=found.count,
        bound=bound,
        by_need=tuple((need.id, need.count, part.count) for need, part in zip(wanted.needs, by_need, strict=True)),
        packing=whole, binding=Binding((), (), 0, UNTOLD), links=_links(muster, wanted, asks, found.count, bound),
    )  # fmt: skip


def _links(muster: Muster, wanted: Scene, asks: Sequence[Ask], served: int, bound: int) -> tuple[Link, ...]:
    """Of a store only whether enough are served at once; with one missing, and what is unknown, are not worked out."""
    number = sum(need.count for need in wanted.needs)
    says = f"{served} of {number}" + ("" if served == bound else f", at most {bound}: not proven")
    found = [Link("all at once", state_of(served, bound, number), says, "ask of fewer rigs together")]
    bare = any(unmarked(part) for part in muster.cache.catalogue.parts)
    if found[0].state == "holds" and bare and any(ask.load is not None and ask.restrained for ask in asks):
        found.append(Link("points and hardware", "unknown", "some carry no limit on the book", "ask the maker"))
    if found[0].state == "holds" and any(ask.load is not None and muster.holds(ask, ask.top) for ask in asks):
        why = f"whether they hold what the loaded bases push out is {UNTOLD}"
        found.append(Link("ties", "unknown", why, "ask of fewer rigs together"))
    return (*found, *unruled(muster, asks))


def packed(muster: Muster, wants: Sequence[Want]) -> tuple[Rows, Generated]:
    """The best plan for wants that a store can be found to stand up, with the proof of its bound."""
    rows = Rows(muster.joined, muster.book, muster.pointable, muster.bare)
    stock = rows.stock(muster.usable.counts, muster.usable.pointed)
    pricing = Pricing(Asked(muster, Blocks(muster.joined, rows), wants), stock)
    return rows, Generator(pricing, make_solver, SECONDS).run()


def _part(muster: Muster, rows: Rows, wants: Sequence[Want], plan: Plan, want: int) -> Packing:
    """The part of a plan that serves one want, verified for what that asks."""
    part = tuple((strut, number) for strut, number in plan if strut.want == want)
    packing = as_packing(muster, rows, part, wants[want].count)
    verify(muster, wants[want].ask, wants[want].step, packing)
    return packing


def as_packing(muster: Muster, rows: Rows, plan: Plan, most: int) -> Packing:
    """A plan as assemblies, in their order, and straps."""
    built: dict[Assembly, int] = {}
    for strut, number in plan:
        built[strut.assembly] = built.get(strut.assembly, 0) + number
    listed = sorted(built.items(), key=lambda one: one[0].order)
    ties = ties_of_holds(rows, [(strut.hold, number) for strut, number in plan], muster.usable.counts)
    return Packing(sum(built.values()), most, tuple(listed), ties)
