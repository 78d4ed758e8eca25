"""Columns: every way of putting up one strut, with what it takes from the stock.

A *column* is one strut: an assembly alone (assembled), or an assembly with a way of restraining its base (restrained).
Sets of columns are whole numbers used as bit masks, so that "all columns that cover 78 in" is one number and asking
whether two sets meet is one operation.
"""

from bisect import bisect_right
from collections.abc import Callable, Container, Hashable, Iterable, Sequence
from functools import cache, cached_property, lru_cache, reduce
from itertools import accumulate, chain, combinations, pairwise
from math import inf
from operator import attrgetter, or_
from typing import TYPE_CHECKING

from cache_check.errors import NoPlanError, grouped
from cache_check.frozen import dataclass
from cache_check.joining.assemblies import Joinery
from cache_check.model.assembly import Assembly, Span
from cache_check.model.rule import RuleBook
from cache_check.planning.packing.rows import Hold, Rows
from cache_check.planning.solving.solver import Uses

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MOST_ASSEMBLIES = 40_000  # masks grow with the square of this: so many take about a tenth of a gigabyte
_MOST_KEPT = 500  # so many masks by what they were asked for


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
        self._where: dict[object, int] = {}
        self.assemblies = tuple(sorted(joined.assemblies(again=True), key=attrgetter("order")))
        ways = cache(self.ways)
        holding = cache(lambda *of: tuple((hold, self.uses(self.held(of[0], hold, of[1]))) for hold in ways(of[1])))
        self._takes = [self.uses_of(one, None) for one in self.assemblies]
        # How its base may be held, and what each way takes: one and the same tuple where base and families are.
        self._held: list[tuple[tuple[Hold, Uses], ...]] = [
            holding(one.ground, self.families(one)) if one.ground in self.pointed else () for one in self.assemblies
        ]
        # Ties, their hardware and points are no parts of an assembly, so no row is in both.
        self.all: tuple[Column, ...] = (
            *(Column(i, None, self._takes[i], len(one.parts)) for i, one in enumerate(self.assemblies)),
            *(
                Column(i, hold, tuple(sorted(self._takes[i] + ties)), len(one.parts))
                for i, one in enumerate(self.assemblies)
                for hold, ties in self._held[i]
            ),
        )

    @cached_property
    def _runs(self) -> tuple[range, ...]:
        """The tied columns of each assembly: they follow one another."""
        ends = accumulate(map(len, self._held), initial=len(self._held))
        return tuple(range(first, end) for first, end in pairwise(ends))

    @cached_property
    def _apart(self) -> dict[int, tuple[str, tuple[tuple[Hold, Uses], ...]]]:
        """The ways of holding a base, told apart by their identity, each with the base."""
        return {id(own): (one.ground, own) for one, own in zip(self.assemblies, self._held, strict=True)}

    def _those(self, keep: Sequence[bool], held: Callable[[str, Hold, Uses], bool], *, untied: bool = True) -> int:
        """The mask of the columns of the assemblies to keep whose base is ``held``, those ``untied`` beside them."""
        # Written as digits: thousands of assemblies share few ways of being held.
        tied = {at: "".join(["01"[held(base, *way)] for way in own]) for at, (base, own) in self._apart.items()}
        digits = ["01"[kept and untied] for kept in keep]
        digits += [tied[id(own)] if kept else "0" * len(own) for kept, own in zip(keep, self._held, strict=True)]
        return int("0" + "".join(digits)[::-1], 2)

    def within(self, stock: tuple[int, ...]) -> int:
        """The mask of the columns that a stock can build at least once."""

        def there(uses: Uses) -> bool:
            return all(stock[row] >= number for row, number in uses)

        return self._those([there(uses) for uses in self._takes], lambda base, hold, ties: there(ties))

    def tied_as(self, held: Callable[[str, Hold], bool], key: object = None) -> int:
        """The mask of the columns with a base that is held in a way to keep; ``key`` as in ``where``."""
        every = [True] * len(self.assemblies)
        return self._once(key, lambda: self._those(every, lambda base, hold, ties: held(base, hold), untied=False))

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
        return self.tied_as(lambda base, hold: self.equipped(hold))

    @cached_property
    def all_rated(self) -> int:
        """The mask of the columns that have no strap, chain, hardware or point without a limit in their restraint."""
        return self.assembled | self.tied_as(lambda base, hold: self.rated(hold) and self.marked(base, hold))

    @cached_property
    def _leaner(self) -> "NDArray[np.int64]":
        """The numbers of columns, over those of columns that are leaner: one piece less, and no more of anything."""
        import numpy as np

        def key(assembly: Assembly, without: int | None = None) -> Hashable:
            pieces = sorted((*assembly.below, *assembly.above))
            if without is not None:
                del pieces[without]
            return (assembly.ground, assembly.body, assembly.load, tuple(pieces))

        alike = grouped((key(assembly), i) for i, assembly in enumerate(self.assemblies))
        fatter, leaner = list[int](), list[int]()
        for i, assembly in enumerate(self.assemblies):
            pieces = range(len(assembly.parts) - 3)
            for other in {other for without in pieces for other in alike.get(key(assembly, without), ())}:
                # One piece less can mean a pin more, where the piece stood between two ends that take one.
                if _within(self._takes[other], self._takes[i]):
                    same = self._held[i] is self._held[other]  # else a family less may ask for other ties
                    fatter += (i, *(self._runs[i] if same else ()))
                    leaner += (other, *(self._runs[other] if same else ()))
        return np.asarray((fatter, leaner), dtype=np.int64)

    @cached_property
    def _tied_more(self) -> dict[int, int]:
        """The columns whose base is held by all that holds that of another so many columns before, and by more."""
        behind: dict[int, dict[int, set[int]]] = {}
        for at, (_, own) in self._apart.items():
            for (i, (_, few)), (j, (_, more)) in combinations(enumerate(own), 2):
                if _within(few, more):
                    behind.setdefault(j - i, {}).setdefault(at, set()).add(j)
        found = {}
        for far, those in behind.items():
            digits = {at: "".join("01"[j in js] for j in range(len(self._apart[at][1]))) for at, js in those.items()}
            tied = [digits.get(id(own), "0" * len(own)) for own in self._held]
            found[far] = int("0" + "".join(tied)[::-1], 2) << len(self.assemblies)
        return found

    def lean(self, mask: int) -> int:
        """The mask without the columns of which a leaner one is in it: they take more and do no more."""
        from cache_check.planning.packing.many import fat

        more = [mask & those & mask << far for far, those in self._tied_more.items()]
        mask &= ~reduce(or_, more, 0)
        return mask & ~fat(mask, len(self.all), self._leaner)

    @cached_property
    def most_of_one(self) -> int:
        """The most that any column takes of one row."""
        return max((number for _, number in self._uses), default=1)

    @cached_property
    def rows_used(self) -> frozenset[int]:
        """The rows of which some column takes any."""
        return frozenset(row for row, _ in self._uses)

    @cached_property
    def _uses(self) -> frozenset[tuple[int, int]]:
        """So much of a row as some column takes, alone or for its base."""
        ties = (uses for _, own in self._apart.values() for _, uses in own)
        return frozenset(chain.from_iterable(chain(self._takes, ties)))

    def taking(self, mask: int) -> int:
        """The mask of all columns of the assemblies whose columns without restraint are in a mask."""
        keep = [digit == "1" for digit in bin(mask)[:1:-1].ljust(len(self.assemblies), "0")]
        return self._once(("taking", mask), lambda: self._those(keep, lambda base, hold, ties: True))

    @cached_property
    def of_assembly(self) -> tuple[int, ...]:
        """For each assembly, the mask of all its columns."""
        return tuple(1 << i | ((1 << len(run)) - 1) << run.start for i, run in enumerate(self._runs))

    @cached_property
    def of_body(self) -> dict[str, int]:
        """For each body, the mask of all columns that it stands in."""
        masks: dict[str, int] = {}
        for assembly, columns in zip(self.assemblies, self.of_assembly, strict=True):
            masks[assembly.body] = masks.get(assembly.body, 0) | columns
        return masks

    def where(self, keep: Callable[[Assembly], bool], key: object = None) -> int:
        """The mask of the columns whose assembly is one to keep; worked out once of a key that says which they are."""
        return self._once(key, lambda: self._those(list(map(keep, self.assemblies)), lambda base, hold, ties: True))

    def _once(self, key: object, work: Callable[[], int]) -> int:
        if key is None or (found := self._where.get(key)) is None:
            if len(self._where) >= _MOST_KEPT:  # rigs that differ in what they ask come one after another
                self._where.clear()
            found = self._where[key] = work()
        return found

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
    most = dict(other)
    return all(most.get(row, 0) >= number for row, number in one)
