"""Several caches as one; and county files: the rigs of a company, and what all of them are asked by."""

from collections.abc import Callable, Sequence
from itertools import chain
from pathlib import Path
from typing import Any, TypeVar

from pydantic import Field

from cache_check.errors import InputError, Mistake, grouped, refused
from cache_check.files.reading import Reading, open_file
from cache_check.frozen import dataclass
from cache_check.model.cache import Cache, folded
from cache_check.model.family import Catalogue, Family
from cache_check.model.part import PartBase
from cache_check.model.record import Name, Record, Text
from cache_check.model.rule import Setting

NAME = "county.yaml"  # what a county file is called, so that commands find it in the folder or above
flat = chain.from_iterable
_OF_EACH = ("stock", "compartments", "ready_sets", "rigs", "stated")
ONCE = {
    "rig": "give each rig once, under a name of its own",
    "serial": "look which rig has the piece, and list it there alone",
}
"""What to do where two books have what may stand in one alone."""
_Kept = TypeVar("_Kept", bound=Record)


def pool(caches: Sequence[Cache]) -> Cache:
    """Several caches as one, each rig's counts, places and settings still its own.

    One family may be named by several caches if it says the same in each; part types that a cache made up
    stay apart, since their ids begin with that cache.  The book date of the pool is the oldest, and unknown
    where any is.  Shown in the units of the first.  InputError where a rig or a serial is given twice, or a
    family or part differs from one cache to the next.
    """
    if len(caches) == 1:
        return caches[0]
    check_apart(caches)
    dates = [cache.book_date for cache in caches]
    each: dict[str, Any] = {name: tuple(flat(getattr(cache, name) for cache in caches)) for name in _OF_EACH}
    known = [day for day in dates if day is not None]
    families = _merged(caches, lambda cache: cache.catalogue.families, "family")
    parts = _merged(caches, lambda cache: cache.catalogue.parts, "part")
    return Cache.model_construct(
        id=" + ".join(cache.id for cache in caches), title=" + ".join(cache.title for cache in caches),
        units=caches[0].units, book_date=min(known) if len(known) == len(dates) and known else None,
        rig_dates=tuple(flat(cache.book_dates for cache in caches)),
        catalogue=Catalogue.model_construct(families=families, parts=parts), settings=_settings(caches), **each,
        sources=tuple(dict.fromkeys(flat(cache.sources for cache in caches))),
    )  # fmt: skip


def _file(cache: Cache) -> str:
    return cache.sources[0].path if cache.sources else cache.id


def check_apart(caches: Sequence[Cache]) -> None:
    """One rig has one book, one serial is one piece: InputError where two books have either, or there is no book."""
    if not caches:
        raise refused("pool", "no cache is given", "name at least one")
    seen, mistakes = dict[tuple[str, str], int](), list[Mistake]()
    for n, cache in enumerate(caches):
        own = [("rig", rig, "") for rig in cache.rigs]
        own += (("serial", i.serial, f" of {i.part.rpartition('/')[2]!r}") for line in cache.stock for i in line.items)
        for what, name, of in own:
            if (first := seen.setdefault((what, folded(name)), n)) != n:
                says = f"{what} {name!r}{of} is in {_file(caches[first])} too"
                mistakes.append(Mistake(_file(cache), says, ONCE[what]))
                if what == "rig":  # of which the other book has every serial, too
                    break
    if mistakes:
        raise InputError(mistakes)


def told_apart(caches: Sequence[Cache]) -> list[Cache]:
    """The caches, with the rig's own name behind a title that several rigs have: answers and lists go by titles."""
    rigs = grouped((folded(cache.title), cache.id) for cache in caches)
    shared = {title for title, ids in rigs.items() if len({*ids}) > 1}
    return [one.changed(title=f"{one.title} ({one.id})") if folded(one.title) in shared else one for one in caches]


def _merged(caches: Sequence[Cache], of: Callable[[Cache], tuple[_Kept, ...]], noun: str) -> tuple[_Kept, ...]:
    """The records of all caches, one of each id; records of one id that differ are refused in words."""
    kept: dict[str, tuple[_Kept, Cache]] = {}
    mistakes = []
    for cache in caches:
        for record in of(cache):
            assert isinstance(record, Family | PartBase)
            first, owner = kept.setdefault(record.id, (record, cache))
            if first != record:
                fields = [one for one in type(first).model_fields if getattr(first, one) != getattr(record, one, None)]
                differing = ", ".join(fields) if type(first) is type(record) else "kind"
                what = f"{noun} {record.id!r} differs from the one in {_file(owner)} in {differing}"
                mistakes.append(Mistake(_file(cache), what, "let both caches name one family file"))
    if mistakes:
        raise InputError(mistakes)
    return tuple(record for record, _ in kept.values())


def _settings(caches: Sequence[Cache]) -> tuple[Setting, ...]:
    """All settings; a family's must be the same in each cache that names it, and are kept once."""
    kept: list[Setting] = []
    of_family: dict[str, tuple[list[Setting], Cache]] = {}
    for cache in caches:
        kept.extend(setting for setting in cache.settings if setting.family is None)
        for family in cache.catalogue.families:
            own = [setting for setting in cache.settings if setting.family == family.id]
            first, owner = of_family.setdefault(family.id, (own, cache))
            if first is own:
                kept.extend(own)
            elif first != own:
                rules = ", ".join(sorted({s.rule for s in first + own if (s in first) != (s in own)}))
                what = f"family {family.id!r} sets {rules} otherwise than in {_file(owner)}"
                raise refused(_file(cache), what, "let both caches name one family file")
    return tuple(kept)


class CountyFile(Record):
    """A county file as written; every name is that of a file, from the folder of the county file."""

    county: Name
    rigs: tuple[Name, ...] = Field(min_length=1)
    needs: Text = ""
    prices: tuple[Name, ...] = ()
    policies: tuple[Name, ...] = ()
    record: Text = ""


@dataclass(frozen=True)
class CountyPaths:
    """A county file with its paths; ``needs`` and ``record`` None where none is named."""

    path: Path
    title: str
    rigs: tuple[Path, ...]
    needs: Path | None
    prices: tuple[Path, ...]
    policies: tuple[Path, ...]
    record: Path | None


def read_county(path: Path) -> CountyPaths:
    """Read a county file; its mistakes, and names of what is not there, are one InputError (a record may be begun)."""
    reading = open_file(path, "county")
    for key in ("rigs", "prices", "policies", "needs"):
        _there(reading, key, path.parent)
    file = reading.sound(reading.record(CountyFile, dict(reading.data)))
    each = (file.rigs, file.prices, file.policies)
    rigs, prices, policies = (tuple(path.parent / name for name in names) for names in each)
    needs, record = (path.parent / name if name else None for name in (file.needs, file.record))
    return CountyPaths(path, file.county, rigs, needs, prices, policies, record)


def _there(reading: Reading, key: str, folder: Path) -> None:
    """Note each file of an entry that is not there; one name may stand without a list."""
    written: Any = reading.data.get(key)
    if isinstance(written, str) and key != "needs":
        written = reading.data[key] = [written]
    for number, name in enumerate(written if isinstance(written, list) else [written]):
        if isinstance(name, str) and name and not (folder / name).exists():
            route = (key, number) if isinstance(written, list) else (key,)
            reading.fault(route, f"{name!r} is not there", f"name a file in {folder} or below")


def find_county(start: Path) -> Path | None:
    """The county file of a folder, or of the nearest above it."""
    return next((one / NAME for one in (start, *start.parents) if (one / NAME).is_file()), None)
