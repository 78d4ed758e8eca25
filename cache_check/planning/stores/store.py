"""Scenes of a store too large to list: many needs at once, with a plan that is verified and a bound that is proven.

Columns are made as prices call for them, and the proof is over all of them.  Prices of rows come from the relaxed
optimum over the columns made so far, rounded to whole numbers.  Whatever they are, they prove a bound: every want is
priced up to what its cheapest strut, of all that the store can make, lacks of the worth of one; then no strut anywhere
costs less than it is worth, and no more struts can stand than the stock and the wants are worth together
(``Certificate``).  The plan rounds the relaxed optimum down and packs what is left in whole numbers.  Where plan and
bound do not meet, both are told, and neither is called the most.
"""

from collections.abc import Iterator, Sequence
from math import floor

import numpy as np

from cache_check.errors import NoPlanError, summed
from cache_check.frozen import dataclass
from cache_check.model.counting import Binding, SceneAnswer
from cache_check.model.need import Scene
from cache_check.model.verdict import Link
from cache_check.planning.packing.choice import as_packing
from cache_check.planning.packing.ledger import Amounts
from cache_check.planning.packing.muster import MORE, UNCOUNTED, Ask, Muster
from cache_check.planning.packing.rows import Rows
from cache_check.planning.packing.verdicts import beyond, of_build, state_of, unruled
from cache_check.planning.packing.verify import FalsePlanError, verify, verify_together
from cache_check.planning.solving.solver import Uses, make_solver
from cache_check.planning.stores.blocks import NEVER, Asked, Blocks, Numbers, Want, want_of
from cache_check.planning.stores.pricing import Pricing, Strut
from cache_check.planning.stores.rounding import Rounding

SECONDS = 5.0  # the longest that the last few struts are searched for; what the bound says needs no search
UNTOLD = "not worked out for a store of so many assemblies"
WORTH = 1 << 24  # what one strut is worth, in the unit of prices
_ROUNDS = 400
_HINT = 32  # the first prices: so much of a strut over the stock of a row
_WIDE = 4
_PLENTY = 100  # of what nobody counted there may be so much for each strut wanted: more than any takes
_CLEAR = 16  # a column must be worth more than it costs by more than the rounding of prices could make of nothing
Plan = tuple[tuple[Strut, int], ...]


def scene_of_store(muster: Muster, wanted: Scene, asks: Sequence[Ask]) -> SceneAnswer:
    """How many of a scene's struts a large store serves at once: at least and at most; what binds is not told.

    NoPlanError: a need asks for heads by contact.  FalsePlanError: the plan does not hold, which is our fault.
    """
    for what, asked in (("heads by contact", "contact"), ("a load in its place", "place")):
        if any(getattr(ask, asked) is not None for ask in asks):
            limit = f"limit reached: scene {wanted.id} asks for {what}, which is {UNTOLD}"
            raise NoPlanError(f"{limit}; ask of fewer rigs together")
    wants = [want_of(muster, ask, ask.top, need.count) for need, ask in zip(wanted.needs, asks, strict=True)]
    rows, found = packed(muster, wants)
    bound = found.certificate.bound
    by_need = []
    for n, want in enumerate(wants):
        struts = [(strut.assembly, strut.hold, number) for strut, number in found.plan if strut.want == n]
        by_need.append(as_packing(muster, rows, struts, want.count))
        verify(muster, want.ask, want.step, by_need[-1])
    links = tuple(_links(muster, wants, rows, found))
    struts = [(strut.assembly, strut.hold, number) for strut, number in found.plan]
    whole = as_packing(muster, rows, struts, bound)
    verify_together(muster, whole, by_need, [part for part, want in zip(by_need, wants, strict=True) if want.held])
    return SceneAnswer(
        scene=wanted.id, title=wanted.title, wanted=sum(want.count for want in wants), served=found.count, bound=bound,
        by_need=tuple((need.id, need.count, part.count) for need, part in zip(wanted.needs, by_need, strict=True)),
        packing=whole, binding=Binding((), (), 0, UNTOLD), links=links,
    )  # fmt: skip


