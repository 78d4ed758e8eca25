"""Parts of the page that are only worked out when somebody looks at them: why, chart, sets, finder, buying, sheets."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

import click

from cache_check.cli.live.question import Opened, Question
from cache_check.cli.why import rules_asked

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from cache_check.cli.input import Given
    from cache_check.model.counting import SceneAnswer
    from cache_check.model.result import CheckResult

_SHOWN = {"form", "show", "color", "plot", "output"}


def params(command: click.Command, arguments: Iterable[str]) -> dict[str, Any]:
    """What a command is asked by arguments, read by its own options, without how to show and to end it."""
    from cache_check.cli.options import gathered

    given = command.make_context(command.name, list(arguments)).params
    return gathered({name: value for name, value in given.items() if name not in _SHOWN}, "")


def why(read: Given, result: CheckResult, scene: SceneAnswer, key: str) -> dict[str, Any]:
    """What the template of why wants: how the scene is built, drawn to scale, and the rules by which it is judged."""
    from cache_check.api.card import packed_sets
    from cache_check.files.pool import pool
    from cache_check.report.basis import parameters_say
    from cache_check.report.figures import canvas, sets_to_scale
    from cache_check.report.say import Say

    say = Say.of(result)
    book = read.book.changed(settings=result.basis.settings)
    rules = [(step, rule, parameters_say(rule, book, say.system)) for step, rule in rules_asked(book)]
    svg = ""
    if scene.packing.count:
        own = [cache for cache in read.caches if cache.id in result.basis.rigs]
        whole = pool(own) if len(own) > 1 else own[0]
        drawn = packed_sets(whole, read.book, scene.packing, suppose=read.suppose)
        figure = sets_to_scale.draw(drawn.sets, drawn.pieces, say)
        svg = canvas.inline(figure, f"How {scene.title or scene.scene} is built, to scale", f"why-{key}")
    return {"svg": svg, "key": sets_to_scale.KEY, "ties": say.pieces(scene.packing.ties), "rules": rules,
            "files": result.basis.sources}  # fmt: skip


def staged(arguments: Sequence[str]) -> tuple[str, str]:
    """What ``stage`` says, and its sets to scale."""
    from cache_check.cli.commands import stage
    from cache_check.report.answer import Told, answer
    from cache_check.report.figures import canvas
    from cache_check.report.page import View

    results, read, drawn = stage.answered(**params(stage.command, arguments[1:]))
    text = answer("stage", results, Told(read.book, read.beside), View())
    return text, canvas.inline(drawn(), "Ready sets, to scale", "sets")


def finder(question: Question, opened: Opened) -> str:
    """The finder of the crew page on a sheet of its own, of the first rig asked about."""
    from cache_check.cli.commands import report
    from cache_check.report.basis import head
    from cache_check.report.pages import finder as finding
    from cache_check.report.pages.sheet import Sheet
    from cache_check.report.pages.sheets import crew
    from cache_check.report.pages.shell import render
    from cache_check.report.say import Say

    result, _, _ = report.answered(**params(report.command, sheet("crew", question, opened)[1:]))
    card = result.crews[0]
    say = Say.of(card)
    made = Sheet("crew", card.title, head(card.basis), (finding.part(card, say),))
    return render([made], {crew.KIND: crew.NAME}, card.title, result.on)


def sheet(kind: str, question: Question, opened: Opened) -> list[str]:
    """The arguments of ``report`` that make a sheet."""
    files = [path for _, path in opened.rigs] if kind == "county" else ()
    return ["report", *question.words(opened, files, prices=True), "--only", kind, "-o", "-"]


def chart(result: CheckResult) -> dict[str, Any]:
    """What the chart's template wants: the drawing, where its axis lies in it, and the counts by length."""
    from cache_check.report.figures import canvas, reach_chart
    from cache_check.report.say import Say

    say = Say.of(result)
    figure = reach_chart.draw(result.reach, result.profiles, say)
    svg = canvas.inline(figure, f"{result.title}: lengths reached, and how many at once", "reach")
    axes = figure.axes[-1]
    box = axes.get_position()
    low, high = axes.get_xlim()
    one = reach_chart.per_unit(say)
    steps = [
        (profile.step, [
            (float(Fraction(s.low, one)), float(Fraction(s.high, one)), s.low_included, s.high_included, s.count)
            for s in profile.stretches if s.count
        ])
        for profile in result.profiles
    ]  # fmt: skip
    return {
        "svg": svg, "left": box.x0, "right": box.x1, "low": low, "high": high, "units": say.length_unit, "steps": steps,
        "title": result.title, "start": round((low + high) / 2, 1),
    }  # fmt: skip
