"""How many struts at once: an exact answer, its plan, and the proof that no more can stand.

A proof is a *price* for each row.  The cheapest admitted column costs so much; the stock is worth so much at the same
prices; so many struts at most can be paid for.  The sum is done in whole numbers, so no rounding of a solver can spoil
it, and it holds for any stock and any set of columns that it is done for.  A plan likewise serves wherever its columns
are admitted and the stock suffices.  So a packer remembers both: a sweep over lengths, one piece lost, one piece more
are mostly answered from memory, and the solver is asked only when memory leaves a gap (``closing.py``).
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from copy import copy
from functools import reduce
from operator import le, or_

from cache_check.errors import NoPlanError
from cache_check.frozen import dataclass
from cache_check.planning.packing.closing import Closing, Gap, Search, TooLongError
from cache_check.planning.packing.columns import Column
from cache_check.planning.packing.ledger import Amounts, Ledger, Prices, left_after
from cache_check.planning.packing.rows import mask_of
from cache_check.planning.solving.solver import Clock, Uses, make_solver

Plan = tuple[tuple[int, int], ...]  # how many of each column: (column number, how many), rising
_REMEMBERED = 64
_FEW, _STEPS = 16, 400
_LONGEST = 60.0  # seconds that one search takes at most where no clock says
MANY = 120  # from so many columns on, numpy pays for its start


@dataclass(frozen=True)
class Packed:
    """The most struts at once: how many, one plan, and the proven most (equal: a proven optimum)."""

    count: int
    plan: Plan
    most: int


@dataclass(frozen=True)
class _Kept:
    """A remembered plan: how many struts, the mask of its columns, what it takes of each row."""

    count: int
    plan: Plan
    mask: int
    takes: tuple[tuple[int, int], ...]

    def serves(self, stock: tuple[int, ...], active: int) -> bool:
        return not self.mask & ~active and all(stock[row] >= number for row, number in self.takes)


@dataclass(frozen=True)
class _Proof:
    """Prices of rows, and what columns cost at them, cheapest first."""

    prices: Prices
    costs: list[tuple[int, int]]

    def bound(self, stock: tuple[int, ...], active: int) -> int | None:
        """The most struts that the stock can pay for; None where some admitted column is free."""
        for cost, mask in self.costs:
            if mask & active:
                if not cost:
                    return None
                # The cheapest comes first, so no admitted strut costs less; struts are whole, so the rest is dropped.
                return sum([price * stock[row] for row, price in self.prices.items()]) // cost
        return 0


class Packer:
    """Packs columns into stocks, remembering proofs and plans from one question to the next.

    ``uses`` is what each takes, where that is more than it says itself.
    ``lean`` takes from a set of columns those that others in it make needless; they cannot change an answer,
    only slow it.  Of what is left none makes another needless, so that any part of it is lean too.
    """

    def __init__(
        self, columns: Sequence[Column], rows: int, *, uses: list[Uses] | None = None,
        lean: Callable[[int], int] | None = None, clock: Clock | None = None,
    ) -> None:  # fmt: skip
        self.columns, self.rows, self._clock = columns, rows, clock
        self._uses = [column.uses for column in columns] if uses is None else uses
        self._lean = lean if lean is not None and len(columns) >= MANY else None
        self._leaned = 0
        self._made: Closing | None = None
        self._ledger = Ledger(self._uses)
        if len(columns) >= MANY:
            from cache_check.planning.packing.many import ManyColumns

            self._ledger = ManyColumns(self._uses, rows)
        self._plans: list[_Kept] = []
        self._proofs: list[_Proof] = []
        self._searched: list[tuple[int, int, tuple[int, ...]]] = []
        for together in self._ledger.guesses():
            self._learn(dict.fromkeys(together, 1))
        self._first = tuple(self._proofs)

    def anew(self, clock: Clock | None) -> "Packer":
        """The same packer as it was at first, without the work of that."""
        made = copy(self)
        made._clock, made._made, made._plans, made._proofs, made._searched = clock, None, [], list(self._first), []
        return made

    def lean(self, active: int) -> int:
        """The columns without those that others of them make needless; the same where none is."""
        if self._lean is not None and active & ~self._leaned:
            self._leaned = active = self._lean(active)
        return active

    def _learn(self, prices: Prices) -> _Proof:
        priced = {row: price for row, price in prices.items() if price}
        proof = _Proof(priced, self._ledger.costs(priced) if priced else [(0, -1)])
        self._proofs.insert(0, proof)
        del self._proofs[2 * _REMEMBERED :]
        return proof

    def _learnt(self, prices: Prices, stock: tuple[int, ...], active: int, most: int) -> int:
        """The bound of prices, no more than ``most``; they are remembered where it is less."""
        least = self._ledger.least(prices, active)
        # Every column takes one body at least, so that no stock makes more struts than it has pieces in all.
        bound = sum(price * stock[row] for row, price in prices.items()) // least if least else sum(stock)
        if bound < most:
            self._learn(prices)
        return min(bound, most)

    def taken(self, plan: Iterable[tuple[int, int]]) -> dict[int, int]:
        """What a plan, in which a column may come more than once, takes of each row."""
        takes: dict[int, int] = {}
        for column, number in plan:
            for row, each in self._uses[column]:
                takes[row] = takes.get(row, 0) + each * number
        return takes

    def left(self, stock: tuple[int, ...], plan: Plan) -> tuple[int, ...]:
        """What a plan leaves of a stock."""
        return tuple(left_after(self._uses, stock, dict(plan)))

    def _left(self) -> float:
        return min(_LONGEST, self._clock.left) if self._clock else _LONGEST

    def in_time(self) -> None:
        """Go on only while there is time (NoPlanError: there is none left)."""
        if (clock := self._clock) is not None and clock.over:
            what = "how many struts stand at once is not proven within"
            raise NoPlanError(f"{what} {clock.limit:g} s; --seconds allows more")

    @contextmanager
    def within(self, share: float) -> Iterator[list[str]]:
        """Ask within a share of the time that is left; where that is not enough, the list gets the reason."""
        clock, self._clock = self._clock, self._clock.part(share) if self._clock else None
        untold: list[str] = []
        try:
            yield untold
        except NoPlanError as error:
            untold.append(clock.untold if clock else str(error))
        finally:
            self._clock = clock

    def _search(self, gap: Gap) -> None:
        """Close the gap by a short search by hand, where that spares loading the solver."""
        if self._made is not None or len(self.columns) >= MANY or gap.active.bit_count() > _FEW:
            return
        search = Search(self._uses, self.bound, _STEPS)
        with suppress(TooLongError):
            while not gap.closed:
                plan = search.plan_of(gap.most, gap.stock, gap.active)
                if plan is None:
                    gap.most -= 1
                else:
                    gap.offer(plan)

    def bound(self, stock: tuple[int, ...], active: int, enough: int = -1) -> int:
        """The best remembered bound; the first that is not above ``enough``, where no better one is wanted."""
        best = sum(stock)
        found: _Proof | None = None
        for proof in self._proofs:
            bound = proof.bound(stock, active)
            if bound is not None and bound < best:
                best, found = bound, proof
                if best <= enough:
                    break
        if found is not None:
            self._proofs.remove(found)
            self._proofs.insert(0, found)
        # What a search has shown of a stock holds of any that has no more, and of fewer columns.
        for most, wide, plenty in self._searched if best > enough else ():
            if most < best and not active & ~wide and all(map(le, stock, plenty)):
                best = most
        return best

    def _remembered(self, stock: tuple[int, ...], active: int) -> _Kept | None:
        best: _Kept | None = None
        for kept in self._plans:
            if (best is None or kept.count > best.count) and kept.serves(stock, active):
                best = kept
        if best is not None:
            self._plans.remove(best)
            self._plans.insert(0, best)
        return best

    def reaches(self, stock: tuple[int, ...], active: int, number: int) -> bool:
        """Whether the most is at least a number, often told long before the most is (NoPlanError: see ``most``)."""
        return self.most(stock, active, number).count >= number

    def told(self, stock: tuple[int, ...], active: int, number: int) -> bool | None:
        """Whether a number is reached, as far as is remembered."""
        if self.bound(stock, active, number - 1) < number:
            return False
        return any(kept.count >= number and kept.serves(stock, active) for kept in self._plans) or None

    def sweep(self, stock: tuple[int, ...], masks: Sequence[int]) -> Iterator[Packed]:
        """The most of one set of columns after another, of which neighbours have most columns in common."""
        ahead = 1
        for n, active in enumerate(masks):
            searched = self._searched[:1]
            found = self.most(stock, active)
            yield found
            # Where one took a search, that no more stand is shown of the next at once, of twice as many each time.
            if self._searched[:1] != searched:
                more, ahead = found.count + 1, 2 * ahead
                open_ = [one for one in masks[n + 1 : n + 1 + ahead] if self.told(stock, one, more) is None]
                if len(open_) > 1 and self.reaches(stock, reduce(or_, open_), more):
                    ahead = max(1, ahead // 4)

    def most(self, stock: tuple[int, ...], active: int, enough: int | None = None) -> Packed:
        """The most struts of the admitted columns that the stock allows (NoPlanError: not proven in the time limit).

        Where so many are ``enough``, a plan of them, or fewer where the bound is lower.
        """
        if not active:
            return Packed(0, (), 0)
        # What was told last may answer again: a sweep asks alike many times over.
        last = self._plans[0] if self._plans else None
        if last and last.serves(stock, active) and self._proofs[0].bound(stock, active) == last.count:
            return Packed(last.count, last.plan, last.count)
        kept = self._remembered(stock, active)
        known = kept.count if kept else 0
        if kept is not None and enough is not None and known >= enough:
            return Packed(known, kept.plan, sum(stock))
        most = self.bound(stock, active, max(known, (enough or 0) - 1))
        if kept is not None and known >= most:
            return Packed(known, kept.plan, most)
        # From here on it costs time; an answer from memory is given even when none is left.
        self.in_time()
        asked, active = active, self.lean(active)
        gap = Gap(stock, active, dict(kept.plan) if kept else self._trimmed(stock, active), most, enough)
        for step in (self._fill, self._pair, self._search):
            if not gap.closed:
                step(gap)
        if not gap.closed:
            if self._made is None:
                solver = make_solver(tuple(self._uses), self.rows)
                self._made = Closing(self._ledger, solver, self._uses, self._learnt, self._left)
            priced = self._made.close(gap)
            if gap.most < priced:
                self._searched.insert(0, (gap.most, asked, stock))
                del self._searched[_REMEMBERED:]
        plan, mask = tuple(sorted(one for one in gap.best.items() if one[1])), mask_of(gap.best, len(self._uses))
        best = _Kept(sum(gap.best.values()), plan, mask, tuple(sorted(self.taken(plan).items())))
        self._plans.insert(0, best)
        del self._plans[_REMEMBERED:]
        return Packed(best.count, plan, gap.most)

    def _trimmed(self, stock: tuple[int, ...], active: int) -> Amounts:
        """The last plan less the columns that are not admitted now: in a sweep, most of the next one."""
        if not self._plans:
            return {}
        amounts = {column: number for column, number in self._plans[0].plan if active >> column & 1}
        return amounts if min(left_after(self._uses, stock, amounts)) >= 0 else {}

    def _fill(self, gap: Gap) -> None:
        # Filling up what is known may be caught in a corner that filling from nothing is not, and the other way round.
        for start in (gap.best, {}):
            if not gap.closed:
                gap.offer(self._ledger.filled(gap.stock, gap.active, start))

    def _pair(self, gap: Gap) -> None:
        # Among thousands of columns two rows never bind; the solver is quicker.
        few = len(self.columns) < MANY
        for prices, bound in self._ledger.paired(gap.stock, gap.active, gap.most) if few else ():
            gap.most = bound
            self._learn(prices)
