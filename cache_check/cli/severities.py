"""How grave an answer is, for the exit status."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cache_check.model.assembly import Legality
    from cache_check.model.audit import AuditResult
    from cache_check.model.purchase import BuyResult
    from cache_check.model.result import CheckResult
    from cache_check.model.staging import StageResult


def of_check(result: CheckResult) -> Iterator[str]:
    """The severity of every finding; a need or scene that is not met, or not known to be, is "short"."""
    yield from (finding.severity for finding in result.findings)
    unmet = any(tally.met is False for tally in result.tallies)
    if unmet or not all(scene.met for scene in result.scenes):
        yield "short"


def of_build(verdict: Legality) -> Iterator[str]:
    """The severity of every broken rule; too few usable pieces are "short"."""
    yield from (broken.severity for broken in verdict.broken)
    if verdict.short_of:
        yield "short"


def of_stage(result: StageResult) -> Iterator[str]:
    """A scene that is not met is "short"."""
    if result.staging is not None and not all(scene.served.met for scene in result.staging.scenes):
        yield "short"


def of_buy(result: BuyResult) -> Iterator[str]:
    """A scene that is not met with the best of the lists is "short"."""
    if not any(purchase.whole for purchase in result.purchases):
        yield "short"


def of_audit(result: AuditResult) -> Iterator[str]:
    """The severity of every finding; a result that is no pass, or not known, is "short"."""
    yield from (one.finding.severity for one in result.findings)
    if result.verdict.outcome in ("not known", "out of service"):
        yield "short"
