"""Runs inputs in this process, each within a time and a memory, and tells of those that did not end as they should."""

from __future__ import annotations

import contextlib
import gc
import io
import json
import os
import resource
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path

from fuzz.inputs import Input, made, originals, whole

SECONDS = 10
"""Of this process's own work: the machine may be busy with more than one input."""
MEMORY = 1 << 30
LIMIT = 3 << 30
"""Bytes that are addressed, beyond which the system gives no more: libraries alone address some hundred million."""
STATUSES = {0, 1, 2, 4}
LONG_AGO = 1_700_000_000
"""When a file that nobody changed was written."""


class TooLongError(BaseException):
    """An input has taken all of its time."""


def _late(_signal: int, _frame: object) -> None:
    raise TooLongError


def run(one: Input, folder: Path) -> tuple[str, int]:
    """What was wrong with how an input ended, nothing where it ended well, and its status."""
    from cache_check.cli.output import guarded

    out, said = io.StringIO(), io.StringIO()
    status, begun = -1, time.process_time()
    signal.setitimer(signal.ITIMER_PROF, SECONDS)
    try:
        with contextlib.chdir(folder), contextlib.redirect_stdout(out), contextlib.redirect_stderr(said):
            status = _asked(one.arguments[1:], folder) if one.arguments[0] == "open" else guarded(one.arguments)
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


def _asked(said: tuple[str, ...], folder: Path) -> int:
    """Ask the page of ``open`` something, as its server asks its worker; the status that the same command has."""
    from cache_check.cli.live import answer
    from cache_check.cli.live.question import Opened, Question, Task

    kind, about, *pairs = said
    rigs = (("rescue-41", "rescue-41.yaml"), ("rescue-44", "rescue-44.yaml"))
    opened = Opened(rigs, "needs.yaml", ("prices.yaml",), on="2026-11-25", folder=str(folder))
    question = Question.of([(name, value) for name, _, value in (pair.partition("=") for pair in pairs)])
    reply = answer.reply(Task(kind, opened, question, about))
    if reply.ok:
        return 0
    print(reply.html, file=sys.stderr)
    return 3 if "our own fault" in reply.html else 2


def _mended(folder: Path, files: Mapping[str, bytes]) -> None:
    """The county's folder as it was before anything was changed in it or written to it."""
    for one in folder.iterdir():
        if one.is_dir() and not one.is_symlink():
            shutil.rmtree(one)
        elif one.name not in files or one.stat().st_mtime_ns != LONG_AGO * 10**9:
            one.unlink()
    for name, data in files.items():
        if not (folder / name).exists():
            (folder / name).write_bytes(data)
            os.utime(folder / name, (LONG_AGO, LONG_AGO))


def work(seed: int, first: int, count: int, place: Path) -> None:
    """Run inputs by number; each is told in ``place/progress`` before it begins, what is wrong in ``place/told``."""
    signal.signal(signal.SIGPROF, _late)
    resource.setrlimit(resource.RLIMIT_AS, (LIMIT, LIMIT))
    gc.freeze()  # what was loaded before the fork is not looked through again for each input
    gc.set_threshold(200_000)  # as the command itself does
    statuses: dict[int, int] = {}
    with (
        tempfile.TemporaryDirectory() as room,
        (place / "progress").open("a", encoding="utf-8") as progress,
        (place / "told").open("a", encoding="utf-8") as told,
    ):
        os.environ["TMPDIR"] = tempfile.tempdir = room
        for number in range(first, first + count):
            every = whole(number, seed)
            folder = Path(room) / ("whole" if every else "less")
            folder.mkdir(exist_ok=True)
            _mended(folder, originals(every))
            print(number, file=progress, flush=True)
            one = made(number, seed, folder)
            wrong, status = run(one, folder)
            statuses[status] = statuses.get(status, 0) + 1
            most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
            if most > MEMORY:
                wrong = wrong or f"{most / MEMORY:.1f} GB"
            if wrong:
                line = {"number": number, "wrong": wrong, "ran": one.arguments, "changed": one.changed}
                print(json.dumps(line, ensure_ascii=True), file=told, flush=True)
            if most > MEMORY:
                break  # its peak is told; a new process begins with none
        print(json.dumps({"statuses": statuses}), file=told, flush=True)
