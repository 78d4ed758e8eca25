"""The largest load that all struts wanted pass at once, each with its own ties, hardware and pad."""

from bisect import bisect_left
from collections.abc import Callable, Iterator
from fractions import Fraction

from cache_check.loads.conventions import settled
from cache_check.model.situation import Situation
from cache_check.planning.loading.carrying import Here, largest
from cache_check.planning.loading.demand import pads_large
from cache_check.planning.packing.masks import bits, mask_of

NO_PADS = "then the pads that are large enough are all in use"


def together(here: Here, wanted: int, filled: Callable[[Fraction], Situation]) -> tuple[Fraction | None, str]:
    """The largest share that each of so many struts takes, and what is then at its limit.

    None where not so many stand of which no link bars every load; then why.  ``filled`` is the situation under a share.
    """
    length, columns = here.demand.length, here.columns
    held = columns.restrained if here.demand.one.ties != "none" else columns.assembled
    takes = {
        column: here.judged.largest_of(column)
        for column in bits(columns.covering(length, length) & held & here.there)
    }  # fmt: skip

    def standing(share: Fraction) -> int:
        return mask_of([column for column, most in takes.items() if most >= share], len(columns.all))

    def stand(share: Fraction) -> bool:
        return here.packer.most(here.stock, standing(share)).count >= wanted

    shares = sorted({share for share in takes.values() if share})
    short = bisect_left(shares, True, key=lambda share: not stand(share))
    if not short:
        most = here.packer.most(here.stock, standing(shares[0])).count if shares else 0
        return None, f"{wanted} wanted at once, {most} of which no link bars every load"
    by_links = shares[short - 1]
    lower = sorted({*shares[:short], *_with_pads(here, list(takes))}, reverse=True)
    for share in (share for share in lower if 0 < share <= by_links):
        needing, least = here.judged.pads(standing(share), wanted, share=share)
        if needing <= sum(number for _, number in pads_large(here, least)):
            if _moved(here, standing(share), filled(share)):
                return None, "pre-tension alone moves every load that passes"
            alike = [column for column, most in takes.items() if most == by_links]
            return share, _limit(here, alike) if share == by_links else NO_PADS
    return None, "there are too few pads for any load"


def pressed(here: Here, wanted: int) -> Fraction | None:
    """The least bearing value (Pa) of ground that takes so many struts at once, on what they stand on before any pad.

    Of those of which no link fails; None where fewer stand, or it is not known on what.
    """
    demand, known, pressure = here.demand, here.demand.known, dict[int, Fraction]()
    assert known is not None
    for column in bits((here.by_verdict["met"] | here.by_verdict["not known"]) & here.there):
        assembly, ways = here.judged.held(column)
        _, area = next(here.links.ground.stands_on(assembly.ground))
        if area:
            own = max((way.own for way in ways or ()), default=Fraction(0))
            pressure[column] = (known.bearing + own * demand.sine) / area
    for most in sorted(set(pressure.values())):
        mask = mask_of([column for column, own in pressure.items() if own <= most], len(here.columns.all))
        if here.packer.most(here.stock, mask).count >= wanted:
            return most
    return None


def _moved(here: Here, columns: int, one: Situation) -> bool:
    """Whether the pre-tension of some struts moves more of a load than is allowed; of a lighter one it moves more."""
    if not here.book.in_force("pretension_push"):
        return False
    most = Fraction(here.book.ruled("pretension_push", "share"))
    ways = {way for column in bits(columns) for way in here.judged.held(column)[1] or () if way.pretension}
    return any((share := here.links.turned(way, one)) is not None and settled(float(share)) > most for way in ways)


def _with_pads(here: Here, columns: list[int]) -> Iterator[Fraction]:
    """The shares at which a base, alone or on some pad of the book, comes to what the ground takes."""
    for column in columns:
        assembly, ways = here.judged.held(column)
        for way in ways or (None,):
            own = way.own if way else Fraction(0)
            yield from here.links.ground.shares(assembly.ground, own)


def _limit(here: Here, columns: list[int]) -> str:
    """The link that comes to its limit on one of some columns, which take alike."""
    assembly, ways = here.judged.held(columns[0])
    links = min((here.links.of(assembly, way) for way in ways or (None,)), key=lambda one: largest(one) or Fraction(0))
    least = min((link for link in links if link.largest is not None), key=lambda link: link.largest or Fraction(0))
    return f"then {least.link} is at its limit"
