"""Where answers go: data on stdout, files whole or not at all, and the exit status by severity."""

from __future__ import annotations

import contextlib
import io
import os
import sys
from collections.abc import Callable, Iterable, Iterator
from enum import IntEnum
from pathlib import Path
from time import monotonic

import click

from cache_check.cli.front import write
from cache_check.errors import AskError

STDOUT = "-"


class Exit(IntEnum):
    """The exit statuses of every command."""

    CLEAN = 0
    FINDINGS = 1
    INPUT = 2
    FAULT = 3
    NO_PLAN = 4
    INTERRUPTED = 130


def emit(text: str) -> None:
    """Write data to stdout; a reader who leaves early is no fault."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        encoding = sys.stdout.encoding if sys.stdout.isatty() else "utf-8"
        sys.stdout.reconfigure(encoding=encoding, errors="backslashreplace")
    write(text)


def write_file(path: Path, text: str | bytes, *, replace: bool) -> None:
    """Write a file whole or not at all, through a neighbour that takes its name; text as UTF-8.

    Raises:
        AskError: the file is there and may not be replaced, was read for this answer, or cannot be written.
    """
    import tempfile

    from cache_check.files.text import was_read

    try:
        if was_read(path):
            raise AskError(f"{path} is what the answer was made from; nothing was written. Name another file")
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:100]}.")
        os.close(handle)
        made = Path(name)
        try:
            made.write_bytes(text.encode() if isinstance(text, str) else text)
            made.chmod(_mode(path))
            if replace:
                made.replace(path)
            else:
                os.link(made, path)
        finally:
            made.unlink(missing_ok=True)
    except FileExistsError:
        raise AskError(f"{path} is there already; nothing was written. Name another file") from None
    except OSError as error:
        raise AskError(f"{path} cannot be written: {error.strerror or error}") from None


def _mode(path: Path) -> int:
    """The mode of the file that is replaced, else what the umask leaves."""
    if path.exists():
        return path.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def leave(severities: Iterable[str], fail_on: str, *, unmet: bool = False) -> None:
    """Exit with the status that the severities found deserve; a verdict that is not *met* deserves that of findings."""
    from cache_check.model.rule import SEVERITIES

    grave = SEVERITIES[: SEVERITIES.index(fail_on) + 1] if fail_on in SEVERITIES else ()
    found = any(severity in grave for severity in severities)
    click.get_current_context().exit(Exit.FINDINGS if found or unmet else Exit.CLEAN)


_PATIENCE = 1.0
"""Seconds that pass before anything is told of what is being worked on."""


@contextlib.contextmanager
def waiting() -> Iterator[Callable[[str], None]]:
    """A listener that tells on stderr what is being worked on, to a person who waits at a terminal and nobody else."""
    begun, person = monotonic(), sys.stderr.isatty()

    def hear(what: str) -> None:
        if person and monotonic() - begun > _PATIENCE:
            sys.stderr.write(f"\r\x1b[Kcache-check: {what} ...")
            sys.stderr.flush()

    yield hear
    if person:
        sys.stderr.write("\r\x1b[K")
        sys.stderr.flush()
