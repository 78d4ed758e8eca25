"""What in a situation does not go together, or cannot be."""

from collections.abc import Iterator

from cache_check import units
from cache_check.model.situation import ALONE, Situation

Disagreement = tuple[str, str, str]
"""The entry, what is wrong, what would be right."""
_LONGEST_NM = 100_000 * units.NM_PER_MM
_GREATEST_N = 10**8
_DISTANCES = ("weight_inside", "weight_outside", "edges_apart", "push_height", "anchor_distance")


def disagreements(one: Situation) -> Iterator[Disagreement]:
    """What in a situation does not go together, or cannot be: entry, what is wrong, what would be right."""
    for look in (_alone, _load, _places, _ties, _possible):
        yield from look(one)


def _given(one: Situation, name: str) -> bool:
    return getattr(one, name) not in (None, ()) or name in one.unknown


def _alone(one: Situation) -> Iterator[Disagreement]:
    for names in ALONE:
        given = [name for name in names if _given(one, name)]
        if len(given) > 1:
            yield given[1], f"stands beside {given[0]!r}, which says the same another way", "keep one of them"
    if not any(_given(one, name) for name in ALONE[0]):
        yield "", "how steep the strut stands is not said", f"add one of {', '.join(ALONE[0])}"


def _load(one: Situation) -> Iterator[Disagreement]:
    weighed = _given(one, "weight")
    for name in ("weight_inside", "weight_outside"):
        if _given(one, name) and not weighed:
            yield name, "where a weight lies says nothing without it", "add weight, or weight: unknown"
    if one.one_end_pivots and not weighed:
        yield "one_end_pivots", "half of what weight is not said", "add weight, or weight: unknown"
    if weighed and not (_given(one, "weight_inside") or _given(one, "weight_outside") or one.one_end_pivots):
        right = "add weight_inside or weight_outside, its distance from the edge that the vehicle would turn about; "
        right += "or one_end_pivots: true for half of it"
        yield "weight", "what part of it comes onto the strut is not said", right
    yield from _state(one)
    if one.strut_limit is not None and one.axial is not None:
        yield "strut_limit", "an axial force is one strut's already", "take one of the two out"


def _state(one: Situation) -> Iterator[Disagreement]:
    wrong = {"at rest": ("outside", "leaning", "inside"), "leaning": ("inside", "at rest", "outside")}
    where, other, right = wrong.get(one.state or "", ("", "", ""))
    if where and _given(one, f"weight_{where}"):
        says = f"a vehicle {one.state} does not have its weight {where} the edge"
        yield "state", says, f"state: {other}, or weight_{right}"
    for name in ("sideways_share", "push_height"):
        if _given(one, name) and one.weight_inside is None:
            yield name, "a push to the side is asked of a weight inside the edge", "add weight_inside, or take it out"
    if one.edges_apart is not None and one.weight_inside is not None and one.weight_inside > one.edges_apart:
        yield "edges_apart", "the weight lies beyond the other edge", "check the two distances"


def _places(one: Situation) -> Iterator[Disagreement]:
    places = one.strut_places
    if not places and one.load_at is not None:
        yield "load_at", "where the struts stand is not said", "add strut_places, one for each of two struts"
    if not places:
        return
    if len(places) != 2 or len(set(places)) != 2:
        right = "write two unlike places, or only on_this_side"
        yield "strut_places", "lever arms divide a load between two struts", right
    elif one.on_this_side not in (None, 2):
        yield "strut_places", f"there are two places and {one.on_this_side} struts on this side", "make them agree"
    elif one.load_at is None:
        yield "strut_places", "where the load lies between the struts is not said", "add load_at"
    elif not min(places) <= one.load_at <= max(places):
        yield "load_at", "the load lies outside the two struts and would lift one of them", "check the places"
    if one.axial is not None:
        yield "strut_places", "an axial force is one strut's already", "take the places out"


def _ties(one: Situation) -> Iterator[Disagreement]:
    for name in ("half_angles", "rise", "anchors", "pretension", "anchor_distance", "far_anchors"):
        if one.ties == "none" and _given(one, name):
            yield name, "there are no straps or chains in this situation", "take it out, or change ties"
    sides = [angle for angle in one.half_angles if angle.size]
    if len(one.half_angles) > 1 and len({bool(angle.side) for angle in sides}) > 1:
        yield "half_angles", "some say left or right and some do not", "say it of each"
    if len(one.half_angles) > 2 and not all(angle.side for angle in sides):
        yield "half_angles", "of more than two, each must say left or right", 'write "30 left"'
    if one.half_angles and one.half_angles[0].side and len(one.half_angles) == 1:
        yield "half_angles", "one strap is half a restraint", "add the strap on the other side, or leave the side out"
    if len(one.anchors) == 1:
        yield "anchors", "one strap is half a restraint", "add the anchor on the other side"
    if one.anchors and one.rise:
        yield "rise", "the anchors say already how the straps rise", "keep one of them"
    number = len(one.plan_angles) or len(one.anchors) or 2
    for name in ("rise", "pretension"):
        if len(getattr(one, name)) not in (0, 1, number):
            yield name, f"is a list of {len(getattr(one, name))} for {number} straps", f"write one value, or {number}"


def _possible(one: Situation) -> Iterator[Disagreement]:
    if one.contact_height + one.ground_drop <= 0:
        yield "ground_drop", "the base would stand as high as the contact or higher", "check the sign and the figures"
    lies = _given(one, "weight_outside") or _given(one, "weight_inside")
    if lies and one.pivot_height >= one.contact_height:
        yield "pivot_height", "the pivot is as high as the contact or higher", "check the two heights"
    if any(one.pretension) and (one.steepness == 90 or one.base_offset == 0):
        yield "pretension", "straps cannot press an upright strut", "take it out, or set the base out"
    for name in ("contact_height", "ground_drop", "contact_x", "pivot_height", "base_offset", *_DISTANCES):
        if abs(getattr(one, name) or 0) > _LONGEST_NM:
            yield name, "is more than 100 m", "check the figure and its unit"
    if len(one.soil) not in (0, 1, one.struts):
        yield "soil", f"is a list of {len(one.soil)} for {one.struts} struts", f"write one value, or {one.struts}"
    if one.push_height is not None and one.push_height <= one.pivot_height:
        yield "push_height", "is not above the pivot", "check the two heights"
    for name in ("vertical", "weight", "axial"):
        if (getattr(one, name) or 0) > _GREATEST_N:
            yield name, "is more than 100 MN", "check the figure and its unit"
