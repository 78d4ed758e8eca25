"""The entry point: the front page at once, everything else through the group, every end with its exit status."""

from __future__ import annotations

import gc
import sys


def run() -> None:
    """Run ``cache-check`` with the arguments of this process, and exit."""
    # A command makes little garbage and is soon over: to look for it as often as usual takes a tenth of its time.
    gc.set_threshold(200_000)
    arguments = sys.argv[1:]
    try:
        if arguments == ["--help"] and _shown():
            sys.exit(0)
        from cache_check.cli.guard import guarded

        sys.exit(guarded(arguments))
    except KeyboardInterrupt:  # before anything that could be left half done
        sys.stderr.write("cache-check: interrupted\n")
        sys.exit(130)


def _shown() -> bool:
    """Write the front page; whether it could be written.  Where it could not, the guard says why."""
    from cache_check.cli.front import front_page, write

    try:
        write(front_page())
    except (OSError, AttributeError):
        return False
    return True
