"""Sheets of a report, and all of them as one HTML file that needs no network and no other file."""

import re
from base64 import b64encode
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from datetime import date
from functools import cache
from hashlib import sha256
from importlib import import_module, resources
from pkgutil import iter_modules
from types import ModuleType
from typing import Any, Literal

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from cache_check import __version__
from cache_check.frozen import dataclass
from cache_check.model.cache import Source
from cache_check.model.exercise import ExerciseResult
from cache_check.model.report import ReportResult
from cache_check.model.result import Basis
from cache_check.model.rule import RuleBook
from cache_check.report import basis, shortly
from cache_check.report.answer import Told
from cache_check.report.page import CAUTION, REMINDER, Block, Points, Table, plain, spelled, table
from cache_check.report.to_write_on import LETTERS, ONLY, letters

_TEMPLATES = resources.files("cache_check.report.pages").joinpath("templates")
Look = Literal["", "wide", "half", "scene", "ticks"]
"""Takes the whole width; two such share it in print; a scene of a crew, its figures the largest; a list to tick."""


@dataclass(frozen=True)
class Figure:
    """A drawing and what it says in words."""

    svg: Markup
    caption: str


@dataclass(frozen=True)
class Widget:
    """Something laid out by a template beside the shell's, with its data and, to work with, a script beside it."""

    template: str
    script: str  # a fixed file, so that the page's policy can name it by its hash and nothing else can run; "" is none
    key: str  # begins the ids of the template, which are each page's own
    data: Mapping[str, Any]  # ``widget.data`` in the template


@dataclass(frozen=True)
class Part:
    """A heading and what stands under it; how it is laid out is its class in the style of its kind of sheet."""

    heading: str
    blocks: tuple[Block | Figure | Widget, ...]
    look: Look = ""


@dataclass(frozen=True)
class Sheet:
    """One sheet: its kind ("door"), title, what it rests on, parts, the lines at its foot, and its caution."""

    kind: str
    title: str
    rests: Points
    parts: tuple[Part, ...]
    foot: tuple[str, ...] = field(default=())
    caution: tuple[str, ...] | None = None  # None is the plain one
    of: str = ""  # the id of the cache that it is of, empty where it is of several
    annex: tuple[Part, ...] = ()  # what the parts rest on, after the caution, on a side of its own in print


def to_sign(people: Iterable[str], *more: str) -> Table:
    """Lines to sign on paper: who, name, signature, and what else is filled in."""
    heads = "|".join(("who|name in capitals|signature", *more))
    return table(heads, ((who, *[""] * (2 + len(more))) for who in people))


def rests_on(of: Basis, told: Told, heading: str = "What this rests on") -> Part:
    """What a sheet rests on beyond its head: files by their own names, and one line for all that is none."""
    kept: list[Block] = []
    none: list[str] = []
    _head, *blocks = basis.rests_on(of, told.rules, told.read)
    for block in blocks:
        if isinstance(block, Points) and not block.items:
            none.append(block.lead.removesuffix(": none."))
        elif isinstance(block, Points) and block.lead == "Files read:":
            kept.append(replace(block, items=tuple(re.sub(r"^.*[/\\]", "", one) for one in block.items)))
        else:
            kept.append(block)
    return Part(heading, (*kept, *[f"{', '.join(none)}: none."] * bool(none)))


@cache
def kinds() -> tuple[ModuleType, ...]:
    """The modules of the sheets, in order; ``OF`` is the entry of a report that has the facts of each sheet."""
    from cache_check.report.pages import sheets

    found = [import_module(f"{sheets.__name__}.{one.name}") for one in iter_modules(sheets.__path__)]
    return tuple(sorted(found, key=lambda module: module.ORDER))


def html(result: ReportResult, book: RuleBook, read: Sequence[Source] = ()) -> str:
    """The file of ``report``: every kind of sheet that has something to show; ``read`` are files beside the caches."""
    told = Told(book, read, more={"report": result})
    made = [one for kind in kinds() for one in _sheets(result, kind, told)]
    return render(made, made[0].title if len(made) == 1 else result.title, result.on)


def _sheets(result: ReportResult, kind: ModuleType, told: Told) -> Iterator[Sheet]:
    """The sheets of a kind; in the place of each that could not be made, why."""
    of = getattr(result, kind.OF)
    for number, one in enumerate(of if isinstance(of, tuple) else filter(None, (of,)), 1):
        yield kind.sheet(one, told, f"{kind.KIND}-{number}")
    for one in result.missing:
        if one.kind == kind.KIND:
            why = Part("NOT PROVEN", (f"This sheet is not made: {one.why}.",))
            yield Sheet(one.kind, one.title, Points("Nothing is said here, neither yes nor no."), (why,), of=one.of)


def render(sheets: Sequence[Sheet], title: str, on: date) -> str:
    """The file, every text escaped, what could change the writing direction spelled out; only widgets' scripts run."""
    blocks = (block for one in sheets for part in (*one.parts, *one.annex) for block in part.blocks)
    scripts = tuple(map(_file, dict.fromkeys(one.script for one in blocks if isinstance(one, Widget) and one.script)))
    hashes = tuple(f"'sha256-{b64encode(sha256(one.encode()).digest()).decode()}'" for one in scripts)
    own = dict.fromkeys(f"{one.kind}.css" for one in sheets)  # beside the style of every sheet, where a kind has one
    style = "".join(map(_file, ("style.css", *(name for name in own if _TEMPLATES.joinpath(name).is_file()))))
    made = environment().get_template("page.html.j2").render(
        title=title, sheets=sheets, kinds={kind.KIND: kind.NAME for kind in kinds()}, scripts=scripts, hashes=hashes,
        reminder=REMINDER, caution=CAUTION, short_caution=shortly.CAUTION, on=on.isoformat(), version=__version__,
        style=style,
    )  # fmt: skip
    return made + "\n"


def exercise(result: ExerciseResult) -> str:
    """Cards, two a side, to answer on the page too, and their key; no script runs, and no answer is kept."""
    made = environment().get_template("exercise.html.j2").render(
        result=result, letter=LETTERS, letters=letters, only=ONLY, caution=CAUTION,
        head=basis.head(result.basis).items, version=__version__,
    )  # fmt: skip
    return made + "\n"


def _file(name: str) -> str:
    return _TEMPLATES.joinpath(name).read_text(encoding="utf-8")


@cache
def environment(package: str = __package__) -> Environment:
    """Templates of a package, of pages or of answers: every text escaped, an unknown name an error."""
    made = Environment(loader=PackageLoader(package), autoescape=True, undefined=StrictUndefined,
                       trim_blocks=True, lstrip_blocks=True)  # fmt: skip
    made.filters.update(plain=plain, spelled=spelled, longest=lambda text: max(map(len, text.split()), default=0))
    made.filters["in_css"] = lambda text: re.sub(r"[^\w ,.:-]", lambda found: f"\\{ord(found[0]):x} ", text)
    kinds = {"points": Points, "table": Table, "figure": Figure, "widget": Widget}
    made.tests.update({name: lambda one, kind=kind: isinstance(one, kind) for name, kind in kinds.items()})
    return made
