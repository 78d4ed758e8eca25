"""Rules about one situation: a situation that keeps each, and one that breaks it and nothing else.

Where breaking one rule cannot but break another, both are named.  Whatever does not hold leaves too few struts, which
NEED-1 says.
"""

from __future__ import annotations

from typing import Any

from builders import sure, tidy

from rule_examples.example import Example

_ANCHORS = [[-10, 3, 20], [-10, 3, -20]]
_THREE = {"body": 3, "base": 3, "head": 3, "pin": 12, "strap": 6}
_MARKED: dict[str, dict[str, Any]] = {"base": {"points": [{"wll": 7000}, {"wll": 7000}]}}


def _of(says: frozenset[str], parts: dict[str, dict[str, Any]], counts: dict[str, int | None], asked: Any) -> Example:
    named = _MARKED | {name: _MARKED.get(name, {}) | fields for name, fields in parts.items()}
    # The policy's allowance makes 3,000 lbf of these.
    given = {
        "contact_height": 40,
        "angle": 60,
        "vertical": 2400,
        "half_angles": 30,
        "dynamic_allowance": "1.25",
    } | asked
    return Example(tidy(parts=named, counts=counts), says=says, situation=sure(**given))


def _keeps(parts: Any = None, counts: Any = None, **asked: Any) -> Example:
    return _of(frozenset(), parts or {}, counts or {}, asked)


def _breaks(rule: str, *also: str, parts: Any = None, counts: Any = None, **asked: Any) -> Example:
    return _of(frozenset({rule, *also}), parts or {}, counts or {}, asked)


LOADS: dict[str, tuple[Example, Example]] = {
    "ANG-1": (_keeps(angle=45), _breaks("ANG-1", "NEED-1", angle="44.9")),
    # 3,000 lbf on 7 by 7 in are 8,816.3 psf; with 5.4 % more the margin is not thin either.
    "GND-1": (_keeps(soil=9300), _breaks("GND-1", "NEED-1", soil=8816)),
    "NUM-1": (
        _keeps(counts=_THREE, vehicle="car", on_this_side=3, on_the_other_side=0),
        _breaks("NUM-1", counts=_THREE, vehicle="car", on_this_side=2, on_the_other_side=0),
    ),
    "HED-1": (_keeps(contact="edge"), _breaks("HED-1", "NEED-1", contact="hole")),
    "HED-2": (_keeps(contact="flat", face=60), _breaks("HED-2", "NEED-1", contact="flat", face=0)),
    # 8,000 lbf rated along the strut; 6,597 upright are 7,618 along it, 5.01 % under.
    "CAP-5": (_keeps(vertical="5277.6"), _breaks("CAP-5", vertical="5279.2")),
    "LOD-1": (_keeps(dynamic_allowance="1.25"), _breaks("LOD-1", dynamic_allowance="1.24")),
    "STR-3": (
        _keeps(half_angles=["30 left", "45 right"]),
        _breaks("STR-3", "NEED-1", half_angles=["30 left", "20 left"]),
    ),
    "STR-6": (_keeps(half_angles=15), _breaks("STR-6", half_angles="14.9")),
    # The anchors are 38.8 in from the base, 62.8 with the tail.
    "STR-5": (
        _keeps(parts={"strap": {"length": 63}}, half_angles=None, anchors=_ANCHORS),
        _breaks("STR-5", "NEED-1", parts={"strap": {"length": 62}}, half_angles=None, anchors=_ANCHORS),
    ),
    # At 45 deg 1.5 times 5,000 lbf take four straps of 3,333.
    "PTS-3": (
        _keeps(contact_height=35, angle=45),
        _breaks("PTS-3", contact_height=35, angle=45, vertical=4000, counts={"strap": 8}),
    ),
    "WLL-1": (_keeps(), _breaks("WLL-1", "NEED-1", parts={"strap": {"wll": None}})),
    "WLL-2": (_keeps(), _breaks("WLL-2", "NEED-1", parts={"base": {"points": 2}})),
    # Two straps of 400 lbf lift with 1,200 at 60 deg, half of 2,400: no allowance keeps a vehicle down.
    "PRE-1": (_keeps(pretension=400), _breaks("PRE-1", "NEED-1", pretension=401)),
    "LAT-1": (_keeps(), _breaks("LAT-1", "ANG-1", "NEED-1", angle=90)),
    "EQU-1": (_keeps(rise=10), _breaks("EQU-1", "NEED-1", rise=60)),
}
