"""Ready sets are sound, can be carried and stowed, and are held."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from math import isqrt

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings, Inspection
from cache_check.errors import grouped
from cache_check.joining import stock
from cache_check.joining.explain import broken_rules
from cache_check.model.cache import Item, ReadySet, same_place
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule


def check_ready_set_sound(facts: Facts, rule: Rule) -> Findings:
    """A finding for each rule that a ready set breaks, each piece it may not hold, and each part claimed too often."""
    for ready in facts.muster.cache.ready_sets:
        parts = [facts.muster.cache.catalogue.by_id[part] for part in ready.parts]
        for broken in broken_rules(parts, facts.muster.joined.joints):
            if broken.severity == "stop":
                what = f"ready set {ready.id} breaks {broken.rule}, {broken.title}: {broken.says}"
                effect = "it is no strut under the rules in force and counts on no step"
                yield facts.finding(rule, what, effect, where=ready.where, rig=ready.rig)
        yield from _pieces(facts, rule, ready)
    every = facts.muster.cache.ready_sets
    claims = grouped(((ready.rig, serial), ready) for ready in every for serial in dict.fromkeys(ready.serials))
    for (rig, serial), sets in claims.items():
        if len(sets) > 1:
            what = f"{serial} is claimed by ready sets {say.listed(ready.id for ready in sets)}"
            yield facts.finding(rule, what, "only one of them can be built as listed", rig=rig)
    yield from _overclaimed(facts, rule)


def _pieces(facts: Facts, rule: Rule, ready: ReadySet) -> Findings:
    items = {item.serial: item for line in facts.muster.cache.stock if line.rig == ready.rig for item in line.items}
    told = ready.id in dict(facts.muster.cache.unseen)  # that a piece of it was found elsewhere
    for serial in dict.fromkeys(ready.serials):
        item, effect = items.get(serial), "the set as it lies on the rig is not to be used"
        why, remedy = _unfit(facts, rule, ready, item)
        strays = not (why or told or item is None or "" in (item.where, ready.where))
        if strays and item is not None and not same_place(item.where, ready.where):
            why, effect = f"which lies in {item.where}, not in {ready.where}", "nobody knows whether it is built"
            remedy = "look where it lies, and write that of piece and set"
        if why:
            found = facts.finding(
                rule, f"ready set {ready.id} names {serial}, {why}", effect, remedy=remedy,
                part="" if item is None else item.part, where=ready.where, rig=ready.rig, serial=serial,
            )  # fmt: skip
            yield replace(found, severity="short") if strays else found


def _unfit(facts: Facts, rule: Rule, ready: ReadySet, item: Item | None) -> tuple[str, str]:
    """Why a piece does not belong in a set, and a remedy where the rule's own does not fit; ("", "") where it does."""
    if item is None:
        return "which the cache does not list", ""
    if item.part not in ready.parts:
        return f"which is {facts.name(item.part)} and none of its parts", ""
    if (judged := facts.judged(item)).look:
        return f"of which it is not known whether it is usable: {judged.says}", f"{judged.look}; else {rule.remedy}"
    if judged.says:
        return f"which is not usable: {judged.says}", ""
    lost = (one for one in facts.muster.usable.pointless if (one.rig, one.serial) == (item.rig, item.serial))
    on_ground = (one.reasons[0].says for one in lost if one.part == ready.parts[0])
    return next((f"whose base cannot be held: {says}" for says in on_ground), ""), ""


def _overclaimed(facts: Facts, rule: Rule) -> Findings:
    """Parts of which the ready sets of a rig together claim more than is usable on it: they lie where its parts are."""
    muster = facts.muster
    for rig in dict.fromkeys(ready.rig for ready in muster.cache.ready_sets):
        lying = [ready for ready in muster.cache.ready_sets if ready.rig == rig]
        usable = muster.usable.counts
        if facts.pooled:
            own = muster.cache.changed(stock=tuple(line for line in muster.cache.stock if line.rig == rig))
            counts = stock.usable(own, muster.book, muster.on).counts
            usable = {part: min(n, usable[part]) for part, n in counts.items()}
        claimed = Counter(part for ready in lying for part in ready.parts)
        for part in (part for part in claimed if claimed[part] > usable[part]):
            sets = [ready for ready in lying if part in ready.parts]
            yield _short(facts, rule, rig, sets, (part, claimed[part], usable[part]))


