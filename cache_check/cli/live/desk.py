"""One worker process that answers questions, one at a time; of each tab only the newest question is answered.

The worker keeps its readings and packings between questions.  It is ended and started anew only where a question
that nobody waits for any more would keep the newer one waiting.
"""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Generic, TypeVar

Question = TypeVar("Question")
Reply = TypeVar("Reply")

GRACE = 0.5
"""Seconds that a question which was overtaken may still take: most end sooner than a new worker is ready."""
MOST_WAITING = 64


class OvertakenError(Exception):
    """The tab that asked has asked something else since."""


class FullError(Exception):
    """More questions wait than a person can have asked."""


def work(pipe: Connection, answer: Callable[[Question], Reply]) -> None:
    """Answer what comes through a pipe until it closes."""
    with contextlib.suppress(EOFError, KeyboardInterrupt, BrokenPipeError):
        while True:
            pipe.send(answer(pipe.recv()))


@dataclass
class _Running:
    """The question at work, and whether its answer is still wanted."""

    tab: str
    lane: str
    overtaken: bool = False


class Desk(Generic[Question, Reply]):
    """Where tabs put their questions; used within one event loop."""

    def __init__(self, answer: Callable[[Question], Reply]) -> None:
        self._answer = answer
        self._newest: dict[tuple[str, str], object] = {}
        self._turn = asyncio.Lock()
        self._running: _Running | None = None
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._ended = False

    async def ask(self, tab: str, question: Question, lane: str = "") -> Reply:
        """The answer to a question of a tab, which overtakes the tab's older ones in the same lane.

        What is asked in no lane overtakes all of the tab's: the parts of an answer that nobody looks at any more.

        Raises:
            OvertakenError: the tab asked something newer before this was answered.
            FullError: too many tabs wait.
        """
        key = (tab, lane)
        if len(self._newest) >= MOST_WAITING and key not in self._newest:
            raise FullError
        mine = object()
        for other in [one for one in self._newest if one[0] == tab and not lane]:
            del self._newest[other]
        self._newest[key] = mine
        self._overtake(tab, lane)
        try:
            async with self._turn:
                if self._newest.get(key) is not mine:
                    raise OvertakenError
                self._running = _Running(tab, lane)
                try:
                    return await asyncio.to_thread(self._through_worker, question)
                except (EOFError, OSError) as error:
                    if self._running.overtaken:
                        raise OvertakenError from None
                    raise RuntimeError("the worker ended in the midst of an answer") from error
                finally:
                    self._running = None
        finally:
            if self._newest.get(key) is mine:
                del self._newest[key]

    def close(self) -> None:
        """End the worker."""
        if self._process is not None:
            self._process.kill()
            self._process.join()
        if self._pipe is not None:
            self._pipe.close()
        self._process = self._pipe = None

    def _overtake(self, tab: str, lane: str) -> None:
        running = self._running
        if running is None or running.tab != tab or (lane and running.lane != lane) or running.overtaken:
            return
        running.overtaken = True
        asyncio.get_running_loop().call_later(GRACE, self._stop, running)

    def _stop(self, running: _Running) -> None:
        if self._running is running and self._process is not None:
            self._ended = True  # it may still count as alive when the next question comes
            self._process.kill()

    def _through_worker(self, question: Question) -> Reply:
        if self._process is None or self._ended or not self._process.is_alive():
            self.close()
            # "spawn": the server has threads, and a fork of a process with threads may hang.
            context = multiprocessing.get_context("spawn")
            self._pipe, theirs = context.Pipe()
            self._process = context.Process(target=work, args=(theirs, self._answer), daemon=True)
            self._process.start()
            theirs.close()
            self._ended = False
        assert self._pipe is not None
        self._pipe.send(question)
        reply: Reply = self._pipe.recv()
        return reply
