"""The answer of ``stage`` in one drawing: the sets of each cache part by part, with what a page says around them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from cache_check.model.card import SetsShown
from cache_check.model.staging import StageResult
from cache_check.report.figures import canvas, foot, sets_to_scale
from cache_check.report.page import short
from cache_check.report.say import Say

if TYPE_CHECKING:
    from matplotlib.figure import Figure

MOST_CACHES, MOST_SETS = 6, 12
TITLE = 0.4
STEP = "Each set is a strut on the step assembled at once; whether it is restrained or rated is not drawn."


def draw(results: Sequence[StageResult], shown: Sequence[SetsShown]) -> Figure:
    """A row for each cache, all to one scale."""
    both = list(zip(results, shown, strict=True))[:MOST_CACHES]
    scale = max(sets_to_scale.longest(one.sets[:MOST_SETS]) for _, one in both)
    lines = foot.lines(_told(results, shown), [(one.title, one.basis) for one, _ in both], sets_to_scale.WIDE)
    says = [Say(one.basis.units, one.names) for one, _ in both]
    highs = [TITLE + sets_to_scale.high(one.sets[:MOST_SETS], one.pieces, say)
             for (_, one), say in zip(both, says, strict=True)]  # fmt: skip
    with canvas.look():
        figure = canvas.blank(sets_to_scale.WIDE, sum(highs) + foot.LINE * len(lines))
        rows: Any = figure.subfigures(len(both), 1, height_ratios=highs, squeeze=False)
        for row, (result, one), say in zip(rows[:, 0], both, says, strict=True):
            row.suptitle(short(f"{result.title}: what to leave built", 60), x=0.01, ha="left", weight="bold")
            sets_to_scale.draw_on(row, one.sets[:MOST_SETS], one.pieces, say, scale)
    return canvas.footed(figure, lines)


def _told(results: Sequence[StageResult], shown: Sequence[SetsShown]) -> list[str]:
    told = [STEP, sets_to_scale.KEY]
    if len(results) > MOST_CACHES:
        told.append(f"{len(results) - MOST_CACHES} more caches are not drawn.")
    cut = sum(max(0, len(one.sets) - MOST_SETS) for one in shown[:MOST_CACHES])
    return [*told, f"{cut} more sets are not drawn."] if cut else told
