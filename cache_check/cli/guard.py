"""Turns whatever a command ends in into an exit status and a line that a person can act on."""

from __future__ import annotations

import contextlib
import io
import os
import sys
from collections.abc import Sequence
from types import ModuleType

import click

from cache_check.cli.group import group
from cache_check.cli.output import Exit
from cache_check.errors import AskError, CacheCheckError

# No plug-in of pydantic's is wanted here, and looking for some at every start costs as much as reading a cache: the
# finder of plug-ins, for which pydantic would load all of importlib.metadata, is one that finds none.
_FINDER = ModuleType("pydantic.plugin._loader")
_FINDER.get_plugins = tuple  # type: ignore[attr-defined]
sys.modules.setdefault(_FINDER.__name__, _FINDER)


def guarded(arguments: Sequence[str]) -> int:
    """Run the command that the arguments name; the exit status is the answer."""
    try:
        if sys.stdout is None:
            raise AskError("standard output is closed, so there is nowhere to write the answer")
        status = group.main(list(arguments), prog_name="cache-check", standalone_mode=False)
    except click.ClickException as error:
        said = io.StringIO()
        error.show(said)
        click.echo(_spelled(said.getvalue()), nl=False, err=True)
        return Exit.INPUT
    except CacheCheckError as error:
        _complain(str(error))
        return error.exit_status
    except (click.Abort, KeyboardInterrupt):
        _complain("interrupted")
        return Exit.INTERRUPTED
    except SystemExit:  # click leaves so when the reader of its help has left
        return Exit.CLEAN
    except Exception as error:
        return _not_done(error) if isinstance(error, OSError) else _our_fault(error)
    return status if isinstance(status, int) else Exit.CLEAN


def _not_done(error: OSError) -> int:
    """Say what the system refused: a disk that is full, a name that is too long."""
    name = str(error.filename)[:80] if error.filename is not None else "the answer could not be written"
    _complain(f"{name}: {(error.strerror or str(error)).lower()}")
    with contextlib.suppress(OSError):  # what is left unwritten would be tried, and complained of, again at the end
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    return Exit.INPUT


def _our_fault(error: Exception) -> int:
    _complain(fault(error))
    return Exit.FAULT


def _complain(text: str) -> None:
    click.echo(f"cache-check: {_spelled(text)}", err=True)


def _spelled(text: str) -> str:
    """The same, with nothing in it that turns what a person reads around, whatever was typed."""
    if text.isascii() and text.replace("\n", "").isprintable():
        return text
    from cache_check.report.page import spelled

    return spelled(text)


def fault(error: Exception) -> str:
    """One line for the person; the traceback in a file of its own for whoever mends it."""
    import tempfile
    import traceback

    with tempfile.NamedTemporaryFile(
        "w", prefix="cache-check-fault-", suffix=".txt", delete=False, encoding="utf-8"
    ) as file:
        traceback.print_exception(error, file=file)
    what = " ".join(f"{type(error).__name__}: {error}".split())
    return f"our own fault, not yours: {what[:300]} (traceback in {file.name})"
