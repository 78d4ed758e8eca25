"""Listing and counting legal assemblies."""

from __future__ import annotations

from collections.abc import Iterator
from copy import copy
from functools import partial
from typing import Any

from laws import generators

from benchmarks import baselines
from benchmarks.timing import Benchmark
from cache_check.joining.arrays import arrays_of
from cache_check.joining.assemblies import Joinery, joinery

FROM = "from catalogue, counts and rules"


def _arrays(cache: generators.Instance) -> int:
    return len(arrays_of(joinery(cache.catalogue, cache.counts, cache.book)).closed)


def _from_shapes(joined: Joinery) -> int:
    """List again with the legal shapes settled: stacks and arrays anew."""
    fresh = copy(joined)
    fresh.__dict__.pop("blocks", None)
    fresh._stacks, fresh._of_group = {}, {}  # nothing that listing works out may be left over
    return len(arrays_of(fresh).closed)


def _count(cache: generators.Instance) -> int:
    return joinery(cache.catalogue, cache.counts, cache.book).count()


def _clingo(cache: generators.Instance) -> int:
    return baselines.clingo_count(baselines.clingo_program(cache.catalogue, cache.counts, cache.book))


def _paths(cache: generators.Instance) -> int:
    return baselines.plain_path_search(cache.catalogue, cache.counts, cache.book)


def benchmarks() -> Iterator[Benchmark]:
    """On listing, from nothing and with the legal shapes settled; and on counting."""
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
    settled = joinery(medium.catalogue, medium.counts, medium.book)
    arrays_of(settled)
    again: dict[str, Any] = {"product": partial(_from_shapes, settled), "runs": 11}
    yield Benchmark(
        "listing, shapes settled, clingo", "legal shapes settled beforehand; clingo only counts its models",
        baseline=partial(_clingo, medium), faster=20, **again,
    )  # fmt: skip
    yield Benchmark(
        "listing, shapes settled, networkx", "legal shapes settled beforehand; all simple paths, filtered",
        baseline=partial(_paths, medium), faster=150, baseline_runs=5, **again,
    )  # fmt: skip
    yield Benchmark(
        "counting against clingo", f"{FROM}, large; nothing listed",
        product=partial(_count, large), baseline=partial(_clingo, large), faster=1000, runs=7, baseline_runs=1,
    )  # fmt: skip
