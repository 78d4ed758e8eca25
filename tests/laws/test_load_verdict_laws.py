"""Laws of what may be said of a strut in its place: worse in is never better out, a yes for n is one for fewer.

And what is said to pass does: the largest load, asked back, is met.
"""

from __future__ import annotations

from fractions import Fraction
from math import floor
from typing import Any

from builders import checked, loaded, needs_of, tidy
from hypothesis import assume, example, given
from hypothesis import strategies as st

from cache_check.model.load import LoadResult
from cache_check.model.need import reaching
from cache_check.planning.loading.carrying import RANK
from cache_check.units import NEWTON_PER_LBF, NM_PER_INCH
from laws.strategies import some

FEW = some(25)
Asked = dict[str, Any]


@st.composite
def _asked(draw: st.DrawFn) -> Asked:
    """A rig of bodies, bases, straps of one and chain of another kind, pads; and a place, sure in all it says."""
    counts = {
        "body": draw(st.integers(1, 4)), "base": draw(st.integers(1, 4)), "head": draw(st.integers(1, 4)), "pin": 16,
        "strap": draw(st.integers(0, 9)), "chain": draw(st.integers(0, 5)), "binder": draw(st.integers(0, 5)),
        "pad": draw(st.integers(0, 3)), "ext-6": 0, "ext-12": 0,
    }  # fmt: skip
    parts: dict[str, dict[str, Any]] = {
        "base": {"points": [{"wll": draw(st.sampled_from([1500, 3000, 5000]))}] * 2},
        "strap": {"wll": draw(st.sampled_from([1000, 2000, 3333]))},
        "chain": {"kind": "chain", "wll": 6600, "length": "20 ft", "needs": {"T/binder": 1}},
        "binder": {"kind": "hardware", "wll": draw(st.sampled_from([600, 5400]))},
        "pad": {"kind": "pad", "footprint": {"length": 14, "width": 14}},
    }
    place = {
        "contact_height": 40, "angle": draw(st.integers(46, 69)), "vertical": draw(st.integers(500, 9000)),
        "half_angles": draw(st.sampled_from([20, 30, 45])), "on_this_side": draw(st.integers(1, 3)),
        "on_the_other_side": 0,
        "soil": draw(st.sampled_from([2000, 6000, 50_000])), "pretension": draw(st.sampled_from([0, 100])),
    }  # fmt: skip
    return {"counts": counts, "parts": parts, "place": place}


def _answer(asked: Asked) -> LoadResult:
    return loaded(tidy(parts=asked["parts"], counts=asked["counts"]), **asked["place"])


def _with(asked: Asked, kind: str, **changed: Any) -> Asked:
    return asked | {kind: asked[kind] | changed}


WORSE = ("more load", "softer ground", "steeper", "flatter", "weaker straps", "one strut more", "tighter")
_PIECES = ("body", "base", "head", "strap", "chain", "binder", "pad")
SAMPLE: Asked = {
    "counts": {
        "body": 2, "base": 2, "head": 2, "pin": 16, "strap": 4, "chain": 0, "binder": 0, "pad": 0, "ext-6": 0,
        "ext-12": 0,
    },
    "parts": {"chain": {"kind": "chain", "wll": 6600, "needs": {"T/binder": 1}}, "binder": {"kind": "hardware"},
              "pad": {"kind": "pad", "footprint": {"length": 14, "width": 14}}},
    "place": {"contact_height": 40, "angle": 60, "vertical": 3000, "half_angles": 30, "on_this_side": 2,
              "on_the_other_side": 0, "soil": 50_000, "pretension": 0},
}  # fmt: skip
"""A rig and a place that are met, so that the laws cannot hold for want of a yes."""
PLAIN: Asked = {
    "contact": "edge", "far_anchors": "structure", "anchor_distance": 60, "sure": True, "why": "sound rock",
}  # fmt: skip
"""What a need and a place say alike."""


