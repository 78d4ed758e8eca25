"""Is this stack legal, and if not, which rules does it break and what is the nearest build that is?"""

from collections import Counter
from collections.abc import Sequence

from cache_check.frozen import dataclass
from cache_check.joining.assemblies import Block, Joinery
from cache_check.joining.groups import ends
from cache_check.joining.joints import Breaches, Joints, Kinds, sides
from cache_check.joining.kind import Kind
from cache_check.joining.seats import PLACES, Seat, families_of, places, seats
from cache_check.model.assembly import Assembly, Broken, Legality
from cache_check.model.family import Catalogue
from cache_check.model.part import Part

Wrong = tuple[tuple[Kind, str], ...]


def broken_rules(parts: Sequence[Part], joints: Joints) -> tuple[Broken, ...]:
    """Every rule that a stack (ground to load) breaks, for the way of turning its parts that breaks the fewest."""
    whole = [(kind, says) for kind in joints.kinds if (says := kind.stack(tuple(parts)))]
    return tuple(
        Broken(kind.rule.id, kind.rule.title, kind.severity, says, kind.rule.source, kind.rule.remedy)
        for kind, says in (*whole, *_sums(parts, joints.kinds, families_of(tuple(parts))), *_of_seats(parts, joints))
    )


def _sums(parts: Sequence[Part], kinds: Kinds, families: frozenset[str]) -> Breaches:
    for kind in kinds:
        most = kind.limit(families)
        if most is not None and (total := sum(kind.measure(part) for part in parts)) > most and kind.is_on(families):
            yield kind, kind.over(total, most)


@dataclass(frozen=True)
class _Sat:
    """The parts so far as they sit: the number of each one's way up, and what their seats and joints break."""

    ways: tuple[int, ...]
    stack: tuple[Seat, ...]
    seats: Wrong
    joints: Wrong

    @property
    def cost(self) -> tuple[int, int, tuple[int, ...]]:
        """Fewest breaches that stop, then fewest in all, then the first ways up."""
        broken = self.seats + self.joints
        return (sum(kind.stops for kind, _ in broken), len(broken), self.ways)


def _of_seats(parts: Sequence[Part], joints: Joints) -> Breaches:
    """What the seats, joints and sides break, each part the way up that breaks the least."""
    # What a joint breaks hangs on its two seats alone, so the best of each way up of the last part is all that is kept.
    families = families_of(tuple(parts))
    best = [_Sat((), (), (), ())]
    for part, place in zip(parts, places(parts), strict=True):
        best = [
            min((_with(one, n, seat, joints, families) for one in best), key=lambda sat: sat.cost)
            for n, seat in enumerate(seats(part, place))
        ]
    sat = min(best, key=lambda sat: sat.cost)
    yield from (*sat.seats, *sat.joints)
    for side in sides(sat.stack):
        yield from joints.broken_side(side, joints.kinds, families)


def _with(one: _Sat, way: int, seat: Seat, joints: Joints, families: frozenset[str]) -> _Sat:
    met: Wrong = ()
    if one.stack and one.stack[-1].top and seat.bottom:
        met = tuple(joints.broken_joint(one.stack[-1], seat, joints.kinds, families))
    own = tuple(joints.broken_seat(seat, joints.kinds, families))
    return _Sat((*one.ways, way), (*one.stack, seat), one.seats + own, one.joints + met)


def explain(parts: Sequence[Part], joined: Joinery) -> Legality:
    """Whether linear parts, ground to load, may be built, what they break, and the nearest build of usable pieces."""
    broken = broken_rules(parts, joined.joints)
    legal = not any(wrong.severity == "stop" for wrong in broken)
    assembly = joined.assembly_of(parts) if legal else None
    wanted = Counter(part.id for part in parts)
    wanted.update(dict(assembly.pins if assembly else ()))
    short = tuple((part, n, joined.counts.get(part, 0)) for part, n in wanted.items() if joined.counts.get(part, 0) < n)
    ids, (nearest, changes) = tuple(part.id for part in parts), nearest_build(parts, joined)
    sat = [seat for part, place in zip(parts, places(parts), strict=True) for seat in seats(part, place)[:1]]
    asked = ((kind, seat) for seat in sat for kind in joined.joints.kinds if kind.is_on((seat.part.family,)))
    notes = tuple(note for kind, seat in asked if (note := kind.note(seat)) is not None)
    return Legality(ids, legal, broken, assembly, short, nearest, changes, notes)


def nearest_build(parts: Sequence[Part], joined: Joinery) -> tuple[Assembly | None, int]:
    """The legal build from usable pieces that changes the fewest parts, and how many it changes; (None, 0): none."""
    wanted = Counter(part.id for part in parts)
    near = (_closest(wanted, block, joined) for block in joined.blocks)
    # A part replaced, added or taken away is one change; ties go to fewer pieces, then the fixed order.
    found = [(one, max(len(parts), len(one.parts)) - _kept(wanted, one.parts)) for one in near if one is not None]
    return min(found, key=lambda one: (one[1], len(one[0].parts)), default=(None, 0))


def _kept(wanted: Counter[str], parts: Sequence[str]) -> int:
    return (Counter(parts) & wanted).total()


def _closest(wanted: Counter[str], block: Block, joined: Joinery) -> Assembly | None:
    """The assembly of a block that keeps the most of the wanted parts; None where the stock has no two of its ends."""

    def kept(parts: Sequence[Part]) -> int:
        return _kept(wanted, [part.id for part in parts])

    if not (pairs := ends(block.ground, block.load)):
        return None
    # Body, pieces and fittings are of different kinds, so each is chosen for itself.
    ground, load = max(pairs, key=kept)
    body = max(block.body.parts, key=lambda part: kept((part,)))
    stack = max(block.stacks, key=lambda stack: kept(stack.pieces))
    return joined.assembly(ground, body, load, block.shape, stack)


def own_fault(joints: Joints, catalogue: Catalogue, part: Part) -> str:
    """The rule that keeps a linear part out of every assembly, in words; "" where it only wants a partner."""
    own = [seat for place in PLACES for seat in seats(part, place)]
    seated = [seat for seat in own if joints.may_sit(seat)]
    broken = [next(joints.broken_seat(seat, joints.stopping)) for seat in own if seat not in seated]
    if not seated and broken:
        return _says(*broken[0])
    over = next(_sums((part,), joints.stopping, frozenset((part.family,))), None)
    return _says(*over) if over else _unmet(joints, catalogue, seated)


def _unmet(joints: Joints, catalogue: Catalogue, seated: list[Seat]) -> str:
    """Why seats meet nothing that leads to a strut: the rule that forbids the joints at an end that meets nothing."""
    every = (seat for part in catalogue.parts for place in PLACES for seat in seats(part, place))
    others = [seat for seat in every if joints.may_sit(seat)]
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
