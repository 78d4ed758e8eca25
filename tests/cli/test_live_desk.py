"""One worker, the newest question of each tab, and no pile of old ones."""

from __future__ import annotations

import asyncio
import os
import time

import pytest

from cache_check.cli.live.desk import Desk, OvertakenError
from cli.running import awaited


def slow(question: tuple[float, str]) -> tuple[str, int]:
    """Answer after so many seconds, and say which process did."""
    time.sleep(question[0])
    return question[1], os.getpid()


async def _many(desk: Desk[tuple[float, str], tuple[str, int]], tab: str, count: int) -> list[object]:
    asked = []
    for n in range(count):
        asked.append(asyncio.create_task(desk.ask(tab, (0.05, str(n)))))
        await asyncio.sleep(0.001)
    return await asyncio.gather(*asked, return_exceptions=True)


def test_only_the_newest_question_of_a_tab_is_answered() -> None:
    """A thousand quick questions: the last is answered, and few of the others were worked on."""
    desk = Desk(slow)
    try:
        begun = time.monotonic()
        found = awaited(lambda: _many(desk, "tab", 1_000))
    finally:
        desk.close()

    answered = [one for one in found if not isinstance(one, BaseException)]
    assert found[-1][0] == "999"  # type: ignore[index]
    assert all(isinstance(one, OvertakenError) for one in found if isinstance(one, BaseException))
    assert len(answered) * 0.05 <= time.monotonic() - begun  # no more than one worker can have done


def test_a_long_question_is_stopped_by_a_newer_one_of_its_tab() -> None:
    """The tab's newer question does not wait for the older; a new worker takes it."""

    async def ask() -> tuple[object, tuple[str, int], float]:
        desk = Desk(slow)
        try:
            before = await desk.ask("tab", (0, "first"))
            long = asyncio.create_task(desk.ask("tab", (60, "long")))
            await asyncio.sleep(0.1)
            newer = await desk.ask("tab", (0, "newer"))
            (older,) = await asyncio.gather(long, return_exceptions=True)
            return older, newer, before[1]
        finally:
            desk.close()

    older, newer, process = awaited(ask)

    assert isinstance(older, OvertakenError)
    assert newer[0] == "newer"
    assert newer[1] != process


def test_another_tab_stops_nothing() -> None:
    """Two tabs are both answered, by one worker, one after the other."""

    async def ask() -> list[tuple[str, int]]:
        desk = Desk(slow)
        try:
            return list(await asyncio.gather(desk.ask("a", (0.1, "a")), desk.ask("b", (0, "b"))))
        finally:
            desk.close()

    (one, process), (two, same) = awaited(ask)

    assert (one, two) == ("a", "b")
    assert process == same


def broken(question: str) -> str:
    """End the worker as a fault in it would."""
    os._exit(3)


def test_a_worker_that_ends_is_said() -> None:
    """The fault is raised, not waited for."""
    desk = Desk(broken)
    try:
        with pytest.raises(RuntimeError, match="ended in the midst"):
            awaited(lambda: desk.ask("tab", "anything"))
    finally:
        desk.close()
