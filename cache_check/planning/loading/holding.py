"""How a base is held once the thrust is known: so many of each kind of strap or chain, and who can be held at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from functools import cached_property
from math import comb
from typing import Literal

from cache_check.joining.assemblies import Joinery, joinery
from cache_check.loads.conventions import settled
from cache_check.loads.pretension import strut_force
from cache_check.loads.restraint import Strap, StrapCount, straps_needed
from cache_check.loads.sharing import tensions_with_one_lost
from cache_check.loads.solve import Setup, ratio
from cache_check.model.assembly import Assembly
from cache_check.model.load import TieWay
from cache_check.model.part import Tie
from cache_check.model.result import Step
from cache_check.model.rule import RuleBook
from cache_check.model.tie_rating import TieRating
from cache_check.planning.packing.columns import Columns, Hold, TieGroup, holds
from cache_check.planning.packing.muster import MORE, Ask, Muster

MOST_PER_BASE = 10
"""More straps or chains than this on one base are no way of holding it."""
_MOST_WAYS = 100
"""More ways than this of mixing so many ties on one base are not listed; then each base takes ties of one group."""


def way_of(tie: Tie, rating: TieRating, setup: Setup, thrust: Fraction, usable: int, minimum: int) -> TieWay:
    """How many of one kind of tie hold a thrust (N) at the situation's angles, never under the ruled minimum."""
    tight = max(setup.one.pretension, default=Fraction(0))
    counted = None if rating.rated is None else _counted(setup, thrust, rating.rated - tight, minimum)
    return _way(tie, rating, setup, thrust, usable, counted)


def doubled(tie: Tie, rating: TieRating, setup: Setup, thrust: Fraction, usable: int) -> TieWay:
    """The same with every strap of the situation doubled."""
    even = _even(setup)
    if even is None:
        return _way(tie, rating, setup, thrust, usable, _multiple(setup, thrust, 2))
    # Any rating that holds shows what four see.
    return _way(tie, rating, setup, thrust, usable, straps_needed(thrust, 1000 * (thrust + 1), *even, minimum=4))


def _way(
    tie: Tie, rating: TieRating, setup: Setup, thrust: Fraction, usable: int, counted: StrapCount | None
) -> TieWay:
    tight = max(setup.one.pretension, default=Fraction(0))
    per_thrust = ratio(counted.largest_tension / float(thrust)) if counted and thrust else Fraction(0)
    straps = _run(setup, counted) if counted else ()
    lost = _one_lost(straps, thrust)
    return TieWay(
        part=tie.id,
        kind=_kind(tie),
        rated=rating.rated,
        rated_by=rating.by,
        per_base=counted.total if counted else None,
        each_side=counted.each_side if counted else 0,
        on_the_line=counted.on_the_line if counted else 0,
        tension=per_thrust * thrust + tight,
        per_thrust=per_thrust,
        pretension=tight,
        own=_own(straps, setup),
        usable=usable,
        bases=usable // counted.total if counted else 0,
        one_lost=None if lost is None else lost + tight,
        length=tie.length,
    )


def _kind(tie: Tie) -> Literal["strap", "chain"]:
    return "chain" if tie.kind == "chain" else "strap"  # type: ignore[attr-defined]


def _even(setup: Setup) -> tuple[float, float] | None:
    """Half-angle and rise of an even V of two; None where the straps run otherwise."""
    if len(setup.straps) != 2:
        return None
    one, two = setup.straps
    alike = abs(one.plan_angle_deg + two.plan_angle_deg) < 1e-9 and abs(one.rise_deg - two.rise_deg) < 1e-9
    return (abs(one.plan_angle_deg), one.rise_deg) if alike else None


