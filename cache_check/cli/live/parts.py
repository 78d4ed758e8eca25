"""Parts of the page that are only worked out when somebody looks at them: the chart, the sets to scale, buying."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from cache_check.cli.live.question import Opened, Question

if TYPE_CHECKING:
    from cache_check.model.result import CheckResult, Stretch


def sheet(kind: str, question: Question, opened: Opened) -> list[str]:
    """The arguments of ``report`` that make a sheet."""
    files = tuple(path for _, path in opened.rigs) if kind == "county" else question.named(opened)
    needs = ("--needs", opened.needs) if opened.needs else ()
    return ["report", *files, "--only", kind, "-o", "-", *needs, *_prices(opened), *question.supposed(opened)]


def buy(question: Question, opened: Opened) -> list[str]:
    """The arguments of ``buy`` that ask what to buy."""
    return ["buy", *question.named(opened), "--needs", opened.needs, *_prices(opened), *question.supposed(opened)]


def stage(question: Question, opened: Opened) -> list[str]:
    """The arguments of ``stage`` that ask what to leave built."""
    needs = ("--needs", opened.needs) if opened.needs else ()
    return ["stage", *question.named(opened), *needs, "--sets", "4", *question.supposed(opened)]


def _prices(opened: Opened) -> tuple[str, ...]:
    return tuple(word for path in opened.prices for word in ("--prices", path))


def chart(result: CheckResult) -> dict[str, Any]:
    """What the chart's template wants: the drawing, where its axis lies in it, and the counts by length."""
    from cache_check.report.figures import canvas, reach_chart
    from cache_check.report.say import Say

    say = Say(result.basis.units, result.names)
    figure = reach_chart.draw(result.reach, result.profiles, say)
    svg = canvas.inline(figure, f"{result.title}: lengths reached, and how many at once", "reach")
    axes = figure.axes[-1]
    box = axes.get_position()
    low, high = axes.get_xlim()
    one = reach_chart.per_unit(say)
    steps = [(profile.step, [_stretch(s, one) for s in profile.stretches if s.count]) for profile in result.profiles]
    return {
        "svg": svg, "left": box.x0, "right": box.x1, "low": low, "high": high, "units": say.length_unit, "steps": steps,
        "title": result.title, "start": round((low + high) / 2, 1),
    }  # fmt: skip


def _stretch(one: Stretch, per_unit: int) -> tuple[float, float, bool, bool, int]:
    low, high = (float(Fraction(nm, per_unit)) for nm in (one.low, one.high))
    return low, high, one.low_included, one.high_included, one.count
