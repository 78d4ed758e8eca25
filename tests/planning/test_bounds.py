"""What no rig has is refused before any work; what a large store has is answered without going piece by piece."""

from __future__ import annotations

from collections import Counter
from datetime import date
from itertools import product
from pathlib import Path

import pytest
from builders import tidy
from laws import books

from cache_check.errors import InputError, NoPlanError
from cache_check.files.cache import read_cache
from cache_check.joining.assemblies import Joinery
from cache_check.model.cache import Stock
from cache_check.model.family import Catalogue
from cache_check.model.part import End, Extension
from cache_check.model.record import MOST_PIECES
from cache_check.planning.packing.columns import Column
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.packing import Packer
from cache_check.planning.packing.tally import tally
from cache_check.planning.packing.verdicts import MOST_IN_PAIRS, binding
from cache_check.planning.packing.verify import _unmixed

INCH = 25_400_000
BODY = "{kind: body, closed: 20, open: 60, lock: holes, holes: {pitch: %s}, lower: T, upper: T}"


def refused(folder: Path, parts: str, types: str) -> str:
    """What is said of a cache of these entries."""
    text = f"cache: rig\nunits: us\njoint_pin: captive\nparts:\n{parts}types:\n{types}"
    (folder / "rig.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as error:
        read_cache(folder / "rig.yaml")
    return str(error.value)


def test_more_pieces_than_any_rig_has(tmp_path: Path) -> None:
    """Four million straps are a slip; ten thousand are not."""
    strap = "  strap: {kind: strap, wll: 3000}\n"

    assert "4000000 is too many" in refused(tmp_path, "  strap: 4000000\n", strap)
    assert Stock(part="strap", rig="rig", count=MOST_PIECES).count == MOST_PIECES


@pytest.mark.parametrize(("pitch", "holes"), [("1 mm", "1,017"), ("0.000001 mm", "1,016,000,001")])
def test_more_holes_than_any_body_has(tmp_path: Path, pitch: str, holes: str) -> None:
    """A pitch in the wrong unit makes more holes than any body has, and is refused before one is reckoned."""
    assert f"makes {holes} holes" in refused(tmp_path, "  body: 1\n", f"  body: {BODY % pitch}\n")


def test_more_part_types_than_any_cache_has(tmp_path: Path) -> None:
    """Each part type is asked about, so their number is bounded."""
    types = "".join(f"  s{n}: {{kind: strap, wll: 3000}}\n" for n in range(2001))

    assert "2,001 part types are too many" in refused(tmp_path, "  s0: 1\n", types)


def test_ten_thousand_of_each() -> None:
    """Two pins and two straps a strut: 5,000 stand at once and are held, and two pins more make one more."""
    cache = tidy(counts=dict.fromkeys(("body", "ext-6", "ext-12", "base", "head", "pin", "strap"), MOST_PIECES))
    found = tally(Muster(cache, books.book(), date(2026, 4, 1)), Ask(40 * INCH, 40 * INCH, restrained=False), "many")

    assert found.count("assembled at once") == found.count("restrained") == MOST_PIECES // 2
    assert found.binding.pairs == (("T/pin", "T/pin"),)


def test_stacks_beyond_counting_are_refused() -> None:
    """A thousand kinds of extension, two in a strut, make half a million stacks: told, not listed."""
    cache = tidy()
    many = [Extension(id=f"T/e{n}", family="T", lower=End(connector="T"), upper=End(connector="T"), length=n + 1)
            for n in range(1000)]  # fmt: skip
    catalogue = Catalogue(families=cache.catalogue.families, parts=(*cache.catalogue.parts, *many))
    counts = dict.fromkeys(catalogue.by_id, 4)

    with pytest.raises(NoPlanError, match="more stacks than are counted"):
        Joinery(catalogue, counts, books.book()).count()


def test_pairs_of_many_part_types_are_not_tried_and_said_so() -> None:
    """No single part helps; of more types than are tried in pairs that is told."""
    number = MOST_IN_PAIRS + 1
    takes = tuple((row, 1) for row in range(number))
    packer = Packer((Column(0, None, takes, 1),), number)
    parts = tuple(str(row) for row in range(number))

    found = binding(packer, (0,) * number, 1, 0, parts, lambda part: (int(part),))

    assert found.untold == f"no single part; pairs of {number} part types are too many to try"
    assert not found.singles + found.pairs


@pytest.mark.parametrize(("straps", "chains"), list(product(range(9), repeat=2)))
def test_bases_by_strap_or_by_chain(straps: int, chains: int) -> None:
    """One base of three ties and two of two: each by straps or by chains, tried one by one."""
    each = [3, 2, 2]
    tried = any(
        sum(n for n, one in zip(each, by, strict=True) if one) <= straps
        and sum(n for n, one in zip(each, by, strict=True) if not one) <= chains
        for by in product([True, False], repeat=3)
    )

    assert _unmixed(Counter(each), Counter(strap=straps, chain=chains)) == tried
