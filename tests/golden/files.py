"""Kept outputs: where they are, and how a new output is compared with them.

Set ``CACHE_CHECK_UPDATE_GOLDEN=1`` to write what comes out now in their place; then read the difference.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

from cache_check.report.as_json import schemas

GOLDEN = Path(__file__).parent
SAMPLES = GOLDEN.parent.parent / "sample_caches" / "quillfen"
SCHEMAS = schemas()
UPDATE = "CACHE_CHECK_UPDATE_GOLDEN"


def compare(name: str, text: str) -> None:
    """Fail unless ``text`` is what is kept under ``name``."""
    kept = GOLDEN / name
    if os.environ.get(UPDATE) == "1":
        kept.parent.mkdir(parents=True, exist_ok=True)
        kept.write_text(text, encoding="utf-8")
    assert kept.is_file(), f"{kept} is not there; set {UPDATE}=1 to write it"
    assert text == kept.read_text(encoding="utf-8"), f"differs from {name}; set {UPDATE}=1 to take it"


def unstyled(page: str) -> str:
    """A page without its style sheet, which the kept door card alone holds, and without the release's number."""
    page = re.sub(r"cache-check \d+\.\d+\.\d+", "cache-check VERSION", page)
    return re.sub(r"<style>.*?</style>", "<style></style>", page, flags=re.DOTALL)
