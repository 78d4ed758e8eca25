"""Spare straps, chains and pads beside those in use."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks import say
from cache_check.checks.facts import Findings, Inspection
from cache_check.checks.restraint import pointed_bases, usable_bases
from cache_check.model.part import TIES
from cache_check.model.rule import Rule


def audit(inspection: Inspection, rule: Rule) -> Findings:
    """A finding where the straps and chains, or the pads, are fewer than those in use and their spares."""
    per = max(1, int(inspection.value(rule, "per")))
    for what, use, have in _in_use(inspection):
        spare = -(-use // per)
        short = use + spare - have
        if use and short > 0:
            yield inspection.finding(
                rule,
                what=f"{use} {what} in use and {say.several(spare, 'spare')} make {use + spare}: {short} short "
                f"({have} usable)",
                effect="none to spare when one is cut or left on scene" if have >= use else "short even with no spare",
                figures=(("have_count", have), ("want_count", use + spare), ("short_count", short)),
            )  # fmt: skip


def _in_use(inspection: Inspection) -> Iterator[tuple[str, int, int]]:
    """What, how many are in use when every base is, and how many are usable."""
    muster, facts = inspection.muster, inspection.facts
    by_id, counts = muster.cache.catalogue.by_id, muster.usable.counts
    bodies = sum(n for part, n in counts.items() if by_id[part].kind == "body")
    bases = min(bodies, sum(pointed_bases(facts).values()))
    each = int(muster.book.ruled("straps_per_base", "min", default=0))
    yield "straps or chains", each * bases, sum(n for part, n in counts.items() if by_id[part].kind in TIES)
    pads = sum(n for part, n in counts.items() if by_id[part].kind == "pad")
    if any(by_id[line.part].kind == "pad" for line in muster.cache.stock):
        yield "pads", min(bodies, sum(usable_bases(facts).values())), pads
