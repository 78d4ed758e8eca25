"""Every base has its own straps or chains: how many bases the straps on the rig can hold."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks.facts import Facts
from cache_check.checks.say import finding
from cache_check.model.finding import Finding
from cache_check.model.part import TIES
from cache_check.model.result import Gap
from cache_check.model.rule import Rule


def gaps(facts: Facts, rule: Rule) -> Iterator[Gap]:
    """All usable bases that can be restrained, against the usable straps and chains."""
    muster = facts.muster
    each = int(muster.book.value(rule.id, "min"))
    bases = sum(muster.usable.pointed.values())
    ties = sum(
        muster.usable.counts[part.id] for part in muster.cache.catalogue.parts if part.kind in TIES
    )
    want = bases * each
    short = max(0, want - ties)
    says = f"{bases} bases with enough points need {want} straps or chains at {each} each, {ties} usable: "
    yield Gap("straps or chains", ties, want, says + (f"{short} short" if short else "enough"), rule.id)


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """One finding when some base would stand without its straps."""
    for gap in gaps(facts, rule):
        if gap.short:
            held = gap.have // int(facts.muster.book.value(rule.id, "min"))
            yield finding(
                facts, rule, what=gap.says, effect=f"no more than {held} struts can be restrained at once",
                figures=(("have_count", gap.have), ("want_count", gap.want), ("short_count", gap.short)),
            )  # fmt: skip
