"""The door card, as a file and in a real browser."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from cli.running import ON, cache_check
from golden.files import compare
from golden.test_golden import settled

from pages import hostile
from pages.conftest import Opened, page_of


def test_card_is_as_kept() -> None:
    """The door card of Rescue 41 is what is kept, to the letter."""
    run = cache_check("report", "rescue-41.yaml", "--only", "door", *ON, "-o", "-")

    assert run.stderr == ""
    compare(
        "report-door-rescue-41.html", re.sub(r"cache-check \d+\.\d+\.\d+", "cache-check VERSION", settled(run.stdout))
    )


def test_heights_follow_the_triangle(tmp_path: Path) -> None:
    """At 60 degrees, contact 52 in: 52/sin 60 = 60.04 in of strut and 52/tan 60 = 30.02 in out (trigonometry)."""
    text = page_of(tmp_path, "rescue-41.yaml", "--only", "door", "--angle", "60", "--angle", "45").read_text()

    row = re.search(r"<bdi>52\.0</bdi>.*", text)
    assert row is not None
    assert re.findall(r"<bdi>(.*?)</bdi>", row[0]) == ["52.0", "73.5", "52.0", "—", "60.1", "30.1", "A"]


def test_set_with_a_tagged_piece_is_not_to_be_used(tmp_path: Path) -> None:
    """A ready set that names a piece at repair says DO NOT USE, and no height is given to it."""
    samples = Path(__file__).parent.parent.parent / "sample_caches" / "quillfen"
    text = (samples / "rescue-41.yaml").read_text().replace(
        "serial: LB-01, where: tray-1", "serial: LB-01, status: repair, where: tray-1"
    )  # fmt: skip
    (tmp_path / "cache.yaml").write_text(text)
    (tmp_path / "family-p.yaml").write_text((samples / "family-p.yaml").read_text())

    page = page_of(tmp_path, tmp_path / "cache.yaml", "--only", "door").read_text()

    assert "A: DO NOT USE" in page
    assert "which is not usable" in page
    assert "<bdi>A</bdi>" not in page


def test_who_to_call_is_unknown_without_another_cache(tmp_path: Path) -> None:
    """With one cache the card says that it does not know whom to call; with two it names the rig that helps."""
    assert "UNKNOWN: no other cache" in page_of(tmp_path, "rescue-44.yaml", "--only", "door").read_text()

    both = page_of(tmp_path, "rescue-44.yaml", "rescue-41.yaml", "--needs", "needs.yaml", "--only", "door").read_text()
    assert "Rescue 41 (counted 2026-03-01)" in both
    assert "Car on its side: 2 of 3 here, 3 with it" in both


def test_base_that_cannot_be_held_is_said(tmp_path: Path) -> None:
    """Truck 9, one point on each base where two are ruled: the card says that no base can be restrained."""
    text = page_of(tmp_path, "truck-9.yaml", "--only", "door").read_text()

    assert "2 usable points. NO base of this cache can be restrained" in text


def test_a_cache_is_never_written_over(tmp_path: Path) -> None:
    """An output that is no HTML file is refused, so that a slip of the hand does not cost a cache."""
    kept = tmp_path / "cache.yaml"
    kept.write_text("mine")

    run = cache_check("report", "rescue-41.yaml", *ON, "-o", kept)

    assert run.returncode == 2
    assert kept.read_text() == "mine"


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("cache", ["rescue-41.yaml", "rescue-44.yaml", "truck-9.yaml", "hostile"])
def test_card_is_one_printed_side(opened: Opened, tmp_path: Path, cache: str, paper: str) -> None:
    """A door card prints on one side of letter and of A4, whatever its cache holds."""
    others = [one for one in ("rescue-41.yaml", "rescue-44.yaml", "truck-9.yaml") if one != cache]
    given = [hostile.write(tmp_path)] if cache == "hostile" else [cache, *others, "--needs", "needs.yaml"]
    page = opened.open(page_of(tmp_path, *given, "--only", "door"))

    page.pdf(path=tmp_path / "card.pdf", format=paper)

    pages = re.findall(rb"/Type\s*/Page\b(?!s)", (tmp_path / "card.pdf").read_bytes())
    assert len(pages) == (1 if cache == "hostile" else 3)


@pytest.mark.browser
def test_untrusted_text_stays_text(opened: Opened, tmp_path: Path) -> None:
    """Markup, quotes, right-to-left and 10,000 characters stay text; nothing runs, nothing is asked for."""
    made = page_of(tmp_path, hostile.write(tmp_path))
    page = opened.open(made)

    assert page.evaluate("window.hit") is None
    assert page.locator("main img").count() == 0
    assert "\u202e" not in made.read_text()
    assert opened.said == []
    assert opened.asked == [made.as_uri()]
    page.set_viewport_size({"width": 390, "height": 800})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
