"""What is being worked on, told on stderr to a person who waits at a terminal, and to nobody else."""

from __future__ import annotations

import sys
from collections.abc import Callable
from time import monotonic

_PATIENCE = 1.0
"""Seconds that pass before anything is told."""


def told() -> Callable[[str], None]:
    """A listener that keeps one line of the terminal up to date; it says nothing where stderr is no terminal."""
    begun = monotonic()

    def hear(what: str) -> None:
        # Nothing is told of an answer that is there at once.
        if sys.stderr.isatty() and monotonic() - begun > _PATIENCE:
            sys.stderr.write(f"\r\x1b[Kcache-check: {what} ...")
            sys.stderr.flush()

    return hear


def done() -> None:
    """Take the line away."""
    if sys.stderr.isatty():
        sys.stderr.write("\r\x1b[K")
        sys.stderr.flush()
