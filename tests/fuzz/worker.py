"""Runs inputs in this process, each within a time and a memory, and tells of those that did not end as they should."""

from __future__ import annotations

import contextlib
import io
import json
import os
import resource
import shutil
import signal
import sys
import tempfile
import time
from pathlib import Path

from cli.running import SAMPLES

from fuzz.inputs import Input, made, workbook

SECONDS = 10
"""Of this process's own work: the machine may be busy with more than one input."""
MEMORY = 1 << 30
LIMIT = 3 << 30
"""Bytes that are addressed, beyond which the system gives no more: libraries alone address some hundred million."""
STATUSES = {0, 1, 2, 4}


class TooLongError(BaseException):
    """An input has taken all of its time."""


def _late(_signal: int, _frame: object) -> None:
    raise TooLongError


def run(one: Input, folder: Path) -> tuple[str, int]:
    """What was wrong with how an input ended, nothing where it ended well, and its status."""
    from cache_check.cli.guard import guarded

    out, said = io.StringIO(), io.StringIO()
    status, begun = -1, time.process_time()
    signal.setitimer(signal.ITIMER_PROF, SECONDS)
    try:
        with contextlib.chdir(folder), contextlib.redirect_stdout(out), contextlib.redirect_stderr(said):
            status = guarded(one.arguments)
    except TooLongError:
        return f"over {SECONDS} s", status
    except BaseException as error:  # whatever gets out is the fault that is looked for
        return f"{type(error).__name__} got out: {error}"[:300], status
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    if status not in STATUSES:
        return f"status {status}: {said.getvalue()[:300]}", status
    if "Traceback" in said.getvalue():
        return "a traceback", status
    if status == 2 and not said.getvalue().strip():
        return "status 2 without a word", status
    return (f"over {SECONDS} s" if time.process_time() - begun > SECONDS else ""), status


def work(seed: int, first: int, count: int, progress: Path) -> None:
    """Run inputs by number; each is told in a line of ``progress`` before it begins."""
    signal.signal(signal.SIGPROF, _late)
    resource.setrlimit(resource.RLIMIT_AS, (LIMIT, LIMIT))
    workbook()
    with tempfile.TemporaryDirectory() as room, progress.open("a", encoding="utf-8") as told:
        os.environ["TMPDIR"] = room
        tempfile.tempdir = room
        statuses: dict[int, int] = {}
        for number in range(first, first + count):
            folder = Path(room) / "county"
            shutil.copytree(SAMPLES, folder, ignore=shutil.ignore_patterns("pictures"))
            (folder / "rig.xlsx").write_bytes(workbook())
            one = made(number, seed, folder)
            print(number, file=told, flush=True)
            wrong, status = run(one, folder)
            statuses[status] = statuses.get(status, 0) + 1
            most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
            if most > MEMORY:
                wrong = wrong or f"{most / MEMORY:.1f} GB"
            if wrong:
                print(json.dumps({"number": number, "wrong": wrong, "ran": one.arguments, "changed": one.changed},
                                 ensure_ascii=True), flush=True)  # fmt: skip
            shutil.rmtree(folder)
            if most > MEMORY:
                sys.exit(9)  # its peak is told; a new process begins with none
        print(json.dumps({"statuses": statuses}), flush=True)


if __name__ == "__main__":
    work(int(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]), Path(sys.argv[4]))
