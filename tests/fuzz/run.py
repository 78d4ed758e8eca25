"""A fuzz run that can be stopped and taken up again: ``python -m fuzz.run FOLDER [INPUTS] [SEED]`` below ``tests``.

Each input is made from its number, so a number is all that must be kept of one.  ``FOLDER/next`` is where to go on;
``FOLDER/wrong.jsonl`` has the inputs that did not end as they should.  A worker that hangs or dies costs its one
input, which is told as wrong, and a new one goes on behind it.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

EACH = 500
"""Inputs to a worker."""
HUNG = 60
"""Seconds for one input after which a worker that cannot stop itself is killed."""


def _followed(worker: subprocess.Popen[str], progress: Path) -> None:
    while True:
        before = progress.read_text()
        try:
            worker.wait(HUNG)
        except subprocess.TimeoutExpired:
            if progress.read_text() == before:
                worker.kill()
                worker.wait()
        else:
            return


def batch(folder: Path, seed: int, first: int, count: int) -> int:
    """Run some inputs; the number to go on with."""
    progress, told = folder / "progress", folder / "told"
    progress.write_text("")
    with told.open("w", encoding="utf-8") as out:
        worker = subprocess.Popen(
            [sys.executable, "-m", "fuzz.worker", str(seed), str(first), str(count), str(progress)],
            stdout=out, text=True, env=os.environ | {"PYTHONHASHSEED": "0"},
        )  # fmt: skip
        _followed(worker, progress)
    lines = [json.loads(line) for line in told.read_text(encoding="utf-8").splitlines()]
    last = int(
        progress.read_text().split()[-1]
    )  # none: the worker itself is broken, and nothing is to be told of inputs
    wrong = [line for line in lines if "wrong" in line]
    if worker.returncode and last not in [line["number"] for line in wrong]:
        wrong.append({"number": last, "wrong": f"its process ended with {worker.returncode}"})
    with (folder / "wrong.jsonl").open("a", encoding="utf-8") as kept:
        kept.writelines(json.dumps(line | {"seed": seed}) + "\n" for line in wrong)
    return last + 1


def main(folder: Path, inputs: int, seed: int) -> int:
    """Run inputs from where the last run stopped; how many ended wrongly in all."""
    folder.mkdir(parents=True, exist_ok=True)
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
