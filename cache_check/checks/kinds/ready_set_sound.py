"""A ready set is legal, is made of pieces that are usable, and shares none with another."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings
from cache_check.joining import stock
from cache_check.joining.explain import broken_rules
from cache_check.model.cache import Item, ReadySet
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each rule that a ready set breaks, each piece it may not hold, and each part claimed too often."""
    claims: dict[tuple[str, str], list[ReadySet]] = {}
    for ready in facts.muster.cache.ready_sets:
        yield from _illegal(facts, rule, ready)
        yield from _pieces(facts, rule, ready)
        for serial in dict.fromkeys(ready.serials):
            claims.setdefault((ready.rig, serial), []).append(ready)
    for (rig, serial), sets in claims.items():
        if len(sets) > 1:
            names = say.listed(ready.id for ready in sets)
            yield facts.finding(
                rule, what=f"{serial} is claimed by ready sets {names}",
                effect="only one of them can be built as listed", rig=rig,
            )  # fmt: skip
    yield from _overclaimed(facts, rule)


def _illegal(facts: Facts, rule: Rule, ready: ReadySet) -> Findings:
    muster = facts.muster
    parts = [muster.cache.catalogue.by_id[part] for part in ready.parts]
    for broken in broken_rules(parts, muster.joined.joints):
        if broken.severity == "stop":
            yield facts.finding(
                rule, what=f"ready set {ready.id} breaks {broken.rule}, {broken.title}: {broken.says}",
                effect="it is no strut under the rules in force and counts on no step",
                where=ready.where, rig=ready.rig,
            )  # fmt: skip


def _pieces(facts: Facts, rule: Rule, ready: ReadySet) -> Findings:
    """Pieces named by serial that are not usable, or are none of the set's parts."""
    items = {item.serial: item for line in facts.muster.cache.stock if line.rig == ready.rig for item in line.items}
    for serial in dict.fromkeys(ready.serials):
        why, remedy = _unfit(facts, rule, ready, items.get(serial))
        if why:
            yield facts.finding(
                rule, what=f"ready set {ready.id} names {serial}, {why}",
                effect="the set as it lies on the rig is not to be used", remedy=remedy,
                part=items[serial].part if serial in items else "", where=ready.where, rig=ready.rig,
                serial=serial,
            )  # fmt: skip


def _unfit(facts: Facts, rule: Rule, ready: ReadySet, item: Item | None) -> tuple[str, str]:
    """Why a piece does not belong in a set, and a remedy where the rule's own does not fit; ("", "") where it does."""
    if item is None:
        return "which the cache does not list", ""
    if item.part not in ready.parts:
        return f"which is {facts.name(item.part)} and none of its parts", ""
    judged = facts.judged(item)
    if judged.look:
        return f"of which it is not known whether it is usable: {judged.says}", f"{judged.look}; else {rule.remedy}"
    return (f"which is not usable: {judged.says}", "") if judged.says else ("", "")


def _overclaimed(facts: Facts, rule: Rule) -> Findings:
    """Parts of which the ready sets of a rig together claim more than is usable on it: they lie where its parts are."""
    muster = facts.muster
    for rig in dict.fromkeys(ready.rig for ready in muster.cache.ready_sets):
        lying = [ready for ready in muster.cache.ready_sets if ready.rig == rig]
        usable = muster.usable.counts
        if len(muster.cache.rigs) > 1:
            own = muster.cache.changed(stock=tuple(line for line in muster.cache.stock if line.rig == rig))
            usable = {
                part: min(n, usable[part]) for part, n in stock.usable(own, muster.book, muster.on).counts.items()
            }
        claimed = Counter(part for ready in lying for part in ready.parts)
        for part in (part for part in claimed if claimed[part] > usable[part]):
            sets = [ready for ready in lying if part in ready.parts]
            yield _short(facts, rule, rig, sets, (part, claimed[part], usable[part]))


def _short(facts: Facts, rule: Rule, rig: str, sets: list[ReadySet], of: tuple[str, int, int]) -> Finding:
    part, number, have = of
    pooled = len(facts.muster.cache.rigs) > 1
    idle = [one for one in facts.muster.unknown_pieces.get(part, ()) if not pooled or one.rig == rig]
    unknown = sum(one.number for one in idle)
    found = facts.finding(
        rule,
        what=f"{say.several(len(sets), 'ready set')} ({say.listed(ready.id for ready in sets)}) "
        f"{say.verb(len(sets), 'claims', 'claim')} {facts.pieces(part, number)}, {have} usable"
        + f", {unknown} not known" * bool(unknown),
        effect=f"{say.several(number - have, 'piece')} short: not all of them can be built as listed",
        figures=(("have_count", have), ("want_count", number)), part=part, rig=rig,
        where=", ".join(dict.fromkeys(ready.where for ready in sets if ready.where and pooled)),
    )  # fmt: skip
    if number > have + unknown:
        return found
    # Nobody knows yet that a set is unsound: it is to be looked at.
    look = "; ".join(dict.fromkeys(one.remedy for one in idle))
    return replace(found, severity="short", remedy=f"{look}; else {rule.remedy}")
