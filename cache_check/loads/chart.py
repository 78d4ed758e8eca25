"""A load chart as plain data: the rated load at a length and a design factor, and whether the chart makes sense.

Axes, signs, units and ranges: ``loads/conventions.py``.  A chart is rows sorted by length, each a length
limit ("at or under") and the loads for 0, 1, 2 ... extensions, None where the cell is blank.  Lengths and
loads are exact numbers (``int`` or ``Fraction``) in any unit, so a limit met exactly is met.
"""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Literal, NamedTuple

from cache_check.frozen import dataclass
from cache_check.loads.conventions import not_negative, positive, whole

Exact = int | Fraction
Kind = Literal[
    "rows not sorted by length", "length or load not over 0", "rises with length", "rises with extensions",
    "rises with length and extensions", "falls faster than Euler", "smaller than any likely load",
    "larger than any likely load", "far over the same row with one extension more",
    "far from the other charts of its family", "longer than any likely strut",
    "design factor larger than any likely one",
]  # fmt: skip
RISES: tuple[Kind, ...] = ("rises with length", "rises with extensions", "rises with length and extensions")
"""What no strut does: such a figure is put right, never only answered for."""


class Row(NamedTuple):
    """One row: holds for struts at or under ``limit``; ``loads[k]`` with k extensions, None where blank."""

    limit: Exact
    loads: tuple[Exact | None, ...]


@dataclass(frozen=True)
class Flaw:
    """One thing in a chart that does not make sense."""

    kind: Kind
    row: int  # from 0, as the column of ``extensions``
    extensions: int | None = None  # None: of a whole row
    against: int | None = None  # the row that it is held against
    least: Exact | None = None  # what the cell should lie between; None: no bound
    most: Exact | None = None


def row_at_or_above(rows: Sequence[Row], length: Exact) -> int | None:
    """Which row governs a ``length``: the first whose limit is at or above it.  Never between; None past the last."""
    positive("length", length)
    place = bisect_left(rows, length, key=lambda row: row.limit)
    return place if place < len(rows) else None


def lowest_load(rows: Sequence[Row], shortest: Exact, longest: Exact, extensions: int) -> Exact | None:
    """The load over a range of lengths: the lowest cell of all rows that it touches.

    None is unrated somewhere: past the last row or column, or blank.  ``shortest``, ``longest``: over 0, in rows' unit.
    """
    column = whole("extensions", extensions, 0)
    first, last = row_at_or_above(rows, shortest), row_at_or_above(rows, longest)
    if longest < shortest:
        raise ValueError(f"longest length is {longest}; it must be at least the shortest, {shortest}")
    if first is None or last is None:
        return None
    loads = [_cell(row, column) for row in rows[first : last + 1]]
    return None if None in loads else min(load for load in loads if load is not None)


def unrated_spans(rows: Sequence[Row], extensions: int, closed: Exact, opened: Exact) -> Iterator[tuple[Exact, Exact]]:
    """Lengths between ``closed`` and ``opened`` that the chart does not rate: over the one and up to the other, rising.

    ``closed`` itself is among them where it is no row's limit, or the first of them ends there.
    """
    column = whole("extensions", extensions, 0)
    positive("closed length", closed)
    if opened < closed:
        raise ValueError(f"open length is {opened}; it must be at least the closed length, {closed}")
    limits, loads = (0, *(row.limit for row in rows), opened), (*(_cell(row, column) for row in rows), None)
    for (low, high), load in zip(pairwise(limits), loads, strict=True):
        if load is None and high >= closed and low < opened:
            yield max(low, closed), min(high, opened)


def flaws(rows: Sequence[Row]) -> list[Flaw]:
    """Everything in a chart that does not make sense, by row and column; empty for a sane one.

    Rows sorted, all figures over 0; never rising with length, extensions or both; falling no faster than 1 / L^2
    (``least_by_euler``).  A blank rates nothing and is no flaw.  Wrong order or sign is told alone: more would mislead.
    """
    pairs = enumerate(pairwise(rows), 1)
    first = [Flaw("rows not sorted by length", i, None, i - 1, a.limit) for i, (a, b) in pairs if b.limit <= a.limit]
    first += [Flaw("length or load not over 0", i, least=0) for i, row in enumerate(rows) if row.limit <= 0]
    first += [Flaw("length or load not over 0", i, k, least=0) for i, k, load in cells(rows) if load <= 0]
    if first:
        return first
    return sorted((*_rises(rows), *_falls_too_fast(rows)), key=lambda flaw: (flaw.row, flaw.extensions or 0, flaw.kind))


