"""Which rule keeps a part out of every strut, where it is the part's own fault."""

from __future__ import annotations

from cache_check.joining.joints import Joints
from cache_check.joining.kind import Kind
from cache_check.joining.seats import PLACES, Seat, seats
from cache_check.model.family import Catalogue
from cache_check.model.part import LINEAR, Part


def own_fault(joints: Joints, catalogue: Catalogue, part: Part) -> str:
    """The rule that keeps a linear part out of every assembly, in words; "" where it only wants a partner."""
    own = [seat for place in PLACES for seat in seats(part, place)]
    seated = [seat for seat in own if joints.may_sit(seat)]
    broken = [next(joints.broken_seat(seat, joints.stopping)) for seat in own if seat not in seated]
    if not seated and broken:
        return _says(*broken[0])
    families = frozenset((part.family,))
    for kind in joints.stopping:
        most = kind.limit(families)
        if most is not None and kind.is_on(families) and kind.measure(part) > most:
            return _says(kind, kind.over(kind.measure(part), most))
    return _unmet(joints, catalogue, seated)


def _unmet(joints: Joints, catalogue: Catalogue, seated: list[Seat]) -> str:
    """Why seats meet nothing that leads to a strut: the rule that forbids the joints at an end that meets nothing."""
    others = [
        seat for part in catalogue.parts if part.kind in LINEAR for place in PLACES
        for seat in seats(part, place) if joints.may_sit(seat)
    ]  # fmt: skip
    for seat in seated:
        ends = [[(seat, one) for one in others if one.bottom]] if seat.top else []
        ends += [[(one, seat) for one in others if one.top]] if seat.bottom else []
        for pairs in ends:
            if not any(joints.may_join(*pair) for pair in pairs):
                broken = (next(joints.broken_joint(*pair, joints.stopping), None) for pair in pairs)
                first = next((one for one in broken if one), None)
                return _says(*first) if first else ""
    return ""


def _says(kind: Kind, says: str) -> str:
    return f"{says} ({kind.rule.id}, {kind.rule.title})"
