"""Every kind of sheet of a cache whose every name tries to be more than text, in a real browser."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cache_check.report.pages.shell import kinds
from pages import hostile
from pages.conftest import EVERY, Opened, page_of

BAD = hostile.MARKUP + hostile.QUOTES + hostile.RIGHT_TO_LEFT
SCENE = {"title": BAD, "needs": [{"id": "a", "count": 3, "length": 40}]}
FILES = {
    "needs": {"needs": BAD, "units": "us", "scenes": {"one": SCENE, "$x^2$": {**SCENE, "title": "$\\frac{1}{2}$|#|"}}},
    "prices": {
        "prices": BAD, "currency": "<b>$x$", "dated": "2026-01-01",
        "parts": {"H/body": 5, "H/base": 4, "H/head": 3, "H/strap": 2, BAD: 1},
    },
    "load": {
        "situation": hostile.MARKUP, "units": "us", "contact_height": 30, "angle": 60, "vertical": 2000,
        "half_angles": 30,
    },
}  # fmt: skip


@pytest.mark.browser
def test_untrusted_text_stays_text_on_every_sheet(opened: Opened, tmp_path: Path) -> None:
    """Markup, quotes, $math$, right-to-left and 10,000 characters in cache, needs, quote and situation stay text."""
    given: list[str | Path] = [hostile.write(tmp_path), "rescue-44.yaml"]
    for name, data in FILES.items():
        (tmp_path / f"{name}.yaml").write_text(json.dumps(data), encoding="utf-8")
        given += [f"--{name}", tmp_path / f"{name}.yaml"]
    made = page_of(tmp_path, *given, *EVERY)
    page = opened.open(made)
    text = made.read_text(encoding="utf-8")

    assert all(page.locator(f"article.{kind.KIND}").count() for kind in kinds())
    assert page.evaluate("window.hit") is None
    assert page.locator("main img, main b, svg script, svg image, svg foreignObject").count() == 0
    assert "\u202e" not in text
    assert "&lt;script&gt;window.hit=1&lt;/script&gt;" in text
    assert "$\\frac{1}{2}$|#|" in page.locator("article.office").first.text_content()
    assert "Set \U0001f692 part by part" in page.locator("article.crew figure svg").first.text_content()
    assert opened.said == []
    assert opened.asked == [made.as_uri()]
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
