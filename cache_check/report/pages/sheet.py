"""A sheet of a report: parts under headings, blocks as on any page, and what only paper and screens have.

A sheet says what its page rests on at its head; the shell adds caution, date and version at its foot.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import field, replace
from typing import TYPE_CHECKING, Any, Literal

from cache_check.frozen import dataclass
from cache_check.model.cache import Source
from cache_check.model.result import Basis
from cache_check.model.rule import RuleBook
from cache_check.report import basis
from cache_check.report.page import Block, Points

if TYPE_CHECKING:
    from markupsafe import Markup


Look = Literal["", "wide", "half", "scene", "ticks"]
"""Takes the whole width; two such share it in print; a scene of a crew, its figures the largest; a list to tick."""


@dataclass(frozen=True)
class Figure:
    """A drawing and what it says in words."""

    svg: Markup
    caption: str


@dataclass(frozen=True)
class Widget:
    """Something to work with on a screen: a template beside the shell's, its data, and a script of the same place.

    ``data`` is given to the template as ``widget.data``; the script is one fixed file, so that the page's policy can
    name it by its hash and nothing else can run; one without a script is only laid out by its template.  A key begins
    the ids of the template, which are each page's own.
    """

    template: str
    script: str
    key: str
    data: Mapping[str, Any]


@dataclass(frozen=True)
class SheetLinks:
    """Links to the other sheets of the file, which the shell finds, for each cache: its title and id."""

    rigs: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Part:
    """A heading and what stands under it; how it is laid out is its class in the style of its kind of sheet."""

    heading: str
    blocks: tuple[Block | Figure | Widget | SheetLinks, ...]
    look: Look = ""


@dataclass(frozen=True)
class Sheet:
    """One sheet: its kind ("door"), title, what it rests on, parts, the lines at its foot, and its caution.

    ``annex`` is what the parts rest on: it comes after the caution, on a side of its own in print.  ``caution`` None
    is the plain one.  ``of`` is the id of the cache that it is of, empty where it is of several.
    """

    kind: str
    title: str
    rests: Points
    parts: tuple[Part, ...]
    foot: tuple[str, ...] = field(default=())
    caution: tuple[str, ...] | None = None
    of: str = ""
    annex: tuple[Part, ...] = ()


def rests_on(of: Basis, book: RuleBook, read: Iterable[Source], heading: str = "What this rests on") -> Part:
    """What a sheet rests on beyond its head: files by their own names, and one line for all that is none."""
    kept: list[Block] = []
    none: list[str] = []
    _head, *blocks = basis.rests_on(of, book, read)
    for block in blocks:
        if not isinstance(block, Points):
            kept.append(block)
        elif not block.items:
            none.append(block.lead.removesuffix(": none."))
        elif block.lead == "Files read:":
            kept.append(replace(block, items=tuple(re.sub(r"^.*[/\\]", "", one) for one in block.items)))
        else:
            kept.append(block)
    if none:
        kept.append(f"{', '.join(none)}: none.")
    return Part(heading, tuple(kept))
