"""The audit page, as a file and in a real browser."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from cli.running import ON, SAMPLES, cache_check
from golden.files import compare, unstyled
from golden.test_golden import settled

from cache_check import api
from cache_check.files.count_out import as_csv
from cache_check.files.read import read_cache
from pages import hostile
from pages.conftest import Opened, page_of

ASKED = (
    "rescue-41.yaml", "rescue-44.yaml", "--audit", "rescue-41-count.csv", "--needs", "needs.yaml", "--only", "audit",
)  # fmt: skip


def test_page_is_as_kept() -> None:
    """The audit page of Rescue 41 is what is kept, to the letter but for the strokes of its drawings."""
    run = cache_check("report", *ASKED, *ON, "-o", "-")

    assert run.stderr == ""
    text = unstyled(settled(run.stdout))
    text = re.sub(r"(<svg [^>]*class=\"figure\".*?</title>).*?</svg>", r"\1</svg>", text, flags=re.DOTALL)
    compare("report-audit-rescue-41.html", text)


def test_result_and_room_to_sign(tmp_path: Path) -> None:
    """The page begins with the result and why, and ends what it found with a line for each who signs."""
    text = page_of(tmp_path, *ASKED).read_text()

    first = text.index("<p>Result: OUT OF SERVICE (policy AUD-1)</p>")
    assert first < text.index("1 need met by the book and not today") < text.index("By the book and today</h2>")
    signed = text[text.index("Signed</h2>") :]
    assert re.findall(r"<tr><td><bdi>(.*?)</bdi></td><td><bdi></bdi>", signed) == [
        "Inspector", "Second person", "Officer in charge",
    ]  # fmt: skip
    assert signed.index("Result: OUT OF SERVICE") < signed.index("Inspector")


def test_every_finding_has_its_cost_and_an_owner(tmp_path: Path) -> None:
    """Each finding has a place for who mends it; those about pieces out of use say what they cost."""
    text = page_of(tmp_path, *ASKED).read_text()
    found = text[text.index("Findings</h2>") : text.index("Signed</h2>")]
    leads = re.findall(r"<p>(\d+)\. (?:STOP|SHORT|WATCH|NOTE) ", found)

    assert leads == [str(number) for number in range(1, 22)]
    assert found.count("owner: ____") == 21
    assert "costs: mended alone it meets 1 need again" in found


def test_blank_sheet_is_not_called_looked_at(tmp_path: Path) -> None:
    """A count with every line blank is said to be wholly not looked at, and does not pass."""
    blank = tmp_path / "blank.csv"
    blank.write_text(as_csv(api.sheet(read_cache(SAMPLES / "rescue-41.yaml"))))

    text = page_of(tmp_path, "rescue-41.yaml", "--audit", blank, "--needs", "needs.yaml", "--only", "audit").read_text()

    assert "Not looked at: 18 of 18 lines of the sheet. Blank is not looked at, never fine." in text
    assert "Result: PASS</p>" not in text
    assert "Result: PASS (" not in text


def test_book_without_a_count_is_said_to_be(tmp_path: Path) -> None:
    """Audited without a count, the result itself says that nobody counted, where it stands and where it is signed."""
    text = page_of(tmp_path, "rescue-44.yaml", "--only", "audit").read_text()

    assert re.findall(r"Nobody counted: by the book alone\. Result: [A-Z ]+\b", text) == 2 * [
        "Nobody counted: by the book alone. Result: PASS WITH FIXES"
    ]
    assert "<p>Result" not in text
    assert "No count: the book as it stands is audited." in text


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_no_finding_is_cut_by_a_page(opened: Opened, tmp_path: Path, paper: str) -> None:
    """On letter and A4 each finding stands whole on one page, and so do the lines to sign; pages are numbered."""
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext here: apt-get install poppler-utils")
    printed = tmp_path / "audit.pdf"
    opened.open(page_of(tmp_path, *ASKED)).pdf(path=printed, format=paper)

    text = subprocess.run(["pdftotext", "-layout", printed, "-"], capture_output=True, text=True, check=True).stdout
    pages = text.rstrip("\f").split("\f")
    assert len(pages) <= 8
    begun = re.compile(r"^ *\d+\. (?:STOP|SHORT|WATCH|NOTE) ", re.MULTILINE)
    for number, page in enumerate(pages, 1):
        assert len(begun.findall(page)) == page.count("owner: ____")
        assert f"page {number} of {len(pages)}" in page
    (last,) = [page for page in pages if "Officer in charge" in page]
    assert "Inspector" in last
    assert "Signed" in last


@pytest.mark.browser
def test_result_is_in_big_words(opened: Opened, tmp_path: Path) -> None:
    """The result stands in letters at least one and a half times those of the text, on a phone too."""
    opened.page.set_viewport_size({"width": 390, "height": 844})
    page = opened.open(page_of(tmp_path, *ASKED))

    sizes = page.evaluate(
        """() => ['.audit .part p', '.audit .part li'].map(
            one => parseFloat(getComputedStyle(document.querySelector(one)).fontSize))"""
    )
    body = page.evaluate("parseFloat(getComputedStyle(document.documentElement).fontSize)")
    assert sizes[0] >= 1.5 * body
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


@pytest.mark.browser
def test_untrusted_text_stays_text(opened: Opened, tmp_path: Path) -> None:
    """Markup, quotes, right-to-left and 10,000 characters stay text on the page and in its drawings."""
    made = page_of(tmp_path, hostile.write(tmp_path), "--only", "audit")
    page = opened.open(made)

    assert "xxxxx…" in made.read_text()
    assert page.locator("main p", has_text="x" * 700).count() == 0
    assert page.evaluate("window.hit") is None
    assert page.locator("main img").count() == 0
    assert "\u202e" not in made.read_text()
    assert opened.said == []
    assert opened.asked == [made.as_uri()]
    page.set_viewport_size({"width": 390, "height": 800})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
