"""Columns: every way of putting up one strut, with what it takes from the stock.

A *row* is something of which there is so much: pieces of a part, bases with enough usable points, straps or
chains alike in kind and hardware.  A *column* is one strut: an assembly alone (assembled), or an assembly with
a way of restraining its base (restrained).  Sets of columns are whole numbers used as bit masks, so that
"all columns that cover 78 in" is one number and asking whether two sets meet is one operation.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Container, Iterable
from functools import cache, cached_property, lru_cache
from itertools import accumulate, combinations_with_replacement
from math import inf
from operator import or_
from typing import TYPE_CHECKING

from cache_check.errors import NoPlanError
from cache_check.files.shipped import default_wll
from cache_check.frozen import dataclass
from cache_check.joining.assemblies import Joinery
from cache_check.joining.seats import families_of
from cache_check.joining.stock import counted, least, stricter
from cache_check.model.assembly import Assembly, Span
from cache_check.model.part import TIES, Fitting, Hardware, Part, Tie
from cache_check.model.rule import RuleBook
from cache_check.model.tables import rating_of
from cache_check.planning.packing.masks import mask_of
from cache_check.planning.solving.solver import Uses

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

RESTRAINING = frozenset({"attachment_points", "straps_per_base", "unmixed_ties", "anchor_hardware"})
"""Kinds of rule that say here which bases count as restrained."""
MOST_ASSEMBLIES = 40_000
"""Masks grow with the square of this: so many take about a tenth of a gigabyte."""


@dataclass(frozen=True)
class Hold:
    """One way of restraining a base: how many straps or chains of each group, and the hardware they need."""

    ties: tuple[tuple[int, int], ...]
    hardware: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class TieGroup:
    """Straps or chains alike in kind, in the hardware they need and in what is known, so that any of them may be taken.

    ``rated`` where what they hold is known, by mark or by size; ``bare`` where nobody says what hardware they take.
    ``family`` is theirs where some family has a word of its own on how a base is held, else "".
    """

    kind: str
    needs: tuple[tuple[str, int], ...]
    rated: bool
    bare: bool
    family: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """One strut: which assembly, how its base is held (None: it is not), and what it takes."""

    assembly: int
    hold: Hold | None
    uses: Uses
    pieces: int


def tie_groups(joined: Joinery, bare: Container[str], book: RuleBook) -> tuple[TieGroup, ...]:
    """The straps and chains of a catalogue in groups, in the order of the catalogue; ``bare`` names those that are."""
    ruled = {rule.id for kind in RESTRAINING for rule in book.of_kind(kind)}
    apart = any(said.rule in ruled and said.family for said in book.settings)  # else no family asks otherwise
    found: dict[tuple[str, tuple[tuple[str, int], ...], bool, bool, str], list[str]] = {}
    for part in joined.catalogue.parts:
        if isinstance(part, Tie):
            needs = tuple(sorted((name, n) for name, n in part.hardware.items() if n))
            family = part.family if apart else ""
            found.setdefault((part.kind, needs, _rated(part), part.id in bare, family), []).append(part.id)
    return tuple(TieGroup(*alike, tuple(parts)) for alike, parts in found.items())


def _rated(tie: Tie) -> bool:
    """Whether what a strap or chain holds is known; the published table is read only where a mark is missing."""
    return tie.wll is not None or (tie.size is not None and rating_of(tie, default_wll()).rated is not None)


def holds(groups: tuple[TieGroup, ...], number: int, mixed: bool) -> tuple[Hold, ...]:
    """Every way of putting a number of ties on one base, of one kind unless ``mixed``."""
    ways = []
    for chosen in combinations_with_replacement(range(len(groups)), number):
        if not mixed and len({groups[i].kind for i in chosen}) > 1:
            continue
        hardware: dict[str, int] = {}
        for i in chosen:
            for name, n in groups[i].needs:
                hardware[name] = hardware.get(name, 0) + n
        ways.append(Hold(tuple((i, chosen.count(i)) for i in sorted(set(chosen))), tuple(sorted(hardware.items()))))
    return tuple(ways)


class Rows:
    """The rows of a stock, and what a restrained base takes of them; no assembly is listed."""

    def __init__(
        self, joined: Joinery, book: RuleBook, pointed: Iterable[str], bare: Container[str] = frozenset()
    ) -> None:
        self.joined = joined
        self.book = book
        self.bare = bare
        self.groups = self._groups()
        self._group_of = {part: i for i, group in enumerate(self.groups) for part in group.parts}
        self.pointed = tuple(pointed)
        names = [part.id for part in joined.catalogue.parts if part.kind not in TIES]
        self._stricter = {part: stricter(book, joined.catalogue.by_id[part]) for part in self.pointed}
        names += [points_row(name) for part in self.pointed for name in self._counted(part, self._stricter[part])]
        names += [_ties_row(i) for i in range(len(self.groups))]
        self.rows: tuple[str, ...] = tuple(names)
        self.row = {name: i for i, name in enumerate(self.rows)}

    def _groups(self) -> tuple[TieGroup, ...]:
        return tie_groups(self.joined, self.bare, self.book)

    def uses_of(self, assembly: Assembly, hold: Hold | None) -> Uses:
        """What a strut takes: an assembly alone, or with its base held."""
        if hold is None:
            return self._uses(_linear(assembly))
        return self._uses(_linear(assembly) + self.held(assembly.ground, hold, self.families(assembly)))

    def families(self, assembly: Assembly) -> frozenset[str]:
        """The families whose rules hold the base of an assembly: all that are in it."""
        by_id = self.joined.catalogue.by_id
        return families_of(tuple(by_id[part] for part in assembly.parts))

    def ways(self, families: frozenset[str]) -> tuple[Hold, ...]:
        """Every way of holding the base of a strut of these families, as the strictest of them and its ties' wants."""
        numbers = {self._asked(families | {group.family}) for group in self.groups}
        ways = (hold for number in sorted(numbers - {0}) for hold in holds(self.groups, number, mixed=True))
        return tuple(hold for hold in ways if self.holds_as_asked(hold, families, exactly=True))

    def _asked(self, families: Iterable[str]) -> int:
        return int(self.book.ruled("straps_per_base", "min", tuple(sorted(filter(None, families))), 0))

    def holds_as_asked(self, hold: Hold, families: frozenset[str], *, exactly: bool = False) -> bool:
        """Whether a base is held by as many ties as the families of strut and ties ask, of one kind where they do."""
        number, asked = sum(each for _, each in hold.ties), self._with_ties(families, hold)
        least = self._asked(asked)
        if number < least or (exactly and number > least):
            return False
        mixed = len({self.groups[i].kind for i, _ in hold.ties}) > 1
        return not (mixed and self.book.in_force("unmixed_ties", tuple(sorted(asked))))

    def _with_ties(self, families: frozenset[str], hold: Hold) -> frozenset[str]:
        return families | {self.groups[i].family for i, _ in hold.ties if self.groups[i].family}

    def rated(self, hold: Hold) -> bool:
        """Whether what each strap or chain of a base holds is known."""
        return all(self.groups[i].rated for i, _ in hold.ties)

    def equipped(self, hold: Hold) -> bool:
        """Whether it is known what hardware each strap or chain of a base takes."""
        return not any(self.groups[i].bare for i, _ in hold.ties)

    def marked(self, base: str, hold: Hold) -> bool:
        """Whether the attachment points of a base and the hardware of its ties carry a limit."""
        by_id = self.joined.catalogue.by_id
        return all(not unmarked(by_id[part]) for part in (base, *(name for name, _ in self._hardware(hold))))

    def held(self, base: str, hold: Hold, families: frozenset[str]) -> list[tuple[str, int]]:
        """What holding the base of a strut takes: a base with the points its families want, ties, their hardware."""
        most = least(self.book, self._with_ties(families, hold)) if self._stricter[base] else 0
        points = self._counted(base, [number for number in self._stricter[base] if number <= most])
        return [
            *((points_row(name), 1) for name in points),
            *((_ties_row(i), n) for i, n in hold.ties),
            *self._hardware(hold),
        ]

    def _counted(self, base: str, minima: Iterable[int]) -> list[str]:
        return [base, *(counted(base, minimum) for minimum in minima)]

    @cached_property
    def _hardware_asked(self) -> bool:
        return bool(self.book.in_force("anchor_hardware"))

    def _hardware(self, hold: Hold) -> list[tuple[str, int]]:
        return list(hold.hardware) if self._hardware_asked else []

    def _uses(self, taken: list[tuple[str, int]]) -> Uses:
        total: dict[int, int] = {}
        for name, number in taken:
            row = self.row[name]
            total[row] = total.get(row, 0) + number
        return tuple(sorted(total.items()))

    def stock(self, counts: dict[str, int], pointed: dict[str, int]) -> tuple[int, ...]:
        """How much there is of each row."""
        have = [counts.get(name, 0) for name in self.rows]
        for part in self.pointed:
            for name in self._counted(part, self._stricter[part]):
                have[self.row[points_row(name)]] = pointed.get(name, 0)
        for i, group in enumerate(self.groups):
            have[self.row[_ties_row(i)]] = sum(counts.get(part, 0) for part in group.parts)
        return tuple(have)

    def changed(self, part: str) -> tuple[int, ...]:
        """The rows that one piece more or less of a part changes; a base is one with enough points."""
        if part in self._group_of:
            return (self.row[_ties_row(self._group_of[part])],)
        if part not in self.pointed:
            return (self.row[part],)
        made = len(getattr(self.joined.catalogue.by_id[part], "points", ()))
        names = self._counted(part, [number for number in self._stricter[part] if number <= made])
        return (self.row[part], *(self.row[points_row(name)] for name in names))


