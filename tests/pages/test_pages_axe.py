"""Every kind of sheet, judged by the rules of axe-core in a real browser: no serious fault, on desk and phone."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from cache_check.model.report import KINDS
from cache_check.report.pages.shell import kinds
from pages.asking import asker
from pages.conftest import EVERY, GIVEN, Opened, page_of
from pages.counting import answer

ASKED = {"height": "48", "known": "offset", "value": "36", "load": "3000"}
SIZES = {"desk": (1280, 900), "phone": (390, 844)}
GRAVE = ("serious", "critical")
ALSO = (
    "duplicate-id",
    "duplicate-id-active",
    "heading-order",
    "landmark-one-main",
    "landmark-unique",
    "region",
    "bypass",
)
"""Rules that hold too, whatever axe calls their gravity."""


def faults(page: Any, axe: str) -> list[str]:
    """What axe finds that must not be, each with the elements that it is about."""
    page.evaluate(axe)  # in the page's own world, past its policy: the driver evaluates, no script is added
    options = {"resultTypes": ["violations"], "rules": {rule: {"enabled": True} for rule in ALSO}}
    found = page.evaluate("(options) => axe.run(document, options)", options)["violations"]
    return [
        f"{one['id']} ({one['impact']}): {json.dumps([node['target'] for node in one['nodes']][:6])} {one['help']}"
        for one in found
        if one["impact"] in GRAVE or one["id"] in ALSO
    ]


@pytest.mark.browser
def test_whole_file_has_no_grave_fault(opened: Opened, tmp_path: Path, axe: str) -> None:
    """Every kind of sheet, of two rigs: no serious or critical fault on a phone, sane headings and landmarks."""
    page = opened.open(page_of(tmp_path, *GIVEN[1:-2], *EVERY))
    wide, high = SIZES["desk"]
    page.set_viewport_size({"width": wide, "height": high})

    assert {kind for kind in KINDS if page.locator(f"article.{kind}").count()} == {kind.KIND for kind in kinds()}
    ids = page.evaluate("[...document.querySelectorAll('[id]')].map(one => one.id)")
    assert sorted(ids) == sorted(set(ids))
    assert page.evaluate("document.documentElement.scrollWidth") <= wide
    wide, high = SIZES["phone"]
    page.set_viewport_size({"width": wide, "height": high})
    assert faults(page, axe) == []
    assert opened.said == []


@pytest.mark.browser
@pytest.mark.usefixtures("undrawn")
@pytest.mark.parametrize("kind", sorted({*KINDS} - {"crew", "count"}))
def test_each_sheet_alone_has_no_grave_fault(opened: Opened, tmp_path: Path, axe: str, kind: str) -> None:
    """A file of one kind of sheet stands by itself, as crews and officers are given it; two more are asked below."""
    page = opened.open(page_of(tmp_path, *GIVEN, "--only", kind))
    page.set_viewport_size(dict(zip(("width", "height"), SIZES["phone"], strict=True)))

    assert {one for one in KINDS if page.locator(f"article.{one}").count()} == {kind}
    assert faults(page, axe) == []


@pytest.mark.browser
def test_finder_with_an_answer_has_no_grave_fault(opened: Opened, tmp_path: Path, axe: str) -> None:
    """After an answer, and after a question that has none, the finder has no grave fault."""
    finder = asker(opened, page_of(tmp_path, "rescue-41.yaml", "--only", "crew"))
    assert finder.ask(ASKED).sets or finder.read().loose
    assert faults(finder.page, axe) == []

    assert finder.ask({"height": "a lot"}).wrong
    assert faults(finder.page, axe) == []


@pytest.mark.browser
def test_count_sheet_in_use_has_no_grave_fault(opened: Opened, tmp_path: Path, axe: str) -> None:
    """Half filled in, a fault typed, a line added and more of one opened, the count sheet has no grave fault."""
    page = opened.open(page_of(tmp_path, "rescue-41.yaml", "--only", "count"))
    page.get_by_label("Counted by").fill("A. B.")
    answer(page, "hinged-base HB-01", Found="yes", Usable="yes", Label="legible", Points="1", Note="cracked")
    answer(page, "strap", Found="5", Usable="6")
    page.get_by_role("button", name="Add a line").click()
    page.get_by_role("button", name="Only blank").click()
    page.get_by_role("button", name="Start anew").click()

    assert faults(page, axe) == []


@pytest.mark.browser
def test_axe_sees_a_fault(opened: Opened, axe: str) -> None:
    """Faults of five kinds are all found, so that finding none says something."""
    opened.page.set_content(
        "<html lang=en><title>x</title><main><h1>x</h1><h3>y</h3><input><img src='data:,'>"
        "<p style='color:#999;background:#888'>grey on grey</p>"
        "<section aria-label=q></section><section aria-label=q></section></main>"
    )
    found = " ".join(faults(opened.page, axe))

    for rule in ("label", "image-alt", "color-contrast", "heading-order", "landmark-unique"):
        assert f"{rule} (" in found
