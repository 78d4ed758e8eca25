"""One worker process that answers questions, one at a time; of each tab only the newest; and what it keeps of files.

The worker keeps its readings and packings between questions.  It is ended and started anew only where a question
that nobody waits for any more would keep the newer one waiting.
"""

import asyncio
import contextlib
import multiprocessing
import time
from collections.abc import Callable, Hashable, Iterable
from datetime import date
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Generic, TypeVar

Question = TypeVar("Question")
Reply = TypeVar("Reply")
Made = TypeVar("Made")
Signature = tuple[tuple[str, int, int, int], ...]

GRACE = 0.5  # seconds that a question which was overtaken may still take: most end sooner than a new worker is ready
MOST_WAITING = 64
SETTLED = 1_000_000_000
"""Nanoseconds: of a file that was changed so shortly before it was read, nobody knows which state was read."""


class OvertakenError(Exception):
    """The tab that asked has asked something else since."""


class FullError(Exception):
    """More questions wait than a person can have asked."""


def work(pipe: Connection, answer: Callable[[Question], Reply]) -> None:
    """Answer what comes through a pipe until it closes."""
    with contextlib.suppress(EOFError, KeyboardInterrupt, BrokenPipeError):
        while True:
            pipe.send(answer(pipe.recv()))


class Desk(Generic[Question, Reply]):
    """Where tabs put their questions; used within one event loop."""

    def __init__(self, answer: Callable[[Question], Reply]) -> None:
        self._answer = answer
        self._wanted: dict[object, tuple[str, str]] = {}  # of each question its tab and its lane
        self._turn = asyncio.Lock()
        self._running: object = None
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None

    async def ask(self, tab: str, question: Question, lane: str = "") -> Reply:
        """The answer to a question of a tab, which overtakes its older ones in the same lane; in no lane all of them.

        Raises OvertakenError: the tab asked something newer before this was answered; FullError: too many tabs wait.
        """
        older = {one for one, asked in self._wanted.items() if asked == (tab, lane or asked[1])}
        if len(self._wanted) - len(older) >= MOST_WAITING:
            raise FullError
        mine = object()
        self._wanted = {one: asked for one, asked in self._wanted.items() if one not in older} | {mine: (tab, lane)}
        if self._running in older:
            asyncio.get_running_loop().call_later(GRACE, self._stop, self._running)
        try:
            async with self._turn:
                return await self._in_turn(mine, question)
        finally:
            self._wanted.pop(mine, None)

    async def _in_turn(self, mine: object, question: Question) -> Reply:
        if mine not in self._wanted:
            raise OvertakenError
        self._running = mine
        try:
            return await asyncio.to_thread(self._through_worker, question)
        except (EOFError, OSError) as error:
            if mine not in self._wanted:
                raise OvertakenError from None
            raise RuntimeError("the worker ended in the midst of an answer") from error
        finally:
            self._running = None

    def close(self) -> None:
        """End the worker."""
        if self._process is not None:
            self._process.kill()
            self._process.join()
        if self._pipe is not None:
            self._pipe.close()
        self._process = self._pipe = None

    def _stop(self, asked: object) -> None:
        if self._running is asked and self._process is not None:
            self._process.kill()
            self._process = None  # it may still count as alive when the next question comes

    def _through_worker(self, question: Question) -> Reply:
        if self._process is None or not self._process.is_alive():
            self.close()
            context = multiprocessing.get_context("spawn")  # the server has threads, and its fork may hang
            self._pipe, theirs = context.Pipe()
            self._process = context.Process(target=work, args=(theirs, self._answer), daemon=True)
            self._process.start()
            theirs.close()
        assert self._pipe is not None
        self._pipe.send(question)
        reply: Reply = self._pipe.recv()
        return reply


def signature(paths: Iterable[str]) -> Signature:
    """For each file its time in ns, size and inode, zeros where it is gone; a folder of CSV files is its files."""
    named = map(Path, sorted(set(paths)))
    return tuple(_seen(file) for path in named for file in (sorted(path.glob("*.csv")) if path.is_dir() else [path]))


def _seen(path: Path) -> tuple[str, int, int, int]:
    try:
        seen = path.stat()
    except OSError:
        return str(path), 0, 0, 0
    return str(path), seen.st_mtime_ns, seen.st_size, seen.st_ino


class Remembered(Generic[Made]):
    """The last things made, by what they were made for and the day."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._held: dict[Hashable, tuple[Signature, tuple[str, ...], Made]] = {}

    def made(self, key: Hashable, make: Callable[[], Made], files: Callable[[Made], Iterable[str]]) -> Made:
        """What was made for a key, or is made now; ``files`` says what it rests on: what rests on none is not kept."""
        key = (key, date.today())
        held = self._held.pop(key, None)
        if held is not None and signature(held[1]) == held[0]:
            self._held[key] = held  # the last asked is the last to go
            return held[2]
        begun = time.time_ns()
        made = make()
        rests = tuple(files(made))
        seen = signature(rests)
        if seen and all(0 < changed < begun - SETTLED for _, changed, _, _ in seen):
            self._held[key] = (seen, rests, made)
            while len(self._held) > self._most:
                del self._held[next(iter(self._held))]
        return made
