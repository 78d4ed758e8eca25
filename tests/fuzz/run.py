"""A fuzz run that can be stopped and taken up again: ``python -m fuzz.run FOLDER [INPUTS] [SEED]`` below ``tests``.

Each input is made from its number, so a number is all that must be kept of one.  ``FOLDER/next`` is where to go on;
``FOLDER/wrong.jsonl`` has the inputs that did not end as they should.  A worker that hangs or dies costs its one
input, which is told as wrong, and a new one goes on behind it.
"""

from __future__ import annotations

import json
import multiprocessing
import sys
from collections import Counter
from multiprocessing.process import BaseProcess
from pathlib import Path

from fuzz import worker
from fuzz.inputs import originals

EACH = 2_000
"""Inputs to a worker."""
HUNG = 60
"""Seconds for one input after which a worker that cannot stop itself is killed."""


def _followed(process: BaseProcess, progress: Path) -> None:
    while process.is_alive():
        before = progress.read_text()
        process.join(HUNG)
        if process.is_alive() and progress.read_text() == before:
            process.kill()
            process.join()


def batch(folder: Path, seed: int, first: int, count: int) -> int:
    """Run some inputs in a fork of this process, which has all loaded; the number to go on with."""
    progress, told = folder / "progress", folder / "told"
    progress.write_text("")
    told.write_text("")
    process = multiprocessing.get_context("fork").Process(target=worker.work, args=(seed, first, count, folder))
    process.start()
    _followed(process, progress)
    lines = [json.loads(line) for line in told.read_text(encoding="utf-8").splitlines()]
    last = int(progress.read_text().split()[-1])  # none: the worker itself is broken, and no input is to blame
    wrong = [line for line in lines if "wrong" in line]
    if process.exitcode and last not in [line["number"] for line in wrong]:
        wrong.append({"number": last, "wrong": f"its process ended with {process.exitcode}"})
    with (folder / "wrong.jsonl").open("a", encoding="utf-8") as kept:
        kept.writelines(json.dumps(line | {"seed": seed}) + "\n" for line in wrong)
    _counted(folder / "statuses.json", [line["statuses"] for line in lines if "statuses" in line])
    return last + 1


def _counted(kept: Path, told: list[dict[str, int]]) -> None:
    """Add to how many inputs ended with each status."""
    total = Counter(json.loads(kept.read_text()) if kept.exists() else {})
    for one in told:
        total.update(one)
    kept.write_text(json.dumps(total))


def main(folder: Path, inputs: int, seed: int) -> int:
    """Run inputs from where the last run stopped; how many ended wrongly in all."""
    folder.mkdir(parents=True, exist_ok=True)
    originals(whole=True)
    originals(whole=False)  # both are made before the fork, which so has all loaded
    where = folder / "next"
    first = int(where.read_text()) if where.exists() else 0
    while first < inputs:
        first = batch(folder, seed, first, min(EACH, inputs - first))
        where.write_text(str(first))
    wrong = folder / "wrong.jsonl"
    return len(wrong.read_text(encoding="utf-8").splitlines()) if wrong.exists() else 0


if __name__ == "__main__":
    given = sys.argv[1:]
    found = main(Path(given[0]), int((given[1:2] or ["1000000"])[0]), int((given[2:3] or ["1"])[0]))
    sys.exit(1 if found else 0)
