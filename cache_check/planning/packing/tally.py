"""The tally: the struts counted on each step, for one length or range."""

from __future__ import annotations

from cache_check.model.result import Packing, Step, Tally
from cache_check.planning.packing.binding import binding, one_lost
from cache_check.planning.packing.choice import shown
from cache_check.planning.packing.muster import Ask, Muster


def tally(muster: Muster, ask: Ask, label: str, wanted: int | None = None) -> Tally:
    """The tally of a muster for an ask; "one missing" starts from the highest step asked."""
    top = ask.top
    best: Packing = shown(muster, ask, top)
    counts: dict[Step, int | None] = {
        "on the book": _bodies(muster, muster.cache.counted),
        "usable": _bodies(muster, muster.usable.counts),
        "buildable": muster.buildable(ask),
        "assembled at once": muster.most(ask, "assembled at once").count,
        "restrained": muster.most(ask, "restrained").count,
        "rated": best.count if ask.load is not None else None,
    }
    parts = parts_in_play(muster)
    packer, rows = muster.packer, muster.columns.changed
    left, lost = one_lost(packer, muster.stock, muster.mask(ask, top), best.count, parts, rows)
    counts["one missing"] = left
    wide = muster.mask(ask, top, owned=False)
    return Tally(
        label=label,
        shortest=ask.shortest,
        longest=ask.longest,
        wanted=wanted,
        load=ask.load,
        factor=muster.factor(ask).k if ask.load is not None else None,
        counts=tuple(counts.items()),
        why_zero=tuple(_why_zero(muster, ask, counts)),
        missing_step=top,
        lost=lost,
        best=best,
        binding=binding(packer, muster.stock, wide, best.count, parts, rows),
        asked_step=top,
        met=None if wanted is None else best.count >= wanted,
    )


def _bodies(muster: Muster, counts: dict[str, int]) -> int:
    return sum(counts.get(part.id, 0) for part in muster.cache.catalogue.parts if part.kind == "body")


def parts_in_play(muster: Muster) -> tuple[str, ...]:
    """The part types that some column uses, in the order of the catalogue."""
    used = {row for column in muster.columns.all for row, _ in column.uses}
    return tuple(
        part.id
        for part in muster.cache.catalogue.parts
        if part.kind != "pad" and set(muster.columns.changed(part.id)) & used
    )


def _why_zero(muster: Muster, ask: Ask, counts: dict[Step, int | None]) -> list[tuple[Step, str]]:
    """For each step whose count is zero while the one below is not, the reason in words."""
    reasons: list[tuple[Step, str]] = []
    below: Step = "on the book"
    for step, count in counts.items():
        if count is None or step == "one missing":
            continue
        if count == 0 and counts[below]:
            reasons.append((step, _reason(muster, ask, step)))
        below = step
    return reasons


def _reason(muster: Muster, ask: Ask, step: Step) -> str:
    reasons: dict[Step, tuple[tuple[bool, str], ...]] = {
        "usable": ((True, "no strut body is usable today"),),
        "buildable": ((True, "no legal assembly of the usable parts covers this length without rebuilding"),),
        "restrained": (
            (not any(muster.usable.pointed.values()), "no usable base has enough attachment points"),
            (
                not muster.mask(ask, "restrained", owned=False),
                "no assembly on a base with enough attachment points covers this length",
            ),
            (True, "there are not enough straps or chains, with their hardware, for one base"),
        ),
        "rated": (
            (not muster.chart_edges, "no chart: unrated"),
            *((True, f"a chart is in doubt, so nothing rests on it: {says}") for says in muster.in_doubt[:1]),
            (True, "no chart row rates a build for this load at this length and factor"),
        ),
    }
    return next(says for holds, says in reasons.get(step, ((True, "the parts do not suffice for one strut"),)) if holds)
