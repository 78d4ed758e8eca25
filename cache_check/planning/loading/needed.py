"""What holds the struts of needs: each in its place where a need says it, else against what its base pushes out."""

from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from functools import cache, partial
from typing import Any, cast

from cache_check.loads.demand import SIDEWAYS_ANGLE_DEG
from cache_check.loads.likely import believed
from cache_check.model.quantities import FLATTEST_DEG, STEEPEST_DEG
from cache_check.model.situation import Situation
from cache_check.model.told import Pieces
from cache_check.model.verdict import Link, LinkCheck
from cache_check.planning.loading.carrying import RANK, Judged
from cache_check.planning.loading.demand import Demand, need_a_pad, pads_large
from cache_check.planning.loading.holding import MOST_PER_BASE, HeldColumns, ties_ruled
from cache_check.planning.loading.loading import worked_out
from cache_check.planning.packing.columns import Columns
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.ratings import angles_ruled
from cache_check.planning.packing.rows import Hold, bits
from cache_check.units import show

_ANY_HEIGHT = 10**9  # what a base pushes out under a load along the strut does not depend on how high the strut reaches


class Needed:
    """What may be said of struts of a muster under loaded asks, ``asks`` being those that are known beforehand."""

    def __init__(self, muster: Muster, asks: Iterable[Ask] = ()) -> None:
        self.muster = muster
        self.asks = tuple(dict.fromkeys(ask for ask in asks if ask.load is not None and ask.restrained))
        self._of = cache(lambda place: self._judged(place, place.factor, lambda: believed(place, muster.book)[0]))
        self._at, self._worst = cache(self._leaning), cache(self._at_worst)
        self._placed, self._held, self._fewest = cache(self._standing), cache(self._pushing), cache(_fewest)
        # A strut stands as flat as its own family allows, whatever another of the rig does.
        any_angle = Fraction(FLATTEST_DEG), Fraction(STEEPEST_DEG)
        ruled = [angles_ruled(muster.book, (family,)) or any_angle for family in muster.book.families or ("",)]
        self._flattest, self._steepest = min(low for low, _ in ruled), max(high for _, high in ruled)

    def _judged(self, where: object, factor: Fraction | None, place: Callable[[], Situation]) -> Judged:
        """What a place asks of a strut: it rests on rules and place alone, so rigs of the same work it out once."""
        kept, key = self.muster.laid.demands, (where, self.muster.factor(Ask(1, 1, factor=factor)))
        if (found := kept.get(key)) is None:
            found = kept[key] = worked_out(self.muster, place()).demand, {}
        return Judged(self.muster, *cast("tuple[Demand, dict[object, Any]]", found))

    def columns(self) -> Columns | None:
        """See ``Judge``; as many ties more as hold what the known asks push out."""
        judged = tuple(one for ask in self.asks for one in self._worst(ask))
        if not judged or not judged[0].ties.allowed:
            return None
        placed, first = any(ask.place for ask in self.asks), judged[0].ties
        # How long a tie is matters only where the place says how far it must reach.
        apart = {(tie.kind, first.alike[tie.id] if placed else first.rating[tie.id].rated) for tie in first.allowed}
        if len(apart) == len({kind for kind, _ in apart}) and not any(map(self._wants_more, judged)):
            return None
        muster, alike = self.muster, first.alike

        def numbers(families: frozenset[str]) -> tuple[int, ...]:
            return tuple(sorted({number for one in judged for number in one.numbers(families)}))

        key, laid = (muster.pointable, muster.bare, tuple(alike.items())), muster.laid
        at = laid.joined, muster.book, muster.pointable
        return laid.held(key, numbers, lambda asked: HeldColumns(*at, asked, alike, muster.bare))

    def _wants_more(self, judged: Judged) -> bool:
        for base in self.muster.pointable:
            families = frozenset({self.muster.cache.catalogue.by_id[base].family})
            ruled = {ties_ruled(self.muster.book, {*families, tie.family}) for tie in judged.ties.allowed}
            if not ruled.issuperset(judged.numbers(families)):
                return True
        return False

    def bearing(self, ask: Ask) -> tuple[int, int]:
        """See ``Judge``; of an ask without a place only whether its bases are held, at every length."""
        if ask.place is not None:
            return self._placed(ask)
        # What a base pushes out does not depend on the lengths of an ask, of which profiles ask many.
        return self._held(Ask(1, 1, ask.load, ask.factor, angle=ask.angle))

    def _standing(self, ask: Ask) -> tuple[int, int]:
        assert ask.place is not None
        columns, judged = self.muster.columns, self._of(ask.place)
        found = judged.by_verdict(columns.covering(ask.shortest, ask.longest) & columns.tied)
        return found["met"], found["met"] | found["not known"]

    def _pushing(self, ask: Ask) -> tuple[int, int]:
        """The columns whose bases are held at the worst angle, and at the best; what is not marked is told apart."""
        columns, worst = self.muster.columns, self._worst(ask)
        best = worst if ask.angle is not None else (self._at(ask.load, ask.factor, self._steepest),)
        may = cache(lambda base, hold: _stands(best, base, hold))
        sure = cache(lambda base, hold: may(base, hold) and _stands(worst, base, hold))
        # Of the stock only the points that may be counted on make a difference to what a base bears.
        key = (ask.load, ask.factor, ask.angle, self.muster.factor(ask), *worst[0].links.points.items())
        return columns.tied_as(sure, ("sure", key)), columns.tied_as(may, ("may", key))

    def fewest(self, ask: Ask, base: str, tie: str) -> int | None:
        """See ``Judge``; in every number that the straps of the ask can be laid in, at its worst angle."""
        return self._fewest(self._worst(ask), base, tie)

    def unknown(self, ask: Ask, column: int) -> Iterator[Link]:
        """See ``Judge``."""
        one = self.muster.columns.all[column]
        if ask.place is not None:
            yield from (link.link_of() for link in self._links(ask, column) if link.state == "unknown")
        elif ask.angle is None and one.hold is not None and not self.bearing(ask)[0] >> column & 1:
            yield Link("ties", "unknown", f"{self._over(ask)}; the need does not say its angle", "add angle to it")

    def failing(self, ask: Ask) -> str:
        """See ``Judge``."""
        if ask.place is None:
            return self.muster.doubts(ask) or self._over(ask)
        columns = self.muster.columns
        there = bits(columns.covering(ask.shortest, ask.longest) & columns.tied & self.muster.there)
        every = [self._links(ask, column) for column in there]
        for state in ("does not hold", "unknown"):
            broken = [[link for link in links if link.state == state] for links in every]
            if least := min((links for links in broken if links), key=len, default=[]):
                return "; ".join(dict.fromkeys(map(self._says, least)))
        return ""

    def _says(self, link: LinkCheck) -> str:
        """A link with what of it, what it bears of what comes on it, and what would put it right."""
        said = ": ".join(filter(None, (link.link, link.why)))
        if link.rated is not None and link.demand is not None:
            units = self.muster.cache.units
            bears, comes = show(link.rated, "force", units, "down"), show(link.demand, "force", units, "up")
            said += f" bears {bears} of the {comes} that come on it"
        ask = link.ask or "put a pad that is large enough under it" * (link.of == "ground")
        return f"{said} ({ask})" if ask else said

    def _over(self, ask: Ask) -> str:
        angle = float(max(self._worst(ask), key=lambda judged: judged.demand.pull(Fraction(1))).demand.setup.angle)
        at = f"at {angle:g} deg" + ("" if ask.angle is not None else ", which the rules allow,")
        return f"{at} straps, hardware or points do not hold what the base pushes out"

    def pads(self, asks: Iterable[tuple[Ask, int]]) -> tuple[int, Pieces]:
        """See ``Judge``."""
        needing, least, each = 0, Fraction(0), list(asks)
        for ask, wanted in each:
            if ask.place is None or not ask.place.soil:
                continue
            there, (met, maybe) = self.muster.columns.within(self.muster.stock), self.bearing(ask)
            enough = self.muster.packer.reaches(self.muster.stock, met & there, wanted)
            more, area = self._of(ask.place).pads((met if enough else maybe) & there, wanted, alone=len(each) == 1)
            needing, least = needing + more, max(least, area)
        return needing, pads_large(self.muster, least) if needing else ()

    def together(self, asks: Iterable[tuple[Ask, int]], gone: int = 0) -> Iterator[Link]:
        """See ``Judge``: a pad for each base that needs one on its ground."""
        needing, pads = self.pads(asks)
        if needing:
            large = sum(number for _, number in pads) - gone
            why = f"{need_a_pad(needing)}, {large} large enough on the book"
            short = needing > large
            yield Link("pads", "does not hold" if short else "holds", why, "bring pads that are large enough" * short)

    def _links(self, ask: Ask, column: int) -> list[LinkCheck]:
        """The links of a column in the place of an ask, for the weakest of its ties."""
        assert ask.place is not None
        judged = self._of(ask.place)
        assembly, ways = judged.held(column)
        worst = max(ways or (), key=lambda way: RANK[judged.of(assembly, way)[0]], default=None)
        return list(judged.links.of(assembly, worst))

    def _at_worst(self, ask: Ask) -> tuple[Judged, ...]:
        """An ask in its place, or at its angle; else at the flattest allowed, and where a short cut speaks."""
        if ask.place is not None:
            return (self._of(ask.place),)
        if ask.angle is not None:
            return (self._at(ask.load, ask.factor, ask.angle),)
        at_worst = dict.fromkeys((self._flattest, Fraction(SIDEWAYS_ANGLE_DEG)))
        return tuple(self._at(ask.load, ask.factor, at) for at in at_worst if self._flattest <= at <= self._steepest)

    def _leaning(self, load: Fraction | None, factor: Fraction | None, angle: Fraction) -> Judged:
        said: dict[str, Any] = {"axial": load, "angle": angle, "dynamic_allowance": Fraction(1), "factor": factor}
        place = partial(Situation.model_construct, contact_height=_ANY_HEIGHT, **said)
        return self._judged((load, factor, angle), factor, place)


def _fewest(worst: tuple[Judged, ...], base: str, tie: str) -> int | None:
    def holds(judged: Judged, number: int) -> bool:
        if tie not in judged.ties.of or not judged.ties.allows(number):
            return False
        return all(link.state != "does not hold" for link in judged.links.tied(base, tie, number))

    numbers = range(1, MOST_PER_BASE + 1)
    return next((number for number in numbers if all(holds(judged, number) for judged in worst)), None)


def _stands(every: Iterable[Judged], base: str, hold: Hold) -> bool:
    """Whether no tie that a hold may take, no hardware of it and no point of the base fails, and it can be laid so."""
    for judged in every:
        number, ties = judged.ties_of(hold)
        links = (link for tie in ties for link in judged.links.tied(base, tie.id, number or 1))
        if number is None or any(link.state == "does not hold" for link in links):
            return False
    return True
