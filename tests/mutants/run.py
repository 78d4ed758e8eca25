"""Seeded mutants of one room, each put to the tests that run its line; what survives wants a test or a reason.

``python tests/mutants/run.py joining --count 300``.  The tests are collected once; each mutant is a fork in which one
function has other code, and in which the tests that run the changed line are asked, quickest first, until one fails.
Constants of modules and classes are not changed, nor what a process of its own runs.  What is found goes to a log, a
line each (``--log``), and a run that was ended goes on where it stopped.  ``--again`` asks the survivors anew.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Iterable
from importlib import import_module
from pathlib import Path
from types import FrameType, FunctionType
from typing import Any

import coverage
import pytest

sys.path[:0] = [str(folder) for folder in Path(__file__).parents[:3]]

from sites import Mutant, changed, mutants  # noqa: E402 - found beside this file

ROOT = Path(__file__).parents[2]
ROOMS: dict[str, tuple[str, ...]] = {
    "joining": (
        "joining", "pitfalls", "laws/test_assemblies.py", "laws/test_counting.py", "laws/test_explain.py",
        "laws/test_reach.py", "laws/test_two_ways_up.py", "laws/test_piece_laws.py", "laws/test_changes.py",
        "planning/test_by_hand.py", "planning/test_at_hand.py", "planning/test_planning_traps.py", "checks",
        "house/test_rules_guard.py", "golden", "cli/test_commands.py", "api",
    ),
    "checks": (
        "checks", "pitfalls", "house/test_rules_guard.py", "api", "golden", "laws/test_audit_laws.py",
        "laws/test_piece_laws.py", "laws/test_verdicts.py", "cli/test_commands.py", "cli/test_audit_commands.py",
        "planning/test_load.py", "planning/test_by_hand.py", "report", "files/test_files_count.py",
    ),
    "loads": ("loads", "published", "laws", "pitfalls", "planning/test_load.py", "golden", "house/test_rules_guard.py"),
    "planning/packing": (
        "planning", "pitfalls", "laws/test_packing.py", "laws/test_profiles.py", "laws/test_verdicts.py",
        "laws/test_changes.py", "laws/test_two_ways_up.py", "laws/test_stores.py", "laws/test_ordinary_rigs.py",
        "laws/test_plans_by_cp_sat.py", "golden", "cli/test_commands.py",
    ),
    "planning": ("planning", "pitfalls", "laws", "golden", "house/test_rules_guard.py"),
}  # fmt: skip
MEMORY = 4 * 2**30


class Trial:
    """The tests of a room, collected once, and the mutants put to them."""

    def __init__(self, asked: argparse.Namespace) -> None:
        self.asked = asked
        self.failed = ""
        self.took: dict[str, float] = {}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Keep which test failed, and what each took."""
        self.took[report.nodeid] = self.took.get(report.nodeid, 0) + report.duration
        if report.failed:
            self.failed = self.failed or report.nodeid

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """In place of running the tests: learn what each runs, then try the mutants."""
        _imported(ROOT / "cache_check" / self.asked.room)
        items = {item.nodeid: item for item in session.items}
        runs, took = self._learned(items)
        done = {one["key"]: one for one in _lines(self.asked.log)}
        for mutant in self._drawn():
            if mutant.key in done and not (self.asked.again and done[mutant.key]["state"] == "survived"):
                continue
            # The later lines of one expression may not be told as run: then those that run the line before.
            lines = (runs.get(f"{mutant.file}:{line}") for line in range(mutant.line, mutant.line - 6, -1))
            asked = sorted(set(next(filter(None, lines), ())), key=took.__getitem__)
            found = {"key": mutant.key, **self._tried(mutant, asked, items, took)}
            done[mutant.key] = found
            with self.asked.log.open("a", encoding="utf-8") as log:
                log.write(json.dumps(found) + "\n")
        _told(done.values())
        return True

    def _drawn(self) -> list[Mutant]:
        """The mutants of the room that the seed draws."""
        folder = ROOT / "cache_check" / self.asked.room
        every = [one for path in sorted(folder.rglob("*.py")) for one in mutants(path, ROOT)]
        drawn = random.Random(self.asked.seed).sample(every, min(self.asked.count, len(every)))
        return [one for one in drawn if self.asked.only in one.file]

    def _learned(self, items: dict[str, pytest.Item]) -> tuple[dict[str, list[str]], dict[str, float]]:
        """Which tests run each line of the room, and how long each takes; learned in a fork, and kept by the log."""
        kept = self.asked.log.with_suffix(".map.json")
        if not kept.exists():
            if (child := os.fork()) == 0:
                kept.write_text(json.dumps(self._traced(items)), encoding="utf-8")
                os._exit(0)
            os.waitpid(child, 0)
        runs, took = json.loads(kept.read_text(encoding="utf-8"))
        return {line: [one for one in tests if one in items] for line, tests in runs.items()}, took

    def _traced(self, items: dict[str, pytest.Item]) -> tuple[dict[str, list[str]], dict[str, float]]:
        watch = coverage.Coverage(data_file=None, include=[str(ROOT / "cache_check" / self.asked.room / "*")])
        red = set()
        for name, item in items.items():
            self.failed = ""
            watch.start()
            watch.switch_context(name)
            _run(item)
            watch.stop()
            if self.failed:
                red.add(name)
        data = watch.get_data()
        runs = {
            f"{Path(file).relative_to(ROOT)}:{line}": [one for one in tests if one and one not in red]
            for file in data.measured_files()
            for line, tests in data.contexts_by_lineno(file).items()
        }
        print(f"{len(items)} tests, {len(red)} red before any change and left out: {sorted(red)}", file=sys.stderr)
        return runs, self.took

    def _tried(
        self, mutant: Mutant, asked: list[str], items: dict[str, pytest.Item], took: dict[str, float]
    ) -> dict[str, Any]:
        """Whether a test fails once the code is changed, and which."""
        code = changed(mutant, ROOT)
        functions = [one for one in _functions() if _same(one, mutant)]
        if not functions or not asked:
            return {"state": "survived", "by": "no test runs it"}
        chosen: list[str] = []
        seconds = 0.0
        for name in asked:
            if chosen and seconds + took[name] > self.asked.seconds:
                break
            chosen.append(name)
            seconds += took[name]
        with tempfile.TemporaryFile("w+") as told:
            child = os.fork()
            if child == 0:
                _quiet()
                try:
                    for one in functions:
                        one.__code__ = code
                except ValueError:
                    os._exit(3)
                for name in chosen:
                    _run(items[name])
                    if self.failed:
                        told.write(self.failed)
                        told.flush()
                        os._exit(1)
                os._exit(0)
            status = _waited(child, 30 + 5 * seconds)
            told.seek(0)
            by = told.read()
        state = {0: "survived", 1: "killed", 3: "cannot be put in"}.get(status, "killed")
        return {"state": state, "by": by or f"status {status}" * bool(status), "tests": len(chosen), "of": len(asked)}


