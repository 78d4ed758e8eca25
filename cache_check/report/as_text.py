"""Text for the terminal: pages as wide as it is, short answers of no more lines than a screen holds; tables of data."""

import io
import re
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, zip_longest

from cache_check.report.page import Block, Cell, Line, Mark, Page, Part, Points, Short, Table, plain, words

WIDTH = 100
_NARROW = 12  # a first column no wider than this has no room to indent what follows in a cell
MOST = 25
_LABEL = 12
_COLOURS: dict[Mark, str] = {"met": "32", "not met": "31;1", "not known": "33;1", "": "1"}
_NUMBER = r"-?\d+(?:\.\d+)?"  # compiled where there is a table of data, as few commands have one
_ACTS = ("=", "+", "-", "@", "\t", "\r")  # an apostrophe before it makes a cell text; a number needs none
_MARKUP = r"([\\`*_{}\[\]<>#|~&!$])"
_LIST = re.compile(r"^(\s*)([-+=:]|\d+[.)](?=\s|$))")


def as_table(page: Page, width: int = WIDTH) -> str:
    """The page as text."""
    lines, several = wrapped(page.title, width), len(page.sections) > 1
    lines += ["=" * max(map(len, lines))] * several
    for section in page.sections:
        lines += [*[""] * several, *wrapped(section.heading.upper(), width)]
        lines += (line for block in section.blocks for line in _block(block, width))
    return "\n".join(lines) + "\n"


def _block(block: Block, width: int) -> Iterator[str]:
    if isinstance(block, Table):
        yield from (*_table(block, width), "") if block.rows else wrapped(block.none, width)
        return
    yield from wrapped(block, width) if isinstance(block, str) else wrapped(block.lead, width, rest="  ")
    for item in block.items if isinstance(block, Points) else ():
        yield from wrapped(item, width, "  - ", "    ")


def wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """A text in lines no wider; what begins the first of them, and the others."""
    return [(rest if i else first) + line for i, line in enumerate(_lines_of(plain(text), width - len(rest)))]


def _lines_of(text: str, width: int) -> list[str]:
    return [text] if len(text) <= width else textwrap.wrap(text, width, break_on_hyphens=False)


def _table(table: Table, width: int) -> Iterator[str]:
    """The lines of a table; rows stand apart where it is not seen otherwise where each begins."""
    heads = [plain(column.head) for column in table.columns]
    rows = [[plain(cell) for cell in row] for row in table.rows]
    gap, widths = _widths([heads, *rows], width)
    above, *broken = [_broken(row, widths) for row in (heads, *rows)]
    if widths[0] <= _NARROW and any(len(lines) > 1 and lines[1][0] for lines in broken):
        broken = [*([*lines, [""] * len(heads)] for lines in broken[:-1]), *broken[-1:]]
    rule = ["-" * max(map(len, column)) for column in zip(*above, *chain(*broken), strict=True)]
    from tabulate import simple_separated_format, tabulate

    drawn = tabulate([*above, rule, *chain(*broken)], tablefmt=simple_separated_format(" " * gap),
                     colalign=["right" if column.holds == "figures" else "left" for column in table.columns],
                     disable_numparse=True, preserve_whitespace=True)  # fmt: skip
    yield from (line.rstrip() for line in drawn.split("\n"))


def _broken(row: list[str], widths: list[int]) -> list[list[str]]:
    cells = [_lines_of(cell, width) for cell, width in zip(row, widths, strict=True)]
    if len(cells[0]) > 1 and widths[0] > _NARROW:
        cells[0] = textwrap.wrap(row[0], widths[0], subsequent_indent="  ", break_on_hyphens=False)
    return [list(line) for line in zip_longest(*cells, fillvalue="")]


def _widths(rows: list[list[str]], width: int) -> tuple[int, list[int]]:
    """The gap between columns and the width of each: words are kept whole while they can be."""
    columns = list(zip(*rows, strict=True))
    lengths = [[len(cell) for cell in column] for column in columns]
    whole = [max(max((len(word) for word in cell.split()), default=1) for cell in column) for column in columns]
    for gap, least in ((2, whole), (1, whole), (1, [min(one, 6) for one in whole])):
        widths = _narrowed(lengths, [max(1, one) for one in least], width - gap * (len(columns) - 1))
        if sum(widths) + gap * (len(columns) - 1) <= width:
            break
    return gap, widths


