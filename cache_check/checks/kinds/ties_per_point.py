"""No more straps or chains than allowed hang on one attachment point."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Findings, LoadFacts
from cache_check.model.part import Fitting
from cache_check.model.rule import Rule


def load(facts: LoadFacts, rule: Rule) -> Findings:
    """One finding when more hold a base than its points can take one each."""
    best = facts.best
    if best is None or best.way is None:
        return
    base = facts.muster.cache.catalogue.by_id[best.assembly.ground]
    assert isinstance(base, Fitting)
    points = len(base.points)
    most = facts.value(rule, "max")
    if points and best.way.per_base > most * points:
        yield facts.finding(
            rule,
            what=f"{best.way.per_base} on {facts.name(base.id)}, which has {say.several(points, 'point')}",
            effect=f"{-(-best.way.per_base // points)} hang on one point, and it takes the pull of them all",
            part=base.id,
        )  # fmt: skip
