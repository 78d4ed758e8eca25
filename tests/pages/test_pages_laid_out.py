"""Every kind of sheet of the demonstration as it is laid out: nothing cut on a screen, few sides in print."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from cache_check.report.pages.shell import kinds
from pages.conftest import Opened

CUT = """wide => [...document.querySelectorAll('main *')].filter(one => one.scrollWidth > one.clientWidth + 1
    && one.clientWidth && !one.closest('svg, textarea, [hidden]')
    && !['visible', 'clip'].includes(getComputedStyle(one).overflowX)).map(one => one.outerHTML.slice(0, 120))"""
BROKEN = r"""() => [...document.querySelectorAll('main :is(h1, h2, h3, th, td bdi, .letter)')].flatMap(one => {
    const text = one.firstChild;
    if (!text || text.nodeType !== 3 || !one.offsetParent) return [];
    return [...text.data.matchAll(/[^\s/-]{2,18}/g)].filter(word => {
        const range = document.createRange();
        range.setStart(text, word.index);
        range.setEnd(text, word.index + word[0].length);
        return new Set([...range.getClientRects()].map(box => Math.round(box.top))).size > 1;
    }).map(word => word[0]);
})"""
ALONE = """kind => { for (const one of document.querySelectorAll('article'))
    one.style.display = !kind || one.classList.contains(kind) ? '' : 'none'; }"""
WORD = r'xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*?)</word>'
SIDES = {"county": 3, "door": 3, "crew": 14, "load": 6, "office": 6, "audit": 3, "count": 6}
"""Sides in print of three rigs; of the audit, of the one that was counted."""
ON_SIDE_ONE = {
    "load": ("What governs", "To look at and tick", "Officer in charge", "This is a planning aid."),
    "office": ("The request", "Approved by", "This is a planning aid."),
    "audit": ("Result: OUT OF SERVICE", "To put right"),
}
KINDS = [kind.KIND for kind in kinds()]
pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def shown(chromium: Any, whole: Path) -> Iterator[Any]:
    """The file with every sheet, opened once."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto(whole.as_uri())
    yield page
    context.close()


def overlapping(pdf: Path) -> list[tuple[str, str]]:
    """Words of a side that are printed over each other."""
    told = subprocess.run(["pdftotext", "-bbox", pdf, "-"], capture_output=True, text=True, check=True).stdout
    found = []
    for side in told.split("<page ")[1:]:
        words = [(*map(float, box), word) for *box, word in re.findall(WORD, side)]
        for n, (left, top, right, bottom, word) in enumerate(words):
            for other_left, other_top, other_right, other_bottom, other in words[n + 1 :]:
                wide = min(right, other_right) - max(left, other_left)
                if wide > 2 and min(bottom, other_bottom) - max(top, other_top) > 4:
                    found.append((word, other))
    return found


def alone(page: Any, kind: str) -> None:
    """Show the sheets of one kind, and no other."""
    page.evaluate(ALONE, kind)


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_is_cut_or_scrolls_sideways(shown: Any, kind: str) -> None:
    """At the widths of a phone and of a tablet nothing scrolls sideways, and no word is broken inside."""
    alone(shown, kind)
    for wide in (390, 820):
        shown.set_viewport_size({"width": wide, "height": 900})
        assert shown.evaluate(CUT, wide) == []
        assert shown.evaluate("document.documentElement.scrollWidth") <= wide
        assert shown.evaluate(BROKEN) == []


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("kind", KINDS)
def test_sides_in_print(shown: Any, tmp_path: Path, kind: str, paper: str) -> None:
    """Few sides, each with number, name and caution, no word over another; what is signed is whole on the first."""
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext here: apt-get install poppler-utils")
    alone(shown, kind)
    shown.pdf(path=tmp_path / "sheet.pdf", format=paper)
    told = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "sheet.pdf", "-"], capture_output=True, text=True, check=True
    ).stdout
    sides = told.rstrip("\f").split("\f")

    assert len(sides) <= SIDES[kind]
    assert kind == "door" or overlapping(tmp_path / "sheet.pdf") == []  # its hollow letters are drawn twice
    assert kind == "door" or all(f"page {n} of {len(sides)}" in side for n, side in enumerate(sides, 1))
    plain = [" ".join(side.split()) for side in sides]
    whose = "3 rigs of the county" if kind == "county" else "(Rescue 41|Rescue 44|Truck 9): "
    cautioned = rf"({whose}).*Planning aid, not a load rating: maker's chart, label, training and command"
    assert kind == "door" or all(re.search(cautioned, side) for side in plain)
    for said in ON_SIDE_ONE.get(kind, ()):
        assert said in sides[0]
    assert kind != "load" or sides[1].lstrip().startswith("The situation")


def test_a_cut_and_a_broken_word_are_seen(opened: Opened) -> None:
    """A table wider than its box is found, and a word broken in a narrow one, so that finding none says something."""
    opened.page.set_content("<main><div style='width:90px;overflow-x:auto'><p style='width:200px'>x</p></div></main>")

    assert len(opened.page.evaluate(CUT, 390)) == 1
    opened.page.set_content("<main><h2 style='width:50px;overflow-wrap:anywhere'>Inspector</h2></main>")
    assert opened.page.evaluate(BROKEN) == ["Inspector"]


@pytest.mark.parametrize("kind", ["load", "office", "audit"])
def test_the_answer_is_the_largest_thing(shown: Any, kind: str) -> None:
    """On a phone the first words under the head of a sheet that decides something are its largest, but the title."""
    alone(shown, kind)
    shown.set_viewport_size({"width": 390, "height": 844})
    sizes = shown.locator(f"article.{kind}").first.evaluate(
        """sheet => [...sheet.querySelectorAll('.part p, .part li, .part td, .part h2, .part h3')]
            .filter(one => !one.closest('svg')).map(one => parseFloat(getComputedStyle(one).fontSize))"""
    )
    first = shown.locator(f"article.{kind} .part:first-child > p").first
    assert first.evaluate("one => parseFloat(getComputedStyle(one).fontSize)") == max(sizes) > 18
    assert re.match(r"(NOT )?(MET|KNOWN)|Result: |.*(scenes? met|every scene|nothing to buy)", first.inner_text())
