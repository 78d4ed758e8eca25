"""Offers: pieces that may be had, at which price, in which packs; bought on a quote, or moved from another rig."""

from collections.abc import Iterable

from cache_check.errors import AskError, grouped, listed
from cache_check.frozen import dataclass
from cache_check.joining.stock import counted, kept_out, stricter
from cache_check.model.family import Catalogue
from cache_check.model.part import Fitting
from cache_check.model.piece import Idle
from cache_check.model.purchase import Prices
from cache_check.planning.packing.muster import Muster


@dataclass(frozen=True)
class Terms:
    """What a vendor asks of an order as a whole, in hundredths of the currency."""

    vendor: str
    freight: int  # paid once if anything is ordered
    least: int  # goods for less are charged as so much

    def charged(self, goods: int) -> int:
        """What is charged, beside goods of so much, because the order is small."""
        return max(0, self.least - goods)


@dataclass(frozen=True)
class Offer:
    """Pieces of one part from one source."""

    part: str
    source: str
    price: int  # of a pack, in hundredths of the currency
    pack: int = 1  # pieces
    minimum: int = 1  # pieces that are ordered at least
    fixed: int = 0  # paid once for an order
    limit: int | None = None  # the most pieces there are; None: any number
    pointed: bool = False  # with enough attachment points for a restrained base
    short: int = 0  # of the more points that other families may ask they have all but the last so many
    moved: bool = False  # from another rig, not bought
    idle: Idle | None = None  # on the book, and not counted today; they cost the work alone that brings them back
    number: str = ""  # what the vendor calls the part
    note: str = ""  # what its quote says beside the price
    terms: Terms | None = None  # of the vendor's order as a whole; None: there are none

    def cost(self, packs: int) -> int:
        """What so many packs cost."""
        return self.price * packs + (self.fixed if packs else 0)

    @property
    def least_packs(self) -> int:
        """The fewest packs that may be ordered at all."""
        return -(-self.minimum // self.pack)


def part_of(catalogue: Catalogue, name: str) -> str | None:
    """The id of the part that a quote names by id or by its short name; None where no part is meant."""
    if name in catalogue.by_id:
        return name
    found = [part.id for part in catalogue.parts if part.name == name]
    return found[0] if len(found) == 1 else None


def quoted(muster: Muster, prices: Prices) -> tuple[tuple[Offer, ...], tuple[str, ...]]:
    """The offers of a quote, and the names it prices that no part of the cache's families has.

    Raises AskError: it prices one part under two names.
    """
    by_id = muster.cache.catalogue.by_id
    terms = Terms(prices.title, prices.freight, prices.least_order) if prices.freight or prices.least_order else None
    named = [(price, part_of(muster.cache.catalogue, price.part)) for price in prices.prices]
    for part, names in grouped((part, price.part) for price, part in named if part is not None).items():
        if len(names := list(dict.fromkeys(names))) > 1:
            raise AskError(f"{prices.title} prices {part} as {listed(names, 'and as')}; keep one of them")
    offers = tuple(
        Offer(
            part, prices.title, price.price, price.pack, price.minimum, price.fixed,
            pointed=bool(minima(muster, part)), number=price.number, note=price.note.strip(), terms=terms,
        ) for price, part in named if part is not None and by_id[part].kind != "pad"
    )  # fmt: skip
    return offers, tuple(price.part for price, part in named if part is None)


def not_quoted(muster: Muster, offers: Iterable[Offer]) -> tuple[str, ...]:
    """The parts that struts are made and held with and of which no piece is on offer."""
    there = {offer.part for offer in offers}
    return tuple(part.id for part in muster.cache.catalogue.parts if part.kind != "pad" and part.id not in there)


def unpriced(muster: Muster) -> tuple[Offer, ...]:
    """Every part that struts are made and held with, each piece for one: the cheapest list is the shortest."""
    return tuple(Offer(part, "", 1, pointed=bool(minima(muster, part))) for part in not_quoted(muster, ()))


def movable(muster: Muster, giver: Muster, price: int) -> tuple[Offer, ...]:
    """Pieces of another rig that count there and here, at a price; bases by their points."""
    ours, theirs, found = muster.cache.catalogue, giver.cache.catalogue, list[Offer]()
    here = giver.changed(cache=kept_out(giver.cache, giver.usable.idle), book=muster.book).usable
    for part, count in here.counts.items():
        one = ours.by_id.get(part)
        if one is None or one.kind == "pad" or one != theirs.by_id[part]:
            continue
        # Of a part or family that its book has otherwise none is known to be what it would be taken for here.
        if count > 0 and ours.family.get(one.family) == theirs.family.get(one.family):
            names = (part, *(counted(part, number) for number in minima(muster, part)[1:]))
            pointed = [min(count, here.pointed.get(name, 0)) for name in names]
            # Those with the most points first; each is offered once.
            for short, (number, more) in enumerate(zip(reversed(pointed), [0, *reversed(pointed)], strict=False)):
                if number > more:
                    found.append(Offer(part, giver.cache.title, price, 1, 1, 0, number - more, True, short, moved=True))
            if count > pointed[0]:
                found.append(Offer(part, giver.cache.title, price, limit=count - pointed[0], moved=True))
    return tuple(found)


def minima(muster: Muster, part: str) -> list[int]:
    """The points that a new piece of a base has, of those that its own family asks, then others, rising; else none."""
    record = muster.cache.catalogue.by_id[part]
    if not isinstance(record, Fitting):
        return []
    asked = (muster.usable.least_points[part], *stricter(muster.book, record))
    return [number for number in asked if number <= len(record.points)]


def brought_back(muster: Muster) -> tuple[Offer, ...]:
    """The pieces on the book that do not count today and that cost nothing to bring back, record by record."""
    every = (one for one in (*muster.usable.idle, *muster.usable.pointless) if one.free)
    return tuple(
        Offer(one.part, one.rig, 0, limit=one.number, pointed=bool(minima(muster, one.part)), idle=one)
        for one in every
        if muster.cache.catalogue.by_id[one.part].kind != "pad"
    )
