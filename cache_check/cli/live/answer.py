"""What the worker does with a question: the page of its answer, its form, and parts only made when they are looked at.

Nothing is worked out here.  The arguments of a question go through the commands' own parsers, so that the page and
the terminal cannot mean two things by the same words.
"""

import contextlib
import io
import os
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import click

from cache_check.cli.commands import check, report, stage
from cache_check.cli.input import Given, everything, without
from cache_check.cli.live.desk import Remembered
from cache_check.cli.live.question import Reply, Task, changes, command
from cache_check.cli.options import Request, gathered
from cache_check.cli.output import guarded
from cache_check.errors import AskError, CacheCheckError
from cache_check.model.result import CheckResult, Stretch
from cache_check.report.answer import Told, answer
from cache_check.report.basis import head, parameters_say, setting_says, where_it_holds
from cache_check.report.figures import canvas, reach_chart, sets_to_scale
from cache_check.report.of_check import in_words
from cache_check.report.page import View
from cache_check.report.pages import shell
from cache_check.report.say import Say
from cache_check.report.tally import lead, open_links, scene_met

SHEETS = ("door", "crew", "load", "office", "audit", "count", "county")  # model.report.KINDS, without loading it
PAGES = ("finder", *SHEETS)  # parts that are whole pages of their own, as ``report`` makes them
_SHOWN = {"form", "show", "color", "plot", "output"}
_ANSWERS: Remembered[Reply] = Remembered(64)
_READINGS: Remembered[Given] = Remembered(8)


def reply(task: Task) -> Reply:
    """The answer to a task; whatever goes wrong is one too."""
    os.chdir(task.opened.folder)
    try:
        refuse_outside(task.opened.files)
        return _ANSWERS.made(task, lambda: _made(task), lambda made: made.files)
    except (CacheCheckError, click.ClickException) as error:
        said = error.format_message() if isinstance(error, click.ClickException) else str(error)
        return Reply(False, render("wrong.html.j2", said=said), form=_blank_form(task))
    except Exception as error:
        what = " ".join(f"{type(error).__name__}: {error}".split())[:300]
        return Reply(False, render("wrong.html.j2", said=f"our own fault, not yours: {what}"), form=_blank_form(task))


def _made(task: Task) -> Reply:
    if task.kind == "ask":
        return _ask(task)
    maker = _MAKERS.get(task.kind)
    return Reply(True, maker(task) if maker else printed(_sheet(task, task.kind)))


def _ask(task: Task) -> Reply:
    read, results = checked(task.question.words(task.opened))
    book, told = read.book, Told(read.book, read.beside)
    rigs = [
        {"result": one, "say": Say.of(one), "head": head(one.basis).items, "words": in_words(one, told),
         "settings": [f"{s.rule}: {setting_says(s, book, one.basis.units)} ({where_it_holds(s)})"
                      for s in one.basis.settings]}
        for one in results
    ]  # fmt: skip
    wanting = {"load": False, "audit": False, "office": bool(task.opened.needs), "county": len(task.opened.rigs) > 1}
    html = render(
        "answer.html.j2", rigs=rigs, question=task.question, lead=lead, scene_met=scene_met, open_links=open_links,
        command=command(("check", *task.question.words(task.opened))), opened=task.opened,
        sheets=tuple(kind for kind in SHEETS if wanting.get(kind, True)), query=task.question.address.partition("?")[2],
    )  # fmt: skip
    title = ", ".join(result.title for result in results)
    return Reply(True, html, (*task.opened.files, *files_of(read)), title, _form(task, results, read))


def _form(task: Task, results: list[CheckResult], read: Given) -> str:
    question = task.question
    changed = changes(question.without, question.extra)
    pieces: dict[str, tuple[str, list[int]]] = {}
    for one, rig in zip(results, read.rigs, strict=True):
        for line in one.parts:
            if line.on_book:
                name = rig.catalogue.short_names[line.part]  # what a command is told, whatever the title
                owned = line.usable - changed.get(name, 0)  # without what the question itself supposes
                pieces.setdefault(name, (line.title or name, []))[1].append(owned)
    return _blank_form(
        task, asked=question.rigs or tuple(name for name, _ in task.opened.rigs[:1]), parts=pieces,
        changed=changed, serials=_serials(results, read), gone={one for one in question.without if "=" not in one},
        scenes=[(one.id, one.title or one.id) for one in (read.needs.scenes if read.needs else ())],
        rules=[(f"{rule.id}.{name}", rule.title) for rule in read.book.rules for name in rule.parameters],
    )  # fmt: skip


def _blank_form(task: Task, **more: Any) -> str:
    blank = {"asked": task.question.rigs, "parts": {}, "serials": (), "gone": (), "scenes": (), "rules": ()}
    rigs = [name for name, _ in task.opened.rigs]
    return render("form.html.j2", **blank | {"question": task.question, "rigs": rigs} | more)


def _serials(results: list[CheckResult], read: Given) -> tuple[tuple[str, str], ...]:
    """The serials of the usable pieces that were answered about, with the names of their parts."""
    names = {part: name for one in results for part, name in one.names}
    idle = {piece.serial for one in results for line in one.parts for piece in line.idle}
    stock = [line for cache in read.caches for line in cache.stock]
    return tuple(
        (item.serial, names[line.part]) for line in stock for item in line.items if item.serial not in {"", *idle}
    )


