"""The audit page, as a file and in a real browser."""

from __future__ import annotations

import csv
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from cli.running import ON, SAMPLES, cache_check
from golden.files import compare, unstyled
from golden.test_golden import settled

import cache_check as api
from cache_check.files.cache import read_cache
from cache_check.files.count import as_csv
from pages.conftest import Opened, page_of

ASKED = (
    "rescue-41.yaml", "rescue-44.yaml", "--audit", "rescue-41-count.csv", "--needs", "needs.yaml", "--only", "audit",
)  # fmt: skip


def test_page_is_as_kept() -> None:
    """The audit page of Rescue 41 is what is kept, to the letter."""
    run = cache_check("report", *ASKED, *ON, "-o", "-")

    assert run.stderr == ""
    text = unstyled(settled(run.stdout))
    compare("report-audit-rescue-41.html", text)


def test_the_day_is_that_of_the_count_and_of_the_book_alone_that_of_the_book(tmp_path: Path) -> None:
    """What was counted on 20 November is not said to be of the book's day in March, on the page or the terminal."""
    assert "counted on: rescue-41 2026-11-20" in page_of(tmp_path, *ASKED).read_text()
    runs = [cache_check("audit", "rescue-41.yaml", *count, *ON) for count in (["rescue-41-count.csv"], [])]
    assert [re.findall(r"counted (\S+), today", run.stdout) for run in runs] == [["2026-11-20"], ["2026-03-01"]]


def test_first_side_has_result_causes_and_room_to_sign(tmp_path: Path) -> None:
    """First the result and its links, then a line for each cause with owner and day, then lines to sign."""
    text = page_of(tmp_path, *ASKED).read_text()
    places = [
        text.index(one) for one in (
            "<p>Result: OUT OF SERVICE (AUD-1)</p>", "1 piece out of use lies there without a tag", "To put right</h2>",
            "Signed</h2>", "By the book and today</h2>", "Findings</h2>",
        )
    ]  # fmt: skip

    assert places == sorted(places)
    signed = text[text.index("Signed</h2>") :]
    assert re.findall(r"<tr><td><bdi>(.*?)</bdi></td><td><bdi></bdi>", signed)[:3] == [
        "Inspector", "Second person", "Officer in charge",
    ]  # fmt: skip
    assert signed.index("Receipt of the record: ____") < signed.index("Inspector")


def test_a_cause_is_one_line_however_many_rules_it_touches(tmp_path: Path) -> None:
    """The damaged base has one line with its three rules, and room for owner and day; in full each rule has its row."""
    text = page_of(tmp_path, *ASKED).read_text()
    to_do = text[text.index("To put right</h2>") : text.index("Signed</h2>")]
    found = text[text.index("Findings</h2>") : text.index("What this rests on</h2>")]

    assert len(re.findall("<tr>.*?HB-01.*?</tr>", to_do)) == 1
    assert re.search(r"STOP PTS-2, TAG-1, OOS-1: Hinged base HB-01.*?(<td[^>]*><bdi></bdi></td>){2}</tr>", to_do)
    assert all(f"<bdi>{one}</bdi>" in found for one in ("STOP PTS-2", "STOP TAG-1", "WATCH OOS-1"))
    assert "mended alone: 1 need met again" in found


def test_blank_sheet_is_not_called_looked_at(tmp_path: Path) -> None:
    """A count with every line blank is said to be wholly not looked at, and does not pass."""
    blank = tmp_path / "blank.csv"
    blank.write_text(as_csv(api.sheet(read_cache(SAMPLES / "rescue-41.yaml"))))

    text = page_of(tmp_path, "rescue-41.yaml", "--audit", blank, "--needs", "needs.yaml", "--only", "audit").read_text()

    assert "18 lines not looked at, or not wholly. Blank is not looked at, never fine." in text
    assert "Result: PASS</p>" not in text
    assert "Result: PASS (" not in text


@pytest.mark.parametrize("how", ["left out", "blank", "fitness blank"])
def test_a_line_of_the_book_that_nobody_looked_at_is_not_called_looked_at(how: str, tmp_path: Path) -> None:
    """A line that is not on the sheet at all, or not filled in wholly: no page says that every line was looked at."""
    rows = list(csv.reader((SAMPLES / "rescue-41-count.csv").read_text().splitlines()))
    line = next(row for row in rows if row[1:2] == ["edge-head"])
    line[4:6] = ["", ""] if how == "blank" else [line[4], ""]
    with (tmp_path / "count.csv").open("w", newline="") as file:
        csv.writer(file).writerows(row for row in rows if row is not line or how != "left out")

    text = page_of(tmp_path, "rescue-41.yaml", "--audit", tmp_path / "count.csv", "--only", "audit").read_text()

    assert "1 line not looked at, or not wholly" in text
    assert "Every line" not in text


def test_book_without_a_count_is_said_to_be(tmp_path: Path) -> None:
    """Audited without a count, the result itself says that nobody counted, where it stands and where it is signed."""
    text = page_of(tmp_path, "rescue-44.yaml", "--only", "audit").read_text()

    assert re.findall(r"Nobody counted: by the book alone\. Result: [A-Z ]+\b", text) == 2 * [
        "Nobody counted: by the book alone. Result: NOT KNOWN"
    ]
    assert "<p>Result" not in text
    assert "nobody counted; the book alone is audited" in text


def test_what_is_supposed_is_said_to_be_left_out(tmp_path: Path) -> None:
    """The book is audited as it stands, and the result says of what the other sheets suppose that it does not."""
    asked = ("rescue-41.yaml", "--audit", "rescue-41-count.csv", "--only", "audit")
    text = page_of(tmp_path, *asked, "--without", "Long body", "--with", "Strap=2").read_text()

    said = "Not supposed here, since an audit is of what is there: without all Long body, with 2 more Strap."
    assert said in text
    without = text.replace(f"<p>{said}</p>\n", "")
    assert without == page_of(tmp_path, *asked).read_text()


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_side_one_is_whole_and_five_sides_are_enough(opened: Opened, tmp_path: Path, paper: str) -> None:
    """On A4 all of the first side is one side; on either paper five are enough for a count with thirty findings."""
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext here: apt-get install poppler-utils")

    def printed(*asked: str | Path) -> list[str]:
        out = tmp_path / "audit.pdf"
        opened.open(page_of(tmp_path, *asked)).pdf(path=out, format=paper)
        text = subprocess.run(["pdftotext", "-layout", out, "-"], capture_output=True, text=True, check=True).stdout
        return text.rstrip("\f").split("\f")

    pages = printed(*ASKED)
    assert len(pages) <= 4
    assert all(f"page {number} of {len(pages)}" in page for number, page in enumerate(pages, 1))
    assert paper != "A4" or "Officer in charge" in pages[0]
    many = printed(
        "rescue-41.yaml", "--audit", thirty(tmp_path / "many.csv"), "--needs", "needs.yaml", "--only", "audit"
    )
    assert len(many) <= 5


def thirty(path: Path) -> Path:
    """The sample count with so much wrong that some thirty findings come of it."""
    rows = list(csv.reader((SAMPLES / "rescue-41-count.csv").read_text(encoding="utf-8").splitlines()))
    heads = next(row for row in rows if row[:2] == ["place", "part"])
    at = {head: number for number, head in enumerate(heads)}
    lines = [row for row in rows if len(row) == len(heads) and row is not heads and row[at["part"]]]
    for row in lines[:10]:
        row[at["place"]] = f"{row[at['place']]} left"
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    return path


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
