"""Pages on a screen and sections as tables of data: whatever people wrote stays text, and figures stay numbers."""

from __future__ import annotations

import csv
import html
import io
import re
from dataclasses import replace

import pytest

from cache_check.errors import AskError
from cache_check.report.answer import Told, answer, tables, verb
from cache_check.report.answer import page as whole
from cache_check.report.as_text import WIDTH, _cell, as_table
from cache_check.report.page import Page, Points, Section, Table, View, plain, words
from report.sample_results import BOOK, check_result, finding, tally

LONG = "slack " * 1666
ODD = [
    '"quoted" and \'quoted\'', "=1+1", "+1", "-1", "@sum", "<b>bold</b>", "a|b", "*stars* _and_ `ticks`", "# heading",
    "[link](there)", "قاطرة 41", "🚒🚒 engine", "1. first", "- item", "&lt;", "x" * 300,
]  # fmt: skip


def page_with(text: str) -> Page:
    """A page with one text in every place that a text can stand."""
    table = Table(words("head|#figure"), ((text, "1"), ("other", text)))
    return Page(text, (Section(text, (text, Points(text, (text,)), table)),))


def unwrapped(text: str) -> str:
    """A text without the breaks and marks that a rendering puts in."""
    return re.sub(r"[\s=-]+", "", text)


def from_markdown(text: str) -> str:
    """Markdown read back: marks of structure off, escapes undone."""
    return re.sub(r"\\(.)", r"\1", text)


def tabled(command: str, result: object, form: str, show: str = "") -> str:
    """An answer as a table of data."""
    told = Told(BOOK, more={"units": "us"})
    return answer(command, [result], told, View(form, (show,) if show else ()))  # type: ignore[arg-type]


@pytest.mark.parametrize("text", [*ODD, LONG])
def test_table_fits_its_columns(text: str) -> None:
    """No line of the terminal page is wider than it may be, whatever it holds, and the text is still there."""
    shown = as_table(page_with(text))

    assert max(len(line) for line in shown.splitlines()) <= WIDTH
    assert unwrapped(plain(text)).lower() in unwrapped(shown).lower()


@pytest.mark.parametrize("text", [*ODD, LONG])
def test_csv_cells_stay_text(text: str) -> None:
    """No cell of words can act as a formula; all rows have as many cells; the text is there."""
    found = replace(finding(), where=text, what=text)
    shown = tabled("check", replace(check_result(), title=text, findings=(found,)), "csv", "findings")
    rows = list(csv.reader(io.StringIO(shown)))

    assert len({len(row) for row in rows}) == 1
    assert not [cell for row in rows for cell in row if cell.startswith(("=", "+", "-", "@")) and cell != text]
    assert rows[1][0] in (plain(text), f"'{plain(text)}")


@pytest.mark.parametrize("text", [*ODD, LONG])
def test_markdown_stays_text(text: str) -> None:
    """Every mark is escaped, so that a reader of Markdown or HTML shows what was written."""
    shown = tabled("check", replace(check_result(), findings=(replace(finding(), where=text),)), "markdown", "findings")
    row = shown.splitlines()[2]

    assert len(re.findall(r"(?<!\\)\|", row)) == 10
    assert not re.search(r"(?<!\\)[<`*_]", row)
    assert html.unescape(text) == text or "\\&" in row
    assert plain(text) in from_markdown(row)


def test_columns_are_the_same_whatever_was_asked() -> None:
    """A need with a load, and a length that nobody asked, have the same columns."""
    asked = tabled("check", check_result(), "csv").splitlines()[0]
    nothing = check_result(tallies=(tally(load=None, factor=None, wanted=None),), scenes=())

    assert tabled("check", nothing, "csv").splitlines()[0] == asked


def test_a_section_that_is_not_there_is_asked_about() -> None:
    """A name that is nearly a section's is asked about; CSV holds one table."""
    with pytest.raises(AskError, match="did you mean 'findings'"):
        tabled("check", check_result(), "table", "findngs")
    with pytest.raises(AskError, match="one table"):
        answer("check", [check_result()], Told(BOOK), View("csv", ("needs", "gaps")))


def test_all_as_markdown_is_every_table() -> None:
    """All that is data, a table after the other; what is prose is left to the page."""
    shown = answer("check", [check_result()], Told(BOOK), View("markdown", ("all",)))

    assert shown.count("| rig | ") == len(tables(verb("check")))
    assert "planning aid" not in shown


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
    markdown = tabled("check", result, "markdown", "findings")

    for shown in (as_table(whole("check", result, Told(BOOK))), markdown, tabled("check", result, "csv", "findings"),
                  answer("check", [result], Told(BOOK), View())):  # fmt: skip
        assert "\x1b" not in shown
    assert "<script>" not in markdown.replace("\\<script\\>", "")


@pytest.mark.parametrize(("shown", "number"), [("12,000", "12000"), (-12, "-12"), (None, ""), ("1480.00", "1480.00")])
def test_a_figure_is_a_number(shown: str, number: str) -> None:
    """Marks of thousands go; what is not known is blank."""
    assert _cell(shown, True) == number


@pytest.mark.parametrize("shown", ["2, 1 SHORT", "unrated", "50.0 to 66.0", "12 % short"])
def test_a_figure_that_says_more_is_never_taken_for_a_number(shown: str) -> None:
    """A figure with words that change it is no number, and is not left out either."""
    with pytest.raises(AssertionError):
        _cell(shown, True)
