"""Seeded mutants of one room, each put to the tests that run its line; what survives wants a test or a reason.

``python tests/mutants/run.py joining --count 300``.  The tests are collected once; each mutant is a fork in which one
function has other code, and in which the tests that run the changed line are asked until one fails: first those that
killed others of that file, then the quickest.  Which test runs which line is learned once for all rooms (``--map``).
Constants of modules and classes are not changed, nor what a process of its own runs.  What is found goes to a log, a
line each (``--log``), and a run that was ended goes on where it stopped.  ``--again`` asks the survivors of the log
anew, wherever their lines stand by now, with ``--tests`` of those files alone.  ``equivalent.txt`` has the survivors
that no test could tell, each with its reason; one that begins with a star stands for all that are like it.
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
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping
from fnmatch import fnmatchcase
from importlib import import_module
from pathlib import Path
from types import FrameType, FunctionType
from typing import Any

import coverage
import pytest

sys.path[:0] = [str(folder) for folder in Path(__file__).parents[:3]]

from sites import Mutant, changed, mutants  # noqa: E402 - found beside this file

ROOT = Path(__file__).parents[2]
ROOMS = ("api", "joining", "loads", "checks", "planning")
TESTS = (
    "api", "checks", "cli/test_commands.py", "cli/test_audit_commands.py", "golden", "house/test_rules_guard.py",
    "joining", "laws", "loads", "pitfalls", "planning", "published", "files/test_files_count.py",
)  # fmt: skip
EQUIVALENT = Path(__file__).with_name("equivalent.txt")
MEMORY = 4 * 2**30
SLOW = 2.0
"""Seconds of processor time: a test that takes longer under the tracer kills too dearly, and is left out."""


class Trial:
    """The tests, collected once, and the mutants put to them."""

    def __init__(self, asked: argparse.Namespace) -> None:
        self.asked = asked
        self.failed = ""
        self.killers: dict[str, Counter[str]] = defaultdict(Counter)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Keep which test failed."""
        if report.failed:
            self.failed = self.failed or report.nodeid

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """In place of running the tests: learn what each runs, then try the mutants."""
        for room in ROOMS:
            _imported(ROOT / "cache_check" / room)
        items = {item.nodeid: item for item in session.items}
        learned = self._learned(items)
        if not self.asked.room:
            return True
        done = {one["key"]: one for one in _lines(self.asked.log)}
        for one in done.values():
            self._credit(one)
        left = [one for one in done.values() if one["state"] == "survived"]
        fresh = ((one.key, one) for one in self._drawn() if one.key not in done) if not self.asked.again else ()
        for key, mutant in self._found(left) if self.asked.again else fresh:
            found = {"key": key, "named": mutant.named, **self._tried(mutant, items, learned)}
            done[key] = found
            self._credit(found)
            with self.asked.log.open("a", encoding="utf-8") as log:
                log.write(json.dumps(found) + "\n")
        _told(done.values())
        return True

    def _credit(self, found: Mapping[str, Any]) -> None:
        if found["state"] == "killed":
            self.killers[found["key"].partition(":")[0]][found["by"]] += 1

    def _every(self) -> list[Mutant]:
        folder = ROOT / "cache_check" / self.asked.room
        paths = [path for path in sorted(folder.rglob("*.py")) if self.asked.only in str(path)]
        return [one for path in paths for one in mutants(path, ROOT)]

    def _drawn(self) -> list[Mutant]:
        """The mutants of the room that the seed draws."""
        every = self._every()
        return random.Random(self.asked.seed).sample(every, min(self.asked.count, len(every)))

    def _found(self, left: Iterable[Mapping[str, Any]]) -> Iterable[tuple[str, Mutant]]:
        """Logged mutants as they stand now, by the text of their lines: other lines may have come or gone."""
        alike = defaultdict(list)
        for one in self._every():
            alike[one.named].append(one)
        for old in left:
            line = int(old["key"].partition(":")[2].partition(" ")[0])
            if alike[old["named"]]:
                yield old["key"], min(alike[old["named"]], key=lambda mutant: abs(mutant.line - line))

    def _learned(self, items: dict[str, pytest.Item]) -> Learned:
        """Which tests run each line, and how long each takes; learned in a fork, and kept."""
        kept = self.asked.map
        if not kept.exists():
            if (child := os.fork()) == 0:
                kept.write_text(json.dumps(self._traced(items)), encoding="utf-8")
                os._exit(0)
            os.waitpid(child, 0)
        return Learned(json.loads(kept.read_text(encoding="utf-8")), items)

    def _traced(self, items: dict[str, pytest.Item]) -> dict[str, Any]:
        rooms = [str(ROOT / "cache_check" / room / "*") for room in ROOMS]
        watch = coverage.Coverage(data_file=None, include=rooms)
        took: dict[str, float] = {}
        signal.signal(signal.SIGVTALRM, _late)
        for name, item in items.items():
            self.failed = ""
            start = _spent()
            watch.start()
            watch.switch_context(name)
            try:
                signal.setitimer(signal.ITIMER_VIRTUAL, SLOW)
                _run(item)
            except BaseException as error:  # wherever in pytest itself the time was up
                self.failed = str(error)
            signal.setitimer(signal.ITIMER_VIRTUAL, 0)
            if self.failed:
                item.session._setupstate.teardown_exact(None)
            watch.stop()
            if self.failed:
                print(f"red or slow, left out: {name}", file=sys.stderr)
            else:
                took[name] = _spent() - start
        data, number = watch.get_data(), {name: at for at, name in enumerate(took)}
        sets: dict[tuple[int, ...], int] = {}
        lines = {}
        for file in data.measured_files():
            for line, tests in data.contexts_by_lineno(file).items():
                run = tuple(sorted(number[one] for one in tests if one in number))
                lines[f"{Path(file).relative_to(ROOT)}:{line}"] = sets.setdefault(run, len(sets))
        return {"took": took, "lines": lines, "sets": list(sets)}

    def _tried(self, mutant: Mutant, items: dict[str, pytest.Item], learned: Learned) -> dict[str, Any]:
        """Whether a test fails once the code is changed, and which."""
        code = changed(mutant, ROOT)
        functions = [one for one in _functions() if _same(one, mutant)]
        chosen, seconds = learned.asked(mutant, self.killers[mutant.file], self.asked.seconds)
        if not functions or not chosen:
            return {"state": "survived", "by": "no test runs it"}
        with tempfile.TemporaryFile("w+") as told:
            child = os.fork()
            if child == 0:
                _quiet(round(8 + 3 * seconds))
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
            status = _waited(child, 300 + 20 * seconds)
            told.seek(0)
            by = told.read()
        state = {0: "survived", 1: "killed", 3: "cannot be put in"}.get(status, "killed")
        return {"state": state, "by": by or f"status {status}" * bool(status), "tests": len(chosen)}


