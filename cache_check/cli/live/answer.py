"""What the worker does with a question: the page of its answer, and the form in which it can be changed."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

import click

from cache_check.cli.live import parts
from cache_check.cli.live.desk import Remembered
from cache_check.cli.live.parts import SHEETS, Reply, Task, checked, files_of, refuse_outside, render
from cache_check.cli.live.question import changes, command
from cache_check.errors import CacheCheckError

if TYPE_CHECKING:
    from cache_check.cli.input import Given
    from cache_check.model.result import CheckResult


def reply(task: Task) -> Reply:
    """The answer to a task; whatever goes wrong is one too."""
    os.chdir(task.opened.folder)
    try:
        refuse_outside(task.opened.files)
        make = _ask if task.kind == "ask" else parts.made
        return _ANSWERS.made(task, lambda: make(task), lambda made: made.files)
    except (CacheCheckError, click.ClickException) as error:
        said = error.format_message() if isinstance(error, click.ClickException) else str(error)
        return Reply(False, render("wrong.html.j2", lines=said.split("\n")), form=_blank_form(task))
    except Exception as error:
        what = " ".join(f"{type(error).__name__}: {error}".split())[:300]
        return Reply(False, render("wrong.html.j2", lines=[f"our own fault, not yours: {what}"]))


def whole(made: Reply, version: int) -> str:
    """The page around an answer, as a browser first loads it."""
    return render("page.html.j2", made=made, version=version)


def _ask(task: Task) -> Reply:
    from cache_check.report.answer import Told
    from cache_check.report.basis import head, setting_says, where_it_holds
    from cache_check.report.of_check import reasons
    from cache_check.report.say import Say
    from cache_check.report.tally import lead, open_links, scene_met

    read, results = checked(task.question.check(task.opened))
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
    html = render(
        "answer.html.j2", rigs=rigs, question=task.question, lead=lead, scene_met=scene_met, open_links=open_links,
        command=command(("check", *task.question.check(task.opened))), opened=task.opened, sheets=_sheets(task),
        query=task.question.address.partition("?")[2],
    )  # fmt: skip
    title = ", ".join(result.title for result in results)
    return Reply(True, html, (*task.opened.files, *files_of(read)), title, _form(task, results, read))


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
    return render("form.html.j2", **blank | {"question": task.question, "rigs": rigs} | more)


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


_ANSWERS: Remembered[Reply] = Remembered(64)