class Columns(Rows):
    """All columns of a stock, the rows they draw on, and the masks that pick among them.

    Raises:
        NoPlanError: more than ``MOST_ASSEMBLIES`` assemblies.
    """

    def __init__(
        self, joined: Joinery, book: RuleBook, pointed: Iterable[str], bare: Container[str] = frozenset()
    ) -> None:
        number = joined.count()
        if number > MOST_ASSEMBLIES:
            raise NoPlanError(
                f"limit reached: {number:,} assemblies are more than the {MOST_ASSEMBLIES:,} that are packed as one; "
                "nothing is known of how many stand at once. Ask of fewer rigs or fewer part types together"
            )
        super().__init__(joined, book, pointed, bare)
        self.assemblies: tuple[Assembly, ...] = tuple(
            sorted(joined.assemblies(again=True), key=lambda assembly: assembly.order)
        )
        self.all: tuple[Column, ...] = (*self._assembled(), *self._restrained())

    def _assembled(self) -> list[Column]:
        return [
            Column(i, None, self.uses_of(assembly, None), len(assembly.parts))
            for i, assembly in enumerate(self.assemblies)
        ]

    def _restrained(self) -> list[Column]:
        ways = cache(self.ways)
        return [
            Column(i, hold, self.uses_of(assembly, hold), len(assembly.parts))
            for i, assembly in enumerate(self.assemblies)
            if assembly.ground in self._stricter
            for hold in ways(self.families(assembly))
        ]

    def within(self, stock: tuple[int, ...]) -> int:
        """The mask of the columns that a stock can build at least once."""
        mask = 0
        for i, column in enumerate(self.all):
            if all(stock[row] >= number for row, number in column.uses):
                mask |= 1 << i
        return mask

    @cached_property
    def assembled(self) -> int:
        """The mask of the columns that stand without restraint."""
        return (1 << len(self.assemblies)) - 1

    @cached_property
    def tied(self) -> int:
        """The mask of the columns with straps or chains on their base, be their hardware known or not."""
        return ((1 << len(self.all)) - 1) ^ self.assembled

    @cached_property
    def restrained(self) -> int:
        """The mask of the columns with a restrained base: of each strap or chain it is known what hardware it takes."""
        if not any(group.bare for group in self.groups):
            return self.tied
        whole = (i for i, one in enumerate(self.all) if one.hold is not None and self.equipped(one.hold))
        return mask_of(whole, len(self.all))

    @cached_property
    def rating_known(self) -> int:
        """The mask of the columns that have no strap or chain of which nobody knows what it holds."""
        if all(group.rated for group in self.groups):
            return (1 << len(self.all)) - 1
        return mask_of((i for i, one in enumerate(self.all) if one.hold is None or self.rated(one.hold)), len(self.all))

    @cached_property
    def all_marked(self) -> int:
        """The mask of the columns that have no point and no hardware without a limit in their restraint."""
        grounds = [assembly.ground for assembly in self.assemblies]
        kept = (i for i, one in enumerate(self.all) if one.hold is None or self.marked(grounds[one.assembly], one.hold))
        return mask_of(kept, len(self.all))

    @cached_property
    def _leaner(self) -> NDArray[np.int64]:
        """The numbers of columns, over those of columns that are leaner: one piece less, and no more of anything."""
        import numpy as np

        def key(column: Column, without: int | None = None) -> object:
            assembly = self.assemblies[column.assembly]
            pieces = sorted((*assembly.below, *assembly.above))
            if without is not None:
                del pieces[without]
            return (assembly.ground, assembly.body, assembly.load, column.hold, tuple(pieces))

        alike: dict[object, list[int]] = {}
        for i, column in enumerate(self.all):
            alike.setdefault(key(column), []).append(i)
        found = []
        for i, column in enumerate(self.all):
            pieces = range(len(self.assemblies[column.assembly].parts) - 3)
            less = {other for without in pieces for other in alike.get(key(column, without), ())}
            # One piece less can mean a pin more, where the piece stood between two ends that take one.
            found += [(i, other) for other in sorted(less) if _within(self.all[other].uses, column.uses)]
        return np.asarray(found, dtype=np.int64).reshape(-1, 2).T.copy()

    def lean(self, mask: int) -> int:
        """The mask without the columns of which a leaner one is in it: they take more and do no more."""
        from cache_check.planning.packing.many import fat

        return mask & ~fat(mask, len(self.all), self._leaner)

    @cached_property
    def most_of_one(self) -> int:
        """The most that any column takes of one row."""
        return max((number for column in self.all for _, number in column.uses), default=1)

    @cached_property
    def of_assembly(self) -> tuple[int, ...]:
        """For each assembly, the mask of all its columns."""
        masks = [0] * len(self.assemblies)
        for i, column in enumerate(self.all):
            masks[column.assembly] |= 1 << i
        return tuple(masks)

    @cached_property
    def of_body(self) -> dict[str, int]:
        """For each body, the mask of all columns that it stands in."""
        masks: dict[str, int] = {}
        for assembly, columns in zip(self.assemblies, self.of_assembly, strict=True):
            masks[assembly.body] = masks.get(assembly.body, 0) | columns
        return masks

    def where(self, keep: Callable[[Assembly], bool]) -> int:
        """The mask of the columns whose assembly is one to keep."""
        mask = 0
        for assembly, columns in zip(self.assemblies, self.of_assembly, strict=True):
            if keep(assembly):
                mask |= columns
        return mask

    @cached_property
    def _whole(self) -> tuple[list[int], list[int], list[int], list[int]]:
        """Assemblies of one span: low ends rising and high ends falling, each with the masks so far together."""
        spans = [
            (*a.spans[0], mask) for a, mask in zip(self.assemblies, self.of_assembly, strict=True) if len(a.spans) == 1
        ]
        by_low = sorted((low, mask) for low, _, mask in spans)
        by_high = sorted(((-high, mask) for _, high, mask in spans))
        begun = [0, *accumulate((mask for _, mask in by_low), or_)]
        lasting = [0, *accumulate((mask for _, mask in by_high), or_)]
        return [low for low, _ in by_low], begun, [high for high, _ in by_high], lasting

    @cached_property
    def _holed(self) -> tuple[tuple[tuple[Span, ...], int], ...]:
        """Assemblies that lock at holes: each distinct row of settings with the mask of all that have it."""
        found: dict[tuple[Span, ...], int] = {}
        for assembly, mask in zip(self.assemblies, self.of_assembly, strict=True):
            if len(assembly.spans) != 1:
                found[assembly.spans] = found.get(assembly.spans, 0) | mask
        return tuple(found.items())

    def covering(self, shortest: int, longest: int) -> int:
        """The mask of the columns that cover every length from ``shortest`` to ``longest`` (nm)."""
        return self._covering(shortest, longest)

    @cached_property
    def _covering(self) -> Callable[[int, int], int]:
        return lru_cache(maxsize=2_000)(self._covers)  # every step of a sweep asks the same lengths

    def _covers(self, shortest: int, longest: int) -> int:
        lows, begun, highs, lasting = self._whole
        mask = begun[bisect_right(lows, shortest)] & lasting[bisect_right(highs, -longest)]
        for spans, columns in self._holed:
            at = bisect_right(spans, (shortest, inf)) - 1
            if at >= 0 and spans[at][1] >= longest:
                mask |= columns
        return mask


def unmarked(part: Part) -> bool:
    """Whether a base or a piece of hardware holds nobody knows how much: a point, or the piece, has no limit."""
    if isinstance(part, Fitting):
        return any(point.wll is None for point in part.points)
    return isinstance(part, Hardware) and part.wll is None


def _linear(assembly: Assembly) -> list[tuple[str, int]]:
    return [(part, 1) for part in assembly.parts] + list(assembly.pins)


def _within(one: Uses, other: Uses) -> bool:
    """Whether one takes no more of anything than another."""
    most = dict(other)
    return all(most.get(row, 0) >= number for row, number in one)


def points_row(part: str) -> str:
    """The row of bases of a part with enough usable points."""
    return f"points: {part}"


def _ties_row(group: int) -> str:
    return f"ties: {group}"
