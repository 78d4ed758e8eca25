"""Findings: one thing wrong or worth knowing, with rule, place, figure and remedy."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated

from cache_check.frozen import dataclass
from cache_check.model.piece import Why
from cache_check.model.rule import SEVERITIES, Severity
from cache_check.model.told import UNTOLD, keys

Figure = int | Fraction | str


@dataclass(frozen=True)
class Finding:
    """One finding.  ``figures`` are pairs of a name that ends in its unit and an exact value in base units, or text."""

    rule: str
    title: str
    severity: Severity
    rig: str
    what: str
    effect: str
    remedy: str
    source: str
    figures: Annotated[tuple[tuple[str, Figure], ...], keys("name value", by_name=True)] = ()
    part: str = ""
    where: str = ""
    serial: Annotated[str, "if it is about one piece that has one"] = ""
    why: Annotated[Why | None, "if it is about pieces that do not count"] = None
    asked: Annotated[str, UNTOLD] = ""  # label of the need, scene or result of an audit it is about

    @property
    def order(self) -> Annotated[tuple[int, str, str, str, str], UNTOLD]:
        """Gravest first, then by rule, rig and part."""
        return (SEVERITIES.index(self.severity), self.rule, self.rig, self.part, self.what)
