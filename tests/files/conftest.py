"""The desk that these tests write their files on."""

from __future__ import annotations

from pathlib import Path

import pytest
from desk import Desk


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """An empty folder to write files in."""
    return Desk(tmp_path)
