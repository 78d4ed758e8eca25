"""Listing and counting legal assemblies."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

from laws import generators

from benchmarks import baselines
from benchmarks.timing import Benchmark
from cache_check.joining.assemblies import Joinery

FROM = "from catalogue, counts and rules"


def _listed(cache: generators.Instance) -> int:
    """As ``reach --all`` lists: every assembly, in the order in which it is shown."""
    joined = Joinery(cache.catalogue, cache.counts, cache.book)
    return len(joined.reach(joined.count()).assemblies)


def _count(cache: generators.Instance) -> int:
    return Joinery(cache.catalogue, cache.counts, cache.book).count()


def _clingo(cache: generators.Instance) -> int:
    return baselines.clingo_count(baselines.clingo_program(cache.catalogue, cache.counts, cache.book))


def _paths(cache: generators.Instance) -> int:
    return baselines.plain_path_search(cache.catalogue, cache.counts, cache.book)


def benchmarks() -> Iterator[Benchmark]:
    """On listing as `reach` does it, and on counting."""
    medium, large = generators.medium(0), generators.large(0)
    listing: dict[str, Any] = {"product": partial(_listed, medium), "runs": 7}
    yield Benchmark(
        "listing against clingo", f"{FROM} to reach with every assembly in order; clingo only counts its models",
        baseline=partial(_clingo, medium), faster=0.2, **listing,
    )  # fmt: skip
    yield Benchmark(
        "listing against networkx", f"{FROM} to reach with every assembly in order; all simple paths, filtered",
        baseline=partial(_paths, medium), faster=1.5, baseline_runs=5, **listing,
    )  # fmt: skip
    yield Benchmark(
        "counting against clingo", f"{FROM}, large; nothing listed",
        product=partial(_count, large), baseline=partial(_clingo, large), faster=1000, runs=7, baseline_runs=1,
    )  # fmt: skip
