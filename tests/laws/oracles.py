"""A deliberately dumb second opinion: every answer by trying everything, from the definitions alone.

It shares no code with the product but the records of ``cache_check.model``.  Nothing here is fast, and
nothing should be made so where it would cost a reader's certainty that it is right.

``Counts`` are usable pieces by part id.  ``damaged`` are those among them, by fitting, with no usable attachment
point left.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import combinations_with_replacement, pairwise, permutations, product
from typing import Any

from cache_check.model.family import CAPTIVE, Catalogue, Chart
from cache_check.model.part import Adapter, Body, End, Extension, Fitting, Part, Strength
from cache_check.model.rule import RuleBook
from cache_check.units import NEWTON_PER_LBF

Counts = Mapping[str, int]
Span = tuple[int, int]
Identity = tuple[str, str, str, tuple[str, ...]]
Length = int | Fraction
Take = frozenset[tuple[str, int]]
"""What one strut takes from stock: (resource, pieces)."""


@dataclass(frozen=True)
class Sitting:
    """A part as it sits in a stack: the end that looks down and the one that looks up."""

    part: Body | Extension | Adapter | Fitting
    down: End | None
    up: End | None


@dataclass(frozen=True)
class Found:
    """One legal assembly.  ``orders`` are legal stacks of part ids, ``pins`` what they take, whichever way up."""

    identity: Identity
    spans: tuple[Span, ...]
    orders: frozenset[tuple[str, ...]]
    pins: frozenset[Take]
    extensions: int

    @property
    def parts(self) -> Counter[str]:
        """Linear parts with how many of each."""
        ground, load, body, middle = self.identity
        return Counter((ground, load, body, *middle))


def covers(spans: Iterable[Span], low: Length, high: Length) -> bool:
    """Whether one of the spans holds all of low to high."""
    return any(a <= low and high <= b for a, b in spans)


# Legality


def in_stop(book: RuleBook, rule: str, families: tuple[str, ...]) -> bool:
    """Whether breaking this rule makes a stack of these families illegal."""
    return book.is_on(rule, families) and book.severity(rule) == "stop"


def families_of(parts: Iterable[Part]) -> tuple[str, ...]:
    """The families that the rules are read for: those of every part that is no adapter."""
    return tuple(sorted({part.family for part in parts if part.kind != "adapter"}))


def sittings(part: Part, role: str) -> list[Sitting]:
    """Every way a part may sit: a fitting one way by its role, another part as made or turned."""
    if isinstance(part, Fitting):
        return [Sitting(part, None, part.end) if role == "ground" else Sitting(part, part.end, None)]
    assert isinstance(part, Body | Extension | Adapter)
    found = [Sitting(part, part.lower, part.upper)]
    if part.either_way_up:
        found.append(Sitting(part, part.upper, part.lower))
    return found


def listed_mate(catalogue: Catalogue, one: End, two: End) -> str | None:
    """The pin of the family entry that lists these two connectors as mates, None when none does."""
    for family in catalogue.families:
        for mate in family.mates:
            if (one.connector, two.connector) in (mate.ends, mate.ends[::-1]):
                return mate.pin
    return None


def mates(catalogue: Catalogue, one: End, two: End) -> bool:
    """Whether two connectors mate, by name and gender or because a family lists them."""
    if one.name == two.name and sorted((one.gender, two.gender)) in (["", ""], ["plug", "socket"]):
        return True
    return listed_mate(catalogue, one, two) is not None


def joint_breaks(
    catalogue: Catalogue, book: RuleBook, families: tuple[str, ...], lower: Sitting, upper: Sitting
) -> list[str]:
    """Rules that the joint of two neighbours breaks."""
    below, above = lower.up, upper.down
    assert below is not None
    assert above is not None
    broken = []
    if not mates(catalogue, below, above):
        broken.append("MAT-1")
    taken = below.takes is None or upper.part.kind in below.takes
    if not (taken and (above.takes is None or lower.part.kind in above.takes)):
        broken.append("EXT-4")
    adapted = "adapter" in (lower.part.kind, upper.part.kind)
    if lower.part.family != upper.part.family and not adapted:
        broken.append("FAM-1")
    return [rule for rule in broken if in_stop(book, rule, families)]


def whole_breaks(book: RuleBook, ground: Fitting, middle: Sequence[Part], body: Body, load: Fitting) -> list[str]:
    """Rules that these parts break in whatever order they are stacked."""
    families = families_of([ground, body, load, *middle])
    extensions = [part.length for part in middle if isinstance(part, Extension)]
    adapters = sum(isinstance(part, Adapter) for part in middle)
    broken = []
    if len(extensions) > book.value("EXT-1", "max", families):
        broken.append("EXT-1")
    if sum(extensions) > book.value("EXT-2", "max", families):
        broken.append("EXT-2")
    if adapters > book.value("ADP-1", "max", families):
        broken.append("ADP-1")
    if "base" not in ground.serves or "head" not in load.serves:
        broken.append("MAT-4")
    if body.lock not in book.value("COL-1", "locks", families):
        broken.append("COL-1")
    if body.pull_apart is not None and body.open + book.value("OVL-1", "min", families) > body.pull_apart:
        broken.append("OVL-1")
    return [rule for rule in broken if in_stop(book, rule, families)]


def order_breaks(book: RuleBook, families: tuple[str, ...], below: Sequence[Part], above: Sequence[Part]) -> list[str]:
    """EXT-3 where going away from the body an extension is longer than the one before."""
    for side in (tuple(reversed(below)), tuple(above)):
        lengths = [part.length for part in side if isinstance(part, Extension)]
        if lengths != sorted(lengths, reverse=True) and in_stop(book, "EXT-3", families):
            return ["EXT-3"]
    return []


def turnings(
    catalogue: Catalogue, book: RuleBook, families: tuple[str, ...], stack: Sequence[Part]
) -> Iterator[tuple[Sitting, ...]]:
    """Every way to turn the parts of a stack so that all its joints are legal."""

    def grow(built: tuple[Sitting, ...]) -> Iterator[tuple[Sitting, ...]]:
        if len(built) == len(stack):
            yield built
            return
        role = "ground" if not built else "load"
        for sitting in sittings(stack[len(built)], role):
            if not built or not joint_breaks(catalogue, book, families, built[-1], sitting):
                yield from grow((*built, sitting))

    yield from grow(())


def orders(body: Part, middle: Sequence[Part]) -> Iterator[tuple[tuple[Part, ...], tuple[Part, ...]]]:
    """Every way to put the middle pieces below and above the body, as (below, above)."""
    by_id = {part.id: part for part in middle}
    for ids in sorted(set(permutations([part.id for part in middle]))):
        for cut in range(len(ids) + 1):
            yield tuple(by_id[i] for i in ids[:cut]), tuple(by_id[i] for i in ids[cut:])


def pins_of(catalogue: Catalogue, book: RuleBook, stack: Sequence[Sitting]) -> Take:
    """Loose pins that a turned stack takes, by part id."""
    families = families_of([sitting.part for sitting in stack])
    if not book.is_on("PIN-1", families):
        return frozenset()
    each = book.value("PIN-1", "per_joint", families)
    taken: Counter[str] = Counter()
    for lower, upper in pairwise(stack):
        assert lower.up is not None
        assert upper.down is not None
        pin = listed_mate(catalogue, lower.up, upper.down) or catalogue.pin_of.get(lower.up.name, CAPTIVE)
        if pin != CAPTIVE:
            taken[pin] += each
    return frozenset((pin, pieces) for pin, pieces in taken.items() if pieces)


def pins_of_order(catalogue: Catalogue, book: RuleBook, stack: Sequence[Part]) -> frozenset[Take]:
    """What a stack takes in each legal way up of its parts."""
    ways = turnings(catalogue, book, families_of(stack), stack)
    return frozenset(pins_of(catalogue, book, turned) for turned in ways)


def stack_is_legal(catalogue: Catalogue, book: RuleBook, ids: Sequence[str], body_at: int) -> bool:
    """Whether this order of parts, ground to load, is legal in some turning of its parts."""
    parts = [catalogue.by_id[i] for i in ids]
    ground, load, body = parts[0], parts[-1], parts[body_at]
    assert isinstance(ground, Fitting)
    assert isinstance(load, Fitting)
    assert isinstance(body, Body)
    below, above = parts[1:body_at], parts[body_at + 1 : -1]
    families = families_of(parts)
    if whole_breaks(book, ground, [*below, *above], body, load) or order_breaks(book, families, below, above):
        return False
    return next(turnings(catalogue, book, families, parts), None) is not None


def body_spans(body: Body) -> list[Span]:
    """Settable lengths of a body alone, merged where they touch."""
    if body.holes is None:
        return [(body.closed, body.open)]
    first = body.closed if body.holes.first is None else body.holes.first
    settings = range(first, body.open + 1, body.holes.pitch)
    return merged((at, min(at + body.holes.fine, body.open)) for at in settings)


def merged(spans: Iterable[Span]) -> list[Span]:
    """Spans joined where they touch or overlap, rising."""
    result: list[Span] = []
    for low, high in sorted(spans):
        if result and low <= result[-1][1]:
            result[-1] = (result[-1][0], max(result[-1][1], high))
        else:
            result.append((low, high))
    return result


def added_length(parts: Iterable[Part]) -> int:
    """What fittings, extensions and adapters add to the body's setting, nm."""
    total = 0
    for part in parts:
        if isinstance(part, Fitting):
            total += part.adds
        elif isinstance(part, Extension | Adapter):
            total += part.length
    return total


