"""A base and a head for every strut body; a fitting that serves as either is one piece all the same."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from cache_check.checks import say
from cache_check.checks.facts import Facts
from cache_check.joining.kinds.ends_mate import mates
from cache_check.model.finding import Finding
from cache_check.model.part import Body, End, Fitting, TwoEnded
from cache_check.model.result import Gap
from cache_check.model.rule import Rule


@dataclass
class _Circle:
    """Connectors that the usable parts can bring together, and the usable pieces on them."""

    ends: frozenset[End]
    families: set[str]
    bodies: int = 0
    bases: int = 0
    heads: int = 0
    either: int = 0


def gaps(facts: Facts, rule: Rule) -> Iterator[Gap]:
    """Bases, heads, and both together, against the usable bodies that they can be brought to."""
    circles = [circle for circle in _circles(facts) if circle.bodies]
    for circle in circles:
        of = f" of family {say.listed(sorted(circle.families))}" if len(circles) > 1 else ""
        bodies = say.several(circle.bodies, "strut body", "strut bodies") + of
        need = say.verb(circle.bodies, "needs", "need")
        either = f", {circle.either} of them either-end" if circle.either else ""
        for what, have, want in (
            ("bases", circle.bases, circle.bodies),
            ("heads", circle.heads, circle.bodies),
            ("bases and heads together", circle.bases + circle.heads - circle.either, 2 * circle.bodies),
        ):
            says = f"{bodies} {need} {want} {what}: {say.outcome(max(0, want - have))} ({have} usable{either})"
            yield Gap(what + of, have, want, says, rule.id)


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """One finding for each of the three that is short."""
    for gap in gaps(facts, rule):
        if gap.short:
            effect = f"no more than {_struts(gap)} of the bodies can stand at once"
            yield say.short_finding(facts, rule, gap, effect)


def _struts(gap: Gap) -> int:
    return gap.have // 2 if gap.what.startswith("bases and heads") else gap.have


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
                    circle.bases += counts[part.id] * ("base" in part.serves)
                    circle.heads += counts[part.id] * ("head" in part.serves)
                    circle.either += counts[part.id] * (len(part.serves) == 2)
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