def _counted(setup: Setup, thrust: Fraction, rated: Fraction, minimum: int) -> StrapCount | None:
    """The fewest that hold; None where ten do not."""
    if rated <= 0:
        return None
    even = _even(setup)
    if even is not None:
        try:
            found = straps_needed(thrust, rated, *even, minimum=max(1, minimum))
        except ValueError:
            return None
        return found if found.total <= MOST_PER_BASE else None
    pattern = len(setup.straps)
    for times in range(1, MOST_PER_BASE // pattern + 1):
        found = _multiple(setup, thrust, times)
        if found.total >= minimum and settled(found.largest_tension) <= rated:
            return found
    return None


def _multiple(setup: Setup, thrust: Fraction, times: int) -> StrapCount:
    """Every strap of the situation so many times over, each taking its part of the most that the one would see."""
    line = sum(1 for strap in setup.straps if abs(strap.plan_angle_deg) < 1e-9)
    if line == len(setup.straps):
        return StrapCount(0, times * line, float(thrust) * max(setup.worst) / times)
    sides = times * (len(setup.straps) - line)
    return StrapCount(sides // 2, times * line + sides % 2, float(thrust) * max(setup.worst) / times)


def _run(setup: Setup, counted: StrapCount) -> tuple[Strap, ...]:
    """How each of the straps runs."""
    even = _even(setup)
    if even is None:
        return setup.straps * (counted.total // len(setup.straps))
    alpha, beta = even
    sides = (Strap(alpha, beta), Strap(-alpha, beta))
    return (*sides * counted.each_side, *(Strap(0, beta),) * counted.on_the_line)


def _one_lost(straps: tuple[Strap, ...], thrust: Fraction) -> Fraction | None:
    """The largest tension on the rest when the worst one is lost; None where the base then swings."""
    if not 1 < len(straps) <= MOST_PER_BASE:
        return None
    left = tensions_with_one_lost(1, straps)
    if any(rest is None for rest in left):
        return None
    return ratio(max(max(rest) for rest in left if rest)) * thrust


def _own(straps: tuple[Strap, ...], setup: Setup) -> Fraction:
    """The strut force that the pre-tension of all the straps makes; the pattern's own tensions, repeated."""
    if not straps or not any(setup.pretension):
        return Fraction(0)
    if len(straps) % len(setup.straps) == 0 and _even(setup) is None:
        tight = setup.pretension * (len(straps) // len(setup.straps))
    else:
        tight = (max(setup.pretension),) * len(straps)
    most = max(tight)
    return ratio(strut_force(straps, [one / most for one in tight], setup.angle)) * most


class HeldColumns(Columns):
    """Columns in which a base takes as many ties as hold its thrust; ``wanted`` says how many, by tie.

    A tie that ``wanted`` leaves out holds no base here.
    """

    def __init__(self, joined: Joinery, book: RuleBook, pointed: Iterable[str], wanted: dict[str, int]) -> None:
        self.wanted = wanted
        super().__init__(joined, book, pointed)

    def _groups(self) -> tuple[TieGroup, ...]:
        """Ties alike in kind, hardware and in how many of them hold."""
        alike: dict[tuple[TieGroup, int | None], list[str]] = {}
        for group in super()._groups():
            for part in group.parts:
                alike.setdefault((group, self.wanted.get(part)), []).append(part)
        return tuple(replace(group, parts=tuple(parts)) for (group, _), parts in alike.items())

    def _each(self, group: int) -> int | None:
        return self.wanted.get(self.groups[group].parts[0])

    def ways(self, families: frozenset[str]) -> tuple[Hold, ...]:
        """See ``Rows``; as many as hold the thrust."""
        least = max(ties_ruled(self.book, family) for family in families)
        mixed = not self.book.in_force("unmixed_ties", tuple(sorted(families)))
        numbers = {group: max(least, each) for group in range(len(self.groups)) if (each := self._each(group))}
        ways = []
        for number in sorted(set(numbers.values())):
            groups = [group for group, each in numbers.items() if each <= number]
            few = comb(len(self.groups) + number - 1, number) <= _MOST_WAYS
            for hold in holds(self.groups, number, mixed) if few else self._alone(groups, number):
                taken = [group for group, _ in hold.ties]
                if set(taken) <= set(groups) and max(numbers[group] for group in taken) == number:
                    ways.append(hold)
        return tuple(ways)

    def _alone(self, groups: list[int], number: int) -> tuple[Hold, ...]:
        """Many straps on a base are all of one group: to mix them would be to list thousands of ways."""
        return tuple(
            Hold(((group, number),), tuple((name, n * number) for name, n in self.groups[group].needs))
            for group in groups
        )


def ties_ruled(book: RuleBook, family: str) -> int:
    """The ruled minimum of straps or chains on a base of a family."""
    return int(book.ruled("straps_per_base", "min", (family,), 0))


class Here(Muster):
    """A muster for one situation: bases held by as many ties as the thrust takes, assemblies that carry the load.

    ``carrying`` are the assemblies whose whole chain carries; the step rated asks for them.
    """

    def __init__(self, like: Muster, wanted: dict[str, int]) -> None:
        self.cache, self.book, self.on, self.usable = like.cache, like.book, like.on, like.usable
        self._rated = {}
        self.wanted = wanted
        self.carrying: frozenset[Assembly] = frozenset()

    @cached_property
    def columns(self) -> Columns:
        """See ``Muster``; with ``HeldColumns``."""
        more = {part: n + MORE for part, n in self.usable.counts.items()}
        joined = joinery(self.cache.catalogue, more, self.book)
        return HeldColumns(joined, self.book, self.pointable, self.wanted)

    def built_of(self, assembly: Assembly) -> int:
        """The columns of an assembly without restraint, which say whether it can be built at all."""
        return 1 << self._number[assembly]

    @cached_property
    def _number(self) -> dict[Assembly, int]:
        """The column without ties of each assembly: they come first, in the order of the assemblies."""
        return {assembly: i for i, assembly in enumerate(self.columns.assemblies)}

    @cached_property
    def _carrying_here(self) -> int:
        return self.columns.where(self.carrying.__contains__)

    @cached_property
    def restraint_ruled(self) -> bool:
        """See ``Muster``; here the thrust says how many ties hold a base, whatever is ruled."""
        return True

    def sure(self, ask: Ask, step: Step) -> int:
        """See ``Muster``; what is unknown is told link by link here."""
        return self.mask(ask, step)

    def hoped(self, ask: Ask, step: Step) -> int:
        """See ``sure``."""
        return self.mask(ask, step)

    def hoped_pieces(self, wanted: int) -> dict[str, int]:
        """See ``sure``."""
        return {}

    def mask(self, ask: Ask, step: Step, *, owned: bool = True) -> int:
        """See ``Muster``; rated are only those whose whole chain carries."""
        mask = super().mask(ask, step, owned=owned)
        return mask & self._carrying_here if step == "rated" else mask