def _of_kind(catalogue: Catalogue, counts: Counts, kind: type) -> list[Any]:
    return [part for part in catalogue.parts if isinstance(part, kind) and counts.get(part.id, 0) > 0]


def _middles(catalogue: Catalogue, counts: Counts) -> Iterator[list[Part]]:
    types = _of_kind(catalogue, counts, Extension) + _of_kind(catalogue, counts, Adapter)
    for numbers in product(*(range(counts[part.id] + 1) for part in types)):
        yield [part for part, number in zip(types, numbers, strict=True) for _ in range(number)]


def _found(
    catalogue: Catalogue, book: RuleBook, ends: tuple[Fitting, Fitting], body: Body, middle: list[Part]
) -> Found | None:
    ground, load = ends
    if whole_breaks(book, ground, middle, body, load):
        return None
    families = families_of([ground, body, load, *middle])
    legal: set[tuple[tuple[str, ...], Take]] = set()
    # Without listed mates every joint joins two ends of one name, so all orders and turnings take the same pins.
    one_is_enough = not any(family.mates for family in catalogue.families)
    for below, above in orders(body, middle):
        if order_breaks(book, families, below, above):
            continue
        stack = (ground, *below, body, *above, load)
        for turned in turnings(catalogue, book, families, stack):
            legal.add((tuple(part.id for part in stack), pins_of(catalogue, book, turned)))
            if one_is_enough:
                break
        if legal and one_is_enough:
            break
    if not legal:
        return None
    more = added_length([ground, load, *middle])
    return Found(
        identity=(ground.id, load.id, body.id, tuple(sorted(part.id for part in middle))),
        spans=tuple((low + more, high + more) for low, high in body_spans(body)),
        orders=frozenset(order for order, _ in legal),
        pins=frozenset(taken for _, taken in legal),
        extensions=sum(part.kind == "extension" for part in middle),
    )


