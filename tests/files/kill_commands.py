"""Run as a program with a folder: kills a command at each event of the system, and says what its target then held.

It prints one JSON object.  It forks, so it is a process of its own and not part of the test's.
"""

from __future__ import annotations

import json
import os
import signal
import sys
from pathlib import Path

from cache_check.cli.output import guarded

EVENTS = ("open", "os.", "tempfile.")


def child(arguments: list[str], last: int) -> int:
    """Run a command in a child that is killed at the event of that number; its wait status."""
    process = os.fork()
    if process:
        return os.waitpid(process, 0)[1]
    left = [last]

    def watch(event: str, _: object) -> None:
        if event.startswith(EVENTS):
            left[0] -= 1
            if left[0] == 0:
                os.kill(os.getpid(), signal.SIGKILL)

    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)
    os.dup2(quiet, 2)
    sys.addaudithook(watch)
    os._exit(guarded(arguments))


def killed(arguments: list[str], target: Path, stride: int, old: bytes = b"") -> dict[str, object]:
    """The different states of a target over all kills, and how many there were; ``old`` is what it holds before."""
    states: set[str] = set()
    kills = 0
    for last in range(1, 100_000, stride):
        if old:
            target.write_bytes(old)
        status = child(arguments, last)
        held = target.read_bytes() if target.is_file() else None
        states.add("none" if held is None else "empty" if not held else "old" if held == old else f"new {len(held)}")
        target.unlink(missing_ok=True)
        if os.WIFEXITED(status):
            break
        kills += 1
    return {"kills": kills, "states": sorted(states)}


if __name__ == "__main__":
    folder, stride = Path(sys.argv[1]), int(sys.argv[2])
    rig = str(folder / "rig.yaml")
    report = ["report", rig, "--only", "count", "-o", str(folder / "count.html")]
    answer = {
        "sheet": killed(["audit", rig, "--sheet", str(folder / "count.csv")], folder / "count.csv", stride),
        "convert": killed(["convert", rig, str(folder / "rig.xlsx")], folder / "rig.xlsx", stride),
        "new": killed(["new", str(folder / "new.yaml")], folder / "new.yaml", stride),
        "report": killed(report, folder / "count.html", 2 * stride, b"old"),
    }
    sys.stdout.write(json.dumps(answer))