def _narrowed(lengths: list[list[int]], least: list[int], room: int) -> list[int]:
    """Widths, a character at a time taken where it adds the fewest lines to the table, until all fit."""
    widths = [max(1, *column) for column in lengths]
    while sum(widths) > room:
        if not (giving := [i for i, width in enumerate(widths) if width > least[i]]):
            break
        high = [[-(-cell // width) for cell in column] for column, width in zip(lengths, widths, strict=True)]
        most = [sorted(row)[-2:] for row in zip(*high, strict=True)]
        widths[min(giving, key=lambda i: (_higher(lengths[i], widths[i] - 1, high[i], most), -widths[i]))] -= 1
    return widths


def _higher(lengths: list[int], width: int, high: list[int], most: list[list[int]]) -> int:
    """The lines of a table with one of its columns so wide; of each row the ``most`` lines of any cell are known."""
    rows = zip(lengths, high, most, strict=True)
    return sum(max(-(-cell // width), top[0] if own == top[-1] else top[-1]) for cell, own, top in rows)


def as_lines(short: Short, *, width: int = 100, colored: bool = False, most: int = MOST) -> str:
    """The short answer in at most ``most`` lines: texts are cut first, then the longest parts give way and say so."""
    for deep in (3, 2, 1):
        # Every line takes a row, and the longest part gives way first: none that may give way keeps more than ``most``.
        kept = [min(len(part.lines), most if part.more and deep < 3 else len(part.lines)) for part in short]
        while True:
            parts = zip(short, kept, strict=True)
            rows = [row for part, number in parts for row in _part(part, number, width, colored, deep)]
            giving = [i for i, number in enumerate(kept) if number > 1 and short[i].more and deep < 3]
            if len(rows) <= most or not giving:
                break
            kept[max(giving, key=lambda i: (kept[i], i))] -= 1
        if len(rows) <= most:
            break
    return "\n".join(rows) + "\n"


def _part(part: Part, number: int, width: int, colored: bool, deep: int) -> Iterator[str]:
    lines, left = part.lines, len(part.lines) - number + 1
    if left > 1:
        lines = (*lines[: number - 1], Line("", f"{left} more: --show {part.more}"))
    for n, line in enumerate(lines):
        yield from _row(line, n > 0 and line.label == lines[n - 1].label, width, colored, deep)


def _row(line: Line, again: bool, width: int, colored: bool, deep: int) -> Iterator[str]:
    """The rows of a line; its label stands once above lines of the same label that follow, save a verdict's."""
    label = "" if again and not line.label.isupper() else line.label
    indent = 0 if line.wide else _LABEL if len(label) < _LABEL else len(label) + 2
    broken = textwrap.wrap(plain(line.text), max(20, width - indent), break_on_hyphens=False) or [""]
    if len(broken) > deep:
        last = textwrap.shorten(" ".join(broken[deep - 1 :]), max(20, width - indent), placeholder=" …")
        broken = [*broken[: deep - 1], last]
    for number, text in enumerate(broken):
        head = (label if number == 0 else "").ljust(indent)
        if colored and head.strip():
            head = f"\x1b[{_COLOURS[line.mark]}m{head}\x1b[0m"
        yield (head + text).rstrip()


def as_data(heads: str, rows: Sequence[Sequence[Cell]], form: str) -> str:
    """A table of data as CSV, in which no cell can act as a formula, or as Markdown, in which none is markup."""
    columns = words(heads)
    figures = [one.holds == "figures" for one in columns]
    cells = [[_cell(*each) for each in zip(row, figures, strict=True)] for row in rows]
    names = [one.head for one in columns]
    if form != "csv":
        rule = "|" + "|".join(" ---: " if one else " --- " for one in figures) + "|"
        return "\n".join([_piped(names), rule, *map(_piped, cells)]) + "\n"
    import csv

    text = io.StringIO()  # by RFC 4180, but lines end in a line feed
    csv.writer(text, lineterminator="\n").writerows([_inert(cell) for cell in row] for row in (names, *cells))
    return text.getvalue()


def _cell(cell: Cell, figure: bool) -> str:
    """A cell as text, nothing where it is none; in a column of figures without marks of thousands."""
    text = "" if cell is None else str(cell)
    number = text.replace(",", "")
    # What is no number in a column of figures would be read as none: our own fault, never to be printed.
    assert not figure or not text or re.fullmatch(_NUMBER, number), text
    return number if figure else text


def _inert(cell: str) -> str:
    text = plain(cell)
    return f"'{text}" if text.startswith(_ACTS) and not re.fullmatch(_NUMBER, text) else text


def _piped(cells: Iterable[str]) -> str:
    marked = (re.sub(_MARKUP, r"\\\1", plain(cell)) for cell in cells)
    return "| " + " | ".join(_LIST.sub(lambda at: f"{at[1]}{at[2][:-1]}\\{at[2][-1]}", one) for one in marked) + " |"
