"""A count sheet filled in as a person does it, and its file."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from cache_check.files.cache import read_cache
from cache_check.model.cache import Cache

SAMPLES = Path(__file__).parents[2] / "sample_caches" / "quillfen"


def cache_of(name: str) -> Cache:
    """A sample cache."""
    return read_cache(SAMPLES / name)


def card(page: Any, name: str) -> Any:
    """The line whose legend begins with a name: a part, a part with a serial, or a ready set."""
    return page.locator(
        ".line", has=page.locator(f'xpath=./legend[starts-with(concat(normalize-space(.), " "), "{name} ")]')
    ).first


def field_of(line: Any, name: str) -> Any:
    """The field of a line whose label begins with a name."""
    label = line.locator("label", has=line.page.locator("span", has_text=re.compile(rf"^{name}\b")))
    return label.locator("input, select, textarea")


def answer(page: Any, name: str, **columns: str) -> Any:
    """Fill in a line by its labels: numbers and words are typed, "yes" and the like are ticked."""
    line = card(page, name)
    more = line.locator("details")
    for word, value in columns.items():
        named = word.replace("_", " ")
        group = line.get_by_role("group", name=named, exact=True)
        if group.count():
            group.get_by_label(value, exact=True).check()
            continue
        field = field_of(line, named)
        if not field.count():
            more.locator("summary").click()
            more.locator(".fields > *").first.wait_for()
        if field.evaluate("one => one.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)
    return line


def saved(page: Any, folder: Path) -> Path:
    """The file that the sheet saves.

    Chromium was seen to drop one download in some thousand on a busy machine, so a lost one is asked for again.
    """
    late = pytest.importorskip("playwright.sync_api").TimeoutError
    for last in (False, False, True):
        try:
            with page.expect_download(timeout=10_000) as waited:
                page.get_by_role("button", name="Save file").click()
            break
        except late:
            if last:
                raise
    made = folder / str(waited.value.suggested_filename)
    waited.value.save_as(made)
    return made


def ready(page: Any) -> Any:
    """The page once its script has run, however busy the machine is."""
    page.locator(".live").first.wait_for()
    return page