def checked(arguments: tuple[str, ...], *, whole: bool = False) -> tuple[Given, list[CheckResult]]:
    """What was read of a question, by the options of ``check`` with all scenes, and what that answers to it."""
    asked: Request = params(check.command, arguments)["asked"]
    key = (asked.caches, asked.needs, asked.policies, asked.said)
    read = replace(_READINGS.made(key, lambda: everything(replace(asked, skip=())), files_of), asked=asked)
    results = check.answered(replace(read, needs=without(read.needs, asked.skip)), whole=whole)
    refuse_outside(source.path for result in results for source in result.basis.sources)
    return read, results


def refuse_outside(files: Iterable[str]) -> None:
    """Refuse files that do not lie in the opened folder, links followed."""
    for path in files:
        if not Path(path).resolve().is_relative_to(Path.cwd()):
            raise AskError(f"{path} does not lie in the folder that was opened; open that folder instead")


def files_of(read: Given) -> Iterable[str]:
    """The files that were read."""
    return (source.path for source in (*read.beside, *(one for cache in read.caches for one in cache.sources)))


def params(command: click.Command, arguments: Iterable[str]) -> dict[str, Any]:
    """What a command is asked by arguments, read by its own options, without how to show and to end it."""
    given = command.make_context(command.name, list(arguments)).params
    return gathered({name: value for name, value in given.items() if name not in _SHOWN}, "")


def printed(arguments: Sequence[str]) -> str:
    """What a command prints, run in this process.  Raises AskError: what it says where that is nothing."""
    out, said = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(said):
        status = guarded(arguments)
    if status in (0, 1, 4) and out.getvalue():
        return out.getvalue()
    raise AskError(said.getvalue().removeprefix("cache-check: "))


def render(name: str, **given: Any) -> str:
    """A template of this page, filled in."""
    return shell.environment("cache_check.cli.live").get_template(name).render(**given)


def _why(task: Task) -> str:
    from cache_check.api.base import in_force
    from cache_check.api.card import packed_sets

    read, results = checked(task.question.words(task.opened))
    number, _, name = task.about.partition(".")
    asked = results[int(number) - 1 : int(number)] if number.isdecimal() else ()
    found = [(one, scene, n) for one in asked for n, scene in enumerate(one.scenes) if scene.scene == name]
    if not found:
        raise AskError(f"there is no scene {task.about!r} in this answer")
    result, scene, n = found[0]
    rig, say = read.rigs[int(number) - 1], Say.of(result)
    book = in_force(rig, read.book, read.suppose)
    rules = [(step, rule, parameters_say(rule, book, say.system)) for step, rule in check.rules_asked(book)]
    svg = ""
    if scene.packing.count:
        drawn = packed_sets(rig, read.book, scene.packing, suppose=read.suppose)
        figure = sets_to_scale.draw(drawn.sets, drawn.pieces, say)
        svg = canvas.inline(figure, f"How {scene.title or scene.scene} is built, to scale", f"why-{number}-{n}")
    return render("why.html.j2", svg=svg, key=sets_to_scale.KEY, ties=say.pieces(scene.packing.ties), rules=rules,
                  files=result.basis.sources)  # fmt: skip


def _buy(task: Task) -> str:
    arguments = ("buy", *task.question.words(task.opened, prices=True))
    return render("told.html.j2", text=printed(arguments), svg="", command=command(arguments))


def _sets(task: Task) -> str:
    arguments = ("stage", *task.question.words(task.opened), "--sets", "4")
    results, read, drawn = stage.answered(**params(stage.command, arguments[1:]))
    text = answer("stage", results, Told(read.book, read.beside), View())
    svg = canvas.inline(drawn(), "Ready sets, to scale", "sets")
    return render("told.html.j2", text=text, svg=svg, command=command(arguments))


def _finder(task: Task) -> str:
    """The finder of the crew page on a sheet of its own, of the first rig asked about."""
    from cache_check.report.pages import finder as finding

    result, _, _ = report.answered(**params(report.command, _sheet(task, "crew")[1:]))
    card = result.crews[0]
    made = shell.Sheet("crew", card.title, head(card.basis), (finding.part(card, Say.of(card)),))
    return shell.render([made], card.title, result.on)


def _sheet(task: Task, kind: str) -> list[str]:
    files = [path for _, path in task.opened.rigs] if kind == "county" else ()
    pool = task.question.pool and kind not in ("county", "count")  # of the rigs each by itself, as one never is
    words = replace(task.question, pool=pool).words(task.opened, files, prices=True)
    return ["report", *words, "--only", kind, "-o", "-"]


def _chart(task: Task) -> str:
    """The chart of the first rig: the drawing, where its axis lies in it, and the counts by length."""
    result = checked(task.question.words(task.opened), whole=True)[1][0]
    say = Say.of(result)
    figure = reach_chart.draw(result.reach, result.profiles, say)
    svg = canvas.inline(figure, f"{result.title}: lengths reached, and how many at once", "reach")
    axes, one = figure.axes[-1], reach_chart.per_unit(say)
    box, (low, high) = axes.get_position(), axes.get_xlim()

    def told(at: Stretch) -> tuple[float, float, bool, bool, int]:
        return float(Fraction(at.low, one)), float(Fraction(at.high, one)), at.low_included, at.high_included, at.count

    steps = [(profile.step, [told(at) for at in profile.stretches if at.count]) for profile in result.profiles]
    return render(
        "chart.html.j2", title=result.title, svg=svg, left=box.x0, right=box.x1, low=low, high=high,
        units=say.length_unit, steps=steps, start=round((low + high) / 2, 1),
    )  # fmt: skip


_MAKERS = {"why": _why, "chart": _chart, "sets": _sets, "finder": _finder, "buy": _buy}
PARTS = (*_MAKERS, *SHEETS)
