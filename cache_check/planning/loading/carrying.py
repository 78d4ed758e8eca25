"""Which struts stand a situation: every assembly held every way, the best of each, and how many at once."""

from collections.abc import Iterable
from fractions import Fraction
from functools import cached_property
from itertools import product
from operator import itemgetter
from typing import Any, cast

from cache_check.loads.capacity import charts_for, rows_of
from cache_check.loads.chart import row_at_or_above
from cache_check.model.assembly import Assembly
from cache_check.model.counting import Step
from cache_check.model.load import Carrier, TieWay
from cache_check.model.part import Tie
from cache_check.model.verdict import LinkCheck, Verdict, worst
from cache_check.planning.loading.demand import Demand
from cache_check.planning.loading.holding import HeldColumns, Ties, ties_ruled
from cache_check.planning.loading.links import Links
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.rows import Hold, bits, mask_of

RANK: dict[Verdict, int] = {"met": 0, "not known": 1, "not met": 2}


class Judged:
    """What may be said of the struts of a muster in one situation, each with the ties that would hold it.

    ``kept`` is what rigs of the same parts and rules have found out of the demand, and what this one will.
    """

    def __init__(self, muster: Muster, demand: Demand, kept: dict[object, Any] | None = None) -> None:
        self.muster, self.demand, self.ties = muster, demand, Ties(muster, demand)
        self._kept = {} if kept is None else kept
        self.links = Links(muster, demand, self.ties, self._kept)
        self._found: dict[tuple[Assembly, str, int], tuple[Verdict, tuple[LinkCheck, ...]]] = {}

    def numbers(self, families: frozenset[str]) -> tuple[int, ...]:
        """The numbers of ties to try on the base of a strut of some families."""
        key = families, self.muster.pointable, *self.links.points.items()
        if key not in self._kept:
            self._kept[key] = self._numbers(families)
        return cast("tuple[int, ...]", self._kept[key])

    def _numbers(self, families: frozenset[str]) -> tuple[int, ...]:
        found = set[int]()
        for base, tie in product(self.muster.pointable, self.ties.allowed):
            least = ties_ruled(self.muster.book, sorted({*families, tie.family}))
            found.update(self.ties.numbers(tie, base, self.links.points[base], least))
        return tuple(sorted(found))

    def of(self, assembly: Assembly, way: TieWay | None) -> tuple[Verdict, tuple[LinkCheck, ...]]:
        """The worst link, and the links."""
        if (key := (assembly, way.part if way else "", way.per_base if way else 0)) not in self._found:
            links = self.links.of(assembly, way)
            self._found[key] = worst(links), links
        return self._found[key]

    def held(self, column: int) -> tuple[Assembly, tuple[TieWay, ...] | None]:
        """The assembly of a column, and every way in which its hold may be taken: None where it cannot be laid so."""
        one = self.muster.columns.all[column]
        number, ties = self.ties_of(one.hold) if one.hold else (0, [])
        ways = None if number is None else tuple(self.ties.way(tie.id, number) for tie in ties)
        return self.muster.columns.assemblies[one.assembly], ways

    def verdict_of(self, column: int) -> Verdict:
        """The worst link of a column; ties of unlike kinds on one line do not share evenly, and do not hold so."""
        assembly, ways = self.held(column)
        if ways is None:
            return "not met"
        return max((self.of(assembly, way)[0] for way in ways or (None,)), key=RANK.__getitem__)

    def by_verdict(self, mask: int) -> dict[Verdict, int]:
        """The masks of some columns, by what may be said of each."""
        found: dict[Verdict, list[int]] = {verdict: [] for verdict in RANK}
        for column in bits(mask):
            found[self.verdict_of(column)].append(column)
        return {verdict: mask_of(columns, len(self.muster.columns.all)) for verdict, columns in found.items()}

    def pads(self, mask: int, wanted: int, alone: bool = True, share: Fraction | None = None) -> tuple[int, Fraction]:
        """How many of so many struts of some columns need a pad on this ground, and of which area (m2).

        Where the stock is theirs ``alone`` those that need none come first.  ``share`` is of a load that is not known.
        """
        pressed, ground = {column: self.pressed_on(column) for column in bits(mask)}, self.links.ground
        areas = {column: ground.pad_needed(one.ground, own, share) for column, (one, own) in pressed.items()}
        least, size = max(areas.values(), default=Fraction(0)), len(self.muster.columns.all)
        if not least or not alone:
            return (wanted if least else 0), least
        packer, stock = self.muster.packer, self.muster.stock
        bare = packer.most(stock, mask_of([column for column, area in areas.items() if not area], size))
        padded = mask_of([column for column, area in areas.items() if area], size)
        rest = packer.most(packer.left(stock, bare.plan), padded).count
        short = max(0, wanted - bare.count)
        return (short if rest >= short else wanted), least

    def pressed_on(self, column: int) -> tuple[Assembly, Fraction]:
        """The assembly of a column, and the most that pre-tension, as its hold may be taken, presses into it."""
        assembly, ways = self.held(column)
        return assembly, max((way.own for way in ways or ()), default=Fraction(0))

    def largest_of(self, column: int) -> Fraction:
        """The largest share of a load that a column takes, for the weakest of its ties; 0 where some link bars it."""
        assembly, ways = self.held(column)
        return min((largest(self.of(assembly, way)[1]) or Fraction(0) for way in ways or ()), default=Fraction(0))

    def ties_of(self, hold: Hold) -> tuple[int | None, list[Tie]]:
        """How many ties a hold puts on a base, and of which parts; None where the straps cannot be laid so."""
        columns, number = self.muster.columns, sum(n for _, n in hold.ties)
        groups = [columns.groups[group] for group, _ in hold.ties]
        straps, mixed = len(self.demand.setup.straps), len({group.kind for group in groups}) > 1
        if self.demand.refused or (mixed and number > straps) or (straps and not self.ties.allows(number)):
            return None, []
        return number, [self.ties.of[part] for group in groups for part in group.parts]


