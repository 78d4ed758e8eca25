"""How many straps and chains can be put to use on the bases of a cache, hardware and all."""

from collections import Counter
from collections.abc import Iterable
from functools import cached_property

from cache_check.checks.facts import Facts
from cache_check.model.part import TIES, Fitting
from cache_check.planning.packing.columns import Column
from cache_check.planning.packing.packing import Packer
from cache_check.planning.packing.rows import TieGroup, holds, tie_groups
from cache_check.planning.solving.solver import Uses

_Row = tuple[str, str | int]
_Taken = tuple[tuple[_Row, int], ...]  # what one tie, or one base, takes: (row, how many)


def serving(facts: Facts, roles: str, families: Iterable[str] = ()) -> list[str]:
    """The fittings, of some families or any, that may serve as one that is named in ``roles``, by part id."""
    fittings = (part for part in facts.muster.cache.catalogue.parts if isinstance(part, Fitting))
    of = (part for part in fittings if not families or part.family in families)
    return [part.id for part in of if any(role in roles for role in part.serves)]


def usable_bases(facts: Facts) -> dict[str, int]:
    """Usable pieces of each fitting that may serve as a base, by part id; none left out but those without pieces."""
    counts = facts.muster.usable.counts
    return {base: counts[base] for base in serving(facts, "base") if counts[base]}


def pointed_bases(facts: Facts) -> dict[str, int]:
    """Of the usable bases, those with enough usable attachment points."""
    pointed = facts.muster.usable.pointed
    return {part: pointed[part] for part in usable_bases(facts) if pointed[part]}


class Restraint:
    """The straps, chains and hardware of a cache against bases that each want so many.

    An exact count needs a packing of its own: hardware is shared among straps and chains, and a base that may not carry
    both takes one kind or the other.  ``wants`` gives, for each base piece, how many ties it takes, none of it shared.
    """

    def __init__(self, facts: Facts, wants: Iterable[int]) -> None:
        self.facts, self.counts = facts, facts.muster.usable.counts
        self.wants: Counter[int] = Counter(wants)
        self.want = sum(self.wants.elements())  # ties that all the bases want together
        groups = tie_groups(facts.muster.joined, facts.muster.bare, facts.muster.book)
        self.groups: tuple[TieGroup, ...] = tuple(group for group in groups if not group.bare)
        self.unsaid = tuple(group for group in groups if group.bare)  # nobody says what hardware these take

    @cached_property
    def ties(self) -> dict[str, int]:
        """Usable pieces by kind: straps, chains; hardware not asked for."""
        parts = self.facts.muster.cache.catalogue.parts
        return {kind: sum(self.counts[part.id] for part in parts if part.kind == kind) for kind in TIES}

    @cached_property
    def equipped(self) -> int:
        """Straps and chains that can be in use at once with the hardware they need."""
        return self._placed({"": sum(self.ties.values())})

    @cached_property
    def unmixed(self) -> bool:
        """Whether web and chain may not share a base."""
        families = {self.facts.muster.cache.catalogue.by_id[part].family for part in pointed_bases(self.facts)}
        return any(self.facts.muster.book.in_force("unmixed_ties", (family,)) for family in families)

    @cached_property
    def placed(self) -> int:
        """The most ties on the bases, no base with more than it wants, nor with both kinds where that is ruled out.

        The bases that lack a tie lack no more than ``want - placed`` together, and no fewer would do.
        """
        most = self._placed({"": self.want})
        if not self.unmixed:
            return most
        # How many of the places can be kept for straps when every base is for straps or for chains.
        sums, best = {0}, 0
        for each, bases in self.wants.items():
            sums = {total + each * n for total in sums for n in range(bases + 1)}
        for straps in sorted(sums, key=lambda share: abs(share - self.ties["strap"])):
            if (best := max(best, self._placed({"strap": straps, "chain": self.want - straps}))) == most:
                break
        return best

    @cached_property
    def held(self) -> int:
        """The most bases that can be held at once, each by all the ties it wants."""
        classes = sorted(self.wants)
        columns: list[_Taken] = [
            ((("bases", each), 1), *((("ties", i), n) for i, n in hold.ties), *self._hardware(dict(hold.hardware)))
            for each in classes
            for hold in holds(self.groups, each, not self.unmixed)
        ]
        return self._most(columns, {("bases", each): self.wants[each] for each in classes})

    def _placed(self, places: dict[str, int]) -> int:
        """The most ties in so many places for each kind ("" is for either)."""
        columns: list[_Taken] = [
            ((("place", kind), 1), (("ties", i), 1), *self._hardware(dict(group.needs)))
            for i, group in enumerate(self.groups)
            for kind in places
            if kind in ("", group.kind)
        ]
        return self._most(columns, {("place", kind): number for kind, number in places.items()})

    def _hardware(self, needs: dict[str, int]) -> list[tuple[_Row, int]]:
        on = self.facts.muster.book.in_force("anchor_hardware")
        return [(("hardware", part), number) for part, number in needs.items()] if on else []

    def _most(self, columns: list[_Taken], places: dict[_Row, int]) -> int:
        stock = dict(places)
        for i, group in enumerate(self.groups):
            stock["ties", i] = sum(self.counts[part] for part in group.parts)
            stock |= {("hardware", part): self.counts[part] for part, _ in group.needs}
        row = {key: i for i, key in enumerate(stock)}
        uses: list[Uses] = [tuple(sorted((row[key], number) for key, number in column)) for column in columns]
        packer = Packer([Column(0, None, one, 1) for one in uses], len(row), clock=self.facts.muster.clock)
        have = tuple(stock.values())
        return packer.most(have, sum(1 << i for i, one in enumerate(uses) if all(have[r] >= n for r, n in one))).count
