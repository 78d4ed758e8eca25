"""The entry point: the front page at once, everything else through the group, every end with its exit status."""

from __future__ import annotations

import gc
import os
import sys


def run() -> None:
    """Run ``cache-check`` with the arguments of this process, and exit."""
    # A command makes little garbage and is soon over: to look for it as often as usual takes a tenth of its time.
    gc.set_threshold(200_000)
    arguments = sys.argv[1:]
    sys.unraisablehook = _swallowed
    try:
        if arguments == ["--help"] and _shown():
            sys.exit(0)
        from cache_check.cli.guard import guarded

        sys.exit(guarded(arguments))
    except KeyboardInterrupt:  # before anything that could be left half done
        sys.exit(_interrupted())


def _interrupted() -> int:
    sys.stderr.write("cache-check: interrupted\n")
    return 130


def _swallowed(what: sys.UnraisableHookArgs) -> None:
    """End at an interrupt that Python would only tell of and forget, as within an import or while it tidies up.

    Whatever is being written is safe: a writer that is ended at any moment leaves the old file or the new one.
    """
    if issubclass(what.exc_type, KeyboardInterrupt):
        os._exit(_interrupted())
    sys.__unraisablehook__(what)


def _shown() -> bool:
    """Write the front page; whether it could be written.  Where it could not, the guard says why."""
    from cache_check.cli.front import front_page, write

    try:
        write(front_page())
    except (OSError, AttributeError):
        return False
    return True
