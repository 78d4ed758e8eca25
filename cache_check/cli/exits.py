"""What the exit status says."""

from __future__ import annotations

from enum import IntEnum


class Exit(IntEnum):
    """The exit statuses of every command."""

    CLEAN = 0
    FINDINGS = 1
    INPUT = 2
    FAULT = 3
    NO_PLAN = 4
    INTERRUPTED = 130
