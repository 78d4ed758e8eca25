"""Pieces that do not count, or of which something is not known: what is found by every rule about pieces.

A piece is told once, by its gravest reason, with all its reasons and with the remedy that fits them.
"""

from dataclasses import replace

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings
from cache_check.model.finding import Finding
from cache_check.model.piece import Idle, Why
from cache_check.model.rule import Rule

LOOKED_AT: dict[Why | str, str] = {
    Why.UNREADABLE: "label",
    Why.LABEL_UNSEEN: "label",
    Why.DAMAGED: "condition",
    Why.CONDITION_UNKNOWN: "condition",
    Why.WORN: "measured",
    Why.WEAR_UNKNOWN: "measured",
    "attachment_points": "points",
    "damaged_points": "points",
    "edition_matches": "edition",
    "held_in_place": "held",
    "pins_kept": "pins",
    "tagged_out": "usable",
    "training_only": "usable",
}
"""The column of a count sheet that shows whether a piece, or what a kind finds, is mended; of a piece else "usable"."""


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each piece that the rule takes out, and one for those of a line that are alike otherwise."""
    usable = facts.muster.usable
    alike: dict[tuple[object, ...], list[Idle]] = {}
    for idle, kept in ((usable.idle, False), (usable.tolerated, True)):
        for one in idle:
            if one.rule == rule.id:
                own = one.serial if one.state == "not usable" else ""
                says = tuple(reason.says for reason in one.reasons)
                alike.setdefault((kept, one.part, one.rig, one.where, own, says), []).append(one)
    for key, pieces in alike.items():
        yield _found(facts, rule, pieces, tolerated=bool(key[0]))


def _found(facts: Facts, rule: Rule, pieces: list[Idle], *, tolerated: bool) -> Finding:
    first = pieces[0]
    name = facts.name(first.part)
    serials = [one.serial for one in pieces if one.serial]
    lot = sum(one.number for one in pieces if not one.serial)
    called = [f"{name} {say.listed(serials)}"] if serials else []
    called += [facts.pieces(first.part, lot) + (" without serials" if serials else "")] if lot else []
    number = len(serials) + lot
    found = facts.finding(
        rule, what=f"{say.listed(called)}: {'; '.join(dict.fromkeys(r.says for r in first.reasons))}",
        effect="counted all the same, as the rule is set" if tolerated
        else f"{first.state}, so not counted; {facts.left(first.part)}",
        figures=(("pieces_count", number), ("usable_count", facts.muster.usable.counts[first.part]),
                 *(f for r in first.reasons for f in r.figures)),
        part=first.part, where=first.where, rig=first.rig, remedy=first.remedy,
    )  # fmt: skip
    # What is only not known is not counted, and so is no reason to stop.
    severity = "watch" if found.severity == "stop" and first.state == "not known" else found.severity
    serial, source = serials[0] if number == 1 and serials else "", first.reasons[0].source or rule.source
    return replace(found, severity=severity, serial=serial, source=source, why=first.why)
