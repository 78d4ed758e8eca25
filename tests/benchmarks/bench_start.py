"""Starting up, as whole processes."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from benchmarks.timing import Benchmark

ROOT = Path(__file__).resolve().parents[2]
RESCUE_41 = "sample_caches/quillfen/rescue-41.yaml"


def run_this(*arguments: str) -> bool:
    """Run this Python; 0 is fine, and 1, which says that there are findings."""
    done = subprocess.run([sys.executable, *arguments], cwd=ROOT, capture_output=True, check=False)
    assert done.returncode in (0, 1), done.stderr.decode()
    return True


def benchmarks() -> Iterator[Benchmark]:
    """Help, and the main job on Rescue 41, each against a Python that does nothing."""
    nothing = partial(run_this, "-c", "pass")
    yield Benchmark(
        "start of --help", "whole process against python -c pass",
        product=partial(run_this, "-m", "cache_check", "--help"), baseline=nothing, within=4, runs=11,
    )  # fmt: skip
    yield Benchmark(
        "start of check", "whole process, check on Rescue 41, against python -c pass",
        product=partial(run_this, "-m", "cache_check", "check", RESCUE_41), baseline=nothing, within=30, runs=11,
    )  # fmt: skip
