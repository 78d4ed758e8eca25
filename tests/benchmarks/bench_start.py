"""Starting up, as whole processes."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage

from benchmarks.timing import Benchmark

ROOT = Path(__file__).resolve().parents[2]
RESCUE_41 = "sample_caches/quillfen/rescue-41.yaml"


def run_this(*arguments: str) -> bool:
    """Run this Python; 0 is fine, and 1, which says that there are findings."""
    done = subprocess.run([sys.executable, *arguments], cwd=ROOT, capture_output=True, check=False)
    assert done.returncode in (0, 1), done.stderr.decode()
    return True


def spent() -> float:
    """The processor time of all processes that this one has run, user and system."""
    used = getrusage(RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


LIBRARIES = ("-c", "import click, pydantic, yaml")
ASKED = {
    "check": ("check", RESCUE_41),
    "reach": ("reach", RESCUE_41),
    "build": ("build", RESCUE_41, "hinged-base", "short-body", "flat-fitting"),
    "load": ("load", RESCUE_41, "sample_caches/quillfen/leaning-van.yaml"),
}


def benchmarks() -> Iterator[Benchmark]:
    """Help against a Python that does nothing; each command against one that only loads what all must have."""
    yield Benchmark(
        "start of --help", "whole process against python -c pass",
        product=partial(run_this, "-m", "cache_check", "--help"), baseline=partial(run_this, "-c", "pass"),
        within=4, runs=11,
    )  # fmt: skip
    for name, arguments in ASKED.items():
        yield _whole(name, arguments, 2.5)
    yield _whole("stage", ("stage", RESCUE_41, "--needs", "sample_caches/quillfen/needs.yaml", "--sets", "4"), 4)


def _whole(name: str, arguments: tuple[str, ...], within: float) -> Benchmark:
    return Benchmark(
        f"start of {name}",
        f"processor time, {name} on Rescue 41, against the import of click, pydantic and yaml",
        product=partial(run_this, "-m", "cache_check", *arguments), baseline=partial(run_this, *LIBRARIES),
        within=within, clock=spent,
    )  # fmt: skip
