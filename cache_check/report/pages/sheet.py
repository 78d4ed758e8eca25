"""A sheet of a report: parts under headings, blocks as on any page, and what only paper and screens have.

A sheet says what its page rests on at its head; the shell adds caution, date and version at its foot.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import TYPE_CHECKING, Any

from cache_check.frozen import dataclass
from cache_check.report.caution import REMINDER
from cache_check.report.page import Block, Page, Paragraph, Points

if TYPE_CHECKING:
    from markupsafe import Markup


@dataclass(frozen=True)
class Figure:
    """A drawing and what it says in words; a ``wide`` one is scrolled on a phone rather than made too small to read."""

    svg: Markup
    caption: str
    wide: bool = False


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
    """Links to the other sheets of the file that are of one cache, which the shell finds; ``of`` is its id."""

    lead: str
    of: str


@dataclass(frozen=True)
class Part:
    """A heading and what stands under it; ``wide`` parts take the whole width, two ``half`` ones share it in print."""

    heading: str
    blocks: tuple[Block | Figure | Widget | SheetLinks, ...]
    wide: bool = False
    half: bool = False


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


def parts_of(page: Page) -> tuple[Part, ...]:
    """The sections of a page as parts, without what the shell says itself: reminder, basis at the head, caution."""
    parts = []
    for section in page.sections:
        if section.heading == "Caution":
            continue
        blocks = tuple(one for one in section.blocks if not _said_by_shell(one))
        if blocks:
            parts.append(Part(section.heading, blocks))
    return tuple(parts)


def _said_by_shell(block: Block) -> bool:
    if isinstance(block, Paragraph):
        return block.text == REMINDER
    return isinstance(block, Points) and block.lead == "This page rests on:"