def assemblies(catalogue: Catalogue, counts: Counts, book: RuleBook) -> list[Found]:
    """Every legal assembly that can be built alone from ``counts``, pins included; each identity once."""
    result = []
    fittings = _of_kind(catalogue, counts, Fitting)
    for middle in _middles(catalogue, counts):
        for ground, body, load in product(fittings, _of_kind(catalogue, counts, Body), fittings):
            if ground.id == load.id and counts[ground.id] < 2:
                continue
            found = _found(catalogue, book, (ground, load), body, middle)
            if found and any(fits(pins, counts) for pins in found.pins):
                result.append(found)
    return result


# Reach


def union(found: Iterable[Found]) -> list[Span]:
    """Lengths that at least one assembly reaches."""
    return merged(span for one in found for span in one.spans)


def blind_spots(found: Iterable[Found]) -> list[Span]:
    """Lengths between that none reaches; the ends themselves are reached."""
    return [(one[1], two[0]) for one, two in pairwise(union(found))]


# What is asked, and ratings


@dataclass(frozen=True)
class Question:
    """A step and what is asked of each strut.  ``load`` None asks for no rating."""

    shortest: Length
    longest: Length
    restrained: bool = False
    load: Fraction | None = None
    factor: Fraction | None = None


@dataclass(frozen=True)
class Asked:
    """A design factor, and whether somebody said so: only then is a load raised over what its maker marked."""

    k: Fraction
    said: bool

    def of(self, marked: Fraction, stated: Fraction) -> Fraction:
        """What a load rated at a stated factor counts for."""
        raised = marked * stated / self.k
        return raised if self.said else min(marked, raised)


