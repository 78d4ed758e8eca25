"""What follows from part types and rules alone, kept from one muster to the next where nothing of that has changed.

One strap less, another design factor, another day: the assemblies, their columns and their ratings are the same, so
a question that changes no more than that starts from what the one before has worked out.  Nothing that was learnt of
a stock is kept, so that an answer never depends on what was asked before.
"""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import cache, cached_property
from math import inf
from weakref import WeakKeyDictionary, ref

from cache_check.joining.assemblies import Joinery
from cache_check.joining.explain import broken_rules
from cache_check.loads.capacity import Capacity
from cache_check.model.assembly import Assembly
from cache_check.model.family import Catalogue
from cache_check.model.rule import RuleBook
from cache_check.planning.packing.columns import Columns
from cache_check.planning.packing.packing import MANY, Packer
from cache_check.planning.solving.solver import Clock

_KEPT, _MOST = 3, 5_000
"""How many are kept, and of how many assemblies at most: a large one would hold memory that the next wants."""
_MOST_SCENES = 50  # so many packers of scenes of the same columns are kept, and only small ones: large ones hold memory
_Key = tuple[object, ...]
_Numbers = Callable[[frozenset[str]], tuple[int, ...]]
Weakest = tuple[Fraction | None, Fraction | float | None]
"""The least (N) that the links of an assembly are rated for, and the least of those of which it is known.

None where a link is unrated; what is unknown throughout may carry anything, for all that anybody knows.
"""


class _Only(Joinery):
    """A joinery of which only some assemblies are listed."""

    def __init__(self, catalogue: Catalogue, counts: dict[str, int], book: RuleBook, only: Sequence[Assembly]) -> None:
        super().__init__(catalogue, counts, book)
        self._only = only

    def count(self) -> int:
        """See ``Joinery``."""
        return len(self._only)

    def assemblies(self, *, again: bool = False) -> Iterator[Assembly]:
        """See ``Joinery``; each as it was given, in whichever way it is pinned."""
        return iter(self._only)


class Laid:
    """The assemblies of a catalogue, with what is worked out of them once.

    ``counts`` are pieces at hand and to be bought: of every part at least two.  ``only`` these assemblies, else all.
    """

    def __init__(
        self, catalogue: Catalogue, counts: dict[str, int], book: RuleBook, only: tuple[Assembly, ...] | None = None
    ) -> None:
        self.catalogue, self.book = catalogue, book
        self.joined = Joinery(catalogue, counts, book) if only is None else _Only(catalogue, counts, book, only)
        self._joineries: dict[_Key, Joinery] = {}
        self._columns: dict[_Key, Columns] = {}
        self._held: list[tuple[tuple[_Key, dict[frozenset[str], tuple[int, ...]]], Columns]] = []
        self._packers: dict[Columns, Packer] = {}
        self._serving = WeakKeyDictionary[Columns, dict[tuple[tuple[int, ...], ...], Packer]]()
        # Every rule that a stack, by its part ids, breaks.
        self.broken = cache(lambda parts: broken_rules([catalogue.by_id[part] for part in parts], self.joined.joints))
        self.weakest: dict[_Key, dict[Weakest, int]] = {}
        self.demands: dict[_Key, object] = {}

    def joinery(self, counts: dict[str, int]) -> Joinery:
        """The joinery of so many pieces; one and the same where numbers make no difference to what may be joined."""
        key = _told_apart(self.catalogue, counts, self.book)
        if (made := self._joineries.get(key)) is None:
            made = Joinery(self.catalogue, counts, self.book, self.joined.joints)
            if self.assemblies <= _MOST:
                self._joineries = {key: made, **dict(list(self._joineries.items())[: _KEPT - 1])}
        return made

    @cached_property
    def assemblies(self) -> int:
        """How many assemblies there are."""
        return self.joined.count()

    @cached_property
    def of_use(self) -> frozenset[str]:
        """The linear parts that some assembly takes."""
        return self.joined.of_use()

    @cached_property
    def capacity(self) -> Capacity:
        """What they are rated for."""
        return Capacity(self.catalogue, self.book)

    def columns(self, pointable: tuple[str, ...], bare: frozenset[str]) -> Columns:
        """Their columns, where these fittings can have points enough and these chains are bare."""
        if (pointable, bare) not in self._columns:
            self._columns[pointable, bare] = Columns(self.joined, self.book, pointable, bare)
        return self._columns[pointable, bare]

    def held(self, key: _Key, numbers: _Numbers, make: Callable[[_Numbers], Columns]) -> Columns:
        """Their columns with bases held by so many ties for a strut's families, made once for a key and the numbers."""
        for (kept, asked), made in self._held:
            if kept == key and all(numbers(families) == number for families, number in asked.items()):
                return made
        asked = {}
        made = make(lambda families: asked.setdefault(families, numbers(families)))
        self._held.insert(0, ((key, asked), made))
        for _, old in self._held[_KEPT:]:
            self._packers.pop(old, None)
        del self._held[_KEPT:]
        return made

    def packer(self, columns: Columns, clock: Clock | None) -> Packer:
        """A packer over some columns that has learnt nothing yet of any stock."""
        made = self._packers.get(columns) or Packer(columns.all, len(columns.rows), lean=columns.lean)
        if columns in self._columns.values() or any(columns is one for _, one in self._held):
            self._packers[columns] = made
        return made.anew(clock)

    def serving(self, columns: Columns, ways: Sequence[Sequence[int]], clock: Clock | None) -> Packer:
        """The packer of a scene, over the columns that serve each need, that has learnt nothing yet of any stock."""
        kept, key = self._serving.setdefault(columns, {}), tuple(map(tuple, ways))
        if (made := kept.get(key)) is None:
            # After the stock's rows each need has its own, with as many as are wanted: none is served twice over.
            rows, chosen = len(columns.rows), [columns.all[i] for own in ways for i in own]
            needs = [(rows + n, 1) for n, own in enumerate(ways) for _ in own]
            uses = [(*one.uses, need) for one, need in zip(chosen, needs, strict=True)]
            made = Packer(chosen, rows + len(ways), uses=uses)
            if len(kept) >= _MOST_SCENES:
                kept.clear()
            if len(chosen) < MANY:
                kept[key] = made
        return made.anew(clock)