@dataclass(frozen=True)
class Certificate:
    """A proof that no more than ``bound`` struts can stand: a whole-number price for each row and each want."""

    prices: tuple[int, ...]
    wants: tuple[int, ...]
    bound: int

    def holds(self, pricing: Pricing) -> bool:
        """Whether no strut of any block costs less than it is worth, and the sum is what the bound says."""
        if min((*self.prices, *self.wants), default=0) < 0:
            return False
        least = pricing.cheapest(pricing.at(np.asarray(self.prices, dtype=np.int64)))
        if any(cost + want < WORTH for cost, want in zip(least.tolist(), self.wants, strict=True)):
            return False
        return self.bound >= _worth(self.prices, self.wants, pricing) // WORTH


def _worth(prices: tuple[int, ...], wants: tuple[int, ...], pricing: Pricing) -> int:
    stock = sum(price * have for price, have in zip(prices, pricing.stock, strict=True))
    return stock + sum(price * want.count for price, want in zip(wants, pricing.asked.wants, strict=True))


@dataclass(frozen=True)
class Generated:
    """The best plan found and the proven most (equal: a proven optimum)."""

    plan: Plan
    certificate: Certificate

    @property
    def count(self) -> int:
        """Struts of the plan."""
        return sum(number for _, number in self.plan)


