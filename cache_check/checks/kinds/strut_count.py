"""No fewer struts than the policy's floor for the class of vehicle."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.load import LoadFacts


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """One finding when fewer are planned, or fewer can stand here, than the floor."""
    one, tally = facts.result.situation, facts.result.tally
    floors = {"car": facts.muster.book.value(rule.id, "car"), "heavy": facts.muster.book.value(rule.id, "heavy")}
    yield from _limit(facts, rule)
    if one.vehicle is None:
        return
    floor, there = floors[one.vehicle], tally.count(tally.asked_step) or 0
    planned = one.sharing if one.struts is not None else None
    if planned is not None and planned < floor:
        what = f"{say.several(planned, 'strut')} planned on a {one.vehicle} vehicle, the policy's floor is {floor}"
    elif there < floor:
        what = f"{say.several(there, 'strut')} {tally.asked_step} here, the policy's floor for this class is {floor}"
    else:
        return
    yield say.finding(
        facts, rule, what=what, effect="fewer than the floor is no plan, whatever statics says of each",
        figures=(("want_count", floor), ("have_count", there if planned is None else planned)),
    )  # fmt: skip


def _limit(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """A limit on each strut asks for more struts than are planned, by equal share as such limits are meant."""
    one, wanted = facts.result.situation, facts.result.wanted
    if one.strut_limit is not None and wanted is not None and wanted.count > max(one.sharing, wanted.floor):
        yield say.finding(
            facts, rule,
            what=f"at {say.force(facts, wanted.each, 'down')} upright on each the load takes "
            f"{say.several(wanted.count, 'strut')} by equal share, {one.sharing} planned",
            effect="each strut is given more than the limit set for one",
            figures=(("want_count", wanted.count), ("have_count", one.sharing)),
        )  # fmt: skip
