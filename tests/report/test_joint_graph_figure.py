"""The drawing of the joint graph, against the joints that assemblies use."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from builders import rescue_41
from golden.files import SAMPLES

from cache_check.api.base import WhatIf
from cache_check.api.report import ReportTerms, pages
from cache_check.files.cache import read_cache
from cache_check.files.rules import read_rules
from cache_check.model.card import CardResult, PartJoint
from cache_check.report.figures import joint_graph
from cache_check.report.say import Say

SAY = Say("us", ())


def card_of(name: str) -> CardResult:
    """The crew page's facts of a sample cache."""
    cache = rescue_41() if name == "rescue-41" else read_cache(SAMPLES / f"{name}.yaml", read_rules())
    suppose = WhatIf(on=date(2026, 4, 1))
    (card,) = pages([cache], read_rules(), terms=ReportTerms(kinds=("crew",)), suppose=suppose).crews
    return card


def joint(lower: str, upper: str, pins: int = 0) -> PartJoint:
    """A joint from "place part" to "place part"."""
    (below, part), (above, other) = lower.split(), upper.split()
    return PartJoint(part, other, "pin" if pins else "", pins, below, above)


@pytest.mark.parametrize("name", ["rescue-41", "rescue-44", "truck-9"])
def test_every_joint_of_every_assembly_is_drawn(name: str) -> None:
    """Each two neighbours in each legal assembly are in boxes that a line joins, or in one box with an arc."""
    card = card_of(name)
    graph = joint_graph.Graph(card.joins)
    box = {(one.place, part): one for one in graph.boxes for part in one.parts}

    for one in card.reach.assemblies:
        places = ["ground", *["below"] * len(one.below), "body", *["above"] * len(one.above), "load"]
        for (p, lower), (q, upper) in pairwise(zip(places, one.parts, strict=True)):
            a, b = box[p, lower], box[q, upper]
            assert (a.among if a is b else graph.joined(a, b)) is not None


def test_boxes_hold_what_joins_alike() -> None:
    """Rescue 41 is five boxes: two bases, two extensions on either side of two bodies, three heads, all with pins."""
    graph = joint_graph.Graph(card_of("rescue-41").joins)

    assert [(one.place, len(one.parts), one.among) for one in graph.boxes] == [
        ("ground", 2, None), ("below", 2, True), ("body", 2, None), ("above", 2, True), ("load", 3, None),
    ]  # fmt: skip
    ground, below, body, above, load = graph.boxes
    assert graph.joined(ground, body) is graph.joined(body, load) is True
    assert graph.joined(ground, above) is graph.joined(below, load) is None


def test_parts_that_join_differently_are_apart() -> None:
    """Two heads of which one takes a pin are two boxes; only that line has a ring."""
    joins = (joint("ground g", "body b"), joint("body b", "load h"), joint("body b", "load k", pins=1))
    graph = joint_graph.Graph(joins)

    assert [one.parts for one in graph.boxes] == [("g",), ("b",), ("h",), ("k",)]
    rings = [line for line in joint_graph.draw(joins, SAY).axes[0].lines if line.get_marker() == "o"]
    assert len(rings) == 1


def test_dead_ends_are_left_out() -> None:
    """A part on no way from a base to a head is in no box."""
    joins = (joint("ground g", "body b"), joint("body b", "load h"), joint("body b", "above stub"),
             joint("below float", "body b"))  # fmt: skip
    graph = joint_graph.Graph(joins)

    assert graph.parts == {"g", "b", "h"}
    assert joint_graph.Graph(joins[:1]).boxes == ()


def test_long_lists_say_how_many_more() -> None:
    """Of 46 bases alike six are named and 40 counted; of nine that differ eight are drawn and one counted."""
    alike = (*(joint(f"ground g{n}", "body b") for n in range(46)), joint("body b", "load h"))
    said = [text.get_text() for text in joint_graph.draw(alike, SAY).axes[0].texts]
    assert "g5" in said
    assert "g6" not in said
    assert "and 40 more" in said

    apart = tuple(joint(f"ground g{n}", f"body b{n}") for n in range(9))
    apart += tuple(joint(f"body b{n}", "load h") for n in range(9))
    said = [text.get_text() for text in joint_graph.draw(apart, SAY).axes[0].texts]
    assert said.count("1 more boxes") == 2
