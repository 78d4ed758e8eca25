"""The joint graph: columns by place from ground to load, a box for parts that join alike, a line for what may meet."""

import textwrap
from collections.abc import Sequence
from functools import cached_property

import networkx as nx

from cache_check.frozen import dataclass
from cache_check.model.card import PartJoint
from cache_check.report.figures import canvas
from cache_check.report.page import short
from cache_check.report.say import Say

PLACES = {"ground": "bases", "below": "below", "body": "strut bodies", "above": "above", "load": "heads"}
MOST_NAMES, MOST_BOXES = 6, 8
LETTERS = 60  # letters that stand in a row of boxes as wide as the figure
LINE, GAP, HEAD, LANE = 0.17, 0.34, 0.4, 0.12  # inches: a box's line, between boxes, columns' heads, lines skipping one
BOX = 0.8  # how much of its column a box takes
SMALL = 8
KEY = (
    "Every part of a box joins every part of a box that a line leads to, and parts of one box join each other where "
    "an arc stands over it. A ring on a line: that joint takes a loose pin. Rules that count or add up pieces come on "
    "top: not every way through is a legal strut."
)

Seat = tuple[str, str]


@dataclass(frozen=True)
class Box:
    """Parts that sit in one place and have the same joints; ``among``: they join each other, True with a loose pin."""

    place: str
    parts: tuple[str, ...]
    among: bool | None


@dataclass(frozen=True)
class Graph:
    """The boxes, and pairs of them that join, with whether a loose pin is taken."""

    joins: tuple[PartJoint, ...]

    @cached_property
    def links(self) -> dict[tuple[Seat, Seat], bool]:
        """Which seats join on a way from ground to load, and whether by a loose pin."""
        pairs = {((j.lower_place, j.lower), (j.upper_place, j.upper)): j.pins > 0 for j in self.joins}
        ways = nx.DiGraph(pairs.keys())
        from_ground = {seat for one in ways if one[0] == "ground" for seat in (one, *nx.descendants(ways, one))}
        through = {seat for one in ways if one[0] == "load" for seat in (one, *nx.ancestors(ways, one))} & from_ground
        return {pair: pin for pair, pin in pairs.items() if through.issuperset(pair)}

    @cached_property
    def boxes(self) -> tuple[Box, ...]:
        """The boxes, column by column."""
        alike: dict[object, list[Seat]] = {}
        for seat in dict.fromkeys(seat for pair in self.links for seat in pair):
            below = frozenset((a, pin) for (a, b), pin in self.links.items() if b == seat)
            above = frozenset((b, pin) for (a, b), pin in self.links.items() if a == seat)
            alike.setdefault((seat[0], below, above), []).append(seat)
        made = []
        for seats in alike.values():
            pins = [self.links[a, b] for a in seats for b in seats if (a, b) in self.links]
            made.append(Box(seats[0][0], tuple(part for _, part in seats), any(pins) if pins else None))
        return tuple(sorted(made, key=lambda box: list(PLACES).index(box.place)))

    def joined(self, lower: Box, upper: Box) -> bool | None:
        """Whether the parts of two boxes join: None not, else whether they take a loose pin."""
        return self.links.get(((lower.place, lower.parts[0]), (upper.place, upper.parts[0])))

    @property
    def parts(self) -> frozenset[str]:
        """Parts that stand on a way from ground to load."""
        return frozenset(part for pair in self.links for _, part in pair)


def draw(joins: Sequence[PartJoint], say: Say) -> canvas.Figure:
    """The graph; of a column with too many boxes the first ones, and how many more."""
    graph = Graph(tuple(joins))
    by_place = {place: [box for box in graph.boxes if box.place == place] for place in PLACES}
    letters = LETTERS // max(sum(map(bool, by_place.values())), 1)
    columns = [
        _Column(place, shown := tuple(found[:MOST_BOXES]), tuple(_lines(box, say, letters) for box in shown),
                max(0, len(found) - MOST_BOXES))
        for place, found in by_place.items() if found
    ]  # fmt: skip
    high = max((one.high for one in columns), default=LINE) + HEAD
    boxes = [(n, box) for n, one in enumerate(columns) for box in one.boxes]
    lanes = LANE * (1 + sum(m > n + 1 and graph.joined(a, b) is not None for n, a in boxes for m, b in boxes))
    with canvas.blank(canvas.WIDE, high + lanes + 0.1) as figure:
        axes = figure.add_subplot()
        axes.set_axis_off()
        axes.set_xlim(0, max(len(columns), 1))
        axes.set_ylim(high + lanes, 0)
        spots = [spot for x, one in enumerate(columns) for spot in _column(axes, x, one, high)]
        _links(axes, graph, spots, high + LANE / 2)
    return figure


