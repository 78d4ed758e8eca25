"""Tests that are still to be judged anew are run, and shown as such; the list beside this says which and why."""

from __future__ import annotations

from pathlib import Path

import pytest

LIST = Path(__file__).with_name("not_yet_judged.txt")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what is on the list, whatever its parameters."""
    named = {line for line in LIST.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")}
    for item in items:
        if item.nodeid.partition("[")[0] in named:
            item.add_marker(pytest.mark.xfail(reason="not yet judged anew: tests/not_yet_judged.txt", strict=False))
