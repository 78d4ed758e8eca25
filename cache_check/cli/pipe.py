"""A reader of stdout who leaves early, as ``head`` does, is no fault."""

from __future__ import annotations

import sys


def write(text: str) -> None:
    """Write to stdout now; quietly to nobody where the reader has left."""
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        pass
