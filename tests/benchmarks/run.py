"""Times the product against its baselines: ``python tests/benchmarks/run.py [name ...]``.

Every ``bench_*.py`` beside this file offers ``benchmarks()``.  A name picks the benchmarks whose name it begins.
Exit status 1 when a goal is missed or two answers differ.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1])]

from tabulate import tabulate  # noqa: E402  # the paths come first

from benchmarks.timing import Benchmark, DisagreeError, Suite, Timed, governing, timed  # noqa: E402

HEADERS = ("benchmark", "counted in", "product ms", "baseline ms", "ratio", "goal", "met", "runs")


def all_benchmarks() -> Iterator[Benchmark | Suite]:
    """Every benchmark, file by file."""
    for path in sorted(HERE.glob("bench_*.py")):
        yield from import_module(f"benchmarks.{path.stem}").benchmarks()


def row(name: str, result: Timed, more: str) -> tuple[str, ...]:
    """One line of the table."""
    of = result.benchmark
    runs = f"{of.runs}" if of.baseline_runs is None else f"{of.runs}, baseline {of.baseline_runs}"
    if of.baseline_share < 1:
        runs += f" on {of.baseline_share:.1%}, scaled"
    return (
        name, of.counted, f"{result.product_ms:,.2f}", f"{result.baseline_ms:,.2f}",
        f"{result.ratio:,.1f}", result.goal, "met" if result.met else "MISSED", runs + more,
    )  # fmt: skip


def measured(one: Benchmark | Suite) -> tuple[tuple[str, ...], bool]:
    """The line of a benchmark or of a suite, and whether its goal is met.

    Raises:
        DisagreeError: product and baseline answer differently.
    """
    if isinstance(one, Benchmark):
        result = timed(one)
        return row(one.name, result, ""), result.met
    results = []
    for member in one.members:
        results.append(timed(member()))
        print(f"  {results[-1].benchmark.name}: {results[-1].product_ms:,.2f} against "
              f"{results[-1].baseline_ms:,.2f} ms, {results[-1].ratio:,.1f}", file=sys.stderr, flush=True)  # fmt: skip
    result = governing(results, one.every)
    worst = governing(results, every=True)
    which = "worst" if one.every else f"median, worst {worst.ratio:,.1f},"
    return row(one.name, result, f"; {which} of {len(results)} seeds"), result.met


def main(names: list[str]) -> int:
    """Run the named benchmarks (all when none is named), print the table, say whether all goals are met."""
    rows, failed = [], False
    for one in all_benchmarks():
        if names and not any(one.name.startswith(name) for name in names):
            continue
        print(one.name, file=sys.stderr, flush=True)
        try:
            line, met = measured(one)
        except DisagreeError as error:
            print(error, file=sys.stderr)
            failed = True
            continue
        rows.append(line)
        failed = failed or not met
    print(tabulate(rows, headers=HEADERS, disable_numparse=True, maxcolwidths=[24, 34, None, None, None, 16, None, 18]))
    return 1 if failed or not rows else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
