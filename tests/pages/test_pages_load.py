"""The load check sheet, as a file and in a real browser."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from cli.running import ON, cache_check
from golden.files import compare, unstyled
from golden.test_golden import settled

from pages.conftest import Opened, page_of


def asked(demo: str) -> tuple[str, ...]:
    """The arguments for the sheet of a sample situation."""
    return "rescue-41.yaml", "--load", f"{demo}.yaml", "--only", "load"


def drawn_to_a_tenth(text: str) -> str:
    """The page with every figure of its drawings to one digit."""

    def rounded(svg: re.Match[str]) -> str:
        return re.sub(r"-?\d+\.\d+", lambda one: f"{round(float(one[0]), 1) + 0.0:g}", svg[0])

    return re.sub(r"<svg [^>]*class=\"figure\".*?</svg>", rounded, text, flags=re.DOTALL)


def test_sheet_is_as_kept() -> None:
    """The load check sheet of the car on its side is what is kept, its drawings to a tenth of a point."""
    run = cache_check("report", *asked("car-on-side"), *ON, "-o", "-")

    assert run.stderr == ""
    text = unstyled(settled(run.stdout))
    compare("report-load-rescue-41.html", drawn_to_a_tenth(text))


def test_side_one_has_verdict_links_drawing_and_lines_to_sign(tmp_path: Path) -> None:
    """Verdict with steps, what comes nearest, every link, drawings, lines to sign, caution; then the sums."""
    text = page_of(tmp_path, *asked("trailer-one-end")).read_text()

    places = [
        text.index(part)
        for part in (
            "<p>NOT MET: does not hold: floor of struts. 4 wanted; at this length, with any head, 6",
            "Do not set it so:", "comes nearest", "What governs, link by link</h2>",
            "what the ground bears is not known",
            "Drawn to scale</h2>", "(1) along the strut, checked: 7,", "To look at and tick</h2>", "Signed</h2>",
            "<bdi>Checked by</bdi>",
            "Pre-tension of straps is counted on top of the load.", '<div class="parts annex">', "The situation</h2>",
            "Rule of thumb beside statics</h2>", "Why they differ",
            "Findings</h2>", "What this rests on</h2>",
        )
    ]  # fmt: skip
    assert places == sorted(places)
    assert "date and time</th>" in text
    met = page_of(tmp_path, *asked("car-on-side")).read_text()
    assert met.index("Set it so:") < met.index("Drawn to scale</h2>") < met.index("What governs, link by link</h2>")


def test_what_is_not_known_of_the_ground_is_said_where_it_is_set(tmp_path: Path) -> None:
    """Ground not known, and a pad that the cache does not have, stand among what a crew does first."""
    trailer = page_of(tmp_path, *asked("trailer-one-end")).read_text()
    assert "<bdi>what the ground bears is not known - judge the ground under each base: soil</bdi>" in trailer
    (tmp_path / "car").mkdir()
    car = page_of(tmp_path / "car", *asked("car-on-side")).read_text()
    assert "<li>under each base: it stands on the base alone</li>" in car
    assert "Pre-tension of straps is counted on top of the load." in car


def test_numbers_in_the_key_never_run_into_figures(tmp_path: Path) -> None:
    """A browser folds spaces, so a force's number stands in brackets before its name: "5 448 lbf" is never read."""
    text = page_of(tmp_path, *asked("car-on-side")).read_text()

    assert "<li>(5) strap 1 pulls at most: 448 lbf</li>" in text
    assert not re.search(r">\s*\d\s+[\d,]+ lbf", text)


@pytest.mark.browser
@pytest.mark.parametrize("demo", ["leaning-van", "trailer-one-end"])
def test_a_sheet_of_much_that_is_not_known_is_two_sides(opened: Opened, tmp_path: Path, demo: str) -> None:
    """On letter, the shorter paper: one link after another unknown, each with a note and a finding of its own."""
    printed = opened.open(page_of(tmp_path, *asked(demo))).pdf(format="Letter")

    assert len(re.findall(rb"/Type\s*/Page\b", printed)) == 2


@pytest.mark.browser
def test_drawings_can_be_read_on_a_phone(opened: Opened, tmp_path: Path) -> None:
    """On a phone drawings are read at 8 px at least, and the page asks for nothing and says nothing."""
    made = page_of(tmp_path, *asked("trailer-one-end"))
    opened.page.set_viewport_size({"width": 390, "height": 844})
    page = opened.open(made)

    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    least = page.evaluate(
        """() => Math.min(...[...document.querySelectorAll('.load svg.figure text')].map(one => {
            const svg = one.ownerSVGElement;
            return parseFloat(getComputedStyle(one).fontSize) * svg.getBoundingClientRect().width
                / svg.viewBox.baseVal.width;
        }))"""
    )
    assert least >= 8
    assert opened.said == []
    assert opened.asked == [made.as_uri()]
