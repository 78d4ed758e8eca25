"""How a base is held once the thrust is known: so many of each kind of strap or chain, and what each then sees."""

from collections.abc import Callable, Container, Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import cache, lru_cache
from itertools import repeat
from math import comb

from cache_check.errors import grouped
from cache_check.joining.assemblies import Joinery
from cache_check.loads.conventions import settled
from cache_check.loads.rating import TieRating, rating_of
from cache_check.loads.restraint import Strap, strut_force, tensions_with_one_lost, worst_by_line
from cache_check.loads.solve import Setup, pretension_turns, ratio
from cache_check.model.cache import Cache
from cache_check.model.load import Run, TieWay
from cache_check.model.part import TIES, Fitting, Hardware, Tie
from cache_check.model.quantities import STRUCTURE
from cache_check.model.rule import RuleBook
from cache_check.planning.loading.demand import Demand
from cache_check.planning.packing.columns import Columns
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.rows import Hold, TieGroup, holds

MOST_PER_BASE = 10  # more straps or chains than this on one base are no way of holding it
_MOST_WAYS = 100
"""More ways than this of mixing ties on one base are not listed; each then takes ties of one group (``unmixed``)."""
KINDS = {"straps": ("strap",), "chains": ("chain",), "either": ("strap", "chain"), "none": ()}


class Ties:
    """The straps and chains that a situation allows, each on a base in any number: where they run, what they see."""

    def __init__(self, muster: Muster, demand: Demand) -> None:
        self.muster, self.setup, self.tight = muster, demand.setup, demand.tight
        self.pull, self.known = demand.pull, demand.known is not None
        parts = muster.cache.catalogue.parts
        asked = KINDS[self.setup.one.ties] if self.setup.straps else ()
        self.allowed = tuple(part for part in parts if isinstance(part, Tie) and part.kind in asked)
        self.of = {tie.id: tie for tie in self.allowed}
        self.rating: dict[str, TieRating] = {tie.id: rating_of(tie) for tie in self.allowed}
        self.way: Callable[[str, int], TieWay] = cache(self._way)  # so many of one kind on a base, by part id

    @property
    def alike(self) -> dict[str, object]:
        """What tells one allowed tie from another here, beside its group: what it is rated for, and its length."""
        return {tie.id: (self.rating[tie.id].rated, tie.length) for tie in self.allowed}

    def _way(self, part: str, number: int) -> TieWay:
        """See ``way``; ``number`` is one that the straps of the situation can be laid in."""
        tie = self.of[part]
        runs, per_thrust, lost, tight, own = _laid(self.setup, self.tight, number)
        names, usable = self.muster.cache.catalogue.said, self.muster.usable.counts[part]
        of = [TieRating(one.wll, f"its {names[one.id]}") for one in hardware_of(self.muster.cache, tie)]
        rating = min([self.rating[part], *of], key=lambda one: (one.rated is not None, one.rated or 0))
        return TieWay(
            part=part, kind=tie.kind, rated=rating.rated, rated_by=rating.by, per_base=number, runs=runs,
            tension=self.pull(per_thrust) + tight, per_thrust=per_thrust, pretension=tight, own=own,
            usable=usable, bases=usable // number,
            one_failed=None if lost is None else self.pull(lost) + tight, length=tie.length,
        )  # fmt: skip

    def turns(self, way: TieWay, edge: int = 0) -> Fraction:
        """Moment (N nm) about an edge so far behind the pivot, that pre-tension of one strut held so makes."""
        setup, runs = self.tight, _runs(self.tight, way.per_base)
        straps = tuple(strap for strap, count in runs for _ in range(count))
        if len(runs) != len(setup.straps):
            return pretension_turns(setup, _tight(setup, straps), straps, edge)
        each = [tight * count for tight, (_, count) in zip(setup.pretension, runs, strict=True)]
        return pretension_turns(setup, each, setup.straps, edge)

    def allows(self, number: int) -> bool:
        """Whether the straps of the situation can be laid in so many; a V takes an odd one on the strut's line."""
        pattern = len(self.setup.straps)
        return pattern <= number <= MOST_PER_BASE and (
            number % pattern == 0 or (_free(self.setup) and number > pattern)
        )

    def numbers(self, tie: Tie, base: str, points: int, least: int) -> tuple[int, ...]:
        """The ruled number on a base, the fewest whose own limit holds, and the fewest that hold with every limit."""
        could = [number for number in range(max(1, least), MOST_PER_BASE + 1) if self.allows(number)]
        if not self.known:
            return tuple(could[:1])
        rated = self.rating[tie.id].rated
        each = map(self.way, repeat(tie.id), could)  # one after another, since none after one that holds is wanted
        ways = (way for way in each if rated is None or rated >= way.tension)
        strong = found = next(ways, None)
        while found and any(one is not None and one < found.tension for one in self.limits(found, base, points)):
            found = next(ways, None)
        return tuple(dict.fromkeys((*could[:1], *(way.per_base for way in (strong, found) if way))))

    def limits(self, way: TieWay, base: str, points: int) -> list[Fraction | None]:
        """What each tie of a way holds, its hardware, the points that it hangs on and its far end; None is unknown."""
        far = self.setup.one.far_anchors
        limits = [self.rating[way.part].rated, *(one.wll for one in hardware_of(self.muster.cache, self.of[way.part]))]
        limits += [limit and limit / heaped(way, points) for limit in self.of_points(base)]
        return limits if far == STRUCTURE else [*limits, far if isinstance(far, Fraction) else None]

    def of_points(self, base: str) -> list[Fraction | None]:
        """What each attachment point of a base holds."""
        return [point.wll for point in getattr(self.muster.cache.catalogue.by_id[base], "points", ())]


