"""The page of ``check``: what a cache can build, at once, and what it lacks."""

from __future__ import annotations

from collections.abc import Sequence

from cache_check.model.cache import Source
from cache_check.model.result import CheckResult
from cache_check.model.rule import RuleBook
from cache_check.model.verdict import Verdict
from cache_check.report import basis, findings, lengths, tally
from cache_check.report.caution import caution, reminder
from cache_check.report.page import Page, Paragraph, Section, Table, words
from cache_check.report.say import Say


def page(result: CheckResult, book: RuleBook, read: Sequence[Source] = ()) -> Page:
    """The page, in the order in which a crew reads it."""
    say = Say(result.basis.units, result.names)
    return Page(
        f"{result.title}: what it can build at once, and what it lacks",
        (
            Section("In short", (Paragraph(in_short(result)), reminder(), basis.head(result.basis))),
            _told(result, "struts on each step") or tally.tally(result.tallies, say),
            tally.scenes(result.scenes, say),
            lengths.reach(result.reach, say),
            _told(result, "how many at once, by length") or lengths.profiles(result.profiles, say),
            _told(result, "matched sets") or lengths.matched(result.matched, say),
            findings.gaps(result.gaps, say),
            findings.findings(result.findings, say),
            findings.parts(result.parts),
            basis.rests_on(result.basis, book, read),
            caution(),
        ),
    )


def _told(result: CheckResult, part: str) -> Section | None:
    """The section that says why a part was not worked out; None where it was."""
    why = dict(result.untold).get(part)
    return None if why is None else Section(part[0].upper() + part[1:], (Paragraph(f"Not worked out: {why}."),))


def in_short(result: CheckResult) -> str:
    """The one line that is read if no other is."""
    return f"Needs: {needs_met(result)}. Findings: {findings.by_severity(result.findings)}."


def needs_met(result: CheckResult) -> str:
    """How many needs and scenes are met."""
    asked = [one.verdict for one in result.tallies if one.verdict is not None]
    if not asked and not result.scenes:
        return "not asked"
    alone = f"{_of(asked)} met, each by itself" if asked else "each by itself not worked out"
    return f"{alone}; {_of([one.verdict for one in result.scenes])} scenes met whole" if result.scenes else alone


def _of(verdicts: Sequence[Verdict]) -> str:
    """How many are met, of how many; and of how many it is not known."""
    unknown = verdicts.count("not known")
    return f"{verdicts.count('met')} of {len(verdicts)}" + (f" ({unknown} not known)" if unknown else "")


def summary(results: Sequence[CheckResult]) -> Page:
    """A line for each of several caches."""
    rows = tuple((one.title, needs_met(one), findings.by_severity(one.findings)) for one in results)
    table = Table(words("cache|needs|findings"), rows)
    return Page("Several caches, each by itself", (Section("In short", (table, reminder())),))
