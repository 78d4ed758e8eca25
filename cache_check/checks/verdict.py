"""What an audit comes to, by the policy that a rule states: the worst of its links."""

from collections.abc import Sequence

from cache_check.checks import say
from cache_check.checks.facts import Inspection
from cache_check.model.audit import AuditFinding, AuditVerdict, Compared, Outcome
from cache_check.model.rule import Rule
from cache_check.model.verdict import Link, State, Verdict, worst

_GRAVE: tuple[Outcome, ...] = ("pass", "pass with fixes", "not known", "out of service")
_OF: dict[Verdict, Outcome] = {"met": "pass", "not known": "not known", "not met": "out of service"}
NOBODY = "nobody counted; the book alone is audited"


def verdict(audited: Inspection, compared: Sequence[Compared], found: Sequence[AuditFinding]) -> AuditVerdict:
    """The result of an audit.  A rule that is off judges nothing; of several the gravest holds."""
    judged = [_by(audited, rule, compared, found) for rule in audited.muster.book.in_force("audit_result")]
    unjudged = AuditVerdict("not judged", "", (Link("judged", "unknown", "no rule in force says what passes"),))
    return max(judged, key=lambda one: _GRAVE.index(one.outcome), default=unjudged)


def _by(audited: Inspection, rule: Rule, compared: Sequence[Compared], found: Sequence[AuditFinding]) -> AuditVerdict:
    value = audited.value
    stopped, unmet, most = int(value(rule, "stops")), int(value(rule, "unmet")), int(value(rule, "fixes"))
    tagging = {one.id for one in audited.muster.book.of_kind("tagged_out")}
    other = [one for one in found if one.finding.rule not in tagging]
    tagged = _tagged(audited, untagged=len(other) < len(found))
    links = (tagged, _stops(other, stopped), _needs(audited, compared, unmet), _looked(audited))
    fixes = sum(one.finding.severity != "note" for one in found)
    why = f"{say.several(fixes, 'finding')} to fix" if fixes > most else ""
    fix = _link("findings to fix", why, "put right what they name")
    outcome = _OF[worst(links)]
    return AuditVerdict("pass with fixes" if outcome == "pass" and fix.why else outcome, rule.id, (*links, fix))


def _link(name: str, wrong: str, ask: str = "", state: State = "does not hold") -> Link:
    return Link(name, state, wrong, ask) if wrong else Link(name, "holds")


def _looked(audited: Inspection) -> Link:
    name = "a look at every line"
    if audited.count is None:
        return Link(name, "unknown", NOBODY, "count the rig")
    blanks = len({(one.part, one.serial) for one in audited.counted.blanks})
    why = f"{say.several(blanks, 'line')} not looked at, or not wholly" if blanks else ""
    return _link(name, why, "go back, look, and fill in every line", "unknown")


def _tagged(audited: Inspection, *, untagged: bool) -> Link:
    name = "tags on what is out of use"
    if not untagged:
        doubtful = sum(one.number for one in audited.muster.usable.idle if one.state == "not known")
        why = f"{say.several(doubtful, 'piece')} there not known to be fit" if doubtful else ""
        return _link(name, NOBODY if audited.count is None else why, "look at each, and write what it is", "unknown")
    pieces = sum(one.number for one in audited.counted.untagged)
    why = f"{say.several(pieces, 'piece')} out of use {say.verb(pieces, 'lies', 'lie')} there without a tag"
    return _link(name, why, "tag each, and write the number of the tag on the sheet")


def _stops(found: Sequence[AuditFinding], most: int) -> Link:
    stops = [one for one in found if one.finding.severity == "stop" and not one.contained]
    ids = say.listed(dict.fromkeys(one.finding.rule for one in stops))
    why = f"{say.several(len(stops), 'stop finding')} not settled by a tag ({ids}); {most} allowed"
    return _link("findings that stop the rig", why if len(stops) > most else "", "mend what they name")


def _needs(audited: Inspection, compared: Sequence[Compared], most: int) -> Link:
    """What the rig must do it can do today, each need by itself and each scene at once, whatever its book can."""
    name = "what the rig must do"
    if not (wanted := [(one.label, one.today.verdict) for one in compared if one.today.verdict]):
        return _lengths(compared, name, most)
    wanted += [(one.scene, one.verdict) for one in audited.facts.answers if len(one.by_need) > 1]
    unmet, unknown = ([label for label, verdict in wanted if verdict == of] for of in ("not met", "not known"))
    if len(unmet) > most:
        why = f"{say.several(len(unmet), 'need')} not met with what was found fit today ({say.listed(unmet)})"
        return Link(name, "does not hold", f"{why}; {most} allowed", "mend what costs most first")
    why = f"{say.several(len(unknown), 'need')} not known to be met ({say.listed(unknown)})" if unknown else ""
    return _link(name, why, "see cache-check check for what is not known of each", "unknown")


def _lengths(compared: Sequence[Compared], name: str, most: int) -> Link:
    lost = [one.label for one in compared if one.book.best.count > 0 and one.today.best.count == 0]
    why = f"no strut is left at {say.several(len(lost), 'length')} ({say.listed(lost)}); {most} allowed"
    return _link(name, why if len(lost) > most else "", "mend what costs most first")
