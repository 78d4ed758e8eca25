"""The entry point: the front page at once, everything else through the group, every end with its exit status."""

from __future__ import annotations

import gc
import sys

from cache_check.cli.front import front_page
from cache_check.cli.pipe import write


def run() -> None:
    """Run ``cache-check`` with the arguments of this process, and exit."""
    # A command makes little garbage and is soon over: to look for it as often as usual takes a tenth of its time.
    gc.set_threshold(200_000)
    arguments = sys.argv[1:]
    if arguments == ["--help"]:
        write(front_page())
        sys.exit(0)
    from cache_check.cli.guard import guarded

    sys.exit(guarded(arguments))