def in_doubt(chart: Chart, book: RuleBook) -> bool:
    """Whether a chart rises, falls faster than 1 / L^2, or holds a figure that is not likely."""
    cells = [(row.length, n, load) for row in chart.rows for n, load in enumerate(row.loads) if load is not None]
    sane, likely = book.is_on("CAP-2", (chart.family,)), book.is_on("CAP-6", (chart.family,))
    for length, n, load in cells:
        if likely and not 300 * NEWTON_PER_LBF <= load <= 100_000 * NEWTON_PER_LBF:
            return True
        if likely and any(a == length and b == n + 1 and load > 3 * other for a, b, other in cells):
            return True
        if sane and any(a <= length and b <= n and load > other for a, b, other in cells):
            return True
        longer = [(a, other) for a, b, other in cells if b == n and a > length]
        if sane and longer and longer[0][1] * longer[0][0] ** 2 < load * length**2:
            return True
    return False


def at_factor(strength: Strength | None, factor: Asked) -> Fraction | None:
    """The load at a design factor; None where the rating's own factor is not stated."""
    if strength is None:
        return None
    if strength.failure_load is not None:
        return strength.failure_load / factor.k
    if strength.factor is None:
        return None
    assert strength.rated_load is not None
    return factor.of(strength.rated_load, strength.factor)


def chart_load(chart: Chart, span: tuple[Length, Length], extensions: int, factor: Asked) -> Fraction | None:
    """The least of the rows at or above each length, in the column of that many extensions; None is unrated."""
    edges = [0, *(row.length for row in chart.rows)]
    if edges[-1] < span[1]:
        return None
    found = []
    for over, row in zip(edges, chart.rows, strict=False):
        if over < span[1] and row.length >= span[0]:
            printed = row.loads[extensions] if extensions < len(row.loads) else None
            if printed is None or (chart.states == "rated load" and chart.factor is None):
                return None
            found.append(printed / factor.k if chart.factor is None else factor.of(printed, chart.factor))
    return min(found)


def rated_load(
    catalogue: Catalogue, book: RuleBook, one: Found, span: tuple[Length, Length], factor: Asked
) -> Fraction | None:
    """What an assembly of one family carries at these lengths and factor; None is unrated."""
    parts = [catalogue.by_id[i] for i in one.parts]
    body = catalogue.by_id[one.identity[2]]
    if families_of(parts) != (body.family,):
        return None
    charts = [c for c in catalogue.family[body.family].charts if not c.bodies or body.id in c.bodies]
    if not charts or any(in_doubt(chart, book) for chart in charts):
        return None
    loads = [chart_load(chart, span, one.extensions, factor) for chart in charts]
    loads += [at_factor(part.strength, factor) for part in parts if part.strength is not None]
    return None if None in loads else min(load for load in loads if load is not None)


def carries(catalogue: Catalogue, book: RuleBook, one: Found, question: Question) -> bool:
    """Whether an assembly is rated for the asked load, if any, at every length; the policy's factor where stricter."""
    if question.load is None:
        return True
    policy = book.value("CAP-1", "factor")
    said = question.factor is not None and question.factor >= policy
    factor = Asked(max(policy, question.factor or 1), said)
    rated = rated_load(catalogue, book, one, (question.shortest, question.longest), factor)
    return rated is not None and rated >= question.load


# Packing