_LATELY: list[tuple[_Key, Laid]] = []
_LARGE: list[tuple[_Key, "ref[Laid]"]] = []
"""Those of more assemblies, for as long as a muster of theirs is asked: a purchase makes three."""


def _told_apart(catalogue: Catalogue, counts: dict[str, int], book: RuleBook) -> tuple[float, ...]:
    """The counts of parts, none higher than makes a difference to what may be joined."""
    # Of bodies, bases and heads two do; of pieces and loose pins as many as rules let into one strut of any families.
    each = ((), *((one.id,) for one in catalogue.families))
    asked = ([book.ruled(kind, "max", of) for of in each] for kind in ("extension_count", "adapter_count"))
    extensions, adapters = (inf if None in most else max(most) for most in asked)
    in_a_joint = max(book.ruled("pin_per_joint", "per_joint", of, 0) for of in each)
    pins = in_a_joint and in_a_joint * (extensions + adapters + 2)
    most = {"body": 2, "fitting": 2, "extension": extensions, "adapter": adapters, "pin": pins}
    return tuple(min(counts[part.id], most[part.kind]) for part in catalogue.parts if part.kind in most)


def laid(catalogue: Catalogue, counts: dict[str, int], book: RuleBook) -> Laid:
    """What was laid out lately of the very same parts and rules, or is now."""
    # What a rig is called makes no difference. The design factor is asked of what is laid out, and is no part of it.
    asks = {rule.id for rule in book.of_kind("load_check")}
    rig = {name: at for at, name in enumerate(book.rigs)}
    said = tuple(
        (one.rule, one.on, one.severity, one.values, one.family, one.rig and rig.get(one.rig, one.rig))
        for one in book.settings
        if one.rule not in asks
    )
    key = (catalogue, _told_apart(catalogue, counts, book), book.rules, said, len(rig), book.families)
    for kept, found in (*_LATELY, *((kept, there) for kept, large in _LARGE if (there := large()))):
        if kept == key:
            return found
    made = Laid(catalogue, counts, book)
    few = made.assemblies <= _MOST
    if few:
        _LATELY.insert(0, (key, made))
    else:
        _LARGE.insert(0, (key, ref(made)))
    del (_LATELY if few else _LARGE)[_KEPT:]
    return made