def _cell(row: Row, column: int) -> Exact | None:
    return row.loads[column] if column < len(row.loads) else None


def cells(rows: Sequence[Row]) -> Iterator[tuple[int, int, Exact]]:
    """(Row, extensions, load) of every cell of ``rows`` that is not blank."""
    for place, row in enumerate(rows):
        yield from ((place, column, load) for column, load in enumerate(row.loads) if load is not None)


def _rises(rows: Sequence[Row]) -> Iterator[Flaw]:
    every = list(cells(rows))
    for place, column, load in every:
        easier = [(other, -p, -c) for p, c, other in every if p <= place and c <= column and (p, c) != (place, column)]
        if easier and load > min(easier)[0]:
            least, against, fewer = min(easier)
            kind: Kind = "rises with length" if -against != place else "rises with extensions"
            if -against != place and -fewer != column:
                kind = "rises with length and extensions"
            yield Flaw(kind, place, column, against=-against, most=least)


def _falls_too_fast(rows: Sequence[Row]) -> Iterator[Flaw]:
    last: dict[int, tuple[int, Exact]] = {}
    for place, column, load in cells(rows):
        if column in last:
            against, shorter = last[column]
            if load < (least := least_by_euler(shorter, rows[against].limit, rows[place].limit)):
                yield Flaw("falls faster than Euler", place, column, against=against, least=least)
        last[column] = (place, load)


def least_by_euler(load: int | Fraction, length: int | Fraction, longer: int | Fraction) -> Fraction:
    """What an Euler column of known load carries when longer: P (L / L2)^2, exact; all over 0, ``longer`` not less."""
    # A real column falls no faster with length, since yielding only makes the short one weaker; a chart that does is
    # worth a second look.  It rates nothing.
    for name, value in (("load", load), ("length", length), ("longer length", longer)):
        positive(name, value)
    if longer < length:
        raise ValueError(f"longer length is {longer}; it must be at least the length, {length}")
    return Fraction(load) * (Fraction(length) / Fraction(longer)) ** 2


class DesignFactor(NamedTuple):
    """A design factor ``k``, and whether somebody ``said`` so for what is asked, or it is only the rules' own."""

    k: Fraction
    said: bool = False

    def of(self, stated: Exact | None) -> Fraction:
        """The factor at which a load is used that is marked at ``stated``; None: a failure load."""
        # A load that its maker rated at a higher factor is raised to k only where that was said in so many words.
        return self.k if self.said or stated is None else max(self.k, Fraction(stated))


def _factor(name: str, value: Exact) -> Fraction:
    if positive(name, value) < 1:
        raise ValueError(f"{name} is {value}; it must be at least 1")
    return Fraction(value)


def rated_from_ultimate(ultimate: Exact, design_factor: Exact) -> Fraction:
    """Rated load from a failure load, exact: ``ultimate`` / ``design_factor``, which is at least 1."""
    not_negative("failure load", ultimate)
    return Fraction(ultimate) / _factor("design factor", design_factor)


def rated_at_factor(load: Exact, stated_factor: Exact | None, asked: DesignFactor) -> Fraction:
    """A load that its maker rated, at the ``asked`` design factor: as marked, or ``load`` x ``stated_factor`` / k.

    A load rated at 2:1 and asked at 4 is halved; rated at 4:1 and asked at 2 it is doubled where 2 was said, and
    else stays as marked.  None: a failure ``load``, divided by k.  Exact; both factors are at least 1.
    """
    stated = 1 if stated_factor is None else _factor("stated factor", stated_factor)
    return rated_from_ultimate(Fraction(load) * stated, asked.of(stated_factor))
