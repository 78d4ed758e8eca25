"""Bases have enough usable attachment points: those that were made with too few, and those that lost one."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings, Lacks
from cache_check.checks.restraint import pointed_bases, usable_bases
from cache_check.model.cache import Item
from cache_check.model.rule import Rule

LOOKED_AT = "points"


def gaps(facts: Facts, rule: Rule) -> Lacks:
    """Usable bodies, each of which wants a base that can be restrained, against such bases."""
    want = sum(facts.usable_bodies().values())
    have = sum(pointed_bases(facts).values())
    least = sorted({facts.muster.usable.least_points[part] for part in usable_bases(facts)})
    points = f"{say.listed(map(say.word, least), 'or')} usable attachment points" if least else "attachment points"
    bodies = f"{say.several(want, 'strut body', 'strut bodies')} {say.verb(want, 'wants', 'want')}"
    needs, binds = f"{bodies} {say.several(want, 'base')} with {points}", facts.bound_by(usable_bases(facts))
    yield say.gap(rule, "bases with enough attachment points", have, want, binds, needs), ""


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each base that is damaged below the minimum, and for each type made with too few points."""
    muster = facts.muster
    for part, number in usable_bases(facts).items():
        least = muster.usable.least_points[part]
        designed = len(getattr(muster.cache.catalogue.by_id[part], "points", ()))
        damaged = [(item, have) for item, have in _items(facts, part) if have < least]
        for item, have in damaged:
            points = say.several(have, "usable attachment point")
            yield facts.finding(
                rule,
                what=f"{facts.name(part)} {item.serial} has {points}, {least} wanted, {designed} as made",
                effect="this base cannot be restrained; it is not counted on restrained or above",
                figures=(("usable_points_count", have), ("want_points_count", least)),
                part=part, where=item.where, rig=item.rig, serial=item.serial,
            )  # fmt: skip
        rest = number - muster.usable.pointed[part] - len(damaged)
        if designed < least and rest > 0:
            points = say.several(designed, "attachment point")
            yield facts.finding(
                rule, what=f"{facts.pieces(part, rest)}: {points} each, {least} wanted",
                effect=f"{say.several(rest, 'base')} cannot be restrained; not counted on restrained or above",
                figures=(("usable_points_count", designed), ("want_points_count", least), ("bases_count", rest)),
                part=part,
            )  # fmt: skip


def _items(facts: Facts, part: str) -> list[tuple[Item, int]]:
    """The usable pieces of a base of which somebody counted the usable points, each with these."""
    return [
        (item, item.points_usable)
        for line in facts.muster.cache.stock
        if line.part == part
        for item in line.items
        if isinstance(item.points_usable, int) and facts.judged(item).usable
    ]
