"""What struts take: fittings and pins for every body; lengths that nothing covers, and parts of no use."""

from collections import Counter
from fractions import Fraction
from itertools import product
from math import ceil
from operator import itemgetter

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings, Lacks, fixed_lengths
from cache_check.checks.restraint import serving
from cache_check.frozen import dataclass
from cache_check.joining.kinds.stacks import mates
from cache_check.joining.seats import settable
from cache_check.model.family import CAPTIVE
from cache_check.model.part import LINEAR, Body, End, Fitting, Hardware, Pad, Part, Pin, Tie, TwoEnded
from cache_check.model.rule import Rule
from cache_check.units import Rounding, as_asked

_FEW = 4  # more blind spots than this are counted and only the widest are named; reach shows them all


@dataclass
class _Circle:
    """Connectors that the usable parts can bring together, and the usable pieces on them."""

    ends: frozenset[End]
    families: set[str]
    bases: dict[str, int]
    heads: dict[str, int]
    bodies: int = 0


def gaps_fittings_for_bodies(facts: Facts, rule: Rule) -> Lacks:
    """Bases, heads, and both together (an either-end is one piece), against the bodies that they can be brought to."""
    circles = [circle for circle in _circles(facts) if circle.bodies]
    for circle in circles:
        of = f" of family {say.listed(sorted(circle.families))}" if len(circles) > 1 else ""
        bodies = say.several(circle.bodies, "strut body", "strut bodies") + of
        as_either = sum(number for part, number in circle.bases.items() if part in circle.heads)
        either = f", {as_either} of them either-end" if as_either else ""
        both = ("bases and heads together", circle.bases | circle.heads, 2)
        for what, pieces, each in (("bases", circle.bases, 1), ("heads", circle.heads, 1), both):
            have, want = sum(pieces.values()), each * circle.bodies
            effect = f"no more than {have // each} of the bodies can stand at once"
            needs = f"{bodies} {say.verb(circle.bodies, 'needs', 'need')} {want} {what if want > 1 else what[:-1]}"
            parts = serving(facts, what, circle.families)
            yield facts.gap(rule, what + of, have, want, parts, needs, f" ({have} usable{either})"), effect


def _circles(facts: Facts) -> list[_Circle]:
    """The usable parts by connector: a body, extension or adapter brings its two ends together."""
    catalogue, counts = facts.muster.cache.catalogue, facts.muster.usable.counts
    there = [part for part in catalogue.parts if counts[part.id]]
    circles: list[_Circle] = []
    for part in there:
        if isinstance(part, TwoEnded):
            own = {part.family} if isinstance(part, Body) else set()
            circles = _joined(facts, circles, _Circle(frozenset({part.lower, part.upper}), own, {}, {}))
    for part in there:
        if isinstance(part, Body):
            next(c for c in circles if part.lower in c.ends).bodies += counts[part.id]
        elif isinstance(part, Fitting):
            for circle in (c for c in circles if any(mates(end, part.end, catalogue) for end in c.ends)):
                for role, pieces in (("base", circle.bases), ("head", circle.heads)):
                    if role in part.serves:
                        pieces[part.id] = counts[part.id]
    return circles


def _joined(facts: Facts, circles: list[_Circle], new: _Circle) -> list[_Circle]:
    apart = []
    for circle in circles:
        if any(one == two or mates(one, two, facts.muster.cache.catalogue) for one in circle.ends for two in new.ends):
            new = _Circle(circle.ends | new.ends, circle.families | new.families, {}, {})
        else:
            apart.append(circle)
    return [*apart, new]


def gaps_spare_pins(facts: Facts, rule: Rule) -> Lacks:
    """For each loose pin: its joints in what takes most of it, and spares."""
    least, share = int(facts.value(rule, "min")), Fraction(facts.value(rule, "share"))
    for pin, (use, whence) in sorted(_in_use(facts).items()):
        spare, have = max(least, ceil(share * use)), facts.muster.usable.counts[pin]
        needs = f"{facts.name(pin)}: {use} in {whence} and {spare} spare make {use + spare}"
        bare = f"{say.several(use - have, 'pin')} short even with no spare: a strut that lacks one pin is not built"
        effect = bare if use > have else "one pin lost on scene can cost a strut"
        yield facts.gap(rule, pin, have, use + spare, [pin], needs), effect


def _in_use(facts: Facts) -> dict[str, tuple[int, str]]:
    """Loose pins in use, by part id, and what takes most: ready sets (else two joints on every body) or a scene."""
    built, by_id = facts.muster.cache.ready_sets, facts.muster.cache.catalogue.by_id
    uses = [("the ready sets", Counter[str]()) if built else ("two joints on every body", _at_bodies(facts))]
    for ready in built:
        pins, _ = facts.muster.joined.joints.sitting([by_id[part] for part in ready.parts])
        for pin, number in filter(None, pins):
            uses[0][1][pin] += number
    uses += [(one.title or f"scene {one.scene}", Counter(dict(one.pins))) for one in facts.answers]
    # The last of a pin stays: what takes most of it, and of such as take alike the first.
    taken = ((number, whence, pin) for whence, pins in reversed(uses) for pin, number in pins.items())
    return {pin: (number, whence) for number, whence, pin in sorted(taken, key=itemgetter(0))}


