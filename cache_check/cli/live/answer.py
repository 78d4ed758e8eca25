"""What the worker does with a question: the commands' own readers and verbs, and pages made of their results.

Nothing is worked out here.  The arguments of a question go through the commands' own parsers, so that the page and
the terminal cannot mean two things by the same words.
"""

from __future__ import annotations

import contextlib
import io
import os
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Any

import click

from cache_check.cli.live import parts
from cache_check.cli.live.kept import Remembered, outside
from cache_check.cli.live.question import Opened, Question, changes, command
from cache_check.errors import AskError, CacheCheckError
from cache_check.frozen import dataclass

if TYPE_CHECKING:
    from jinja2 import Environment

    from cache_check.cli.input import Given
    from cache_check.cli.options import Request
    from cache_check.model.result import CheckResult

SHEETS = ("door", "crew", "load", "office", "audit", "count", "county")  # model.report.KINDS, without loading it
PARTS = ("why", "chart", "sets", "finder", "buy", *SHEETS)
PAGES = ("finder", *SHEETS)
"""Parts that are whole pages of their own, as ``report`` makes them."""


@dataclass(frozen=True)
class Task:
    """One question and what of its answer is wanted: the page ("ask") or a part, of one scene where it is ``about`` it.

    That is the number of the rig in the answer and the scene's id: "1.car-on-side".
    """

    kind: str
    opened: Opened
    question: Question
    about: str = ""


@dataclass(frozen=True)
class Reply:
    """HTML, whether it is an answer (else what is wrong), the title, and the files that it was read from.

    ``form`` is the question's form, for the page that is not there yet.
    """

    ok: bool
    html: str
    files: tuple[str, ...] = ()
    title: str = ""
    form: str = ""


def reply(task: Task) -> Reply:
    """The answer to a task; whatever goes wrong is one too."""
    os.chdir(task.opened.folder)
    try:
        _refuse_outside(task.opened.files)
        return _ANSWERS.made(task, lambda: _made(task), lambda made: made.files)
    except (CacheCheckError, click.ClickException) as error:
        said = error.format_message() if isinstance(error, click.ClickException) else str(error)
        return Reply(False, _render("wrong.html.j2", lines=said.split("\n")), form=_blank_form(task))
    except Exception as error:
        what = " ".join(f"{type(error).__name__}: {error}".split())[:300]
        return Reply(False, _render("wrong.html.j2", lines=[f"our own fault, not yours: {what}"]))


def _made(task: Task) -> Reply:
    """What is wanted of the answer; a sheet is as ``report`` makes it."""
    maker = _MAKERS.get(task.kind)
    return maker(task) if maker else _printed(parts.sheet(task.kind, task.question, task.opened))


def whole(made: Reply, version: int) -> str:
    """The page around an answer, as a browser first loads it."""
    return _render("page.html.j2", made=made, version=version)


def _ask(task: Task) -> Reply:
    from cache_check.report.answer import Told
    from cache_check.report.basis import head, setting_says, where_it_holds
    from cache_check.report.of_check import reasons
    from cache_check.report.say import Say
    from cache_check.report.tally import lead, open_links, scene_met

    read, results = _checked(task.question.check(task.opened))
    book = read.book
    rigs = [
        {
            "result": one,
            "say": Say.of(one),
            "head": head(one.basis).items,
            "settings": [
                f"{s.rule}: {setting_says(s, book, one.basis.units)} ({where_it_holds(s)})" for s in one.basis.settings
            ],
            "reasons": reasons(one, Told(book, read.beside)),
        }
        for one in results
    ]
    html = _render(
        "answer.html.j2", rigs=rigs, question=task.question, lead=lead, scene_met=scene_met, open_links=open_links,
        command=command(("check", *task.question.check(task.opened))), opened=task.opened, sheets=_sheets(task),
        query=task.question.address.partition("?")[2],
    )  # fmt: skip
    title = ", ".join(result.title for result in results)
    return Reply(True, html, (*task.opened.files, *_files(read)), title, _form(task, results, read))


def _checked(arguments: tuple[str, ...], *, whole: bool = False) -> tuple[Given, list[CheckResult]]:
    """What was read of a question, by the options of ``check`` with all scenes, and what that answers to it."""
    from cache_check.cli.commands import check
    from cache_check.cli.input import everything, without

    asked: Request = parts.params(check.command, arguments)["asked"]
    key = (asked.caches, asked.needs, asked.policies, asked.said)
    read = replace(_READINGS.made(key, lambda: everything(replace(asked, skip=())), _files), asked=asked)
    results = check.answered(replace(read, needs=without(read.needs, asked.skip)), whole=whole)
    _refuse_outside(source.path for result in results for source in result.basis.sources)
    return read, results


def _refuse_outside(files: Iterable[str]) -> None:
    """Refuse files that do not lie in the opened folder, links followed."""
    for path in outside(files, "."):
        raise AskError(f"{path} does not lie in the folder that was opened; open that folder instead")


def _files(read: Given) -> Iterable[str]:
    return (source.path for source in (*read.beside, *(one for cache in read.caches for one in cache.sources)))


