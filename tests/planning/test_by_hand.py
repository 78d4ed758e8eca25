"""Rescue 41, counted by hand."""

from __future__ import annotations

from datetime import date

from builders import SOUND_LOT, SOUND_PIECE, rescue_41
from laws import books

from cache_check.model.cache import Item, Stock
from cache_check.model.counting import Tally
from cache_check.model.family import Catalogue
from cache_check.model.part import End, Fitting, Point
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.profile import profile
from cache_check.planning.packing.tally import tally
from cache_check.units import NEWTON_PER_LBF

INCH = 25_400_000


def _tally(inches: float, pounds: int | None = None, *, restrained: bool = True, **changed: int) -> Tally:
    cache = rescue_41(**changed)
    load = None if pounds is None else pounds * NEWTON_PER_LBF
    length = round(inches * INCH)
    muster = Muster(cache, books.book(cache.settings), date(2026, 3, 1))
    return tally(muster, Ask(length, length, load, None, restrained), "by hand")


def _counts(found: Tally) -> list[int | None]:
    return [number for _, number in found.counts]


def test_at_78_inches() -> None:
    """Three long bodies with one extension each; losing a long body costs one.

    A short body ends at 39 + 32 + 5.5 = 76.5 in.  A long body alone ends at 66 + 3 + 2.5 = 71.5 in; with
    extension-10 it covers 43 + 10 + 5.5 = 58.5 in to 66 + 10 + 3 = 79 in at least, with extension-22 from 70.5 in.
    So 3 stand, with 3 pins each of 16; 3 hinged bases of 5 take 6 straps of 7.  At 78 in the row of 84 in holds:
    12,000 lbf with one extension, 6,000 at two to one, met exactly.  A fourth wants a long body and an eighth strap.
    """
    found = _tally(78, 6000)

    assert _counts(found) == [7, 7, 3, 3, 3, 3, 2]
    assert found.lost == ("P/long-body",)
    assert (found.binding.singles, found.binding.pairs) == ((), (("P/long-body", "P/strap"),))


def test_at_78_inches_with_more_load() -> None:
    """6,001 lbf is more than the row of 84 in allows at two to one: none is rated, and none is without extension."""
    assert _counts(_tally(78, 6001))[-2:] == [0, 0]


def test_at_60_inches() -> None:
    """Six stand, pins stop the seventh; three are restrained, since seven straps hold three bases.

    Long bodies do it alone: 3 struts, 2 pins each, 6.  A short body does it with extension-22 (54 in at most closed,
    65.5 in at least open): 3 struts, 3 pins each, 9.  That is 15 of 16 pins; a fourth short body takes two
    extension-10 and 4 pins.  Losing a pin leaves 15, losing a strap 6: neither costs a restrained strut.
    """
    found = _tally(60, 8000)

    assert _counts(found) == [7, 7, 7, 6, 3, 3, 3]
    assert found.lost == ()
    assert found.binding.singles == ("P/strap",)
    assert _tally(60, restrained=False).binding.singles == ()
    assert set(_tally(60, restrained=False, joint_pin=18).binding.singles) == {
        "P/joint-pin",  # 19 pins: as above, with the fourth short body
        "P/long-body",  # four long bodies and three short ones take 8 + 9
        "P/extension-22",  # three long bodies and four short ones take 6 + 12
    }
    assert _tally(60, restrained=False, joint_pin=19).count("assembled at once") == 7


def test_four_struts_with_four_straps_are_four_straps_short() -> None:
    """Two straps on every base (common practice, no source): four straps hold two bases, and eight hold four."""
    assert _tally(36, strap=4).count("restrained") == 2
    assert _tally(36, strap=7).count("restrained") == 3
    assert _tally(36, strap=8).count("restrained") == 4


def test_a_load_rated_at_four_to_one_doubles_at_two_to_one() -> None:
    """21,600 lbf failing load is 5,400 lbf at 4:1 and 10,800 lbf at 2:1 (common practice, no source); here 24,000."""
    assert _tally(42, 12_000).count("rated") == 3
    assert _tally(42, 12_001).count("rated") == 0


def test_both_ends_of_a_reach_count() -> None:
    """The shortest strut is 26.5 + 3 + 1.5 = 31 in: it stands at 31 in exactly, one with a base without points at 29.5.

    At 29.5 in a flat fitting stands at both ends, so two flat fittings make one strut.  At 31 in a hinged base with
    the flat fitting as its head, or a flat fitting under another head from 30 in up: one strut each.
    """
    cache = rescue_41()
    found = profile(Muster(cache, books.book(cache.settings), date(2026, 3, 1)), "assembled at once")

    first = found.stretches[0]
    assert (first.low, first.low_included, first.count) == (round(29.5 * INCH), True, 1)
    assert _tally(29.5).count("assembled at once") == 1
    assert _tally(31).count("restrained") == 2


def test_a_piece_without_points_can_be_lost_as_a_head() -> None:
    """A fitting for either end whose eyes are all damaged holds no base, but as a head its loss costs a strut.

    At 36 in four short bodies, five hinged bases and seven straps hold three struts; the only heads are three plates
    with two eyes designed and none usable.  Any other piece can be spared, a plate cannot.
    """
    plate = Fitting(
        id="P/plate",
        family="P",
        end=End(connector="P"),
        adds=INCH,
        serves=frozenset({"base", "head"}),
        points=(Point(), Point()),
    )
    cache = rescue_41(edge_head=0, point_head=0, flat_fitting=0)
    catalogue = Catalogue(families=cache.catalogue.families, parts=(*cache.catalogue.parts, plate))
    eyeless = tuple(Item(serial=n, part="P/plate", rig="rescue-41", points_usable=0, **SOUND_PIECE) for n in "123")
    stock = (*cache.stock, Stock(part="P/plate", rig="rescue-41", count=3, items=eyeless, **SOUND_LOT))
    damaged = cache.model_copy(update={"catalogue": catalogue, "stock": stock})
    muster = Muster(damaged, books.book(cache.settings), date(2026, 3, 1))

    found = tally(muster, Ask(36 * INCH, 36 * INCH), "by hand")

    assert (found.count("restrained"), found.count("one missing"), found.lost) == (3, 2, ("P/plate",))
