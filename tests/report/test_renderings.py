"""One page in four renderings: the same facts in the same order, and whatever people wrote stays text."""

from __future__ import annotations

import csv
import html
import io
import re
from dataclasses import replace

import pytest

from cache_check.report import of_check
from cache_check.report.as_csv import as_csv
from cache_check.report.as_markdown import as_markdown
from cache_check.report.as_table import WIDTH, as_table
from cache_check.report.page import Page, Paragraph, Points, Section, Table, plain, words
from report.sample_results import BOOK, check_result, finding
from report.test_pages import said

LONG = "slack " * 1666
ODD = [
    '"quoted" and \'quoted\'', "=1+1", "+1", "-1", "@sum", "<b>bold</b>", "a|b", "*stars* _and_ `ticks`", "# heading",
    "[link](there)", "قاطرة 41", "🚒🚒 engine", "1. first", "- item", "&lt;", "x" * 300,
]  # fmt: skip


def page_with(text: str) -> Page:
    """A page with one text in every place that a text can stand."""
    table = Table(words("head|#figure"), ((text, "1"), ("other", text)))
    return Page(text, (Section(text, (Paragraph(text), Points(text, (text,)), table)),))


def unwrapped(text: str) -> str:
    """A text without the breaks and marks that a rendering puts in."""
    return re.sub(r"[\s=-]+", "", text)


def from_markdown(text: str) -> str:
    """Markdown read back: marks of structure off, escapes undone."""
    return re.sub(r"\\(.)", r"\1", text)


def test_all_renderings_show_the_same_facts_in_the_same_order() -> None:
    """Each text of the page is found in each rendering, after the one before it."""
    page = of_check.page(check_result(), BOOK)
    markdown = from_markdown(as_markdown(page))
    cells = [cell for row in csv.reader(io.StringIO(as_csv([page]))) for cell in row]
    at_markdown = at_csv = 0
    for text in said(page):
        at_markdown = markdown.index(text, at_markdown)
        at_csv = cells.index(text, at_csv)
    table = unwrapped(as_table(page)).lower()
    for text in said(page):
        if isinstance(text, str) and len(text.split()) == 1:
            assert unwrapped(text).lower() in table


@pytest.mark.parametrize("text", [*ODD, LONG])
def test_table_fits_its_columns(text: str) -> None:
    """No line of the terminal page is wider than it may be, whatever it holds, and the text is still there."""
    shown = as_table(page_with(text))

    assert max(len(line) for line in shown.splitlines()) <= WIDTH
    assert unwrapped(plain(text)).lower() in unwrapped(shown).lower()


@pytest.mark.parametrize("text", [*ODD, LONG])
def test_csv_cells_stay_text(text: str) -> None:
    """No cell can act as a formula; all rows have as many cells; the text is there."""
    rows = list(csv.reader(io.StringIO(as_csv([page_with(text)]))))

    assert len({len(row) for row in rows}) == 1
    assert not [cell for row in rows for cell in row if cell.startswith(("=", "+", "-", "@"))]
    assert rows[0][1] in (plain(text), f"'{plain(text)}")


@pytest.mark.parametrize("text", [*ODD, LONG])
def test_markdown_stays_text(text: str) -> None:
    """Every mark is escaped, so that a reader of Markdown or HTML shows what was written."""
    shown = as_markdown(page_with(text))
    row = next(line for line in shown.splitlines() if line.endswith("| 1 |"))

    assert len(re.findall(r"(?<!\\)\|", row)) == 3
    assert not re.search(r"(?<!\\)[<`*_]", row)
    assert html.unescape(text) == text or "\\&" in row
    assert from_markdown(row.removeprefix("| ").removesuffix(" | 1 |")) == plain(text)


def test_what_steers_a_terminal_is_spelled_out() -> None:
    """Control characters and those that turn the writing direction are shown by their number."""
    assert plain("a\x1b[2Jb\x00") == "a<U+001B>[2Jb<U+0000>"
    assert plain("41\u202e14") == "41<U+202E>14"
    assert plain("two\nlines\tand more") == "two lines and more"
    assert plain("é🚒ق") == "é🚒ق"


def test_odd_names_of_a_real_page_stay_text() -> None:
    """A title, a place and a finding full of marks come through every rendering."""
    odd = '=HYPERLINK("x") | <script> \x1b[31m'
    result = replace(check_result(), title=odd, findings=(finding(where=odd, what=odd),))
    page = of_check.page(result, BOOK)

    for shown in (as_table(page), as_markdown(page), as_csv([page])):
        assert "\x1b" not in shown
    assert "<script>" not in as_markdown(page).replace("\\<script\\>", "")


def test_several_pages_in_one_csv_have_rows_of_one_length() -> None:
    """A strict reader of CSV can take several pages at once."""
    rows = list(csv.reader(io.StringIO(as_csv([page_with("a"), of_check.page(check_result(), BOOK)]))))

    assert len({len(row) for row in rows}) == 1
    assert [row[0] for row in rows].count("title") == 2
