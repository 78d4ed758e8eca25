"""A profile in shown figures, never claiming more struts at a length than there are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby

from cache_check.frozen import dataclass
from cache_check.model.result import Stretch
from cache_check.report.say import Say


@dataclass(frozen=True)
class _End:
    """An end of a stretch as it is shown."""

    value: Fraction
    text: str
    included: bool


def shown_stretches(stretches: Sequence[Stretch], say: Say) -> Iterator[tuple[str, str]]:
    """(lengths, count) of each stretch, rising in length; single settings in a row of one count are counted.

    Where two counts meet between two figures that can be shown, the lower count takes the doubt.  A stretch too
    short to be shown takes its neighbour's lower count.
    """
    kept = _settled(_merged(stretches), say)
    shown = [(one, _ends(kept, i, say)) for i, one in enumerate(kept)]
    for (alone, count), group in groupby(shown, key=lambda pair: (_alone(kept, pair[0]), pair[0].count)):
        together = list(group)
        if alone and len(together) > 1:
            first = say.bare_length(together[0][0].low, "up")
            last = say.bare_length(together[-1][0].high, "down")
            yield f"{len(together)} settings from {first} to {last}, nothing between", str(count)
        else:
            for _, (low, high) in together:
                yield _lengths(low, high), str(count)


def _merged(stretches: Sequence[Stretch]) -> list[Stretch]:
    """Neighbours of one count as one stretch; stretches of no strut left out."""
    merged: list[Stretch] = []
    for one in stretches:
        if merged and merged[-1].count == one.count and _touch(merged[-1], one):
            merged[-1] = replace(merged[-1], high=one.high, high_included=one.high_included)
        elif one.count:
            merged.append(one)
    return merged


def _touch(lower: Stretch, upper: Stretch) -> bool:
    return lower.high == upper.low and (lower.high_included or upper.low_included)


def _beside(stretches: list[Stretch], i: int) -> tuple[int, int]:
    """The counts just below and just above a stretch; 0 where nothing touches it."""
    before = stretches[i - 1].count if i and _touch(stretches[i - 1], stretches[i]) else 0
    after = stretches[i + 1].count if i + 1 < len(stretches) and _touch(stretches[i], stretches[i + 1]) else 0
    return before, after


def _alone(stretches: list[Stretch], one: Stretch) -> bool:
    """Whether a stretch is a single setting with nothing on either side."""
    return one.low == one.high and _beside(stretches, stretches.index(one)) == (0, 0)


def _ends(stretches: list[Stretch], i: int, say: Say) -> tuple[_End, _End]:
    one = stretches[i]
    before, after = _beside(stretches, i)
    if _alone(stretches, one):
        value, text = say.shown_length(one.low, "nearest"), say.bare_length(one.low, "nearest")
        return _End(value, text, True), _End(value, text, True)
    low = _end(one.low, one.low_included, one.count > before, one.count > before, say)
    high = _end(one.high, one.high_included, one.count < after, one.count > after, say)
    return low, high


def _end(nm: int, included: bool, up: bool, higher: bool, say: Say) -> _End:
    """An end rounded into the side that counts more; that side keeps the figure itself."""
    value = say.shown_length(nm, "up" if up else "down")
    exact = say.shown_length(nm, "up") == say.shown_length(nm, "down")
    return _End(value, say.bare_length(nm, "up" if up else "down"), included if exact else higher)


def _settled(stretches: list[Stretch], say: Say) -> list[Stretch]:
    """Steps with counts lowered until each of them can be shown."""
    for i, one in enumerate(stretches):
        low, high = _ends(stretches, i, say)
        if low.value < high.value or (low.value == high.value and low.included and high.included):
            continue
        count = max((beside for beside in _beside(stretches, i) if beside < one.count), default=0)
        return _settled(_merged([*stretches[:i], replace(one, count=count), *stretches[i + 1 :]]), say)
    return stretches


def _lengths(low: _End, high: _End) -> str:
    if low.value == high.value:
        return f"at {low.text}"
    return f"{'' if low.included else 'over '}{low.text} to {'' if high.included else 'under '}{high.text}"