def _worse(asked: Asked, how: str) -> Asked:
    """The same made worse one way."""
    place = asked["place"]
    changes: dict[str, Asked] = {
        "more load": {"vertical": place["vertical"] + 1500},
        "softer ground": {"soil": place["soil"] // 3},
        "steeper": {"angle": 75},
        "flatter": {"angle": 40},
        "one strut more": {"on_the_other_side": 1},
        "tighter": {"pretension": place["pretension"] + 400},
    }
    if how == "weaker straps":
        strap = asked["parts"].get("strap", {"wll": 3333})
        return _with(asked, "parts", strap=strap | {"wll": strap["wll"] // 3})
    return _with(asked, "place", **changes[how])


def _no_better(before: LoadResult, after: LoadResult) -> None:
    assert RANK[after.verdict] >= RANK[before.verdict]
    assert (after.tally.count("rated") or 0) <= (before.tally.count("rated") or 0)


def test_the_sample_is_met() -> None:
    """What the laws start from is a yes."""
    assert _answer(SAMPLE).verdict == "met"


@FEW
@given(_asked(), st.sampled_from(WORSE))
@example(SAMPLE, "more load")
@example(SAMPLE, "tighter")
@example(SAMPLE, "softer ground")
def test_worse_in_is_never_better_out(asked: Asked, how: str) -> None:
    """More load, softer ground, an angle past its limit, weaker straps, more struts wanted, tighter: no better.

    But for a load that pre-tension would lift: more of it is what keeps the vehicle down.
    """
    before = _answer(asked)
    lifted = any(link.of == "pre-tension" and link.state == "does not hold" for link in before.links)
    assume(not (lifted and how == "more load"))

    _no_better(before, _answer(_worse(asked, how)))


@FEW
@given(_asked(), st.integers(1, 3), st.sampled_from(["", "contact", "soil", "far_anchors", "anchor_distance"]))
@example(SAMPLE, 2, "")
def test_a_need_with_an_upright_load_is_answered_as_load_answers_its_place(
    asked: Asked, count: int, blank: str
) -> None:
    """So many struts, each with all of the load and what policy assumes: one count, one verdict, one missing alike."""
    rig, place = tidy(parts=asked["parts"], counts=asked["counts"]), asked["place"]
    said = {name: place[name] for name in ("angle", "vertical", "soil")} | PLAIN
    said = {name: None if name == blank else value for name, value in said.items()}
    alone: Asked = {"on_this_side": 1, "on_the_other_side": count - 1, "pretension": None, "dynamic_allowance": None}
    load = loaded(rig, contact_height=40, **said, **alone)
    nm = reaching(40 * NM_PER_INCH, Fraction(place["angle"]))
    long = f"{nm // 10**6}.{nm % 10**6:06} mm"
    stated = {name: value for name, value in said.items() if value is not None}
    need = {"count": count, "height": 40, "shortest": long, "longest": long, **stated}
    [tally] = checked(rig, needs=needs_of([need])).tallies

    assert (tally.count("rated"), tally.verdict) == (load.tally.count("rated"), load.verdict)
    assert (tally.missing and tally.missing.state) == (load.tally.missing and load.tally.missing.state)


@FEW
@given(_asked(), st.sampled_from(_PIECES))
@example(SAMPLE, "strap")
@example(SAMPLE, "head")
def test_a_piece_taken_away_is_never_better(asked: Asked, piece: str) -> None:
    """One body, base, head, strap, chain, binder or pad less: no verdict and no count is better."""
    less = _with(asked, "counts", **{piece: max(0, asked["counts"][piece] - 1)})

    _no_better(_answer(asked), _answer(less))


@FEW
@given(_asked(), st.sampled_from(["points", "strap", "binder", "contact", "far_anchors", "soil", "anchor_distance"]))
@example(SAMPLE, "points")
@example(SAMPLE, "far_anchors")
def test_what_nobody_knows_never_makes_a_yes(asked: Asked, blank: str) -> None:
    """A limit or a fact left blank: never met by that, and no more struts are rated."""
    parts: Asked = {"points": {"base": {"points": 2}}, "strap": {"strap": {"wll": None}}, "binder": {"binder": {
        "kind": "hardware"}}}  # fmt: skip
    unknown = _with(asked, "parts", **parts[blank]) if blank in parts else _with(asked, "place", **{blank: None})
    before, after = _answer(asked), _answer(unknown)

    assert after.verdict != "met" or before.verdict == "met"
    assert (after.tally.count("rated") or 0) <= (before.tally.count("rated") or 0)


@FEW
@given(_asked())
@example(SAMPLE)
def test_a_yes_for_n_is_a_yes_for_fewer(asked: Asked) -> None:
    """What is met with so many against them on the other side is met with fewer there."""
    many = _with(asked, "place", on_the_other_side=1)

    _no_better(_answer(asked), _answer(many))
    if _answer(asked).verdict == "met":
        assert (_answer(asked).tally.count("rated") or 0) >= asked["place"]["on_this_side"]


OF_LOAD: dict[str, dict[str, Any]] = {
    "vertical": {},
    "weight": {"weight_outside": 6, "contact_x": 8, "state": "leaning"},
    "weight_outside": {"weight": 3000, "contact_x": 8, "state": "leaning"},
    "sideways_share": {"weight": 3000, "weight_inside": 15, "edges_apart": 54, "contact_x": 8, "state": "at rest"},
}
"""What is asked the other way round, and what else a situation then says."""


@FEW
@given(_asked(), st.sampled_from(sorted(OF_LOAD)), st.sampled_from(["1", "1.25"]))
@example(_with(SAMPLE, "place", soil=2000), "vertical", "1")
@example(_with(_with(SAMPLE, "place", soil=2000), "counts", pad=1), "vertical", "1")
@example(SAMPLE, "weight_outside", "1")
@example(SAMPLE, "sideways_share", "1.25")
def test_the_largest_load_that_passes_is_met(asked: Asked, of: str, allowance: str) -> None:
    """Asked as a known load it is met, by all struts wanted: with their pads, on the pivot, the allowance counted."""
    place = {name: value for name, value in asked["place"].items() if name != "vertical"}
    place |= OF_LOAD[of] | {"dynamic_allowance": allowance}
    unknown = {of: "unknown"} if of != "sideways_share" else {of: "0.5"}
    before = _answer(asked | {"place": place | unknown})
    most = before.largest[-1] if before.largest and before.largest[-1].way == "at most" else None
    assume(most is not None and most.value is not None and before.verdict != "not met")
    assert most is not None
    assert most.value is not None
    forces = {"vertical": 1, "weight": 1, "sideways_share": 3000}
    value = most.value / (NEWTON_PER_LBF * forces[of] if of in forces else NM_PER_INCH)
    shown = f"{floor(value * 10**4) / 10**4:.4f}"
    assume(float(shown) > 0 and not (of == "sideways_share" and value > 2))

    after = _answer(asked | {"place": place | {of: shown}})

    assert after.verdict == "met", [link for link in after.links if link.state != "holds"]
