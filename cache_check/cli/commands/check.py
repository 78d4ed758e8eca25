"""What a cache can build, at once, and what it lacks: the main job."""

import contextlib
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from cache_check.cli import input as given
from cache_check.cli.options import SHOWN, SUPPOSING, Request, View, called, options
from cache_check.cli.output import emit, leave, severities, tell
from cache_check.errors import AskError, InputError

if TYPE_CHECKING:
    from cache_check.model.cache import Cache
    from cache_check.model.result import CheckResult
    from cache_check.model.rule import Rule, RuleBook
    from cache_check.model.verdict import Link

ASKED_OF = {
    "assembled at once": ("extension_count", "extension_length", "adapter_count", "family_mixing", "minimum_insertion"),
    "restrained": ("straps_per_base", "attachment_points", "unmixed_ties", "anchor_hardware"),
    "rated": ("load_check", "mixed_rating", "unrated", "chart_sane", "chart_likely", "restraint_marked"),
}
"""The kinds of rules that a strut is judged by on each step; every piece of it by those about pieces too."""


@called("check", "check rescue-41.yaml --needs scenes.yaml --without strap=2")
@options("caches needs skip")
@click.option("--why", metavar="NAME", help="What made a scene's, need's or part's numbers.")
@options(f"pool jobs seconds {SUPPOSING} {SHOWN} fail_on")
def command(asked: Request, why: str | None, view: View) -> None:
    """What CACHES can build, at once, and what they lack.

    The tally from the book to one piece missing, at your needs or at a few round
    lengths; reach and blind spots; matched sets; gaps; findings.
    """
    if why is not None and (asked.jobs is not None or view.form != "table"):
        raise AskError("--why is told as a table of lines, without --jobs")
    whole, losses = view.wants("lengths", "sets", "reach"), bool({"losses", "all"} & set(view.show))
    one = partial(answered, whole=whole, losses=losses)
    if asked.jobs is not None:
        from cache_check.cli import fleet

        fleet.run("check", one, asked, view)
        return
    results: list[CheckResult] = []
    for one_factor in asked.each():
        told = given.everything(one_factor)
        results += one(told)
    if why is not None:
        _explain(why, results, told, view)
    else:
        tell("check", results, view, told.book, told.beside, factors=asked.factors)
    leave(severities("check", results), asked.fail_on)


def answered(read: given.Given, *, whole: bool = True, losses: bool = False) -> "list[CheckResult]":
    """What is answered of what was read, before anyone decides how to show it; not ``whole``: the short answer's."""
    from cache_check.api.check import check

    ask = partial(check, needs=read.needs, suppose=read.suppose, seconds=read.asked.seconds)
    return [ask(one, read.book, whole=whole, losses=losses) for one in read.rigs]


def _explain(name: str, results: "Iterable[CheckResult]", read: given.Given, shown: View) -> None:
    """Write what made the numbers of every scene, need and part of this name.  Raises AskError: nothing has it."""
    from cache_check.report import shortly
    from cache_check.report.as_text import as_lines
    from cache_check.report.page import Line, Part

    results, parts = list(results), []
    rigs = read.rigs * (len(results) // len(read.rigs))  # the same at each design factor
    for result, rig in zip(results, rigs, strict=True):
        named = [Part(tuple(Line(*one) for one in lines)) for lines in _named(name, result, rig, read)]
        parts += [shortly.head(result.title, result.basis), *named] if named else []
    if not parts:
        scenes = [scene for result in results for scene in result.scenes]
        known = [one for scene in scenes for one in (scene.scene, *(need for need, _, _ in scene.by_need))]
        raise AskError(f"no scene, need or part is called {name!r}; there are {', '.join(dict.fromkeys(known))}, parts")
    parts.append(Part((Line("Caution", shortly.CAUTION),)))
    emit(as_lines(tuple(parts), width=shown.width, colored=shown.colored, most=10_000))


def _named(name: str, result: "CheckResult", rig: "Cache", read: given.Given) -> Iterator[list[tuple[str, str]]]:
    from cache_check.api.base import in_force
    from cache_check.joining.stock import usable
    from cache_check.planning.packing.tally import tally
    from cache_check.planning.scenes import scene
    from cache_check.report.tally import met, scene_met

    def rest(function: Callable[..., Any], *names: str) -> list[tuple[str, str]]:
        asked = rules_asked(in_force(rig, read.book, read.suppose))
        rules = [("Rule", f"{rule.id} ({step}): {rule.title}; {rule.source}") for step, rule in asked]
        made = ("Made by", f"{function.__module__}.{function.__qualname__}")
        return [made, *(rules if function is not usable else []), *_written(result, read, *names)]

    sought = name.casefold()
    for one in result.scenes:
        if sought in (one.scene.casefold(), one.title.casefold()):
            said = f"{one.scene}: {scene_met(one)}, {one.served} of {one.wanted} at once"
            yield [("Scene", said), *_links(one.links), *rest(scene, one.scene)]
    for need in result.tallies:
        of, _, alone = need.label.partition(": ")
        if sought in (need.label.casefold(), alone.casefold()):
            counts = ", ".join(f"{count} {step}" for step, count in need.counts if count is not None)
            said = f"{need.label}: {met(need)}: {counts}"
            yield [("Need", said), *_links(need.links), *rest(tally, of, *([alone] if alone else []))]
    for part in result.parts:
        short = part.part.rpartition("/")[2]
        if sought in (part.part.casefold(), part.title.casefold(), short.casefold()):
            book = "not counted" if part.on_book is None else f"{part.on_book} on the book"
            idle = [(idle.number, reason) for idle in part.idle for reason in idle.reasons]
            out = [("Not used", f"{number}: {reason.rule} {reason.says}") for number, reason in idle]
            yield [("Part", f"{part.title or short}: {book}, {part.usable} usable"), *out, *rest(usable, short)]


def _links(links: "Iterable[Link]") -> list[tuple[str, str]]:
    return [("Link", f"{one.name}: {one.state}" + (f", {one.why}" if one.why else "")) for one in links]


def rules_asked(book: "RuleBook") -> "Iterator[tuple[str, Rule]]":
    """The rules in force that a strut is judged by, each with its step."""
    return ((step, rule) for step, kinds in ASKED_OF.items() for kind in kinds for rule in book.in_force(kind))


def _written(result: "CheckResult", read: given.Given, *names: str) -> Iterator[tuple[str, str]]:
    """Where the last of these names is first written, each looked for in what follows the one before it."""
    for source in (*result.basis.sources, *read.beside):
        words = iter(_words(Path(source.path)))
        places = [next((place for word, place in words if word == name), "") for name in names]
        if places[-1]:
            yield "Written", f"{source.path}, {places[-1]}"


def _words(path: Path) -> Iterator[tuple[str, str]]:
    """Every word of a file in its order, with the line or cell in which it stands; none of what cannot be read."""
    import yaml

    from cache_check.files.reading import grids, is_table
    from cache_check.files.workbook import grid

    with contextlib.suppress(OSError, ValueError, InputError, yaml.YAMLError):
        if is_table(path):
            for sheet in grids(path)[0]:
                for number, row in sheet.rows:
                    for column, cell in enumerate(row, 1):
                        yield str(cell).strip(), f"{sheet.label}, cell {grid.column_letters(column)}{number}"
        else:
            with path.open(encoding="utf-8") as file:
                for one in yaml.scan(file):
                    if isinstance(one, yaml.ScalarToken):
                        yield one.value, f"line {one.start_mark.line + 1}"
