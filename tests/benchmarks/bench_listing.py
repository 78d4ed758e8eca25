"""Listing and counting legal assemblies."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

from laws import generators

from benchmarks import baselines
from benchmarks.timing import Benchmark
from cache_check.joining.assemblies import joinery

FROM = "from catalogue, counts and rules"


def _arrays(cache: generators.Instance) -> int:
    return len(joinery(cache.catalogue, cache.counts, cache.book).arrays().closed)


def _count(cache: generators.Instance) -> int:
    return joinery(cache.catalogue, cache.counts, cache.book).count()


def _clingo(cache: generators.Instance) -> int:
    return baselines.clingo_count(baselines.clingo_program(cache.catalogue, cache.counts, cache.book))


def _paths(cache: generators.Instance) -> int:
    return baselines.plain_path_search(cache.catalogue, cache.counts, cache.book)


def benchmarks() -> Iterator[Benchmark]:
    """Three on listing and one on counting."""
    medium, large = generators.medium(0), generators.large(0)
    listing: dict[str, Any] = {"product": partial(_arrays, medium), "runs": 11}
    yield Benchmark(
        "listing against clingo", f"{FROM} to arrays; clingo only counts its models",
        baseline=partial(_clingo, medium), faster=20, **listing,
    )  # fmt: skip
    yield Benchmark(
        "listing against networkx", f"{FROM} to arrays; all simple paths, filtered",
        baseline=partial(_paths, medium), faster=150, baseline_runs=5, **listing,
    )  # fmt: skip
    yield Benchmark(
        "counting against clingo", f"{FROM}, large; nothing listed",
        product=partial(_count, large), baseline=partial(_clingo, large), faster=1000, runs=7, baseline_runs=1,
    )  # fmt: skip