def _short(facts: Facts, rule: Rule, rig: str, sets: list[ReadySet], of: tuple[str, int, int]) -> Finding:
    part, number, have = of
    idle = [one for one in facts.muster.unknown_pieces.get(part, ()) if not facts.pooled or one.rig == rig]
    unknown = sum(one.number for one in idle)
    names = f"{say.several(len(sets), 'ready set')} ({say.listed(ready.id for ready in sets)})"
    what = f"{names} {say.verb(len(sets), 'claims', 'claim')} {facts.pieces(part, number)}, {have} usable"
    found = facts.finding(
        rule, what + f", {unknown} not known" * bool(unknown),
        f"{say.several(number - have, 'piece')} short: not all of them can be built as listed",
        figures=(("have_count", have), ("want_count", number)), part=part, rig=rig,
        where=", ".join(dict.fromkeys(ready.where for ready in sets if ready.where and facts.pooled)),
    )  # fmt: skip
    if number > have + unknown:
        return found
    # Nobody knows yet that a set is unsound: it is to be looked at.
    look = "; ".join(dict.fromkeys(one.remedy for one in idle))
    return replace(found, severity="short", remedy=f"{look}; else {rule.remedy}")


def check_carry_weight(facts: Facts, rule: Rule) -> Findings:
    """A finding for each ready set that one person may not carry, or whose weight nobody knows."""
    one = Fraction(facts.value(rule, "one_person"))
    two = Fraction(facts.value(rule, "two_persons"))
    limits = f"one person carries {facts.mass(one, 'down')}, two carry {facts.mass(two, 'down')}"
    for ready, mass in ((ready, assembly.mass) for ready, assembly in facts.built_sets()):
        what, effect = "weighs nobody knows what", "nobody can say who may lift it"
        if mass is not None:
            what = f"weighs {facts.mass(mass, 'up')} with its pins, without straps; {limits}"
            effect = "it takes two persons" if mass <= two else "two persons are not enough"
        if mass is None or mass > one:
            yield facts.finding(rule, f"ready set {ready.id} {what}", effect, where=ready.where, rig=ready.rig)


def check_stowed_length(facts: Facts, rule: Rule) -> Findings:
    """A finding for each ready set that is longer closed, with the clearance, than the compartment it lies in."""
    places = {(place.rig, place.id): place for place in facts.muster.cache.compartments}
    for ready, assembly in facts.built_sets():
        if (place := places.get((ready.rig, ready.where))) is None:
            if ready.where and any(rig == ready.rig for rig, _ in places):
                yield facts.finding(
                    rule, f"ready set {ready.id} lies in {ready.where!r}, which is no compartment of the book",
                    "whether it goes in is not known", where=ready.where, rig=ready.rig,
                    remedy="write the compartment that it lies in, or list that one with its length",
                )  # fmt: skip
            continue
        # The longest line in it: its length, or corner to corner of its floor where it says so.
        have = isqrt(place.length**2 + place.width**2) if place.diagonal and place.width else place.length
        if (want := assembly.closed + place.clearance) > have:
            closed, clear = facts.length(assembly.closed, "up"), facts.length(place.clearance, "up")
            wants = f"is {closed} closed and wants {clear} clear; {place.id} has {facts.length(have, 'down')}"
            what, figures = f"ready set {ready.id} {wants}", (("want_nm", want), ("have_nm", have))
            effect = f"it does not go in: {facts.length(want - have, 'up')} too long"
            yield facts.finding(rule, what, effect, figures=figures, where=ready.where, rig=ready.rig)


def audit_held_in_place(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each set that is loose or was not looked at, and each compartment that carries too much."""
    lines = {line.id: line for line in inspection.count.sets} if inspection.count else {}
    for ready in inspection.muster.cache.ready_sets if inspection.count else ():
        line = lines.get(ready.id)
        if line is None or not line.held:
            what, effect = "was not tried: is it held?", "unknown, so not fine"
            if line is not None and line.held is False:
                what, effect = "is not held from moving", "a moving load in the compartment"
            yield inspection.finding(rule, f"ready set {ready.id} {what}", effect, where=ready.where)
    yield from _too_heavy(inspection, rule)


def _too_heavy(inspection: Inspection, rule: Rule) -> Findings:
    loads = grouped(((ready.rig, ready.where), assembly.mass) for ready, assembly in inspection.built_sets())
    for place in inspection.muster.cache.compartments:
        masses = loads.get((place.rig, place.id), [])
        known = sum((mass for mass in masses if mass is not None), Fraction(0))
        unknown = sum(mass is None for mass in masses)
        if place.carries is not None and (known > place.carries or unknown):
            more = f" and {say.several(unknown, 'set')} of unknown weight" if unknown else ""
            holds = f"{place.id} holds ready sets of {inspection.mass(known, 'up')}{more}"
            what = f"{holds}; it carries {inspection.mass(place.carries, 'down')}"
            yield inspection.finding(rule, what, "the compartment or its floor may give way", where=place.id)
