"""Training parts are never counted for response, and are in no ready set."""

from __future__ import annotations

from cache_check.checks.facts import Facts, Findings, Inspection
from cache_check.model.cache import Status
from cache_check.model.rule import Rule

LOOKED_AT = "usable"

TRAINING: Status = "training"


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each part of which training pieces are counted as usable."""
    book = facts.muster.book
    counting = [
        r for r in book.of_kind("out_of_service") if not book.is_on(r.id) or TRAINING in book.value(r.id, "counts")
    ]
    if not counting:
        return
    for line in facts.muster.cache.stock:
        pieces = line.out.get(TRAINING, 0) + sum(item.status == TRAINING for item in line.items)
        if pieces:
            yield facts.finding(
                rule, what=f"{facts.pieces(line.part, pieces)} for training only, counted as usable",
                effect=f"every step is too high by them; {counting[0].id} is set so",
                figures=(("training_count", pieces),), part=line.part, where=line.where, rig=line.rig,
            )  # fmt: skip


def audit(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each training piece in a ready set."""
    sets = {serial: ready for ready in inspection.muster.cache.ready_sets for serial in ready.serials}
    for item, where in inspection.items():
        if item.status == TRAINING and item.serial in sets:
            says = f"for training only, and in ready set {sets[item.serial].id}"
            yield inspection.of_piece(rule, item, where, says, "the set is not to be used")
