"""Several caches as one: nothing is lost, and nothing that differs is merged."""

from __future__ import annotations

import pytest
from desk import SAMPLES, Desk, read_cache

from cache_check.errors import InputError
from cache_check.files.pool import pool
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.rule import Setting
from cache_check.units import NM_PER_INCH as INCH

RIGS = ("rescue-41", "rescue-44", "truck-9")
FAMILY = "family: F\nunits: us\njoint_pin: captive\nparts: {a: {kind: pin, mass: 1}}\n"


def rig(desk: Desk, name: str, text: str, family: str = FAMILY) -> Cache:
    """A cache whose family file lies in a folder of its own."""
    (desk.folder / name).mkdir()
    desk.put(family, f"{name}/f.yaml")
    return read_cache(desk.put(f"cache: {name}\nunits: us\nfamilies: [f.yaml]\n{text}", f"{name}/cache.yaml"))


def refusal(desk: Desk, *caches: Cache) -> str:
    """What is said of caches that cannot be pooled, less the folder."""
    with pytest.raises(InputError) as refused:
        pool(caches)
    return str(refused.value).replace(f"{desk.folder}/", "")


def test_the_county_pools() -> None:
    """Counts add up over the rigs, each rig keeps its own lines, and shared part types are there once."""
    caches = [read_cache(SAMPLES / f"{name}.yaml") for name in RIGS]
    county = pool(caches)

    assert (county.title, county.rigs) == ("Rescue 41 + Rescue 44 + Truck 9", RIGS)
    assert county.counted["P/short-body"] == 6
    assert county.counted["P/strap"] == 7 + 6 + 4
    assert len(county.stock) == sum(len(cache.stock) for cache in caches)
    assert [family.id for family in county.catalogue.families] == ["P", "Q"]
    assert len({part.id for part in county.catalogue.parts}) == len(county.catalogue.parts) == 15
    assert [(setting.rule, setting.family) for setting in county.settings] == [("EXT-2", "P"), ("EXT-1", "Q")]


def test_a_pool_of_one_is_that_cache() -> None:
    """One cache pools to itself."""
    cache = read_cache(SAMPLES / "rescue-41.yaml")

    assert pool([cache]) is cache


def test_own_types_of_two_rigs_stay_apart(desk: Desk) -> None:
    """A part type called alike in two caches is two part types."""
    one = rig(desk, "one", "types: {b: {kind: pin, mass: 1}}\nparts: {b: 1}")
    two = rig(desk, "two", "types: {b: {kind: pin, mass: 2}}\nparts: {b: 2}")

    assert pool([one, two]).counted == {"one/b": 1, "two/b": 2}


def test_a_family_that_differs_is_refused(desk: Desk) -> None:
    """A part of one id with other sizes is refused with what differs."""
    one = rig(desk, "one", "")
    two = rig(desk, "two", "", FAMILY.replace("mass: 1", "mass: 2"))

    assert refusal(desk, one, two) == (
        "two/cache.yaml: part 'F/a' differs from the one in one/cache.yaml in mass; "
        "let both caches name one family file"
    )


@pytest.mark.parametrize("settings", ["rules: {EXT-1: {max: 3}}", "rules: {EXT-1: {max: 1}, EXT-3: off}", ""])
def test_family_settings_that_differ_are_refused(settings: str, desk: Desk) -> None:
    """A family's rule set otherwise, or only in one of the caches, is refused: which sheet governs is not guessed."""
    one = rig(desk, "one", "", FAMILY + "rules: {EXT-1: {max: 1}}")
    two = rig(desk, "two", "", FAMILY + settings)

    assert "family 'F' sets EXT-" in refusal(desk, one, two)


def test_settings_of_each_rig_are_kept(desk: Desk) -> None:
    """Two rigs may set one rule each in its own way; both settings stay, with their rig."""
    one = rig(desk, "one", "rules: {EXT-1: {max: 1}}")
    two = rig(desk, "two", "rules: {EXT-1: {max: 2}}")

    assert [(s.rig, s.values) for s in pool([one, two]).settings] == [("one", {"max": 1}), ("two", {"max": 2})]


def test_a_rig_is_given_once() -> None:
    """The same rig twice would count each piece twice, so it is refused."""
    cache = read_cache(SAMPLES / "rescue-41.yaml")

    with pytest.raises(InputError) as refused:
        pool([cache, cache])
    path = SAMPLES / "rescue-41.yaml"
    assert str(refused.value) == (
        f"{path}: rig 'rescue-41' is in {path} too; give each rig once, under a name of its own"
    )


@pytest.mark.parametrize(
    ("days", "oldest"), [(("2026-03-01", "2026-02-01"), "2026-02-01"), (("2026-03-01", None), "None")]
)
def test_a_pool_is_as_old_as_its_oldest_count(days: tuple[str, str | None], oldest: str, desk: Desk) -> None:
    """The book date of a pool is the oldest, and unknown where any is."""
    caches = [
        rig(desk, name, f"book_date: {day}\n" if day else "") for name, day in zip(("one", "two"), days, strict=True)
    ]

    assert str(pool(caches).book_date) == oldest


def test_what_is_said_of_rigs_that_differ_is_what_is_used() -> None:
    """A rig that says nothing has its family's value, and the value that is told is the one in force."""
    settings = (
        Setting(rule="EXT-2", by="family P", family="P", values={"max": 30 * INCH}),
        Setting(rule="EXT-2", by="cache A", rig="A", values={"max": 40 * INCH}),
    )
    book = read_rules().changed(settings=settings, rigs=("A", "B"), families=("P",))

    assert book.value("EXT-2", "max") == 30 * INCH
    assert book.contested() == (
        "EXT-2 max: rig A says 40.0 in (1,016 mm); rig B says 30.0 in (762 mm); "
        "the stricter, 30.0 in (762 mm), is used",
    )


def test_what_one_rig_sets_holds_on_no_other() -> None:
    """Of rig after rig what is in force is worked out once, unless some of it is set of a rig, a family or anew."""
    book = read_rules()
    wide = Setting(rule="EXT-2", by="family P", family="P", values={"max": 30 * INCH})
    own = Setting(rule="EXT-2", by="cache A", rig="A", values={"max": 40 * INCH})
    asked = (((wide,), "A", "P"), ((wide,), "B", "P"), ((wide, own), "A", "P"), ((wide, own), "B", "P"),
             ((), "B", "P"), ((wide,), "B", "Q"))  # fmt: skip
    made = [book.settled(settings, (rig,), (family,)) for settings, rig, family in asked]

    fresh = [book.changed(settings=one.settings, rigs=one.rigs, families=one.families) for one in made]
    assert [one.value("EXT-2", "max") for one in made] == [one.value("EXT-2", "max") for one in fresh]
    assert len({one.value("EXT-2", "max") for one in made}) == 3
    assert made[1]._known is made[0]._known
