"""The commands by name, each loaded when it is called, and what any of them ends in: a status and a line to act on."""

import contextlib
import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from types import ModuleType
from typing import cast

import click

from cache_check import __version__
from cache_check.cli.main import COMMANDS, front_page
from cache_check.cli.output import Exit
from cache_check.errors import AskError, CacheCheckError, did_you_mean

# No plug-in of pydantic's is wanted here, and looking for some at every start costs as much as reading a cache: the
# finder of plug-ins, for which pydantic would load all of importlib.metadata, is one that finds none.
_FINDER = ModuleType("pydantic.plugin._loader")
_FINDER.get_plugins = tuple  # type: ignore[attr-defined]
sys.modules.setdefault(_FINDER.__name__, _FINDER)


class Commands(click.Group):
    """Commands by the files of a folder."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in order of use."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, its module imported now."""
        if cmd_name not in COMMANDS:
            return None
        return cast("click.Command", import_module(f"cache_check.cli.commands.{cmd_name}").command)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that was meant.

        Raises UsageError: there is none of that name; the sentence offers the nearest.
        """
        if not args[0].startswith("-") and args[0] not in COMMANDS:
            hint = did_you_mean(args[0], COMMANDS) or f"the commands are {', '.join(COMMANDS)}."
            raise click.UsageError(f"no command {args[0]!r}; {hint}", ctx)
        return super().resolve_command(ctx, args)

    def get_help(self, ctx: click.Context) -> str:
        """The same front page that ``--help`` prints without loading this."""
        return front_page().rstrip("\n")


group = Commands(name="cache-check", no_args_is_help=True)
click.version_option(__version__, prog_name="cache-check")(group)


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
    except OSError as error:
        status = _not_done(error)
    except Exception as error:
        _complain(fault(error))
        status = Exit.FAULT
    return status if isinstance(status, int) else Exit.CLEAN


def _not_done(error: OSError) -> int:
    """Say what the system refused: a disk that is full, a name that is too long."""
    name = str(error.filename)[:80] if error.filename is not None else "the answer could not be written"
    _complain(f"{name}: {(error.strerror or str(error)).lower()}")
    with contextlib.suppress(OSError):  # what is left unwritten would be tried, and complained of, again at the end
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    return Exit.INPUT


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
