"""Ready sets part by part, closed and open, all to one scale: the ground at the left, pins as marks at their joints."""

import textwrap
from collections.abc import Sequence
from itertools import accumulate
from typing import Any

from cache_check.model.card import PartShown, SetShown
from cache_check.report.figures import canvas
from cache_check.report.figures.reach_chart import per_unit
from cache_check.report.page import short
from cache_check.report.say import Say

ROW, LINE, FOOT = 0.44, 0.19, 0.6  # inches: a strut drawn once, a line of words, the axis
SMALL = 9
LETTERS = 66  # letters of that size that stand in a line
NO_LENGTH = "not drawn: the book has no length for one of its parts"
KEY = (
    "Each is drawn closed, then open; the ground is at the left. Parts are numbered in the order they are put "
    "together, from the ground up. A ring is a joint with a loose pin. The sliding part is drawn at the load's end, "
    "whichever end slides."
)
_LOOKS: dict[str, dict[str, Any]] = {
    "fitting": {"facecolor": canvas.OCHRE, "edgecolor": canvas.INK},
    "body": {"facecolor": canvas.PALE, "edgecolor": canvas.INK, "hatch": "--"},
    "inner": {"facecolor": "white", "edgecolor": canvas.INK, "linestyle": (0, (3, 1.5))},
    "extension": {"facecolor": "white", "edgecolor": canvas.INK},
    "adapter": {"facecolor": "white", "edgecolor": canvas.INK, "hatch": "...."},
}
_HIGH = {"fitting": 0.56, "body": 0.36, "inner": 0.2, "extension": 0.28, "adapter": 0.28}


def stack(one: SetShown, pieces: Sequence[PartShown]) -> tuple[PartShown, ...]:
    """The parts of a set from the ground up; none where it must not be used, or the book has no length for one."""
    by_part = {piece.part: piece for piece in pieces}
    found = tuple(by_part[part] for part in one.parts if part in by_part)
    return found if one.usable and len(found) == len(one.parts) else ()


def longest(sets: Sequence[SetShown]) -> int:
    """The length that the scale must hold, nm."""
    return max((one.assembly.open for one in sets if one.assembly is not None), default=1)


def high(sets: Sequence[SetShown], pieces: Sequence[PartShown], say: Say) -> float:
    """How many inches high the drawing is, ``canvas.WIDE`` wide."""
    return max(sum(_set_high(one, pieces, say) for one in sets), LINE) + FOOT


def draw(sets: Sequence[SetShown], pieces: Sequence[PartShown], say: Say, scale: int | None = None) -> canvas.Figure:
    """The sets as a figure of its own."""
    return canvas.alone(canvas.WIDE, high(sets, pieces, say), draw_on, sets, pieces, say, scale)


def draw_on(
    figure: canvas.FigureBase, sets: Sequence[SetShown], pieces: Sequence[PartShown], say: Say, scale: int | None = None
) -> None:
    """The sets one under another, less those not to be used; the axis holds ``scale`` (nm), else their longest."""
    axes: Any = figure.subplots()
    top = (scale or longest(sets)) / per_unit(say)
    axes.set_xlim(-0.05 * top, 1.2 * top)
    y = 0.0
    for one in sets:
        _set(axes, stack(one, pieces), one, _words(one, pieces, say), y, say)
        y += _set_high(one, pieces, say)
    axes.set_ylim(max(y, LINE), 0)
    if not sets:
        axes.text(0, LINE / 2, "No ready set.", transform=axes.get_yaxis_transform(), va="center")
    axes.set_yticks(())
    axes.spines["left"].set_visible(False)
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:,.6g}" if value >= 0 else "")
    axes.tick_params(axis="x", labelsize=SMALL)
    axes.set_xlabel(f"length from the ground, {say.length_unit}", fontsize=SMALL + 1)
    for said in axes.texts:
        said.set_in_layout(False)  # words must not change the scale


def _set_high(one: SetShown, pieces: Sequence[PartShown], say: Say) -> float:
    return LINE * (len(_words(one, pieces, say)) + 0.6) + (2 * ROW if stack(one, pieces) else 0)