def hardware_of(cache: Cache, tie: Tie) -> list[Hardware]:
    """The hardware that each piece of a tie takes."""
    parts = [cache.catalogue.by_id.get(name) for name, number in tie.hardware.items() if number]
    return [part for part in parts if isinstance(part, Hardware)]


def heaped(way: TieWay, points: int) -> int:
    """How many of a way hang on one of so many points."""
    return -(-way.per_base // max(1, points))


def _free(setup: Setup) -> bool:
    """Whether the straps are an even V that no anchor fixes, so that an odd one may run along the strut's line."""
    if len(setup.straps) != 2 or setup.one.anchors:
        return False
    one, two = setup.straps
    return abs(one.plan_angle_deg + two.plan_angle_deg) < 1e-9 and abs(one.rise_deg - two.rise_deg) < 1e-9


def _runs(setup: Setup, number: int) -> tuple[tuple[Strap, int], ...]:
    """Where so many straps run: each line of the situation so many times over, an odd one on the strut's line."""
    times, odd = divmod(number, len(setup.straps))
    lines = tuple((strap, times) for strap in setup.straps)
    return (*lines, (Strap(0, setup.straps[0].rise_deg), 1)) if odd else lines


@lru_cache(maxsize=256)
def _laid(
    setup: Setup, tight: Setup, number: int
) -> tuple[tuple[Run, ...], Fraction, Fraction | None, Fraction, Fraction]:
    """How so many straps run, ``_worst`` of them, pre-tension (N) and what it presses; kept, as asked over and over."""
    runs = _runs(setup, number)
    worst, lost = _worst(tuple(strap for strap, count in runs for _ in range(count)))
    most, own = max(setup.pretension), Fraction(0)
    if most:
        straps = tuple(strap for strap, count in _runs(tight, number) for _ in range(count))
        unit = max(tensions := _tight(tight, straps)) or Fraction(1)
        own = ratio(strut_force(straps, [one / unit for one in tensions], setup.angle)) * unit
    return tuple(Run(settled(strap.plan_angle_deg), count) for strap, count in runs), worst, lost, most, own


def _worst(straps: tuple[Strap, ...]) -> tuple[Fraction, Fraction | None]:
    """The largest tension under a thrust of 1, and on the rest if the worst fails (None: the base swings)."""
    worst = ratio(max(worst_by_line(1, straps)))
    left = tensions_with_one_lost(1, straps) if 1 < len(straps) <= MOST_PER_BASE else (None,)
    return worst, None if any(rest is None for rest in left) else ratio(max(max(rest) for rest in left if rest))


def _tight(setup: Setup, straps: tuple[Strap, ...]) -> tuple[Fraction, ...]:
    """The pre-tension of each of the straps; that of the tightest for one that the situation does not name."""
    by_line: dict[Strap, Fraction] = {}
    for strap, tight in zip(setup.straps, setup.pretension, strict=True):
        by_line[strap] = max(tight, by_line.get(strap, tight))
    return tuple(by_line.get(strap, max(setup.pretension)) for strap in straps)


def ties_ruled(book: RuleBook, families: Iterable[str]) -> int:
    """The ruled minimum of straps or chains on a base, the strictest of some families."""
    return int(book.ruled("straps_per_base", "min", tuple(families), 0))


class HeldColumns(Columns):
    """Columns in which a base is held as the rules ask, and also by as many ties as hold its thrust.

    ``numbers`` gives those to try on the base of a strut of some families, ``alike`` what tells ties allowed apart.
    """

    def __init__(
        self, joined: Joinery, book: RuleBook, pointed: Iterable[str],
        numbers: Callable[[frozenset[str]], Iterable[int]], alike: Mapping[str, object], bare: Container[str] = (),
    ) -> None:  # fmt: skip
        self.numbers, self.alike = numbers, alike
        super().__init__(joined, book, pointed, bare)

    def _groups(self) -> tuple[TieGroup, ...]:
        """Ties alike in kind, hardware and in what they hold here."""
        allowed = ((group, part) for group in super()._groups() for part in group.parts if part in self.alike)
        alike = grouped(((group, self.alike[part]), part) for group, part in allowed)
        return tuple(replace(group, parts=tuple(parts)) for (group, _), parts in alike.items())

    def changed(self, part: str) -> tuple[int, ...]:
        """See ``Rows``; a tie that the situation does not allow changes nothing."""
        tie = self.joined.catalogue.by_id[part].kind in TIES
        return () if tie and part not in self.alike else super().changed(part)

    def ways(self, families: frozenset[str]) -> tuple[Hold, ...]:
        """See ``Rows``; those of the rules first, then as many as hold the thrust."""
        found = dict.fromkeys(super().ways(families))
        for number in self.numbers(families):
            few = comb(len(self.groups) + number - 1, number) <= _MOST_WAYS
            self.unmixed |= not few and len(self.groups) > 1
            found |= dict.fromkeys(holds(self.groups, number, mixed=True) if few else self._alone(number))
        return tuple(hold for hold in found if self.holds_as_asked(hold, families))

    def _alone(self, number: int) -> tuple[Hold, ...]:
        """Many straps on a base are all of one group: to mix them would be to list thousands of ways."""
        needs = [tuple((name, n * number) for name, n in group.needs) for group in self.groups]
        return tuple(Hold(((at, number),), hardware) for at, hardware in enumerate(needs))


def fit_points(muster: Muster) -> dict[str, int]:
    """How many points of each base may be counted on: the fewest of any piece with enough that is not out of use."""
    # Too careful where a base with fewer could be left out, as the remedy says: to count on more where enough pieces
    # have them, each number of points would want rows and columns of its own, in every plan and in what verifies it.
    out = {(one.part, one.rig, one.serial) for one in muster.usable.idle if one.state == "not usable"}
    found = {part.id: len(part.points) for part in muster.cache.catalogue.parts if isinstance(part, Fitting)}
    for line in muster.cache.stock:
        for one in (item.points_usable for item in line.items if (item.part, item.rig, item.serial) not in out):
            if isinstance(one, int) and one >= muster.usable.least_points.get(line.part, 0):
                found[line.part] = min(one, found.get(line.part, one))
    return found
