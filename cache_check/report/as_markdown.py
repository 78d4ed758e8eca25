"""A page as Markdown; whatever people wrote stays text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from cache_check.report.page import Block, Page, Paragraph, Points, Table, plain

_MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~&!$])")
_LIST = re.compile(r"^(\s*)([-+=:]|\d+[.)](?=\s|$))")


def as_markdown(page: Page) -> str:
    """The page as Markdown."""
    return "\n".join(_lines(page)).rstrip("\n") + "\n"


def _lines(page: Page) -> Iterator[str]:
    yield f"# {_text(page.title)}"
    yield ""
    for section in page.sections:
        yield f"## {_text(section.heading)}"
        yield ""
        for block in section.blocks:
            yield from _block(block)
            yield ""


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, Paragraph):
        yield _text(block.text)
    elif isinstance(block, Points):
        yield _text(block.lead)
        if block.items:
            yield ""
        for item in block.items:
            yield f"- {_text(item)}"
    else:
        yield from _table(block)


def _table(table: Table) -> Iterator[str]:
    yield _row(column.head for column in table.columns)
    yield "|" + "|".join(" ---: " if column.holds == "figures" else " --- " for column in table.columns) + "|"
    for row in table.rows:
        yield _row(row)


def _row(cells: Iterable[str]) -> str:
    return "| " + " | ".join(_text(cell) for cell in cells) + " |"


def _text(text: str) -> str:
    """Text with every character that Markdown or HTML could take as markup escaped."""
    return _LIST.sub(_bullet, _MARKUP.sub(r"\\\1", plain(text)))


def _bullet(match: re.Match[str]) -> str:
    mark = match[2]
    return f"{match[1]}{mark[:-1]}\\{mark[-1]}"