class Generator:
    """Makes columns for one scene until no better one is left, or bound and plan meet."""

    def __init__(self, pricing: Pricing, seconds: float) -> None:
        self.pricing, self._seconds = pricing, seconds
        self.stock = (*pricing.stock, *(want.count for want in pricing.asked.wants))
        self.struts: list[Strut] = []
        self._uses: list[Uses] = []
        self._known: set[tuple[int, Uses]] = set()
        wants = (WORTH,) * len(pricing.asked.wants)
        self.certificate = Certificate((0,) * len(pricing.stock), wants, sum(w.count for w in pricing.asked.wants))
        free = np.zeros(len(pricing.stock), dtype=np.int64)
        self._bounded(free, pricing.cheapest(pricing.at(free)))  # leaves out the wants that nothing serves

    def run(self, shown: tuple[int, ...] = ()) -> Generated:
        """The most struts, as far as can be told, the proof checked anew (FalsePlanError: it does not hold)."""
        if shown:
            prices = np.asarray(shown, dtype=np.int64)
            self._bounded(prices, self.pricing.cheapest(self.pricing.at(prices)))
        # None are looked for where prices shown to prove another bound prove here that some are wanting.
        few = shown and self.certificate.bound < sum(want.count for want in self.pricing.asked.wants)
        found = {} if few else self._whole(self._relaxed())
        plan = tuple((self.struts[column], number) for column, number in sorted(found.items()))
        if not self.certificate.holds(self.pricing):
            raise FalsePlanError("the proof of a bound failed its own verification")
        return Generated(plan, self.certificate)

    def _relaxed(self) -> tuple[float, ...]:
        """The relaxed optimum over all columns of the store; new ones are made while one is worth its price."""
        solver = make_solver(self._uses, len(self.stock), growing=True)
        prices = np.asarray([min(WORTH, _HINT * WORTH // (1 + n)) for n in self.pricing.stock], dtype=np.int64)
        below = np.full(len(self.pricing.asked.wants), NEVER, dtype=np.int64)
        amounts: tuple[float, ...] = ()
        for _ in range(_ROUNDS):
            priced = self.pricing.at(prices)
            self._bounded(prices, self.pricing.cheapest(priced))
            met = amounts and self.certificate.bound <= floor(sum(amounts) + 1e-6)
            if met or not self._add(self.pricing.struts(priced, below)):
                break
            relaxed = solver.relaxed(tuple(range(len(self.struts))), self.stock)
            amounts = relaxed.amounts
            prices, below = self._prices(relaxed.worth)
        return amounts

    def _bounded(self, prices: Numbers, least: Numbers) -> None:
        """Keep the best proof."""
        wants = tuple(max(0, WORTH - cost) for cost in least.tolist())
        plain = tuple(prices.tolist())
        bound = _worth(plain, wants, self.pricing) // WORTH
        if bound < self.certificate.bound:
            self.certificate = Certificate(plain, wants, bound)

    def _add(self, struts: list[Strut]) -> bool:
        """Add the columns that are new; whether any was."""
        before, wants = len(self.struts), len(self.pricing.stock)
        for strut in struts:
            uses = (*strut.uses, (wants + strut.want, 1))
            if (strut.want, uses) not in self._known:
                self._known.add((strut.want, uses))
                self._uses.append(uses)
                self.struts.append(strut)
        return len(self.struts) > before

    def _whole(self, amounts: tuple[float, ...]) -> Amounts:
        """The best plan found: what the fractions hold whole, and what is left packed on top."""
        low = {column: number for column, amount in enumerate(amounts) if (number := floor(amount + 1e-9))}
        solver = make_solver(self._uses, len(self.stock))
        rounding = Rounding(self._uses, solver, self._make, self.certificate.bound, self._seconds)
        rounding.run(self.stock, low)
        if not rounding.done:
            # Add what a plan as good as the bound may take: columns that cost no more than a strut and the room, which
            # is what stock and wants are worth beyond the bound, at the prices of the proof.
            proof = self.certificate
            room = _worth(proof.prices, proof.wants, self.pricing) - proof.bound * WORTH
            below = WORTH - np.asarray(proof.wants, dtype=np.int64) + room + 1
            priced = self.pricing.at(np.asarray(proof.prices, dtype=np.int64))
            self._add(self.pricing.struts(priced, below, _WIDE))
            rounding.run(self.stock, low)
        return rounding.best

    def _make(self, worth: tuple[float, ...]) -> bool:
        """Add a column for each want of which one is worth more than it costs; whether there was any."""
        prices, below = self._prices(worth)
        return self._add(self.pricing.struts(self.pricing.at(prices), below))

    def _prices(self, worth: tuple[float, ...]) -> tuple[Numbers, Numbers]:
        """Worths of rows as whole prices, and what struts for each want may cost at most, exclusive."""
        whole = np.rint(np.clip(np.asarray(worth), 0.0, 1.0) * WORTH).astype(np.int64)
        rows = len(self.pricing.stock)
        return whole[:rows], WORTH - whole[rows:] - _CLEAR


def packed(muster: Muster, wants: Sequence[Want], shown: Certificate | None = None) -> tuple[Rows, Generated]:
    """The best plan for wants that a store can be found to stand up, with the proof of its bound.

    Beside what is ``shown`` of that it is asked if all that nobody knows turned out well.
    """
    usable, hoped, joined = muster.usable, shown is not None, muster.joined
    if hoped:
        more = {part: n + (MORE + UNCOUNTED) * (part in muster.cache.uncounted) for part, n in usable.hoped.items()}
        joined = muster.laid.joinery({part: n + more[part] for part, n in usable.counts.items()})
    rows = Rows(joined, muster.book, muster.pointable, muster.bare)
    plenty = _PLENTY * sum(want.count for want in wants)
    stock = muster.hoped_of(rows, plenty) if hoped else rows.stock(usable.counts, usable.pointed)
    pricing = Pricing(Asked(muster, Blocks(joined, rows), wants, hoped=hoped), stock)
    return rows, Generator(pricing, SECONDS).run(shown.prices if shown else ())


def _links(muster: Muster, wants: Sequence[Want], rows: Rows, found: Generated) -> Iterator[Link]:
    """Whether enough are served at once, and what is not known of those that may be; with one missing is not told."""
    served, bound, number = found.count, found.certificate.bound, sum(want.count for want in wants)
    # Too few is not known where there may be enough if all that nobody knows turned out well.
    hoped = found if bound >= number else packed(muster, wants, shown=found.certificate)[1]
    state = state_of(served, hoped.certificate.bound, number)
    says = f"{served} of {number}" + ("" if served == bound else f", at most {bound}: not proven")
    yield Link("all at once", state, says, "ask of fewer rigs together" * (served < bound))
    if state != "does not hold":
        use = summed((row, each * times) for strut, times in hoped.plan for row, each in strut.uses)
        told = list(beyond(muster, use, rows.stock(muster.usable.counts, muster.usable.pointed), rows))
        for strut, _ in hoped.plan:
            groups = [rows.groups[i] for i, _ in strut.hold.ties] if strut.hold else []
            told += of_build(muster, wants[strut.want].ask, strut.assembly, groups)
        yield from {link.name: link for link in told}.values()
    if state == "holds" and any(want.held and want.load is not None for want in wants):
        why = f"whether they hold what the loaded bases push out is {UNTOLD}"
        yield Link("ties", "unknown", why, "ask of fewer rigs together")
    yield from unruled(muster, [want.ask for want in wants])
