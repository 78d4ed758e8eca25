"""A sheet of paper, before it is HTML: sections of the page model, with figures and free parts between them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from cache_check.report.page import Block, Points

if TYPE_CHECKING:
    from markupsafe import Markup


@dataclass(frozen=True)
class Figure:
    """A drawing and what it says in words."""

    svg: Markup
    caption: str


@dataclass(frozen=True)
class Part:
    """A heading and what stands under it; ``wide`` parts take the whole width of a door card."""

    heading: str
    blocks: tuple[Block | Figure, ...]
    wide: bool = False


@dataclass(frozen=True)
class Sheet:
    """One sheet: its kind ("door"), title, what it rests on, parts, and the lines at its foot."""

    kind: str
    title: str
    rests: Points
    parts: tuple[Part, ...]
    foot: tuple[str, ...] = field(default=())
