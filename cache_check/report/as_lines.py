"""A short answer for the terminal: a label and its text a line, never more lines than a screen holds."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from cache_check.report.page import Line, Mark, Part, Short, plain

MOST = 25
_LABEL = 12
_COLOURS: dict[Mark, str] = {"met": "32", "not met": "31;1", "not known": "33;1", "": "1"}


def as_lines(short: Short, *, width: int = 100, colored: bool = False, most: int = MOST) -> str:
    """The short answer in at most ``most`` lines.

    Where it is longer, first the texts are cut, then the longest parts give way; each says where the rest is.
    """
    for deep in (3, 2, 1):
        # Every line takes a row, and the longest part gives way first: none that may give way keeps more than ``most``.
        kept = [min(len(part.lines), most if part.more and deep < 3 else len(part.lines)) for part in short]
        while True:
            rows = [
                row
                for part, number in zip(short, kept, strict=True)
                for row in _rows(part, number, width, colored, deep)
            ]
            giving = [i for i, number in enumerate(kept) if number > 1 and short[i].more and deep < 3]
            if len(rows) <= most or not giving:
                break
            kept[max(giving, key=lambda i: (kept[i], i))] -= 1
        if len(rows) <= most:
            break
    return "\n".join(rows) + "\n"


def _rows(part: Part, number: int, width: int, colored: bool, deep: int) -> Iterator[str]:
    before = None
    for line in _kept(part, number):
        yield from _row(line, line.label == before, width, colored, deep)
        before = line.label


def _kept(part: Part, number: int) -> Sequence[Line]:
    """As many lines as were asked, the last of them saying how many are left out."""
    if number == len(part.lines):
        return part.lines
    left = len(part.lines) - number + 1
    return (*part.lines[: number - 1], Line("", f"{left} more: --show {part.more}"))


def _row(line: Line, again: bool, width: int, colored: bool, deep: int) -> Iterator[str]:
    """The rows of a line; its label stands once above lines of the same label that follow, save a verdict's."""
    label = "" if again and not line.label.isupper() else line.label
    indent = 0 if line.wide else max(_LABEL, len(label) + 2)
    broken = textwrap.wrap(plain(line.text), max(20, width - indent), break_on_hyphens=False) or [""]
    if len(broken) > deep:
        last = textwrap.shorten(" ".join(broken[deep - 1 :]), max(20, width - indent), placeholder=" …")
        broken = [*broken[: deep - 1], last]
    for number, text in enumerate(broken):
        head = (label if number == 0 else "").ljust(indent)
        if colored and head.strip():
            head = f"\x1b[{_COLOURS[line.mark]}m{head}\x1b[0m"
        yield (head + text).rstrip()
