"""A command killed at any moment leaves no part of a file under the name that it was asked for."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "sample_caches" / "quillfen"
STRIDE = os.environ.get("KILL_STRIDE", "71")
"""Events of the system from one kill to the next; KILL_STRIDE=1 kills at each."""


def test_killed_at_any_moment_the_file_is_whole_or_not_there(tmp_path: Path) -> None:
    """A sheet, a conversion and a new cache are there whole, always the same, or not at all; a report as it was."""
    shutil.copy(SAMPLES / "family-p.yaml", tmp_path)
    shutil.copy(SAMPLES / "rescue-44.yaml", tmp_path / "rig.yaml")
    run = subprocess.run(
        [sys.executable, str(Path(__file__).with_name("kill_commands.py")), str(tmp_path), STRIDE],
        env=os.environ | {"PYTHONPATH": str(ROOT)}, capture_output=True, text=True, timeout=3000, check=True,
    )  # fmt: skip

    for name, killed in json.loads(run.stdout).items():
        assert killed["kills"] >= 1, name
        assert len(killed["states"]) == 2, killed
        after, before = killed["states"]
        assert before == ("old" if name == "report" else "none"), name
        assert after.startswith("new "), name
