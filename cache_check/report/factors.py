"""One rig at several design factors, side by side; the strictest stands first, and its verdicts head the answer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from cache_check.model.counting import SceneAnswer, SceneServed, Tally
from cache_check.model.result import CheckResult, ReachResult
from cache_check.model.staging import StageResult
from cache_check.report.page import Line, Part
from cache_check.report.say import ratio
from cache_check.report.tally import bracketed


def titled(results: Sequence[Any], factors: Sequence[Fraction]) -> list[Any]:
    """The results, each with its design factor in its title, so that no row of data loses it."""
    rigs = len(results) // len(factors)
    return [replace(one, title=f"{one.title} at {ratio(factors[n // rigs])}") for n, one in enumerate(results)]


def side_by_side(results: Sequence[Any], factors: Sequence[Fraction]) -> Part:
    """What every scene, need or length comes to at each factor: a line each, the strictest factor first."""
    lines: list[Line] = []
    for each in zip(*map(_answers, results), strict=True):
        said = "; ".join(f"at {ratio(factor)} {answer}" for factor, (_, answer) in zip(factors, each, strict=True))
        lines.append(Line("" if lines else "Factors", f"{each[0][0]}: {said}"))
    return Part(tuple(lines))


def _answers(result: CheckResult | ReachResult | StageResult) -> Iterator[tuple[str, str]]:
    """Each thing asked, and what is answered at this factor."""
    scenes: Sequence[SceneAnswer | SceneServed] = result.scenes if isinstance(result, CheckResult) else ()
    if isinstance(result, StageResult):
        scenes = [one.served for one in (result.staging.scenes if result.staging else ())]
    for one in scenes:
        yield one.title or one.scene, f"{one.verdict.upper()}, {one.served} of {one.wanted}{bracketed(one.missing)}"
    if not scenes and not isinstance(result, StageResult):
        tallies = result.tallies if isinstance(result, CheckResult) else (result.at,) if result.at else ()
        yield from ((one.label, _counted(one)) for one in tallies)


def _counted(one: Tally) -> str:
    return f"{one.best.count} {one.asked_step}"
