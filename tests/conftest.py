"""How many examples a law draws; and tests still to be judged anew, which are run and shown as such.

``LAWS=thorough`` draws ten times as many examples as the quick run that everybody waits for.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import settings

for profile, examples in (("quick", 30), ("thorough", 300)):
    settings.register_profile(profile, max_examples=examples, deadline=None, derandomize=True)
settings.load_profile(os.environ.get("LAWS", "quick"))

LIST = Path(__file__).with_name("not_yet_judged.txt")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what is on the list, whatever its parameters."""
    named = {line for line in LIST.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")}
    for item in items:
        if item.nodeid.partition("[")[0] in named:
            item.add_marker(pytest.mark.xfail(reason="not yet judged anew: tests/not_yet_judged.txt", strict=False))
