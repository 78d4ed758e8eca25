"""Today's pieces, the scenes and all that may be had: which ways serve each need, and how much could be of use.

What counts as *capability* is, first, the scenes met whole, each as often as its weight says; then the struts served in
all scenes, weighted alike.  A scene is met when all its needs are served, on the step that each asks, with the spares
left over that the policy asks for; and it still is, without spares, after each loss that it must stand.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cached_property
from itertools import chain, compress
from math import ceil, gcd, inf

from cache_check.errors import grouped, summed
from cache_check.frozen import dataclass
from cache_check.joining.stock import as_new
from cache_check.model.need import Scene
from cache_check.model.part import LINEAR, Extension, Part
from cache_check.model.piece import Why
from cache_check.planning.buying.offers import Offer, Terms
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.rows import bits
from cache_check.planning.scenes import ask_of
from cache_check.planning.solving.solver import Uses

_MORE_OF_ONE = 4
"""So many pieces of a part at least may be had beyond those usable today, or as many as the rules let into a strut."""
_PLENTY = 100


@dataclass(frozen=True)
class Policy:
    """What must be left over whenever a scene is met."""

    spare: tuple[tuple[str, int], ...] = ()  # pieces left unused, by part id
    pins: bool = False  # the spare pins of the rules (PIN-2)
    one_lost: bool = False  # a scene must be met after any one usable piece is lost


class Shop:
    """Today's muster, the scenes, and all that may be had."""

    def __init__(
        self, today: Muster, scenes: tuple[Scene, ...], offers: tuple[Offer, ...], policy: Policy | None = None
    ) -> None:
        self.today, self.scenes, self.offers = today, scenes, offers
        self.policy = policy or Policy()

    @cached_property
    def wide(self) -> Muster:
        """The muster of everything that there could be."""
        cache = self.today.cache
        parts = (cache.catalogue.by_id[part] for part in dict.fromkeys(offer.part for offer in self.offers))
        more = (as_new(one.id, cache.rigs[0], self._of_use(one), self.today.on, "on offer") for one in parts)
        return self.today.changed(cache=cache.changed(stock=(*cache.stock, *more)))

    def _of_use(self, part: Part) -> int:
        """How many pieces more of a part are enough for any strut that serves a need; pins, ties, hardware for many."""
        if part.kind not in LINEAR:
            return _PLENTY
        longest = max((need.longest for scene in self.scenes for need in scene.needs), default=0)
        bounds = [longest / part.length] if isinstance(part, Extension) else []
        for kind in self.today.joined.joints.stopping:
            if each := kind.measure(part):
                # What any strut is allowed is what the loosest of its families is, or less.
                families = [frozenset[str](), *(frozenset({one.id}) for one in self.today.cache.catalogue.families)]
                limits = [kind.limit(own) if kind.is_on(own) else None for own in families]
                bounds.append(max(inf if limit is None else limit / each for limit in limits))
        most = min(bounds, default=inf)
        return _MORE_OF_ONE if most == inf else max(_MORE_OF_ONE, int(most))

    @cached_property
    def have(self) -> tuple[int, ...]:
        """How much there is of each row today."""
        return self.wide.columns.stock(self.today.usable.counts, self.today.usable.pointed)

    @cached_property
    def ways(self) -> dict[tuple[int, int], tuple[int, ...]]:
        """For each need (scene, number) the lean columns that surely serve it, rising; of those alike the first."""
        columns, found = self.wide.columns, {}
        for key, ask in self.asks.items():
            lean = bits(columns.lean(self.wide.mask(ask, ask.top)))
            found[key] = tuple(sorted({columns.all[i].uses: i for i in reversed(lean)}.values()))
        return found

    @cached_property
    def asks(self) -> dict[tuple[int, int], Ask]:
        """What each need (scene, number) asks."""
        return {(s, n): ask_of(need) for s, scene in enumerate(self.scenes) for n, need in enumerate(scene.needs)}

    @cached_property
    def enough(self) -> tuple[int, ...]:
        """The most of each row that any scene could take, with what must be left over."""
        return tuple(map(max, zip(*self._enough_of, strict=True)))

    @cached_property
    def _enough_of(self) -> tuple[tuple[int, ...], ...]:
        """For each scene the most of each row that it could take, with what must be left over."""
        every, found = self.wide.columns.all, []
        for s, scene in enumerate(self.scenes):
            most = Counter[int]()
            for n, need in enumerate(scene.needs):
                each: dict[int, int] = {}
                for row, number in chain.from_iterable(every[i].uses for i in self.ways[s, n]):
                    each[row] = max(each.get(row, 0), number)
                most.update({row: number * need.count for row, number in each.items()})
            found.append(tuple(most[row] + self._left_over(row, most[row]) for row in range(len(self.have))))
        return tuple(found)

    @cached_property
    def needed(self) -> dict[tuple[int, int], dict[int, tuple[tuple[int, int], ...]]]:
        """For each need the ways that differ in what could run out in its scene, with that; none that takes more."""
        every, found = self.wide.columns.all, {}
        for key, ways in self.ways.items():
            scarce = [most > have for most, have in zip(self._enough_of[key[0]], self.have, strict=True)]
            first = {tuple([use for use in every[i].uses if scarce[use[0]]]): i for i in reversed(ways)}
            taken = sorted((i, uses) for uses, i in first.items())
            found[key] = dict([taken[at] for at in least_taking(range(len(taken)), [uses for _, uses in taken])])
        return found

    def _left_over(self, row: int, taken: int) -> int:
        """The most that must be left of a row of which so much is taken."""
        if not taken:
            return self.asked_spare.get(row, 0)
        least, share = self.spares.get(row, (0, Fraction(0)))
        return max(least, ceil(share * taken)) + (1 if self.policy.one_lost else 0)

    @cached_property
    def spares(self) -> dict[int, tuple[int, Fraction]]:
        """By row, the pieces that must stay unused when a scene is met: at least so many, and a share of those used."""
        spares = {row: (number, Fraction(0)) for part, number in self.policy.spare for row in self.rows(part)}
        ruled = self.today.book.ruled
        for pin in self.today.cache.catalogue.parts if self.policy.pins else ():
            if pin.kind == "pin":
                least = int(ruled("spare_pins", "min", (pin.family,), 0))
                spares[self.rows(pin.id)[0]] = least, Fraction(ruled("spare_pins", "share", (pin.family,), 0))
        return spares

    @cached_property
    def asked_spare(self) -> dict[int, int]:
        """By row of pieces, those that were asked by name to stay unused, whether any strut takes such or not."""
        return {self.rows(part)[0]: number for part, number in self.policy.spare}

    @cached_property
    def parts(self) -> tuple[str, ...]:
        """The part types that struts are made and held with."""
        by_id = self.today.cache.catalogue.by_id
        return tuple(part for part in self.today.usable.counts if by_id[part].kind != "pad")

    def rows(self, part: str) -> tuple[int, ...]:
        """The rows that a piece of a part is counted in, those with points included."""
        return self.wide.columns.changed(part)

    def adds(self, offer: Offer) -> tuple[int, ...]:
        """The rows that a piece of an offer adds to."""
        rows = self.rows(offer.part)
        if offer.idle is not None and offer.idle.why is Why.POINTS:
            # The base counts already; mended, it can be restrained as well.
            return rows[1:]
        return rows[: len(rows) - offer.short] if offer.pointed and len(rows) > 1 else rows[:1]

    @cached_property
    def adding(self) -> dict[int, list[int]]:
        """For each row that some offer adds to, the numbers of those offers."""
        return grouped((row, o) for o, offer in enumerate(self.offers) for row in self.adds(offer))

    def most_packs(self, o: int) -> int:
        """The most packs of an offer that could be of use."""
        offer = self.offers[o]
        wanted = max((self.enough[row] - self.have[row] for row in self.adds(offer)), default=0)
        if wanted <= 0:
            return 0
        packs = max(-(-wanted // offer.pack), offer.least_packs)
        if offer.limit is not None:
            packs = min(packs, offer.limit // offer.pack)
        return packs if packs >= offer.least_packs else 0

    def step(self, terms: Terms) -> int:
        """The largest amount that a vendor's prices and least order are whole multiples of: small whole numbers."""
        return gcd(terms.least, *(offer.price for offer in self.offers if offer.terms == terms)) or 1

    def cost_of(self, packs: Iterable[tuple[int, int]]) -> int:
        """What a list costs, its vendors' terms included."""
        bought = [(self.offers[o], number) for o, number in packs]
        priced = ((offer.terms, offer.price * number) for offer, number in bought if number)
        goods = summed((terms, worth) for terms, worth in priced if terms is not None)
        orders = sum(terms.freight + terms.charged(worth) for terms, worth in goods.items())
        return orders + sum(offer.cost(number) for offer, number in bought)

    def worth(self, served: Sequence[Sequence[int]], met: Sequence[bool]) -> tuple[int, int]:
        """The capability of what is served, by scene and need, and of the scenes met."""
        weights = [scene.weight for scene in self.scenes]
        struts = sum(weight * sum(own) for weight, own in zip(weights, served, strict=True))
        return sum(compress(weights, met)), struts


def least_taking(columns: Sequence[int], uses: list[Uses]) -> list[int]:
    """Of some columns those beside which none takes no more of anything."""
    often = Counter(row for column in columns for row, _ in uses[column])
    width = max((number for column in columns for _, number in uses[column]), default=1)
    kept = defaultdict[int, list[int]](list)
    found = []
    for column in sorted(columns, key=lambda column: sum([number for _, number in uses[column]])):
        if not uses[column]:
            return [column]
        # So many ones for each row: one number holds another where it takes at least as much of each.
        taken = sum([((1 << number) - 1) << width * row for row, number in uses[column]])
        if not any(taken | other == taken for row, _ in uses[column] for other in kept[row]):
            kept[min(uses[column], key=lambda use: often[use[0]])[0]].append(taken)
            found.append(column)
    return sorted(found)
