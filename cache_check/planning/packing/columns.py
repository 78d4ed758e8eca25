"""Columns: every way of putting up one strut, with what it takes from the stock.

A *column* is one strut: an assembly alone (assembled), or an assembly with a way of restraining its base (restrained).
Sets of columns are whole numbers used as bit masks, so that "all columns that cover 78 in" is one number and asking
whether two sets meet is one operation.
"""

from bisect import bisect_right
from collections.abc import Callable, Container, Iterable
from functools import cache, cached_property, lru_cache
from itertools import accumulate
from math import inf
from operator import attrgetter, or_
from typing import TYPE_CHECKING

from cache_check.errors import NoPlanError
from cache_check.frozen import dataclass
from cache_check.joining.assemblies import Joinery
from cache_check.model.assembly import Assembly, Span
from cache_check.model.rule import RuleBook
from cache_check.planning.packing.rows import Hold, Rows, mask_of
from cache_check.planning.solving.solver import Uses

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MOST_ASSEMBLIES = 40_000
"""Masks grow with the square of this: so many take about a tenth of a gigabyte."""


@dataclass(frozen=True, slots=True)
class Column:
    """One strut: which assembly, how its base is held (None: it is not), and what it takes."""

    assembly: int
    hold: Hold | None
    uses: Uses
    pieces: int


class Columns(Rows):
    """All columns of a stock, their rows, and the masks that pick them (NoPlanError: over ``MOST_ASSEMBLIES``)."""

    def __init__(self, joined: Joinery, book: RuleBook, pointed: Iterable[str], bare: Container[str] = ()) -> None:
        if (number := joined.count()) > MOST_ASSEMBLIES:
            more = f"{number:,} assemblies are more than the {MOST_ASSEMBLIES:,} that are packed as one"
            then = "nothing is known of how many stand at once. Ask of fewer rigs or fewer part types together"
            raise NoPlanError(f"limit reached: {more}; {then}")
        super().__init__(joined, book, pointed, bare)
        self.assemblies = tuple(sorted(joined.assemblies(again=True), key=attrgetter("order")))
        ways, families = cache(self.ways), [self.families(one) for one in self.assemblies]
        alone = [self.uses_of(one, None) for one in self.assemblies]
        ties = cache(lambda *base_hold_families: self.uses(self.held(*base_hold_families)))
        # Ties, their hardware and points are no parts of an assembly, so no row is in both.
        self.all: tuple[Column, ...] = (
            *(Column(i, None, alone[i], len(one.parts)) for i, one in enumerate(self.assemblies)),
            *(
                Column(i, hold, tuple(sorted(alone[i] + ties(one.ground, hold, families[i]))), len(one.parts))
                for i, one in enumerate(self.assemblies)
                if one.ground in self.pointed
                for hold in ways(families[i])
            ),
        )

    def _those(self, keep: Callable[[Column], bool]) -> int:
        return mask_of((i for i, column in enumerate(self.all) if keep(column)), len(self.all))

    def within(self, stock: tuple[int, ...]) -> int:
        """The mask of the columns that a stock can build at least once."""
        return self._those(lambda one: all(stock[row] >= number for row, number in one.uses))

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
        return self._those(lambda one: one.hold is not None and self.equipped(one.hold))

    @cached_property
    def rating_known(self) -> int:
        """The mask of the columns that have no strap or chain of which nobody knows what it holds."""
        return self._those(lambda one: one.hold is None or self.rated(one.hold))

    @cached_property
    def all_marked(self) -> int:
        """The mask of the columns that have no point and no hardware without a limit in their restraint."""
        grounds = [assembly.ground for assembly in self.assemblies]
        return self._those(lambda one: one.hold is None or self.marked(grounds[one.assembly], one.hold))

    @cached_property
    def _leaner(self) -> "NDArray[np.int64]":
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
        kept = [keep(assembly) for assembly in self.assemblies]
        return self._those(lambda one: kept[one.assembly])

    @cached_property
    def _whole(self) -> tuple[list[int], list[int], list[int], list[int]]:
        """Assemblies of one span: low ends rising and high ends falling, each with the masks so far together."""
        each = zip(self.assemblies, self.of_assembly, strict=True)
        spans = [(*one.spans[0], mask) for one, mask in each if len(one.spans) == 1]
        by_low = sorted((low, mask) for low, _, mask in spans)
        by_high = sorted((-high, mask) for _, high, mask in spans)
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

    @cached_property
    def covering(self) -> Callable[[int, int], int]:
        """The mask of the columns that cover every length from a shortest to a longest (nm)."""
        return lru_cache(maxsize=2_000)(self._covers)  # every step of a sweep asks the same lengths

    def _covers(self, shortest: int, longest: int) -> int:
        lows, begun, highs, lasting = self._whole
        mask = begun[bisect_right(lows, shortest)] & lasting[bisect_right(highs, -longest)]
        for spans, columns in self._holed:
            at = bisect_right(spans, (shortest, inf)) - 1
            if at >= 0 and spans[at][1] >= longest:
                mask |= columns
        return mask


def _within(one: Uses, other: Uses) -> bool:
    """Whether one takes no more of anything than another."""
    most = dict(other)
    return all(most.get(row, 0) >= number for row, number in one)
