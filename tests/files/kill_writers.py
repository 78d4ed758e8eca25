"""Run as a program with a folder and a number: kills writers of a record at so many points, in each of three ways.

It prints one JSON object: what was reported, and what is there.  It forks, so it is a process of its
own and not part of the test's.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sqlite3
import sys
import time
from pathlib import Path

from cache_check.files import record
from cache_check.files.record_in import read_record


def entry(number: int) -> dict[str, object]:
    """An entry of some size, so that it takes more than one page of the journal."""
    return {"kind": "audit", "rig": "r", "on": "2026-11-25", "outcome": "pass", "says": f"{number} " * 9000}


def killed_after(path: Path, steps: int) -> bool:
    """Write an entry in a child that is killed after so many steps of the database; whether it was reported kept.

    After none: as the new record takes its name.
    """
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reader)
        opened = record._open_to_write

        def watched(path: Path) -> sqlite3.Connection:
            connection = opened(path)
            left = [steps]

            def step() -> int:
                left[0] -= 1
                if left[0] <= 0:
                    os.kill(os.getpid(), signal.SIGKILL)
                return 0

            connection.set_progress_handler(step, 1)
            return connection

        if steps:
            record._open_to_write = watched
        else:
            os.link = lambda *_, **__: os.kill(os.getpid(), signal.SIGKILL)
        record.keep(path, entry(steps))
        os.write(writer, b"kept")
        os._exit(0)
    os.close(writer)
    said = os.read(reader, 10)
    os.close(reader)
    os.waitpid(child, 0)
    return said == b"kept"


def steps_of(path: Path) -> int:
    """Steps of the database that one entry takes."""
    taken = [0]
    opened = record._open_to_write

    def counting(path: Path) -> sqlite3.Connection:
        connection = opened(path)

        def step() -> int:
            taken[0] += 1
            return 0

        connection.set_progress_handler(step, 1)
        return connection

    record._open_to_write = counting
    record.keep(path, entry(0))
    record._open_to_write = opened
    return taken[0]


def at_steps(path: Path, points: int) -> dict[str, object]:
    """Kill at so many steps, from the first to the last, on a new record each time or on the one that is there."""
    new = not path.exists()
    last = steps_of(path)
    faults: list[str] = []
    held = 0 if new else len(read_record(path).entries)
    kills = 0
    drawn = {1 + last * number // points for number in range(points)} | set(range(last - 5, last + 1))
    for steps in sorted(drawn | {0} if new else drawn):
        if new:
            path.unlink(missing_ok=True)
        kept = killed_after(path, steps)
        kills += not kept
        found = read_record(path) if path.exists() else None
        now = len(found.entries) if found else 0
        faults += found.faults if found else ()
        if now not in ((held + 1,) if kept else (held, held + 1)):
            faults.append(f"step {steps}: {held} entries became {now}, reported kept: {kept}")
        faults += [
            f"step {steps}: leaves {one}"
            for one in path.parent.iterdir()
            if one.suffix != ".db-journal" and one != path
        ]
        held = 0 if new else now
    return {"kills": kills, "entries": held, "faults": faults}


def at_any_moment(path: Path, wanted: int) -> dict[str, object]:
    """Kill a writer that writes without end, after a random moment; every entry it reported must be there."""
    dice = random.Random(7)
    reported: list[str] = []
    faults: list[str] = []
    kills = 0
    while (len(reported) < wanted or kills < wanted) and kills < 10 * wanted:
        kills += 1
        reader, writer = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(reader)
            while True:
                kept = record.keep(path, entry(1))
                os.write(writer, f"{kept.entry} {kept.hash}\n".encode())
        os.close(writer)
        time.sleep(dice.uniform(0.002, 0.08))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        with os.fdopen(reader) as pipe:
            reported += pipe.read().split("\n")[:-1]
        if path.exists():
            found = read_record(path)
            there = {f"{one.number} {one.hash}" for one in found.entries}
            faults += found.faults
            faults += [f"{line} was reported and is lost" for line in reported if line not in there]
    return {"kills": kills, "reported": len(reported), "faults": faults}


if __name__ == "__main__":
    folder, points = Path(sys.argv[1]), int(sys.argv[2])
    answer = {
        "new": at_steps(folder / "new.db", points),
        "old": at_steps(folder / "new.db", points),
        "moments": at_any_moment(folder / "moments.db", points),
    }
    sys.stdout.write(json.dumps(answer))
