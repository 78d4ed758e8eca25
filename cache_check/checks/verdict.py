"""Pass, pass with fixes, or out of service: by the policy that a rule states."""

from __future__ import annotations

from collections.abc import Sequence

from cache_check.checks import say
from cache_check.model.audit import AuditFinding, Compared, Outcome, Verdict
from cache_check.model.rule import RuleBook


def verdict(book: RuleBook, compared: Sequence[Compared], found: Sequence[AuditFinding]) -> Verdict:
    """The result of an audit.  A rule that is off judges nothing; of several the gravest holds."""
    rules = book.in_force("audit_result")
    if not rules:
        return Verdict("not judged", "", ("no rule in force says what passes",))
    judged = [_by(book, rule.id, compared, found) for rule in rules]
    grave: tuple[Outcome, ...] = ("pass", "pass with fixes", "out of service")
    return max(judged, key=lambda one: grave.index(one.outcome))


def _by(book: RuleBook, rule: str, compared: Sequence[Compared], found: Sequence[AuditFinding]) -> Verdict:
    unmet = [one.label for one in compared if _lost(one)]
    stops = [one for one in found if one.finding.severity == "stop" and not one.contained]
    fixes = [one for one in found if one.finding.severity != "note"]
    most_unmet, most_stops, most_fixes = (
        int(most) for most in (book.value(rule, "unmet"), book.value(rule, "stops"), book.value(rule, "fixes"))
    )
    why = []
    if len(unmet) > most_unmet:
        needs = f"{say.several(len(unmet), 'need')} met by the book and not today ({say.listed(unmet)})"
        why.append(f"{needs}; {most_unmet} allowed")
    if len(stops) > most_stops:
        ids = say.listed(dict.fromkeys(one.finding.rule for one in stops))
        why.append(f"{say.several(len(stops), 'stop finding')} not settled by a tag ({ids}); {most_stops} allowed")
    if why:
        return Verdict("out of service", rule, tuple(why))
    if len(fixes) > most_fixes:
        return Verdict("pass with fixes", rule, (f"{say.several(len(fixes), 'finding')} to fix",))
    return Verdict("pass", rule, ("nothing to fix",))


def _lost(one: Compared) -> bool:
    """Whether a need that the book meets is not met today; with no needs, whether a length is lost whole."""
    if one.today.met is not None:
        return bool(one.book.met) and not one.today.met
    return one.book.best.count > 0 and one.today.best.count == 0
