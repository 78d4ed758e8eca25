"""Leaving sets built: four on Rescue 41, from a cold start to every goal proven."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from benchmarks.bench_start import RESCUE_41, run_this
from benchmarks.timing import Benchmark

NEEDS = "sample_caches/quillfen/needs.yaml"


def benchmarks() -> Iterator[Benchmark]:
    """The whole process, page and all, against a Python that does nothing."""
    yield Benchmark(
        "stage of four sets", "whole process, stage on Rescue 41 with the county's needs, against python -c pass",
        product=partial(run_this, "-m", "cache_check", "stage", RESCUE_41, "--needs", NEEDS, "--sets", "4"),
        baseline=partial(run_this, "-c", "pass"), within=40, runs=11,
    )  # fmt: skip