def _imported(folder: Path) -> None:
    """Import all of a room: what is imported late would not be there to be changed."""
    for path in sorted(folder.rglob("*.py")):
        import_module(".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"))


def _functions() -> Iterable[FunctionType]:
    import gc

    return [one for one in gc.get_objects() if isinstance(one, FunctionType)]


def _same(function: FunctionType, mutant: Mutant) -> bool:
    code = function.__code__
    return code.co_qualname == mutant.function and code.co_filename == str(ROOT / mutant.file)


def _run(item: pytest.Item) -> None:
    item.config.hook.pytest_runtest_protocol(item=item, nextitem=None)


def _quiet() -> None:
    """A fork that says nothing, and ends when it takes too much memory."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    void = os.open(os.devnull, os.O_WRONLY)
    os.dup2(void, 1)
    os.dup2(void, 2)


def _waited(child: int, seconds: float) -> int:
    """The status that a fork ends with; one that takes too long is ended, which counts as killed."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        pid, status = os.waitpid(child, os.WNOHANG)
        if pid:
            return os.waitstatus_to_exitcode(status)
        time.sleep(0.02)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return 9


def _lines(log: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in log.read_text(encoding="utf-8").splitlines()] if log.exists() else []


def _told(found: Iterable[dict[str, Any]]) -> None:
    """How many were killed, and each that was not."""
    put = [one for one in found if one["state"] != "cannot be put in"]
    killed = sum(one["state"] == "killed" for one in put)
    for one in sorted(put, key=lambda one: str(one["key"])):
        if one["state"] == "survived":
            print(f"survived {one['key']} {one['by']}")
    print(f"killed {killed} of {len(put)}: {100 * killed / max(1, len(put)):.0f} %")


def _ended(_number: int, _frame: FrameType | None) -> None:
    sys.exit(130)


def main() -> None:
    """Collect the room's tests and try its mutants."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("room", choices=ROOMS)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seconds", type=float, default=15, help="of tests a mutant, as they take unchanged")
    parser.add_argument("--only", default="", help="files whose path has this in it")
    parser.add_argument("--log", type=Path)
    parser.add_argument("--again", action="store_true")
    asked = parser.parse_args()
    asked.log = asked.log or Path(tempfile.gettempdir()) / f"mutants-{asked.room.replace('/', '-')}.jsonl"
    signal.signal(signal.SIGTERM, _ended)
    os.chdir(ROOT)
    tests = [f"tests/{one}" for one in ROOMS[asked.room]]
    skipped = ["-m", "not browser", "--deselect", "tests/planning/test_planning_store.py"]
    pytest.main(["-q", "-p", "no:cacheprovider", "-p", "no:xdist", *skipped, *tests], plugins=[Trial(asked)])


if __name__ == "__main__":
    main()
