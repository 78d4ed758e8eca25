"""Findings: one thing wrong or worth knowing, with rule, place, figure and remedy."""

from __future__ import annotations

from dataclasses import dataclass

from cache_check.model.rule import SEVERITIES, Severity


@dataclass(frozen=True)
class Finding:
    """One finding.  ``figures`` are pairs of a name that ends in its unit and a value in base units or text.

    ``serial`` is there where the finding is about one piece that has one.
    """

    rule: str
    title: str
    severity: Severity
    rig: str
    what: str
    effect: str
    remedy: str
    source: str
    figures: tuple[tuple[str, int | str], ...] = ()
    part: str = ""
    where: str = ""
    serial: str = ""

    @property
    def order(self) -> tuple[int, str, str, str, str]:
        """Gravest first, then by rule, rig and part."""
        return (SEVERITIES.index(self.severity), self.rule, self.rig, self.part, self.what)