def fits(take: Take, stock: Counts) -> bool:
    """Whether stock holds all that is to be taken."""
    return all(stock.get(resource, 0) >= pieces for resource, pieces in take)


def held(fitting: str, points: int) -> str:
    """The resource "piece of this fitting with at least so many usable attachment points".

    A base that must have three points takes one of those with at least 1, at least 2 and at least 3.
    """
    return f"{fitting} with {points} points"


def held_pieces(catalogue: Catalogue, counts: Counts, damaged: Counts) -> dict[str, int]:
    """How many usable pieces of each fitting have at least 1, 2, 3 ... usable points."""
    pieces = {}
    for part in _of_kind(catalogue, counts, Fitting):
        for points in range(1, len(part.points) + 1):
            pieces[held(part.id, points)] = counts[part.id] - damaged.get(part.id, 0)
    return pieces


def restraint_ruled(catalogue: Catalogue, book: RuleBook) -> bool:
    """Whether the rule on straps asks at least one of some family's bases; else nothing is called restrained."""
    families = {part.family for part in catalogue.parts if isinstance(part, Fitting)}
    return any(book.is_on("STR-1", (one,)) and book.value("STR-1", "min", (one,)) for one in families)


def tie_choices(catalogue: Catalogue, book: RuleBook, families: tuple[str, ...]) -> set[Take]:
    """Every set of ties, with the hardware they need, that restrains one base as the strut's and its families ask."""
    types = [part for part in catalogue.parts if part.kind in ("strap", "chain")]
    choices = set()
    for ties in (some for number in range(1, 5) for some in combinations_with_replacement(types, number)):
        asked = tuple(sorted({*families, *(tie.family for tie in ties)}))
        if not book.is_on("STR-1", asked) or book.value("STR-1", "min", asked) != len(ties):
            continue
        if book.is_on("STR-4", asked) and len({tie.kind for tie in ties}) > 1:
            continue
        taken = Counter(tie.id for tie in ties)
        for tie in ties:
            if book.is_on("STR-2", families):
                taken.update({_part_id(catalogue, tie, name): n for name, n in tie.hardware.items()})
        choices.add(frozenset((part, n) for part, n in taken.items() if n))
    return choices


def _part_id(catalogue: Catalogue, of: Part, name: str) -> str:
    if name in catalogue.by_id:
        return name
    return next(part.id for part in catalogue.parts if part.name == name and part.family == of.family)


def takes(catalogue: Catalogue, book: RuleBook, one: Found, *, restrained: bool) -> set[Take]:
    """Every way in which one built (and restrained) assembly may take pieces from stock."""
    families = families_of(catalogue.by_id[i] for i in one.parts)
    restrained = restrained and restraint_ruled(catalogue, book)
    choices = tie_choices(catalogue, book, families) if restrained else {frozenset()}
    result = set()
    for pins, ties in product(one.pins, choices):
        total = one.parts + Counter(dict(pins)) + Counter(dict(ties))
        of_ties = (catalogue.by_id[part] for part, _ in ties)
        asked = tuple(sorted({*families, *(tie.family for tie in of_ties if tie.kind in ("strap", "chain"))}))
        if restrained and book.is_on("PTS-1", asked):
            least = book.value("PTS-1", "min", asked)
            total.update(held(one.identity[0], points) for points in range(1, least + 1))
        result.add(frozenset(total.items()))
    return result


def most_at_once(ways: Iterable[Take], stock: Counts, *, drop_worse: bool = True) -> int:
    """The most struts that can be taken from stock, each in one of these ways; by trying all.

    A way that takes at least as much of everything as another can be left out: the other could stand
    in its place.
    """
    usable = {way for way in ways if fits(way, stock)}
    if drop_worse:
        usable = {way for way in usable if not any(o != way and _less(o, way) for o in usable)}
    names = sorted({name for way in usable for name, _ in way})
    vectors = sorted(tuple(dict(way).get(name, 0) for name in names) for way in usable)

    @cache
    def best(left: tuple[int, ...]) -> int:
        most = 0
        for vector in vectors:
            rest = tuple(have - want for have, want in zip(left, vector, strict=True))
            if min(rest, default=0) >= 0:
                most = max(most, 1 + best(rest))
        return most

    return best(tuple(stock.get(name, 0) for name in names)) if vectors else 0


