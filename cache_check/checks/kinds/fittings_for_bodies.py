"""A base and a head for every strut body; a fitting that serves as either is one piece all the same."""

from __future__ import annotations

from dataclasses import dataclass, field

from cache_check.checks import say
from cache_check.checks.facts import Facts, Lacks
from cache_check.joining.kinds.ends_mate import mates
from cache_check.model.part import Body, End, Fitting, TwoEnded
from cache_check.model.rule import Rule


@dataclass
class _Circle:
    """Connectors that the usable parts can bring together, and the usable pieces on them."""

    ends: frozenset[End]
    families: set[str]
    bodies: int = 0
    bases: dict[str, int] = field(default_factory=dict)
    heads: dict[str, int] = field(default_factory=dict)

    @property
    def either(self) -> int:
        """Pieces that serve as either."""
        return sum(number for part, number in self.bases.items() if part in self.heads)


def gaps(facts: Facts, rule: Rule) -> Lacks:
    """Bases, heads, and both together, against the usable bodies that they can be brought to."""
    circles = [circle for circle in _circles(facts) if circle.bodies]
    for circle in circles:
        of = f" of family {say.listed(sorted(circle.families))}" if len(circles) > 1 else ""
        bodies = say.several(circle.bodies, "strut body", "strut bodies") + of
        need = say.verb(circle.bodies, "needs", "need")
        either = f", {circle.either} of them either-end" if circle.either else ""
        for what, pieces, each in (
            ("bases", circle.bases, 1),
            ("heads", circle.heads, 1),
            ("bases and heads together", circle.bases | circle.heads, 2),
        ):
            want = each * circle.bodies
            have, needs = sum(pieces.values()), f"{bodies} {need} {want} {what}"
            effect = f"no more than {have // each} of the bodies can stand at once"
            yield say.gap(rule, what + of, have, want, facts.bound_by(pieces), needs, either), effect


def _circles(facts: Facts) -> list[_Circle]:
    """The usable parts by connector: a body, extension or adapter brings its two ends together."""
    catalogue, counts = facts.muster.cache.catalogue, facts.muster.usable.counts
    there = [part for part in catalogue.parts if counts[part.id]]
    circles: list[_Circle] = []
    for part in there:
        if isinstance(part, TwoEnded):
            own = {part.family} if isinstance(part, Body) else set()
            circles = _joined(facts, circles, _Circle(frozenset({part.lower, part.upper}), own))
    for part in there:
        if isinstance(part, Body):
            next(c for c in circles if part.lower in c.ends).bodies += counts[part.id]
        elif isinstance(part, Fitting):
            for circle in circles:
                if any(mates(end, part.end, catalogue) for end in circle.ends):
                    for role, pieces in (("base", circle.bases), ("head", circle.heads)):
                        if role in part.serves:
                            pieces[part.id] = counts[part.id]
    return circles


def _joined(facts: Facts, circles: list[_Circle], new: _Circle) -> list[_Circle]:
    """The circles with one more, those that it touches made one with it."""
    apart = []
    for circle in circles:
        if any(one == two or mates(one, two, facts.muster.cache.catalogue) for one in circle.ends for two in new.ends):
            new = _Circle(circle.ends | new.ends, circle.families | new.families)
        else:
            apart.append(circle)
    return [*apart, new]
