"""What the wheel must carry beside the modules: rules, templates, styles and scripts."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
PAGES = "cache_check/report/pages/templates"


def test_wheel_carries_what_pages_and_rules_are_read_from(tmp_path: Path) -> None:
    """A wheel built here, without network, holds each template, style, script and rule file, byte for byte."""
    pytest.importorskip("hatchling", reason="the build backend is not installed: pip install hatchling")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)]
    subprocess.run(build, cwd=ROOT, capture_output=True, timeout=120, check=True)

    (wheel,) = tmp_path.glob("*.whl")
    wanted = {f"{PAGES}/{one.name}": one for one in (ROOT / PAGES).iterdir()}
    wanted |= {f"cache_check/_rules/{one.name}": one for one in (ROOT / "rules").iterdir()}
    with zipfile.ZipFile(wheel) as packed:
        assert wanted.keys() <= set(packed.namelist())
        for name, path in wanted.items():
            assert packed.read(name) == path.read_bytes()
    assert {Path(name).suffix for name in wanted} == {".j2", ".css", ".js", ".yaml"}
