"""Runs every kind that has something to find or to count: of a cache, of a situation, of an audit."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache
from itertools import chain, repeat
from typing import Any

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings, Inspection, LoadFacts, Mustered
from cache_check.joining.kind import files_of, is_about_pieces
from cache_check.model.finding import Finding
from cache_check.model.piece import Idle, Why
from cache_check.model.result import Gap
from cache_check.model.rule import Rule, Severity
from cache_check.model.verdict import broken

Lack = tuple[Rule, Gap, str]  # a rule, a gap that it tells of, and what comes of that where something is short
LOOKED_AT: dict[Why | str, str] = {
    Why.UNREADABLE: "label", Why.LABEL_UNSEEN: "label", Why.DAMAGED: "condition", Why.CONDITION_UNKNOWN: "condition",
    Why.WORN: "measured", Why.WEAR_UNKNOWN: "measured", "attachment_points": "points", "damaged_points": "points",
    "edition_matches": "edition", "held_in_place": "held", "pins_kept": "pins", "tagged_out": "usable",
    "training_only": "usable", "book_against_count": "", "not_looked_at": "", "uncounted": "",
}  # fmt: skip
"""The column of a count sheet that shows whether a piece, or what a kind finds, is mended ("": any look at the line).

Of a piece that is not named it is "usable"; what another kind finds shows only on the whole count.
"""


@cache
def _written() -> dict[str, Any]:
    """What stands in ``kinds/``, by name.

    A kind has some of ``check_<kind>(facts, rule) -> Findings``, ``gaps_<kind>(facts, rule) -> Lacks``, ``load_<kind>``
    of ``LoadFacts`` and ``audit_<kind>`` of an ``Inspection``.
    """
    return {name: one for file in files_of("checks") for name, one in vars(file).items()}


def findings(facts: Facts | LoadFacts | Inspection, lacking: Iterable[Lack] = ()) -> tuple[Finding, ...]:
    """Every finding of the rules in force, gravest first.

    Of a cache each gap in which something is short is among them, of a situation each link that does not hold or is
    not known; of an audit these are what only it looks for.
    """
    verb = "check" if isinstance(facts, Facts) else "load" if isinstance(facts, LoadFacts) else "audit"
    short = (facts.short_finding(*lack) for lack in lacking if lack[1].short and lack[2])
    found = _of_links(facts) if isinstance(facts, LoadFacts) else short
    more = (one for rule, look in _active(facts, verb) for one in look(facts, rule))
    return tuple(sorted(chain(found, more), key=lambda finding: finding.order))


def lacks(facts: Facts) -> tuple[Lack, ...]:
    """What there may be too little of, in the order of the rules."""
    return tuple((rule, *lack) for rule, gaps_of in _active(facts, "gaps") for lack in gaps_of(facts, rule))


def _active(facts: Mustered, verb: str) -> Iterator[tuple[Rule, Any]]:
    book = facts.muster.book
    for rule in book.rules:
        told = of_pieces if verb == "check" and is_about_pieces(rule.kind) else None
        if (function := _written().get(f"{verb}_{rule.kind}", told)) is not None and book.is_on(rule.id):
            yield rule, function


def _of_links(facts: LoadFacts) -> Findings:
    """One finding for each broken link of the verdict, under the rule that it rests on; unknown is never graver."""
    for link in broken(facts.result.links):
        fails, figures = link.state == "does not hold", ""
        if link.loaded and link.rated is not None:
            on_it = "" if link.demand is None else f"{facts.force(link.demand, 'up')} on it, "
            figures = f" ({on_it}rated {facts.force(link.rated, 'down')})"
        for rule in facts.muster.book.in_force(link.kind)[:1]:
            what = f"{link.named()} {'does not hold' if fails else 'is not known'}" + f": {link.why}" * bool(link.why)
            one = facts.finding(rule, what + figures, "not met" if fails else "not known, so not met")
            grave: Severity = "short" if one.severity in ("watch", "note") else one.severity
            yield replace(one, severity=grave if fails else "watch", remedy=link.ask or one.remedy)


def of_pieces(facts: Facts, rule: Rule) -> Findings:
    """A finding for each piece, or those of a line alike, that the rule takes out: told once, by its gravest reason."""
    usable = facts.muster.usable
    alike: dict[tuple[object, ...], list[Idle]] = {}
    for one, kept in (*zip(usable.idle, repeat(False)), *zip(usable.tolerated, repeat(True))):
        if one.rule == rule.id:
            own = one.serial if one.state == "not usable" else ""
            says = tuple(reason.says for reason in one.reasons)
            alike.setdefault((kept, one.part, one.rig, one.where, own, says), []).append(one)
    yield from (_found(facts, rule, pieces, tolerated=bool(key[0])) for key, pieces in alike.items())


def _found(facts: Facts, rule: Rule, pieces: list[Idle], *, tolerated: bool) -> Finding:
    first = pieces[0]
    serials = [one.serial for one in pieces if one.serial]
    lot = sum(one.number for one in pieces if not one.serial)
    called = [f"{facts.name(first.part)} {say.listed(serials)}"] if serials else []
    called += [facts.pieces(first.part, lot) + " without serials" * bool(serials)] if lot else []
    out = f"{first.state}, so not counted; {facts.left(first.part)}"
    number, left = len(serials) + lot, facts.muster.usable.counts[first.part]
    found = facts.finding(
        rule, f"{say.listed(called)}: {'; '.join(dict.fromkeys(r.says for r in first.reasons))}",
        "counted all the same, as the rule is set" if tolerated else out,
        figures=(("pieces_count", number), ("usable_count", left), *(f for r in first.reasons for f in r.figures)),
        part=first.part, where=first.where, rig=first.rig, remedy=first.remedy,
    )  # fmt: skip
    # What is only not known is not counted, and so is no reason to stop.
    severity = "watch" if found.severity == "stop" and first.state == "not known" else found.severity
    serial, source = serials[0] if number == 1 and serials else "", first.reasons[0].source or rule.source
    return replace(found, severity=severity, serial=serial, source=source, why=first.why)