class Learned:
    """Which tests run each line, and the seconds that each takes."""

    def __init__(self, kept: Mapping[str, Any], items: Mapping[str, pytest.Item]) -> None:
        self._took, self._lines, self._sets, self._items = kept["took"], kept["lines"], kept["sets"], items
        self._names = list(self._took)

    def asked(self, mutant: Mutant, killers: Counter[str], most: float) -> tuple[list[str], float]:
        """The tests to ask of a mutant, best first, that take so many seconds at most; and what they take."""
        # The later lines of one expression may not be told as run: then those that run the line before.
        lines = (self._lines.get(f"{mutant.file}:{line}") for line in range(mutant.line, mutant.line - 6, -1))
        runs: list[int] = next((self._sets[one] for one in lines if one is not None and self._sets[one]), [])
        names = (self._names[one] for one in runs)
        chosen: list[str] = []
        seconds = 0.0
        for name in sorted(names, key=lambda name: (-killers[name], self._took[name])):
            if name in self._items and (not chosen or seconds + self._took[name] <= most):
                chosen.append(name)
                seconds += self._took[name]
        return chosen, seconds


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


def _spent() -> float:
    """Processor time of this process and of those that it waited for."""
    return sum(os.times()[:4])


def _late(_number: int, _frame: FrameType | None) -> None:
    raise TimeoutError("too slow to be asked")


def _quiet(seconds: int) -> None:
    """A fork that says nothing, and ends when it takes too much memory or time."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 5))
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


def _told(found: Collection[Mapping[str, Any]]) -> None:
    """How many were killed, how many cannot be, and each that was not."""
    lines = EQUIVALENT.read_text(encoding="utf-8").splitlines() if EQUIVALENT.exists() else []
    listed = [line.partition("  # ")[0] for line in lines]
    named = {one["named"] for one in found}
    same = {one for one in named for like in listed if one == like or (like[0] == "*" and fnmatchcase(one, like))}
    put = [one for one in found if one["state"] != "cannot be put in"]
    left = [one for one in put if one["state"] == "survived"]
    for one in sorted((one for one in left if one["named"] not in same), key=lambda one: str(one["key"])):
        print(f"survived {one['key']} {one['by']}")
    equivalent = sum(one["named"] in same for one in left)
    killed, could = len(put) - len(left), len(put) - equivalent
    print(f"{len(put)} put, {equivalent} equivalent, killed {killed} of {could}: {100 * killed / max(1, could):.0f} %")


def _ended(_number: int, _frame: FrameType | None) -> None:
    sys.exit(130)


def main() -> None:
    """Collect the tests and try the room's mutants."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("room", nargs="?", default="", help="a folder of the package; without it only the map is made")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seconds", type=float, default=8, help="of tests a mutant, as they take under the tracer")
    parser.add_argument("--only", default="", help="files whose path has this in it")
    parser.add_argument("--log", type=Path)
    parser.add_argument("--map", type=Path, default=Path(tempfile.gettempdir()) / "mutants.map.json")
    parser.add_argument("--tests", nargs="+", default=TESTS)
    parser.add_argument("--again", action="store_true")
    asked = parser.parse_args()
    asked.log = asked.log or Path(tempfile.gettempdir()) / f"mutants-{asked.room.replace('/', '-')}.jsonl"
    signal.signal(signal.SIGTERM, _ended)
    os.chdir(ROOT)
    tests = [f"tests/{one}" for one in asked.tests]
    skipped = ["-m", "not browser", "--deselect", "tests/planning/test_planning_store.py"]
    pytest.main(["-q", "-p", "no:cacheprovider", "-p", "no:xdist", *skipped, *tests], plugins=[Trial(asked)])


if __name__ == "__main__":
    main()
