"""The most struts of a large store: columns are made as prices call for them, and the proof is over all of them.

Prices of rows come from the relaxed optimum over the columns made so far, rounded to whole numbers.  Whatever
they are, they prove a bound: every want is priced up to what its cheapest strut, of all that the store can make,
lacks of the worth of one; then no strut anywhere costs less than it is worth, and no more struts can stand than the
stock and the wants are worth together (``Certificate``).  The plan rounds the relaxed optimum down and packs
what is left in whole numbers.  Where plan and bound do not meet, both are told, and neither is called the most.
"""

from math import floor

import numpy as np

from cache_check.frozen import dataclass
from cache_check.planning.packing.ledger import Amounts
from cache_check.planning.packing.verify import FalsePlanError
from cache_check.planning.solving.solver import SolverMaker, Uses, make_solver
from cache_check.planning.stores.blocks import NEVER, Numbers
from cache_check.planning.stores.pricing import Pricing, Strut
from cache_check.planning.stores.rounding import Rounding

WORTH = 1 << 24
"""What one strut is worth, in the unit of prices."""
_ROUNDS = 400
_HINT = 32
"""The first prices: so much of a strut over the stock of a row."""
_WIDE = 4
_CLEAR = 16
"""A column must be worth more than it costs by more than the rounding of prices could make of nothing."""
Plan = tuple[tuple[Strut, int], ...]


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

    def __init__(self, pricing: Pricing, make_solver: SolverMaker, seconds: float) -> None:
        self.pricing = pricing
        self.stock = (*pricing.stock, *(want.count for want in pricing.asked.wants))
        self.struts: list[Strut] = []
        self._uses: list[Uses] = []
        self._known: set[tuple[int, Uses]] = set()
        self._make_solver = make_solver
        self._seconds = seconds
        wants = (WORTH,) * len(pricing.asked.wants)
        self.certificate = Certificate((0,) * len(pricing.stock), wants, sum(w.count for w in pricing.asked.wants))
        free = np.zeros(len(pricing.stock), dtype=np.int64)
        self._bounded(free, pricing.cheapest(pricing.at(free)))  # leaves out the wants that nothing serves

    def run(self) -> Generated:
        """The most struts, as far as it can be told; the proof is checked anew before anyone sees it.

        Raises:
            FalsePlanError: the proof does not hold, which is our fault.
        """
        found = self._whole(self._relaxed())
        plan = tuple((self.struts[column], number) for column, number in sorted(found.items()))
        if not self.certificate.holds(self.pricing):
            raise FalsePlanError("the proof of a bound failed its own verification")
        return Generated(plan, self.certificate)

    def _relaxed(self) -> tuple[float, ...]:
        """The relaxed optimum over all columns of the store; new ones are made while one is worth its price."""
        solver = make_solver(self._uses, len(self.stock), growing=True)
        hint = [min(WORTH, _HINT * WORTH // (1 + have)) for have in self.pricing.stock]
        prices = np.asarray(hint, dtype=np.int64)
        below = np.full(len(self.pricing.asked.wants), NEVER, dtype=np.int64)
        amounts: tuple[float, ...] = ()
        for _ in range(_ROUNDS):
            priced = self.pricing.at(prices)
            self._bounded(prices, self.pricing.cheapest(priced))
            if amounts and self.certificate.bound <= floor(sum(amounts) + 1e-6):
                break
            if not self._add(self.pricing.struts(priced, below)):
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
        before = len(self.struts)
        wants = len(self.pricing.stock)
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
        solver = self._make_solver(self._uses, len(self.stock))
        rounding = Rounding(self._uses, solver, self._make, self.certificate.bound, self._seconds)
        rounding.run(self.stock, low)
        if not rounding.done:
            self._widen()
            rounding.run(self.stock, low)
        return rounding.best

    def _widen(self) -> None:
        """Add columns that a plan as good as the bound may take: those that cost no more than a strut and the room.

        The room is what stock and wants are worth beyond the bound, at the prices of the proof.
        """
        proof = self.certificate
        room = _worth(proof.prices, proof.wants, self.pricing) - proof.bound * WORTH
        below = WORTH - np.asarray(proof.wants, dtype=np.int64) + room + 1
        priced = self.pricing.at(np.asarray(proof.prices, dtype=np.int64))
        self._add(self.pricing.struts(priced, below, _WIDE))

    def _make(self, worth: tuple[float, ...]) -> bool:
        """Add a column for each want of which one is worth more than it costs; whether there was any."""
        prices, below = self._prices(worth)
        return self._add(self.pricing.struts(self.pricing.at(prices), below))

    def _prices(self, worth: tuple[float, ...]) -> tuple[Numbers, Numbers]:
        """Worths of rows as whole prices, and what struts for each want may cost at most, exclusive."""
        whole = np.rint(np.clip(np.asarray(worth), 0.0, 1.0) * WORTH).astype(np.int64)
        rows = len(self.pricing.stock)
        return whole[:rows], WORTH - whole[rows:] - _CLEAR
