"""Runs verbs over ordinary rigs: ``python tests/benchmarks/run_ordinary.py FILE VERBS FIRST LAST``.

``VERBS`` are of check, buy and stage, with commas; ``FIRST`` to ``LAST`` are seeds, the last not included.  Each case
runs in a fork, stopped after ``KILLED`` s of processor time, and is one line of ``FILE``; what stands there already is
not run again.  Then the table: how many are proven within ``GOAL`` s, the median, and each that is not, with why.
"""

from __future__ import annotations

import gc
import json
import os
import resource
import sys
from pathlib import Path
from statistics import median
from time import process_time
from typing import Any

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parents[2])]

from tabulate import tabulate  # noqa: E402  # the paths come first

import cache_check  # noqa: E402
from benchmarks.ordinary import TODAY, ordinary  # noqa: E402
from cache_check.api.base import WhatIf  # noqa: E402
from cache_check.api.buy import BuyTerms  # noqa: E402
from cache_check.errors import NoPlanError  # noqa: E402

GOAL, KILLED, SECONDS = 20, 60, 150.0
"""Of processor time the first two; the last, on the clock, is long, since other work slows the clock only."""


def untold(verb: str, seed: int) -> str:
    """What a verb leaves unproven of the rig of a seed, "" where nothing; ``stage`` of one to six sets."""
    gc.set_threshold(1_000_000)  # as a command has it
    one, on = ordinary(seed), WhatIf(on=TODAY)
    if verb == "check":
        told = cache_check.check(one.cache, one.book, needs=one.needs, suppose=on, seconds=SECONDS).untold
        return "; ".join(f"{part}: {why}" for part, why in told)
    if verb == "buy":
        terms = BuyTerms(seconds=SECONDS)
        made = cache_check.buy(one.cache, one.book, one.needs, [one.prices], suppose=on, terms=terms).purchases[0]
        # Where some verdict is not known nobody can say what lies idle: that is an answer, not a proof that is missing.
        return "" if any(scene.verdict == "not known" for scene in made.after) else made.dead_untold
    sets = 1 + seed % 6
    found = cache_check.stage(one.cache, one.book, needs=one.needs, sets=sets, suppose=on, seconds=SECONDS).staging
    return found.unproven if found else "no staging"


def worked(file: Path, verb: str, seed: int) -> None:
    """One case in a fork; its line is written whatever becomes of it."""
    fork = os.fork()
    if not fork:
        resource.setrlimit(resource.RLIMIT_CPU, (KILLED, KILLED + 5))
        begun, why = process_time(), ""
        ended = 1
        try:
            try:
                why = untold(verb, seed)
            except NoPlanError as error:
                why = str(error)
            write(file, verb, seed, why, round(process_time() - begun, 2))
            ended = 0
        finally:
            # Whatever a fork ends by, it must not go on with the next case.
            os._exit(ended)
    if os.waitpid(fork, 0)[1]:
        write(file, verb, seed, "stopped", KILLED)


def write(file: Path, verb: str, seed: int, why: str, seconds: float) -> None:
    """Add a line."""
    with file.open("a") as lines:
        lines.write(json.dumps({"verb": verb, "seed": seed, "why": why, "seconds": seconds}) + "\n")


def rows(file: Path) -> list[dict[str, Any]]:
    """What was run."""
    return [json.loads(line) for line in file.read_text().splitlines()] if file.exists() else []


def main(name: str, verbs: str, first: str, last: str) -> None:
    """Run what is not run yet, then show the table."""
    file = Path(name)
    done = {(row["verb"], row["seed"]) for row in rows(file)}
    for seed in range(int(first), int(last)):
        for verb in verbs.split(","):
            if (verb, seed) not in done:
                worked(file, verb, seed)
    table = []
    for verb in verbs.split(","):
        own = [row for row in rows(file) if row["verb"] == verb]
        short = [row for row in own if row["why"] or row["seconds"] > GOAL]
        table.append((verb, len(own), len(own) - len(short), median(row["seconds"] for row in own)))
        for row in short:
            print(f"{verb} {row['seed']}: {row['seconds']} s {row['why']}")
    print(tabulate(table, ("verb", "rigs", f"proven in {GOAL} s", "median s")))


if __name__ == "__main__":
    main(*sys.argv[1:])
