"""Rows: what there is so much of in a stock, and what a strut takes of it, alone or with its base held.

A *row* is pieces of a part, bases with enough usable points, or straps or chains alike in kind and hardware.  A set of
numbers, of rows or columns, is a bit mask: a whole number whose set bits are the members.
"""

from collections import Counter, defaultdict
from collections.abc import Container, Iterable
from itertools import combinations_with_replacement, compress, count

from cache_check.frozen import dataclass
from cache_check.joining.assemblies import Joinery
from cache_check.joining.seats import families_of
from cache_check.joining.stock import counted, least, stricter
from cache_check.loads.rating import rating_of
from cache_check.model.assembly import Assembly
from cache_check.model.part import TIES, Fitting, Hardware, Part, Tie
from cache_check.model.rule import RuleBook
from cache_check.planning.solving.solver import Uses

RESTRAINING = frozenset({"attachment_points", "straps_per_base", "unmixed_ties", "anchor_hardware"})
"""Kinds of rule that say here which bases count as restrained."""
_DIGITS = bytes.maketrans(b"01", bytes((0, 1)))
_MOST_TIES = 30
"""No base is held by more straps or chains than this, whatever a rule asks: to list how they mix has no end."""


@dataclass(frozen=True)
class Hold:
    """One way of restraining a base: how many straps or chains of each group, and the hardware they need."""

    ties: tuple[tuple[int, int], ...]
    hardware: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class TieGroup:
    """Straps or chains alike in kind, in the hardware they need and in what is known: any of them may be taken."""

    kind: str
    needs: tuple[tuple[str, int], ...]
    rated: bool  # what they hold is known, by mark or by size
    bare: bool  # nobody says what hardware they take
    family: str  # theirs where some family has a word of its own on how a base is held, else ""
    parts: tuple[str, ...]


def tie_groups(joined: Joinery, bare: Container[str], book: RuleBook) -> tuple[TieGroup, ...]:
    """The straps and chains of a catalogue in groups, in the order of the catalogue; ``bare`` names those that are."""
    ruled = {rule.id for kind in RESTRAINING for rule in book.of_kind(kind)}
    apart = any(said.rule in ruled and said.family for said in book.settings)  # else no family asks otherwise
    found: dict[tuple[str, tuple[tuple[str, int], ...], bool, bool, str], list[str]] = {}
    for part in joined.catalogue.parts:
        if isinstance(part, Tie):
            needs = tuple(sorted((name, n) for name, n in part.hardware.items() if n))
            family = part.family if apart else ""
            rated = rating_of(part).rated is not None
            found.setdefault((part.kind, needs, rated, part.id in bare, family), []).append(part.id)
    return tuple(TieGroup(*alike, tuple(parts)) for alike, parts in found.items())


def holds(groups: tuple[TieGroup, ...], number: int, mixed: bool) -> tuple[Hold, ...]:
    """Every way of putting a number of ties on one base, of one kind unless ``mixed``; none for more than any takes."""
    ways: list[Hold] = []
    if number > _MOST_TIES:
        return ()
    for chosen in combinations_with_replacement(range(len(groups)), number):
        if not mixed and len({groups[i].kind for i in chosen}) > 1:
            continue
        hardware = Counter[str]()
        for i in chosen:
            hardware.update(dict(groups[i].needs))
        ways.append(Hold(tuple((i, chosen.count(i)) for i in sorted(set(chosen))), tuple(sorted(hardware.items()))))
    return tuple(ways)


