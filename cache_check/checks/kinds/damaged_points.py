"""Bases with a damaged attachment point, whether or not enough are left, and bases at whose points nobody looked."""

from __future__ import annotations

from cache_check.checks import pieces, say
from cache_check.checks.facts import Findings, Inspection
from cache_check.model.part import Fitting
from cache_check.model.rule import Rule

LOOKED_AT = "points"
check = pieces.check


def audit(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each piece with fewer usable attachment points than it was made with."""
    for item, where in inspection.items():
        part = inspection.muster.cache.catalogue.by_id[item.part]
        fit = item.points_usable
        if not isinstance(part, Fitting) or not isinstance(fit, int) or fit >= len(part.points):
            continue
        least = inspection.muster.usable.least_points[part.id]
        made = len(part.points)
        says = f"{say.several(fit, 'usable attachment point')} of {made}"
        effect = (
            "this base cannot be restrained; it is not counted on restrained or above"
            if fit < least
            else "the damaged point is not to be used; enough others are left"
        )
        figures = (("usable_points_count", fit), ("made_points_count", made))
        yield inspection.of_piece(rule, item, where, says, effect, figures=figures)
