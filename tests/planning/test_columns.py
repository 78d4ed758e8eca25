"""Sets of columns against their definitions, column by column."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from random import Random

import pytest
from benchmarks.ordinary import TODAY, ordinary
from builders import tidy

from cache_check.api.base import WhatIf, muster_of
from cache_check.files.cache import read_cache
from cache_check.files.rules import read_rules
from cache_check.joining.assemblies import Joinery
from cache_check.joining.stock import as_new
from cache_check.planning.buying.shop import least_taking
from cache_check.planning.packing.columns import Column, Columns
from cache_check.planning.packing.laid import Laid
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.rows import bits, mask_of, places
from cache_check.units import NM_PER_INCH as INCH


def ordinary_muster(seed: int) -> Muster:
    """The muster of an ordinary rig, with the needs that have more ties on a base than the rules ask."""
    one = ordinary(seed)
    return muster_of(one.cache, one.book, WhatIf(on=TODAY), needs=one.needs)


def takes_no_more(one: Column, other: Column) -> bool:
    """Whether one column takes no more of anything than another."""
    return not Counter(dict(one.uses)) - Counter(dict(other.uses))


def fat(columns: Columns, active: list[int]) -> set[int]:
    """Those of some columns beside which another has one piece less, is else the same, and takes no more."""
    alike: dict[object, list[tuple[int, Counter[str]]]] = {}
    for i in active:
        assembly = columns.assemblies[columns.all[i].assembly]
        key = (assembly.ground, assembly.body, assembly.load, columns.all[i].hold)
        alike.setdefault(key, []).append((i, Counter(assembly.below + assembly.above)))
    return {
        i
        for own in alike.values()
        for i, pieces in own
        for j, fewer in own
        if (pieces - fewer).total() == 1 and not fewer - pieces and takes_no_more(columns.all[j], columns.all[i])
    }


def held_by_more(columns: Columns, active: list[int]) -> set[int]:
    """Those of some columns beside which another is the same assembly, held by less."""
    alike: dict[int, list[int]] = {}
    for i in active:
        if columns.all[i].hold is not None:
            alike.setdefault(columns.all[i].assembly, []).append(i)
    return {
        i
        for own in alike.values()
        for i in own
        if any(j != i and takes_no_more(columns.all[j], columns.all[i]) for j in own)
    }


@pytest.mark.parametrize("seed", [3, 13, 45, 227])
def test_masks_are_what_each_column_says(seed: int) -> None:
    """What a stock can build, what is held so, what has every limit, what is lean and what takes no row in vain."""
    muster = ordinary_muster(seed)
    columns, stock = muster.columns, muster.stock
    every, total, draw = list(enumerate(columns.all)), len(columns.all), Random(seed)
    ground = [assembly.ground for assembly in columns.assemblies]

    assert bits(columns.within(stock)) == [i for i, one in every if all(stock[row] >= n for row, n in one.uses)]
    for base in sorted(set(ground)):
        held = [i for i, one in every if one.hold is not None and ground[one.assembly] == base]
        assert bits(columns.tied_as(lambda own, hold, base=base: own == base)) == held  # type: ignore[misc]
    limited = [
        i
        for i, one in every
        if one.hold is None or (columns.rated(one.hold) and columns.marked(ground[one.assembly], one.hold))
    ]
    assert bits(columns.all_rated) == limited
    for i, mask in enumerate(columns.of_assembly):
        assert bits(mask) == [c for c, one in every if one.assembly == i]
    assert columns.rows_used == {row for one in columns.all for row, _ in one.uses}
    some = [i for i in range(total) if draw.random() < 0.8]
    mask = mask_of(some, total)
    tied = held_by_more(columns, some)
    assert tied
    assert set(some) - set(bits(columns.lean(mask))) == tied | fat(columns, sorted(set(some) - tied))
    assert places(mask, some[::3]) == (1 << len(some[::3])) - 1


PINNED = """
cache: rig
units: us
book_date: 2026-03-01
inspected: 2026-01-10
label: legible
joint_pin: pin
connectors: {{B: captive}}
mates: [{{ends: [rig, B]{pin}}}]
types:
  body: {{kind: body, closed: 20, open: 30, lock: collar, upper: B, mass: 10}}
  extension: {{kind: extension, length: 10, lower: B, upper: B, mass: 5}}
  base: {{kind: fitting, serves: base, adds: 2, mass: 5}}
  head: {{kind: fitting, serves: head, adds: 2, end: {{connector: B, takes: [body]}}, mass: 2}}
  pin: {{kind: pin, mass: 0.1}}
