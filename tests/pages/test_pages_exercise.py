"""The exercise page in a real browser: to answer on, and to print."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from cli.running import ON, cache_check

from pages.conftest import Opened
from pages.test_pages_axe import faults

pytestmark = pytest.mark.browser


@pytest.fixture
def page(opened: Opened, tmp_path: Path) -> Any:
    """Ten cards of Rescue 41, on a phone."""
    made = tmp_path / "cards.html"
    assert cache_check("exercise", "rescue-41.yaml", "--seed", "3", *ON, "-o", made).returncode == 0
    opened.page.set_viewport_size({"width": 390, "height": 844})
    return opened.open(made)


def test_cards_are_answered_on(page: Any, axe: str) -> None:
    """A choice says at once whether it is right; the key and the reasons are not in sight before they are asked for."""
    card = page.locator(".card").first
    assert page.locator(".key").is_hidden()
    assert not page.get_by_text("Rests on").first.is_visible()
    assert page.locator(".says:visible").count() == 0

    for choice in card.locator("input").all():
        choice.check()
    said = card.locator(".says:visible").all_inner_texts()

    assert said in (["right"], ["not this"])  # of several only the last stays chosen
    assert "An exercise, for training" in card.inner_text()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert faults(page, axe) == []


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_two_cards_are_on_a_side_and_the_key_apart(page: Any, tmp_path: Path, paper: str) -> None:
    """Ten cards are five sides, and the key is one more."""
    page.pdf(path=tmp_path / "cards.pdf", format=paper)

    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", (tmp_path / "cards.pdf").read_bytes())) == 6