def _less(one: Take, other: Take) -> bool:
    return fits(one, dict(other))


class Rig:
    """One cache: catalogue, usable pieces, rules in force, and pieces with damaged points."""

    def __init__(self, catalogue: Catalogue, counts: Counts, book: RuleBook, damaged: Counts | None = None) -> None:
        self.catalogue = catalogue
        self.book = book
        self.found = assemblies(catalogue, counts, book)
        self.stock = Counter(counts)
        self.stock.update(held_pieces(catalogue, counts, damaged or {}))
        self._takes = {
            restrained: {one.identity: takes(catalogue, book, one, restrained=restrained) for one in self.found}
            for restrained in (False, True)
        }

    def answering(self, question: Question) -> list[Found]:
        """Assemblies that cover the asked lengths and are rated for the asked load."""
        return [
            one
            for one in self.found
            if covers(one.spans, question.shortest, question.longest)
            and carries(self.catalogue, self.book, one, question)
        ]

    def most(self, question: Question, stock: Counts | None = None) -> int:
        """How many struts at once."""
        choices = self._takes[question.restrained]
        ways = set().union(*(choices[one.identity] for one in self.answering(question)))
        return most_at_once(ways, self.stock if stock is None else stock)

    def after_losses(self, question: Question) -> dict[str, int]:
        """How many at once after one piece of each part type is gone (for a base: its best piece)."""
        result = {}
        for part in self.catalogue.parts:
            if self.stock[part.id] > 0:
                left = Counter(self.stock)
                designed = len(part.points) if isinstance(part, Fitting) else 0
                whole = [held(part.id, points) for points in range(1, designed + 1)]
                left.subtract(name for name in (part.id, *whole) if left[name])
                result[part.id] = self.most(question, left)
        return result

    def with_one_lost(self, question: Question) -> int:
        """The worst that losing any one piece leaves."""
        return min(self.after_losses(question).values(), default=self.most(question))

    def buildable(self, question: Question) -> int:
        """Usable bodies for which at least one assembly, built alone, answers."""
        bodies = {one.identity[2] for one in self.answering(question)}
        return sum(self.stock[body] for body in bodies)

    def breakpoints(self, *, rated: bool = False) -> list[int]:
        """Lengths at which the count may change: ends of reaches and, when rated, rows of charts."""
        points = {end for one in self.found for span in one.spans for end in span}
        if rated:
            points |= {row.length for f in self.catalogue.families for chart in f.charts for row in chart.rows}
        return sorted(points)

    def profile(self, question: Question) -> dict[Fraction, int]:
        """How many at once at every breakpoint and in the middle of every segment between.

        The lengths of ``question`` are not looked at.
        """
        points = [Fraction(point) for point in self.breakpoints(rated=question.load is not None)]
        points = sorted([*points, *((one + two) / 2 for one, two in pairwise(points))])
        return {at: self.most(Question(at, at, question.restrained, question.load, question.factor)) for at in points}

    def longest_common(self, number: int, question: Question) -> Span | None:
        """The longest span that some ``number`` struts at once all cover, the lowest among equals."""
        ends = self.breakpoints(rated=question.load is not None)
        spans = [
            (low, high)
            for low, high in combinations_with_replacement(ends, 2)
            if self.most(Question(low, high, question.restrained, question.load, question.factor)) >= number
        ]
        return min(spans, key=lambda span: (span[0] - span[1], span), default=None)


# Explaining


def changes(one: Counter[str], two: Counter[str]) -> int:
    """Parts that must be changed to make one multiset the other: swaps count once."""
    return max((one - two).total(), (two - one).total())


def nearest(found: Iterable[Found], parts: Iterable[str]) -> tuple[int, int, set[Identity]] | None:
    """Fewest changes, then fewest pieces, and every assembly that has both; None when none is legal."""
    wanted = Counter(parts)
    ranked = [(changes(wanted, one.parts), one.parts.total(), one.identity) for one in found]
    if not ranked:
        return None
    best = min(ranked)[:2]
    return (*best, {identity for *rank, identity in ranked if tuple(rank) == best})
