"""Pieces and reach by hand: wear to the last unit, words however they are stopped, each fitting's own reach."""

from __future__ import annotations

from datetime import date

import pytest
from builders import SOUND_LOT, rescue_41
from laws import books

from cache_check.files.shipped import removal
from cache_check.joining.assemblies import joinery
from cache_check.joining.mending import kept_out
from cache_check.joining.reach import reach_of
from cache_check.joining.stock import usable
from cache_check.model.cache import Cache, Item, Stock
from cache_check.model.part import Chain
from cache_check.model.piece import Reason, Why

DAY = date(2026, 3, 1)
INCH = 25_400_000
SIZE, LEAST = next(iter(removal().least_link.items()))


def _chained(**item: object) -> Cache:
    """Rescue 41 with two chains of the smallest published size, of which C-1 is as said."""
    cache = rescue_41()
    chain = Chain(id="P/chain", family="P", size=SIZE, needs={})
    piece = Item.model_validate(
        {"serial": "C-1", "part": "P/chain", "rig": "rescue-41", "inspected": "2026-01-10", "label": "legible", **item}
    )
    stock = Stock(part="P/chain", rig="rescue-41", count=2, items=(piece,), **SOUND_LOT)
    catalogue = cache.catalogue.changed(parts=(*cache.catalogue.parts, chain))
    return cache.changed(catalogue=catalogue, stock=(*cache.stock, stock))


def _reasons(cache: Cache) -> list[Reason]:
    found = usable(cache, books.book(cache.settings), DAY)
    assert found.counts["P/chain"] == 2 - len(found.idle)
    return [reason for idle in found.idle for reason in idle.reasons]


def test_a_chain_is_worn_under_the_published_least() -> None:
    """At the least size it is used; a unit under it, out, and both sizes are told."""
    assert _reasons(_chained(measured=LEAST)) == []
    (worn,) = _reasons(_chained(measured=LEAST - 1))
    assert worn.why == Why.WORN
    assert " at its thinnest, " in worn.says
    assert worn.says.endswith(" at least")
    assert dict(worn.figures) == {"measured_nm": LEAST - 1, "least_nm": LEAST}


@pytest.mark.parametrize(
    ("condition", "why"),
    [
        ("Good.", None), (" good! ", None), ("good, serviceable.", None), ("", None),
        ("good, wobbly", Why.CONDITION_UNKNOWN), ("cracked, do not use", Why.DAMAGED),
        ("rusty", Why.DAMAGED), ("good, frayed at one eye", Why.DAMAGED), ("dropped", Why.DAMAGED),
    ],
)  # fmt: skip
def test_words_of_a_condition(condition: str, why: Why | None) -> None:
    """Fine only where every word is, stopped or not; other words are damage or not known."""
    assert [reason.why for reason in _reasons(_chained(condition=condition))] == ([why] if why else [])


@pytest.mark.parametrize(("note", "known"), [("frayed at one eye", False), ("in the bag with the charts", True)])
def test_a_note_of_damage_leaves_a_piece_not_known(note: str, known: bool) -> None:
    """Whether it is sound is to be written; a note of anything else changes nothing."""
    assert [reason.why for reason in _reasons(_chained(note=note))] == ([] if known else [Why.CONDITION_UNKNOWN])


@pytest.mark.parametrize("item", [{"status": "repair"}, {"inspected": None}])
def test_what_is_kept_out_stays_out(item: dict[str, object]) -> None:
    """A piece set aside is in no state that a later day makes good; the lot beside it stays as it is."""
    cache = _chained(**item)
    found = usable(cache, books.book(cache.settings), DAY)

    out = kept_out(cache, found.idle)

    (line,) = (line for line in out.stock if line.part == "P/chain")
    assert (line.count, [one.status for one in line.items]) == (2, ["unknown"])
    assert usable(out, books.book(cache.settings), DAY).counts == found.counts


def test_each_fittings_own_reach() -> None:
    """Short bodies only, 26.5 to 39 in: each fitting with the shortest and the longest of those it can meet.

    Bases add 3 and 1.5 in, heads 2, 2.5 and 1.5; there are two of the fitting that is both.
    """
    cache = rescue_41(long_body=0, extension_10=0, extension_22=0)
    found = reach_of(joinery(cache.catalogue, usable(cache, books.book(), DAY).counts, books.book()), 0)

    inches = {
        (role, part): [(low / INCH, high / INCH) for low, high in union] for role, part, union in found.by_fitting
    }
    assert inches == {
        ("base", "P/hinged-base"): [(31, 44.5)],
        ("base", "P/flat-fitting"): [(29.5, 43)],
        ("head", "P/edge-head"): [(30, 44)],
        ("head", "P/point-head"): [(30.5, 44.5)],
        ("head", "P/flat-fitting"): [(29.5, 43.5)],
    }
    assert found.union == ((29.5 * INCH, 44.5 * INCH),)