class Rows:
    """The rows of a stock, and what a restrained base takes of them; no assembly is listed."""

    def __init__(self, joined: Joinery, book: RuleBook, pointed: Iterable[str], bare: Container[str] = ()) -> None:
        self.joined, self.book, self.bare = joined, book, bare
        self.unmixed = False  # whether ties could be mixed on a base in more ways than are gone through
        self._hardware_asked = bool(book.in_force("anchor_hardware"))
        self.groups = self._groups()
        self._row_of_ties = {part: _ties_row(i) for i, group in enumerate(self.groups) for part in group.parts}
        self.pointed = tuple(pointed)
        self._stricter = {part: stricter(book, joined.catalogue.by_id[part]) for part in self.pointed}
        self.points = {name: part for part in self.pointed for name in self._counted(part, self._stricter[part])}
        """The names by which bases are counted by their points, each with its base."""
        self.rows: tuple[str, ...] = (
            *(part.id for part in joined.catalogue.parts if part.kind not in TIES),
            *map(points_row, self.points),
            *(_ties_row(i) for i in range(len(self.groups))),
        )
        self.row = {name: i for i, name in enumerate(self.rows)}

    def _groups(self) -> tuple[TieGroup, ...]:
        return tie_groups(self.joined, self.bare, self.book)

    def uses_of(self, assembly: Assembly, hold: Hold | None) -> Uses:
        """What a strut takes: an assembly alone, or with its base held."""
        taken = [*((part, 1) for part in assembly.parts), *assembly.pins]
        return self.uses(taken if hold is None else taken + self.held(assembly.ground, hold, self.families(assembly)))

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
        return not any(unmarked(by_id[part]) for part in (base, *(name for name, _ in self._hardware(hold))))

    def held(self, base: str, hold: Hold, families: frozenset[str]) -> list[tuple[str, int]]:
        """What holding the base of a strut takes: a base with the points its families want, ties, their hardware."""
        most = least(self.book, self._with_ties(families, hold)) if self._stricter[base] else 0
        points = self._counted(base, [number for number in self._stricter[base] if number <= most])
        ties = [(_ties_row(i), n) for i, n in hold.ties]
        return [*((points_row(name), 1) for name in points), *ties, *self._hardware(hold)]

    def _counted(self, base: str, minima: Iterable[int]) -> list[str]:
        return [base, *(counted(base, minimum) for minimum in minima)]

    def _hardware(self, hold: Hold) -> tuple[tuple[str, int], ...]:
        return hold.hardware if self._hardware_asked else ()

    def uses(self, taken: Iterable[tuple[str, int]]) -> Uses:
        """So many of what has a row by name, added up."""
        total: defaultdict[int, int] = defaultdict(int)
        for name, number in taken:
            total[self.row[name]] += number
        return tuple(sorted(total.items()))

    def stock(self, counts: dict[str, int], pointed: dict[str, int]) -> tuple[int, ...]:
        """How much there is of each row."""
        have = counts | {points_row(name): number for name, number in pointed.items()}
        for i, group in enumerate(self.groups):
            have[_ties_row(i)] = sum(counts.get(part, 0) for part in group.parts)
        return tuple(have.get(name, 0) for name in self.rows)

    def mixed(self, stock: tuple[int, ...]) -> dict[int, int]:
        """Of rows of what holds bases so many more that all do alone what mixes not gone through could do."""
        ties = [self.row[_ties_row(i)] for i in range(len(self.groups) * self.unmixed)]
        most = sum(stock[row] for row in ties)
        more = {self.row[name]: most * n for group in self.groups for name, n in group.needs if self.unmixed}
        return {row: n for row, n in (more | {row: most - stock[row] for row in ties}).items() if stock[row]}

    def changed(self, part: str) -> tuple[int, ...]:
        """The rows that one piece more or less of a part changes; a base is one with enough points."""
        if part in self._row_of_ties:
            return (self.row[self._row_of_ties[part]],)
        if part not in self.pointed:
            return (self.row[part],)
        made = len(getattr(self.joined.catalogue.by_id[part], "points", ()))
        names = self._counted(part, [number for number in self._stricter[part] if number <= made])
        return (self.row[part], *(self.row[points_row(name)] for name in names))


def unmarked(part: Part) -> bool:
    """Whether a base or a piece of hardware holds nobody knows how much: a point, or the piece, has no limit."""
    if isinstance(part, Fitting):
        return any(point.wll is None for point in part.points)
    return isinstance(part, Hardware) and part.wll is None


def points_row(part: str) -> str:
    """The row of bases of a part with enough usable points."""
    return f"points: {part}"


def _ties_row(group: int) -> str:
    return f"ties: {group}"


def bits(mask: int) -> list[int]:
    """The numbers of the bits that are set, rising."""
    return list(compress(count(), bin(mask)[:1:-1].encode().translate(_DIGITS)))


def mask_of(numbers: Iterable[int], total: int) -> int:
    """The mask of some numbers below ``total``; quicker than adding them one by one where there are many."""
    octets = bytearray(total // 8 + 1)
    for number in numbers:
        octets[number >> 3] |= 1 << (number & 7)
    return int.from_bytes(octets, "little")


def places(mask: int, numbers: list[int]) -> int:
    """The mask of the places of those numbers that are in a mask; by its digits, since each shift copies all of it."""
    digits = bin(mask)[:1:-1].ljust(1 + max(numbers, default=0), "0")
    return int("0" + "".join([digits[number] for number in reversed(numbers)]), 2)