class Here(Muster):
    """A muster for one situation.  The step rated takes only struts that are met there, with the ties that hold them.

    A base is held by as many ties as the rules ask, which the step restrained counts by, or as hold its thrust.
    """

    def __init__(self, like: Muster, demand: Demand) -> None:
        super().__init__(like.cache, like.book, like.on, like.gone, like.clock, known=like.usable)
        self.laid = like.laid
        self.demand, self.judged = demand, Judged(self, demand)
        self.ties, self.links, self.numbers = self.judged.ties, self.judged.links, self.judged.numbers
        laid, alike = self.laid, self.ties.alike
        self.columns = HeldColumns(laid.joined, self.book, self.pointable, self.numbers, alike, self.bare)

    def candidates(self, assembly: Assembly) -> list[TieWay]:
        """Every way of holding an assembly's base with one kind of tie: of those on the book, else of all."""
        numbers = self.numbers(self.columns.families(assembly))
        allowed = [tie for tie in self.ties.allowed if self.usable.counts[tie.id] > 0] or self.ties.allowed
        return [self.ties.way(tie.id, number) for tie in allowed for number in numbers]

    @cached_property
    def reaching(self) -> int:
        """The columns at this length, held where the situation has ties."""
        held = self.columns.tied if self.demand.one.ties != "none" else self.columns.assembled
        return self.columns.covering(self.demand.length, self.demand.length) & held

    @cached_property
    def by_verdict(self) -> dict[Verdict, int]:
        """The masks of the columns at this length, by what may be said of them."""
        return self.judged.by_verdict(self.reaching & self.there_or_bought)

    def _doing(self, ask: Ask, step: Step, hoped: bool) -> int:
        """See ``Muster``; rated are only struts of which every link holds, hoped for all of which none fails."""
        if step != "rated":
            return super()._doing(ask, step, hoped)
        return self.by_verdict["met"] | (self.by_verdict["not known"] if hoped else 0)

    def at_once(self, verdicts: Iterable[Verdict]) -> int:
        """The most at once of struts of which any of these may be said."""
        return self.packer.most(self.stock, sum(self.by_verdict[verdict] for verdict in verdicts) & self.there).count


def carriers(here: Here) -> tuple[Carrier, ...]:
    """Every assembly that covers the length and can be built here, held its best way: the surest first."""
    there = here.columns.covering(here.demand.length, here.demand.length) & here.there & here.columns.assembled
    # The columns that are not held come first, one for each assembly, in their order.
    return tuple(sorted((_carrier(here, here.columns.assemblies[i]) for i in bits(there)), key=_order))


def _order(one: Carrier) -> tuple[object, ...]:
    """The surest first, of those not met the fewest broken links; then by margin, weight, joints."""
    failing = sum(link.state == "does not hold" for link in one.broken)
    ratio, mass = one.governing.ratio, one.assembly.mass
    spare = (ratio is None, -(ratio or Fraction(0)))
    light = (mass is None, mass or Fraction(0))
    return RANK[one.verdict], failing, len(one.broken), *spare, *light, one.assembly.joints


def _carrier(here: Here, assembly: Assembly) -> Carrier:
    def order(way: TieWay) -> tuple[int, bool, int, Fraction]:
        verdict, few = RANK[here.judged.of(assembly, way)[0]], way.bases < here.demand.one.struts
        rated = way.rated or Fraction(0)
        return verdict, few, way.per_base, rated if few else -rated  # of kinds that are mixed, the weakest is told

    way = None if here.demand.refused else min(here.candidates(assembly), key=order, default=None)
    verdict, links = here.judged.of(assembly, way)
    governing = _governing([link for link in links if link.loaded])
    charts = [link for link in links if link.of == "chart" and link.loaded]
    ratio = governing.ratio
    return Carrier(
        assembly=assembly, links=links, governing=governing, rated=_governing(charts).rated,
        rated_at=min(here.links.of_strut(assembly), key=lambda one: one.rated or 0).at,
        chart_row=_chart_row(here, assembly, here.demand.length), way=way, verdict=verdict, largest=largest(links),
        margin=ratio - 1 if here.demand.known is not None and ratio is not None else None,
    )  # fmt: skip


def largest(links: tuple[LinkCheck, ...]) -> Fraction | None:
    """The share of the load that every link still takes; None where one is unrated, or fails whatever the load."""
    if any(link.bars() for link in links):
        return None
    return min((takes for link in links if (takes := link.largest) is not None), default=None)


def _governing(loaded: list[LinkCheck]) -> LinkCheck:
    if (unrated := next((link for link in loaded if link.rated is None), None)) is not None:
        return unrated
    spare = [(ratio, link) for link in loaded if (ratio := link.ratio) is not None]
    return min(spare, key=itemgetter(0))[1] if spare else loaded[0]


def _chart_row(muster: Muster, assembly: Assembly, length: int) -> tuple[str, int] | None:
    """The chart and the length limit of the row that speaks for an assembly at a length."""
    catalogue = muster.cache.catalogue
    for chart in charts_for(catalogue, catalogue.by_id[assembly.body].family, assembly.body):
        if (place := row_at_or_above(rows_of(chart), length)) is not None and not muster.capacity.doubts(chart):
            return chart.id, chart.rows[place].length
    return None
