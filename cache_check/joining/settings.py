"""The lengths a body can be set to: a whole span, or holes; and what the other parts add."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from cache_check.model.assembly import Span
from cache_check.model.part import Adapter, Body, Extension, Fitting, Part


def settable(body: Body) -> tuple[Span, ...]:
    """The lengths (nm) that a body can be set to, apart and rising; a hole without a fine screw is a single length."""
    if body.holes is None:
        return ((body.closed, body.open),)
    first = body.closed if body.holes.first is None else body.holes.first
    holes = range(first, body.open + 1, body.holes.pitch)
    return merged((hole, min(hole + body.holes.fine, body.open)) for hole in holes)


def merged(spans: Iterable[Span]) -> tuple[Span, ...]:
    """The union of closed spans, apart and rising; spans that touch or overlap become one."""
    union: list[Span] = []
    for low, high in sorted(spans):
        if union and low <= union[-1][1]:
            union[-1] = (union[-1][0], max(union[-1][1], high))
        else:
            union.append((low, high))
    return tuple(union)


def between(union: tuple[Span, ...]) -> tuple[Span, ...]:
    """The open gaps between the spans of a union: lengths strictly between each pair of ends."""
    return tuple((one[1], two[0]) for one, two in pairwise(union))


def added_length(part: Part) -> int:
    """What a part adds to a strut besides the body's own length, nm."""
    if isinstance(part, Fitting):
        return part.adds
    assert isinstance(part, Extension | Adapter)
    return part.length