def _form(task: Task, results: list[CheckResult], read: Given) -> str:
    """The question's form: rigs, factor, scenes, pieces, single pieces, rules."""
    question = task.question
    changed = changes(question.without, question.extra)
    pieces: dict[str, tuple[str, list[int]]] = {}
    for one, rig in zip(results, read.rigs, strict=True):
        for line in one.parts:
            if line.on_book:
                name = rig.catalogue.short_names[line.part]  # what a command is told, whatever the title
                owned = line.usable - changed.get(name, 0)  # without what the question itself supposes
                pieces.setdefault(name, (line.title or name, []))[1].append(owned)
    told = [
        {"name": name, "title": title, "usable": " and ".join(map(str, usable)), "most": max(usable),
         "change": changed.get(name, 0)}
        for name, (title, usable) in pieces.items()
    ]  # fmt: skip
    return _blank_form(
        task, asked=question.rigs or tuple(name for name, _ in task.opened.rigs[:1]), parts=told,
        serials=_serials(results, read), gone={one for one in question.without if "=" not in one},
        scenes=[(one.id, one.title or one.id) for one in (read.needs.scenes if read.needs else ())],
        rules=[(f"{rule.id}.{name}", rule.title) for rule in read.book.rules for name in rule.parameters],
    )  # fmt: skip


def _blank_form(task: Task, **more: Any) -> str:
    """The form with the question as it was put, and, where anything could be read, what more there is to ask."""
    blank = {"asked": task.question.rigs, "parts": (), "serials": (), "gone": (), "scenes": (), "rules": ()}
    rigs = [name for name, _ in task.opened.rigs]
    return _render("form.html.j2", **blank | {"question": task.question, "rigs": rigs} | more)


def _serials(results: list[CheckResult], read: Given) -> tuple[tuple[str, str], ...]:
    """The serials of the usable pieces that were answered about, with the names of their parts."""
    names = {part: name for one in results for part, name in one.names}
    idle = {piece.serial for one in results for line in one.parts for piece in line.idle}
    asked = {rig for one in results for rig in one.basis.rigs}
    stock = [line for cache in read.caches if cache.id in asked for line in cache.stock]
    return tuple(
        (item.serial, names[line.part]) for line in stock for item in line.items if item.serial not in {"", *idle}
    )


def _sheets(task: Task) -> tuple[str, ...]:
    """The kinds of sheet that can be made from what was opened."""
    wanting = {"load": False, "audit": False, "office": bool(task.opened.needs), "county": len(task.opened.rigs) > 1}
    return tuple(kind for kind in SHEETS if wanting.get(kind, True))


def _why(task: Task) -> Reply:
    """How a scene is built, to scale, and the rules that it was judged by."""
    read, results = _checked(task.question.check(task.opened))
    number, _, scene = task.about.partition(".")
    for one in results[int(number) - 1 : int(number)] if number.isdecimal() else ():
        for n, answer in enumerate(one.scenes):
            if answer.scene == scene:
                return Reply(True, _render("why.html.j2", **parts.why(read, one, answer, f"{number}-{n}")))
    raise AskError(f"there is no scene {task.about!r} in this answer")


def _chart(task: Task) -> Reply:
    _, results = _checked(task.question.check(task.opened), whole=True)
    return Reply(True, "".join(_render("chart.html.j2", **parts.chart(one)) for one in results[:1]))


def _buy(task: Task) -> Reply:
    """What ``buy`` says."""
    if not (task.opened.needs and task.opened.prices):
        raise AskError("buying wants needs and prices; open them with --needs and --prices")
    arguments = ("buy", *task.question.words(task.opened, prices=True))
    made = _printed(arguments)
    return Reply(True, _render("told.html.j2", text=made.html, svg="", command=command(arguments))) if made.ok else made


def _sets(task: Task) -> Reply:
    """What ``stage`` says, and the sets to scale."""
    arguments = ("stage", *task.question.words(task.opened), "--sets", "4")
    text, svg = parts.staged(arguments)
    return Reply(True, _render("told.html.j2", text=text, svg=svg, command=command(arguments)))


def _printed(arguments: Sequence[str]) -> Reply:
    """What a command prints, run in this process."""
    from cache_check.cli.guard import guarded

    out, said = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(said):
        status = guarded(arguments)
    if status in (0, 1, 4) and out.getvalue():
        return Reply(True, out.getvalue())
    return Reply(False, _render("wrong.html.j2", lines=said.getvalue().removeprefix("cache-check: ").split("\n")))


@cache
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    from cache_check.report.page import plain

    made = Environment(
        loader=PackageLoader("cache_check.cli.live"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
    made.filters["plain"] = plain
    return made


def _render(name: str, **given: Any) -> str:
    return _environment().get_template(name).render(**given)


_READINGS: Remembered[Given] = Remembered(8)
_ANSWERS: Remembered[Reply] = Remembered(64)
_MAKERS: dict[str, Callable[[Task], Reply]] = {
    "ask": _ask, "why": _why, "chart": _chart, "sets": _sets, "buy": _buy,
    "finder": lambda task: Reply(True, parts.finder(task.question, task.opened)),
}  # fmt: skip
