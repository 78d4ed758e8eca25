"""What a change may do to a count: one more piece never lowers it, a stricter rule never raises it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from cache_check.model.counting import STEPS
from cache_check.model.family import Catalogue, Family
from cache_check.model.part import Part
from cache_check.model.rule import Setting
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.tally import tally
from cache_check.units import NEWTON_PER_LBF
from laws import books
from laws import strategies as drawn

FEWER = drawn.some(50)
Counts = tuple[int | None, ...]


@st.composite
def asks(draw: st.DrawFn, cache: drawn.Drawn) -> Ask:
    """A length or range on the ends of reaches, half the time with a load."""
    shortest, longest = draw(drawn.lengths(cache.rig.breakpoints()))
    load = draw(st.one_of(st.none(), st.integers(1, 8).map(lambda kips: kips * 1000 * NEWTON_PER_LBF)))
    return Ask(shortest, longest, load, None, draw(st.booleans()))


def _steps(cache: drawn.Drawn, ask: Ask) -> Counts:
    found = tally(Muster(cache.cache, cache.book, date(2026, 3, 1)), ask, "drawn")
    return tuple(found.count(step) for step in STEPS)


def _never_less(more: Counts, less: Counts) -> bool:
    return all(one is None or two is None or one >= two for one, two in zip(more, less, strict=True))


STRICTER = (
    books.setting("EXT-1", max=1),
    books.setting("EXT-2", max=6 * drawn.INCH),
    books.setting("EXT-3", severity="stop"),
    books.setting("ADP-1", max=0),
    books.setting("COL-1", locks=("holes",)),
    books.setting("OVL-1", min=8 * drawn.INCH),
    books.setting("PIN-1", per_joint=2),
    books.setting("PTS-1", min=3),
    books.setting("STR-1", min=3),
    books.setting("CAP-1", factor=4),
)


@FEWER
@given(drawn.caches(), st.data(), st.sampled_from(STRICTER), st.randoms(use_true_random=False))
def test_what_a_change_may_do_to_a_step(
    cache: drawn.Drawn, data: st.DataObject, rule: Setting, shuffled: Random
) -> None:
    """One piece more lowers no step, one missing among them; a stricter rule than those delivered raises none.

    Parts in another order under other names give the same counts, and struts only get lost on the way up the tally.
    """
    ask = data.draw(asks(cache))
    part = data.draw(st.sampled_from(sorted(cache.counts)))
    found = _steps(cache, ask)

    assert _never_less(_steps(replace(cache, counts=cache.counts | {part: cache.counts[part] + 1}), ask), found)
    assert _steps(_renamed(cache, shuffled), ask) == found
    delivered, stricter = (_steps(replace(cache, book=books.book(rules)), ask) for rules in ([], [rule]))
    assert _never_less(delivered, stricter)
    up = [n for n in _steps(cache, Ask(ask.shortest, ask.longest, ask.load)) if n is not None]
    assert up == sorted(up, reverse=True)


def _renamed(cache: drawn.Drawn, draw: Random) -> drawn.Drawn:
    ids = [part.id for part in cache.catalogue.parts]
    numbers = list(range(len(ids)))
    draw.shuffle(numbers)
    names = {part: f"{part.partition('/')[0]}/part {number}" for part, number in zip(ids, numbers, strict=True)}
    parts = [_with_names(part, names) for part in cache.catalogue.parts]
    draw.shuffle(parts)
    families = tuple(_family(family, names) for family in cache.catalogue.families)
    return drawn.Drawn(
        Catalogue(families=families, parts=tuple(parts)),
        {names[part]: number for part, number in cache.counts.items()},
        cache.book,
        {names[part]: number for part, number in cache.damaged.items()},
    )


def _with_names(part: Part, names: dict[str, str]) -> Part:
    changes: dict[str, object] = {"id": names[part.id]}
    if part.kind in ("strap", "chain"):
        changes["needs"] = {names[name]: number for name, number in part.hardware.items()}
    return part.model_copy(update=changes)


def _family(family: Family, names: dict[str, str]) -> Family:
    pins = {connector: names.get(pin, pin) for connector, pin in family.connectors.items()}
    mates = tuple(mate.model_copy(update={"pin": names.get(mate.pin, mate.pin)}) for mate in family.mates)
    return family.model_copy(update={"connectors": pins, "mates": mates})
