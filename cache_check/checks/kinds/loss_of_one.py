"""What is met stays met when any one usable piece is missing before anything is set: each need, and whole scenes."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule
from cache_check.model.verdict import Link


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each need, and for each scene of several needs, that is met, and not with one piece missing."""
    for need, tally in facts.asked():
        if tally.missing is not None and tally.missing.state != "holds":
            left = tally.count("one missing")
            yield _short(facts, rule, tally.label, tally.missing, need.count, left, tally.lost)
    for one in facts.answers:
        if one.missing is not None and one.missing.state != "holds" and len(one.by_need) > 1:
            yield _short(facts, rule, f"scene {one.scene}", one.missing, one.wanted, one.left, one.lost)


def _short(
    facts: Facts, rule: Rule, label: str, missing: Link, wanted: int, left: int | None, lost: tuple[str, ...]
) -> Finding:
    sure = "not known to be met" if missing.state == "unknown" else "not met"
    piece = say.listed((facts.name(part) for part in lost), "or") if lost else "piece"
    return facts.finding(
        rule,
        what=f"{label}: {sure} with one {piece} missing",
        effect=missing.why,
        figures=(("want_count", wanted), *(() if left is None else (("left_count", min(left, wanted)),))),
        part=lost[0] if len(lost) == 1 else "",
    )  # fmt: skip