parts: {{body: 2, extension: 1, base: 2, head: 2, pin: 1}}
"""
"""Base and body meet with a pin; the extension between them has captive ends, unless its mates take a pin too."""


@pytest.mark.parametrize(("pin", "left"), [("", 2), (", pin: pin", 1)])
def test_a_strut_with_a_piece_less_that_takes_a_pin_more_is_not_leaner(pin: str, left: int, tmp_path: Path) -> None:
    """Both builds reach 34 in: with one pin and two bodies the longer one, which takes none, is not needless."""
    path = tmp_path / "rig.yaml"
    path.write_text(PINNED.format(pin=pin), encoding="utf-8")
    muster = muster_of(read_cache(path, read_rules()), read_rules(), WhatIf(on=TODAY))
    columns, packer, both = muster.columns, muster.packer, muster.columns.covering(34 * INCH, 34 * INCH)

    assert [sum(n for _, n in one.pins) for one in columns.assemblies[:2]] == [1, 0 if left == 2 else 2]
    assert len(bits(both & columns.assembled)) == 2
    assert len(bits(columns.lean(both & columns.assembled))) == left
    assert packer.most(muster.stock, columns.lean(both)).count == left
    assert packer.most(muster.stock, both).count == left


@pytest.mark.parametrize("seed", range(8))
def test_only_columns_that_another_spares_are_left_out(seed: int) -> None:
    """Each column that is left out takes as much as one that is kept; of those kept none takes as much as another."""
    draw = Random(seed)
    rows = [sorted(draw.sample(range(9), draw.randint(1, 5))) for _ in range(120)]
    uses = [tuple((row, draw.randint(1, 3)) for row in own) for own in rows]
    columns = sorted(draw.sample(range(120), 90))
    kept, every = least_taking(columns, uses), [Column(0, None, own, 1) for own in uses]

    assert kept == sorted(kept)
    for i in columns:
        spared = [j for j in kept if j != i and takes_no_more(every[j], every[i])]
        assert bool(spared) == (i not in kept), i


def test_columns_of_a_large_rig_are_made_once() -> None:
    """A body more changes no column of 5,533 assemblies; other loads may want other numbers of ties on a base."""
    today = ordinary_muster(27)
    body = next(part.id for part in today.cache.catalogue.parts if part.kind == "body")
    more = today.changed(cache=today.cache.changed(stock=(*today.cache.stock, as_new(body, "rig", 1, TODAY, "new"))))
    bare = Muster(today.cache, today.book, TODAY)

    assert today.laid.assemblies > 5_000
    assert more.laid is today.laid
    assert more.columns is today.columns
    assert bare.laid is today.laid
    assert len(bare.columns.all) < len(today.columns.all)


def test_one_more_of_a_fitting_for_both_ends_is_joined_anew() -> None:
    """One alone cannot be base and head of a strut, two can; a third makes no difference."""
    cache, book = tidy(parts={"base": {"serves": ["base", "head"]}}), read_rules()
    one, two, three = ({part.id: n if part.name == "base" else 9 for part in cache.catalogue.parts} for n in (1, 2, 3))
    shared = Laid(cache.catalogue, three, book)

    assert shared.joinery(one).count() < shared.joinery(two).count() == Joinery(cache.catalogue, two, book).count()
    assert shared.joinery(three) is shared.joinery(two)
