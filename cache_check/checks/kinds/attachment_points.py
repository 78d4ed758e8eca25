"""Bases have enough usable attachment points: those that were made with too few, and those that lost one."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks import say
from cache_check.checks.facts import Facts, usable_bodies
from cache_check.checks.restraint import pointed_bases, usable_bases
from cache_check.model.cache import Item
from cache_check.model.finding import Finding
from cache_check.model.part import Fitting
from cache_check.model.result import Gap
from cache_check.model.rule import Rule

LOOKED_AT = "points"


def gaps(facts: Facts, rule: Rule) -> Iterator[Gap]:
    """Usable bodies, each of which wants a base that can be restrained, against such bases."""
    want = sum(usable_bodies(facts).values())
    have = sum(pointed_bases(facts).values())
    least = sorted({_least(facts, rule, part) for part in usable_bases(facts)})
    binds = facts.bound_by(usable_bases(facts))
    points = f"{say.listed(map(say.word, least), 'or')} usable attachment points" if least else "attachment points"
    says = (
        f"{say.several(want, 'strut body', 'strut bodies')} {say.verb(want, 'wants', 'want')} "
        f"{say.several(want, 'base')} with {points}: {say.outcome(max(0, want - have), binds)} ({have} usable)"
    )
    yield Gap("bases with enough attachment points", have, want, says, rule.id, binds)


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each base that is damaged below the minimum, and for each type made with too few points."""
    for part, number in usable_bases(facts).items():
        least = _least(facts, rule, part)
        damaged = [(item, have) for item, have in _items(facts, part) if have < least]
        for item, have in damaged:
            yield _damaged(facts, rule, item, have, least)
        designed = _designed(facts, part)
        rest = number - facts.muster.usable.pointed[part] - len(damaged)
        if designed < least and rest > 0:
            yield _made_so(facts, rule, part, rest, designed, least)


def _damaged(facts: Facts, rule: Rule, item: Item, have: int, least: int) -> Finding:
    return say.finding(
        facts, rule,
        what=f"{say.name(facts, item.part)} {item.serial} has {say.several(have, 'usable attachment point')}, "
        f"{least} wanted, {_designed(facts, item.part)} as made",
        effect="this base cannot be restrained; it is not counted on restrained or above",
        figures=(("usable_points_count", have), ("want_points_count", least)),
        part=item.part, where=item.where, rig=item.rig, serial=item.serial,
    )  # fmt: skip


def _made_so(facts: Facts, rule: Rule, part: str, number: int, designed: int, least: int) -> Finding:
    return say.finding(
        facts, rule,
        what=f"{say.pieces(facts, part, number)}: {say.several(designed, 'attachment point')} each, {least} wanted",
        effect=f"{say.several(number, 'base')} cannot be restrained; not counted on restrained or above",
        figures=(("usable_points_count", designed), ("want_points_count", least), ("bases_count", number)),
        part=part,
    )  # fmt: skip


def _least(facts: Facts, rule: Rule, part: str) -> int:
    """The points that the rule asks of a base; none where the rule is off for its family."""
    family = (facts.muster.cache.catalogue.by_id[part].family,)
    book = facts.muster.book
    return int(book.value(rule.id, "min", family)) if book.is_on(rule.id, family) else 0


def _designed(facts: Facts, part: str) -> int:
    fitting = facts.muster.cache.catalogue.by_id[part]
    assert isinstance(fitting, Fitting)
    return len(fitting.points)


def _items(facts: Facts, part: str) -> list[tuple[Item, int]]:
    """The usable pieces of a base of which somebody counted the usable points, each with these."""
    return [
        (item, item.points_usable)
        for line in facts.muster.cache.stock
        if line.part == part
        for item in line.items
        if isinstance(item.points_usable, int) and facts.judged(item).usable
    ]