def _at_bodies(facts: Facts) -> Counter[str]:
    catalogue, pins = facts.muster.cache.catalogue, Counter[str]()
    for part, number in facts.usable_bodies().items():
        body = catalogue.by_id[part]
        assert isinstance(body, Body)
        each = int(facts.muster.book.ruled("pin_per_joint", "per_joint", (body.family,), 0))
        for end in (body.lower, body.upper):
            if (pin := catalogue.pin_of.get(end.name, CAPTIVE)) != CAPTIVE:
                pins[pin] += each * number
    return +pins


def check_hole_pitch(facts: Facts, rule: Rule) -> Findings:
    """A finding for each unmet need of one length that lies between the settings of builds locked at holes."""
    bodies = [part for part in facts.muster.cache.catalogue.parts if isinstance(part, Body) and part.holes]
    tallies = [tally for _, tally in facts.asked() if not tally.met and tally.shortest == tally.longest]
    for tally, body in product(tallies, bodies):
        if (nearest := _nearest(facts, body, tally.longest)) is None:
            continue
        below, above = nearest
        most, packing = int(facts.value(rule, "pack", (body.family,))), tally.longest - below
        ends: tuple[tuple[int, Rounding], ...] = ((tally.longest, "nearest"), (below, "down"), (above, "up"))
        asked, low, high = (as_asked(length, facts.muster.cache.units, rounding) for length, rounding in ends)
        what = f"{tally.label}: {asked} lies between two settings of {facts.name(body.id)}, {low} and {high}"
        pack = f"the lower one needs {facts.length(packing, 'up')} of packing"
        within = "which is within" if packing <= most else "which is more than"
        effect = f"no build of this body covers it; {pack}, {within} the {facts.length(most, 'down')} allowed"
        figures = (("asked_nm", tally.longest), ("below_nm", below), ("above_nm", above), ("packing_nm", packing))
        yield facts.finding(rule, what, effect, figures=figures, part=body.id)


def _nearest(facts: Facts, body: Body, length: int) -> tuple[int, int] | None:
    """The settings next below and above a length; None where one build covers it or it lies outside them all."""
    blocks = (block for block in facts.muster.joined.blocks if body in block.body.parts)
    builds = product({fixed for block in blocks for _, fixed in fixed_lengths(block)}, settable(body))
    spans = [(low + fixed, high + fixed) for fixed, (low, high) in builds]
    below, above = [high for _, high in spans if high < length], [low for low, _ in spans if low > length]
    # A span that is neither holds the length.
    return (max(below), min(above)) if below and above and len(below) + len(above) == len(spans) else None


def check_blind_spot(facts: Facts, rule: Rule) -> Findings:
    """One finding for all blind spots together, the widest first."""
    if spots := sorted(facts.reach.blind_spots, key=lambda spot: (spot[0] - spot[1], spot[0])):
        named = [f"{facts.length(low, 'down')} to {facts.length(high, 'up')}" for low, high in sorted(spots[:_FEW])]
        named += [f"{len(spots) - _FEW} more"] if len(spots) > _FEW else []
        what = f"{say.several(len(spots), 'blind spot')} inside the reach: {say.listed(named)}"
        effect = "no strut can be set to these lengths; both ends of each are reached"
        figures = (("spots_count", len(spots)), ("widest_nm", spots[0][1] - spots[0][0]))
        yield facts.finding(rule, what, effect, figures=figures)


def check_part_of_use(facts: Facts, rule: Rule) -> Findings:
    """A finding for each part type there is, or may be, of no use; for want of a partner where none is at fault."""
    muster = facts.muster
    parts = [part for part in muster.cache.catalogue.parts if part.id in muster.listed]
    idle = [part for part in parts if part.kind in LINEAR and part.id not in muster.laid.of_use]
    found = [(part, muster.faults[part.id]) for part in idle if part.id in muster.faults]
    found = found or [(part, "no base, body and head of this book make a legal strut with it") for part in idle]
    found += [(part, why) for part in parts if part.kind not in LINEAR and (why := _idle_other(facts, part))]
    effect = "no strut and no restraint takes it, however many there are"
    yield from (facts.finding(rule, f"{facts.name(part.id)}: {why}", effect, part=part.id) for part, why in found)


def _idle_other(facts: Facts, part: Part) -> str:
    """Why nothing takes a pin, a tie, hardware or a pad; "" where something does."""
    muster, catalogue = facts.muster, facts.muster.cache.catalogue
    if isinstance(part, Pin):
        taken = {pin for family in catalogue.families for pin in family.connectors.values()} - {CAPTIVE}
        taken |= {mate.pin for family in catalogue.families for mate in family.mates}
        return "" if part.id in taken else "no joint takes this pin"
    if isinstance(part, Tie) and not muster.pointable:
        rule = next((r for r in muster.book.in_force("attachment_points")), None)
        return f"no base has the attachment points to be held by ({rule.id}, {rule.title})" if rule else ""
    if isinstance(part, Hardware):
        wanted = {need for one in catalogue.parts if isinstance(one, Tie) for need in one.hardware}
        return "" if part.id in wanted else "no strap or chain of this book needs it"
    sized = not isinstance(part, Pad) or part.footprint
    return "" if sized else "its size is not written, so what it bears is not known"