def _words(one: SetShown, pieces: Sequence[PartShown], say: Say) -> list[str]:
    name = f"{short(one.name, 24)}{'' if one.built else ' (proposed)'}"
    if not one.usable:
        why = one.unfit[0] if one.unfit else "it is no legal strut"
        return [f"{name}: DO NOT USE", *_wrapped(short(why, 2 * LETTERS))]
    assert one.assembly is not None
    parts = [f"{n} {short(say.name(part.part), 40)}" for n, part in enumerate(stack(one, pieces), 1)]
    return [f"{name}: {say.ends(one.assembly)}", *_wrapped(" · ".join(parts or [NO_LENGTH]))]


def _wrapped(said: str) -> list[str]:
    return textwrap.wrap(said, LETTERS, break_on_hyphens=False)


def _set(axes: canvas.Axes, parts: Sequence[PartShown], one: SetShown, lines: list[str], y: float, say: Say) -> None:
    for n, line in enumerate(lines):
        axes.text(0, y + LINE * (n + 0.6), line, transform=axes.get_yaxis_transform(), va="center",
                  fontsize=SMALL + 2 * (n == 0), weight="bold" if n == 0 else "normal")  # fmt: skip
    if not parts or one.assembly is None:
        return
    y += LINE * len(lines) + ROW * 0.7
    for opened in (False, True):
        _strut(axes, parts, [joint.pins > 0 for joint in one.joints], opened, y, say)
        y += ROW


def _strut(axes: canvas.Axes, parts: Sequence[PartShown], pinned: list[bool], opened: bool, y: float, say: Say) -> None:
    unit, at = per_unit(say), 0
    middles, joints = [], []
    for part in parts:
        long = part.open if opened else part.closed
        middles.append((at + long / 2) / unit)
        _part(axes, part, at, long, y, unit)
        at += long
        joints.append(at / unit)
    axes.plot((0, 0), (y - 0.2, y + 0.16), color=canvas.INK, linewidth=3, zorder=2)
    rings = [x for x, pin in zip(joints, pinned, strict=False) if pin]
    axes.plot(rings, [y] * len(rings), "o", markersize=6.5, markerfacecolor="white", markeredgecolor=canvas.INK,
              markeredgewidth=1.5, zorder=5)  # fmt: skip
    said = f"{say.bare_length(at, 'down')} open" if opened else f"{say.bare_length(at, 'up')} closed"
    axes.annotate(said, (at / unit, y), (5, 0), textcoords="offset points", va="center", fontsize=SMALL)
    places = zip(_spread(middles, 0.034 * axes.get_xlim()[1]), middles, strict=True)
    for number, (x, middle) in enumerate(places, 1):
        axes.plot((middle, x), (y - 0.12, y - 0.17), color=canvas.GREY, linewidth=0.6, zorder=1)
        axes.text(x, y - 0.235, str(number), ha="center", va="center", fontsize=SMALL, weight="bold")


def _part(axes: canvas.Axes, part: PartShown, at: int, long: int, y: float, unit: int) -> None:
    """A part over the length it takes; a body that is open shows its sliding part, one without length is a line."""
    spans = [(part.kind, at, long)]
    if part.kind == "body" and long > part.closed:
        spans = [("body", at, part.closed), ("inner", at + part.closed, long - part.closed)]
    for kind, low, over in spans:
        high = _HIGH[kind] * 0.36
        if over:
            axes.broken_barh([(low / unit, over / unit)], (y - high / 2, high), linewidth=1.1, zorder=3, **_LOOKS[kind])
        else:
            axes.plot((low / unit,) * 2, (y - high / 2, y + high / 2), color=canvas.OCHRE, linewidth=3, zorder=4)


def _spread(middles: Sequence[float], apart: float) -> list[float]:
    """Places for numbers, so that none stands on another: pushed right where needed, then left of what came too far."""
    right = list(accumulate(middles, lambda before, middle: max(middle, before + apart)))
    left = accumulate([*middles[-1:], *right[-2::-1]], lambda before, place: min(place, before - apart))
    return list(left)[::-1]
