"""The command as a person runs it: in this process where that asks the same, else in one of its own."""

from __future__ import annotations

import asyncio
import contextlib
import io
import os
import subprocess
import sys
from collections.abc import Callable, Coroutine
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, TypeVar

from cache_check.cli.output import guarded

Returned = TypeVar("Returned")

ROOT = Path(__file__).parent.parent.parent
SAMPLES = ROOT / "sample_caches" / "quillfen"
ON = ("--on", "2026-11-25")


def cache_check(*arguments: str | Path, cwd: Path = SAMPLES, stdin: str = "") -> subprocess.CompletedProcess[str]:
    """Run ``cache-check`` with arguments in the folder of the sample caches, in this process, which spares a start."""
    out, err, given, wide = io.StringIO(), io.StringIO(), sys.stdin, os.environ.get("COLUMNS")
    sys.stdin, os.environ["COLUMNS"] = io.TextIOWrapper(io.BytesIO(stdin.encode())), "80"
    try:
        with contextlib.chdir(cwd), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = guarded([str(one) for one in arguments])
    finally:
        sys.stdin = given
        os.environ.pop("COLUMNS") if wide is None else os.environ.update(COLUMNS=wide)
    return subprocess.CompletedProcess(arguments, status, out.getvalue(), err.getvalue())


def started(*arguments: str | Path, cwd: Path = SAMPLES, stdin: str = "") -> subprocess.CompletedProcess[str]:
    """The same in a process of its own, for tests of how one starts and ends."""
    return python("-m", "cache_check", *map(str, arguments), cwd=cwd, stdin=stdin)


def python(*arguments: str, cwd: Path = SAMPLES, stdin: str = "") -> subprocess.CompletedProcess[str]:
    """Run Python with arguments; the package is found from any folder."""
    return subprocess.run(
        [sys.executable, *arguments], cwd=cwd, env=environment(), input=stdin, capture_output=True, text=True,
        encoding="utf-8", timeout=120, check=False,
    )  # fmt: skip


def environment() -> dict[str, str]:
    """This process's environment, with the package on the path and a fixed width of terminal."""
    return os.environ | {"PYTHONPATH": str(ROOT), "COLUMNS": "80"}


def broken_inside(verb: str, raising: str) -> list[str]:
    """Arguments for Python that run ``check`` with one verb replaced by one that does ``raising``."""
    code = (
        "import sys, time\n"
        f"from cache_check.api import {verb}\n"
        "from cache_check.errors import NoPlanError\n"
        f"def broken(*_, **__):\n    {raising}\n"
        f"{verb}.{verb} = broken\n"
        "sys.argv[0] = 'cache-check'\n"
        "from cache_check.cli.main import run\n"
        "run()\n"
    )
    return ["-c", code, "check", "rescue-41.yaml"]


def awaited(made: Callable[[], Coroutine[Any, Any, Returned]]) -> Returned:
    """What a coroutine returns, in a thread of its own: a browser that the tests drive keeps a loop in this one."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(lambda: asyncio.run(made())).result()