def _lines(box: Box, say: Say, letters: int) -> list[str]:
    said = []
    for part in box.parts[:MOST_NAMES]:
        first, *more = textwrap.wrap(short(say.name(part), 2 * letters - 2), letters) or [""]
        said += [first, *(f"  {short(' '.join(more), letters - 1)}" for _ in more[:1])]
    return said + [f"and {len(box.parts) - MOST_NAMES} more"] * (len(box.parts) > MOST_NAMES)


@dataclass(frozen=True)
class _Column:
    place: str
    boxes: tuple[Box, ...]
    lines: tuple[list[str], ...]
    left_out: int

    def tall(self, n: int) -> float:
        return LINE * (len(self.lines[n]) + 0.6)

    @property
    def high(self) -> float:
        return sum(self.tall(n) + GAP for n in range(len(self.boxes))) + (LINE if self.left_out else 0)


def _column(axes: canvas.Axes, x: int, column: _Column, high: float) -> list[tuple[Box, int, float]]:
    from matplotlib.patches import Rectangle

    axes.text(x + 0.5, 0.14, PLACES[column.place], ha="center", va="center", weight="bold", fontsize=SMALL + 1.5)
    y = HEAD + (high - HEAD - column.high) / 2 + GAP / 2
    left, spots = x + (1 - BOX) / 2, []
    for n, box in enumerate(column.boxes):
        tall = column.tall(n)
        axes.add_patch(Rectangle((left, y), BOX, tall, facecolor="white", edgecolor=canvas.INK, linewidth=1.2,
                                 zorder=3))  # fmt: skip
        for m, said in enumerate(column.lines[n]):
            axes.text(left + 0.02, y + LINE * (m + 0.8), said, va="center", fontsize=SMALL, zorder=4)
        if box.among is not None:
            _line(axes, [x + part for part in (0.36, 0.36, 0.5, 0.64, 0.64)], [y, *[y - 0.13] * 3, y], box.among)
        spots.append((box, x, y + tall / 2))
        y += tall + GAP
    if column.left_out:
        axes.text(x + 0.5, y, f"{column.left_out} more boxes", ha="center", fontsize=SMALL)
    return spots


def _links(axes: canvas.Axes, graph: Graph, spots: Sequence[tuple[Box, int, float]], low: float) -> None:
    """A line for each two boxes that join; ``low`` is under all boxes, where lines run that skip a column."""
    for lower, x1, y1 in spots:
        for upper, x2, y2 in spots:
            pinned = graph.joined(lower, upper) if lower is not upper else None
            if pinned is None:
                continue
            right, left = x1 + (1 + BOX) / 2, x2 + (1 - BOX) / 2
            x, y = [right, (right + left) / 2, left], [y1, (y1 + y2) / 2, y2]
            if x1 == x2:
                x = [right, right + 0.06, right]
            elif x2 != x1 + 1:
                x, y = [right, right + 0.1, x[1], left - 0.1, left], [y1, low, low, low, y2]
                low += LANE
            _line(axes, x, y, pinned)


def _line(axes: canvas.Axes, x: Sequence[float], y: Sequence[float], pinned: bool) -> None:
    axes.plot(x, y, color=canvas.BLUE, linewidth=1.2, zorder=2)
    if pinned:
        axes.plot((x[len(x) // 2],), (y[len(y) // 2],), "o", markersize=5, markerfacecolor="white",
                  markeredgecolor=canvas.INK, zorder=5)  # fmt: skip
