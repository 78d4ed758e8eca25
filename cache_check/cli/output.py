"""How an answer is shown and where it goes: data on stdout, files whole or not at all, the exit status by severity."""

import contextlib
import io
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from enum import IntEnum
from importlib import import_module
from pathlib import Path
from time import monotonic
from types import ModuleType
from typing import TYPE_CHECKING, Any, cast

import click

from cache_check import __version__
from cache_check.cli import spared
from cache_check.cli.main import COMMANDS, front_page, write
from cache_check.errors import AskError, CacheCheckError, did_you_mean
from cache_check.report.page import Form, View, spelled

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from cache_check.model.cache import Source
    from cache_check.model.rule import RuleBook

spared.spare()
STDOUT = "-"
WIDEST, NARROWEST, UNSAID = 140, 60, 100
_PATIENCE = 1.0  # seconds that pass before anything is told of what is being worked on


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


def write_file(path: Path, text: str | bytes, *, replace: bool, said: str = "written") -> None:
    """Write a file whole or not at all, through a neighbour that takes its name, and say so; - is stdout, for text.

    Raises AskError: the file is there and may not be replaced, was read for this answer, or cannot be written.
    """
    from cache_check.files.text import was_read

    if str(path) == STDOUT:
        emit(str(text))
        return
    books = path.suffix.lower() in (".yaml", ".yml", ".xlsx", ".csv", ".db")  # as people write them, or keep them
    replace = replace and not (path.exists() and (books or not (path.is_file() or path.is_dir())))
    made = path.with_name(f".{path.name[:100]}.{os.urandom(4).hex()}")
    try:
        if was_read(path):
            raise AskError(f"{path} is what the answer was made from; nothing was written. Name another file")
        try:
            with made.open("xb") as file:
                file.write(text.encode() if isinstance(text, str) else text)
            if not replace:
                os.link(made, path)
            else:
                if path.exists():
                    made.chmod(path.stat().st_mode & 0o777)
                made.replace(path)
        finally:
            made.unlink(missing_ok=True)
    except FileExistsError:
        raise AskError(f"{path} is there already; nothing was written. Name another file") from None
    except OSError as error:
        raise AskError(f"{path} cannot be written: {error.strerror or error}") from None
    click.echo(f"cache-check: {path} {said}", err=True)


def view(form: Form = "table", show: tuple[str, ...] = (), color: bool | None = None) -> View:
    """How it is wanted, by what was said and by where it goes."""
    terminal = sys.stdout.isatty()
    colored = color if color is not None else terminal and "NO_COLOR" not in os.environ
    width = UNSAID
    if terminal:
        from shutil import get_terminal_size

        width = get_terminal_size((UNSAID, 0)).columns
    return View(form, show, min(WIDEST, max(NARROWEST, width)), colored)


def tell(
    command: str, results: Sequence[Any], shown: View, book: "RuleBook | None", read: "Sequence[Source]" = (),
    **more: Any,
) -> None:  # fmt: skip
    """Write the answer to stdout, what a table of data cannot hold to stderr; ``more`` is what ``Told`` has more."""
    from cache_check.report.answer import Told, answer, beside

    told = Told(book, read, **more)
    emit(answer(command, results, told, shown))
    if shown.form in ("csv", "markdown"):
        click.echo(beside(results, told), err=True)


def plotted(path: Path | None, draw: "Callable[[ModuleType], Figure]") -> None:
    """Draw an answer, by the figures of answers, into a file if one is named; written whole or not at all."""
    if path is not None:
        from cache_check.report.figures import answers, canvas

        kind = path.suffix.lower().removeprefix(".")
        write_file(path, canvas.written(draw(answers), kind), replace=True, said="drawn")  # type: ignore[arg-type]


_SHORT: dict[str, Callable[[Any], bool]] = {
    "check": lambda one: any(tally.met is False for tally in one.tallies) or not all(s.met for s in one.scenes),
    "build": lambda one: bool(one.verdict.short_of),
    "stage": lambda one: one.staging is not None and not all(scene.served.met for scene in one.staging.scenes),
    "buy": lambda one: not any(purchase.whole for purchase in one.purchases),
    "audit": lambda one: one.verdict.outcome in ("not known", "out of service"),
}
"""By command, whether what its answer is asked to meet is not met, or not known to be."""


def severities(command: str, results: Iterable[Any]) -> Iterator[str]:
    """How grave answers are: the severity of every finding or broken rule; what is not met is "short"."""
    for one in results:
        found = one.verdict.broken if command == "build" else getattr(one, "findings", ())
        yield from (getattr(each, "finding", each).severity for each in found)
        if command in _SHORT and _SHORT[command](one):
            yield "short"


def leave(found: Iterable[str], fail_on: str, *, unmet: bool = False) -> None:
    """Exit with the status that the severities found deserve; a verdict that is not *met* deserves that of findings."""
    from cache_check.model.rule import SEVERITIES

    grave = SEVERITIES[: SEVERITIES.index(fail_on) + 1] if fail_on in SEVERITIES else ()
    click.get_current_context().exit(Exit.FINDINGS if unmet or any(one in grave for one in found) else Exit.CLEAN)


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
        """The command that was meant.  Raises UsageError: there is none of that name; it offers the nearest."""
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
        click.echo(spelled(said.getvalue()), nl=False, err=True)
        return Exit.INPUT
    except CacheCheckError as error:
        _complain(str(error))
        return error.exit_status
    except (click.Abort, KeyboardInterrupt):
        _complain("interrupted")
        return Exit.INTERRUPTED
    except SystemExit:  # click leaves so when the reader of its help has left
        return Exit.CLEAN
    except OSError as error:  # what the system refused: a disk that is full, a name that is too long
        name = str(error.filename)[:80] if error.filename is not None else "the answer could not be written"
        _complain(f"{name}: {(error.strerror or str(error)).lower()}")
        with contextlib.suppress(OSError):  # what is left unwritten would be tried, and complained of, at the end again
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        status = Exit.INPUT
    except Exception as error:
        _complain(fault(error))
        status = Exit.FAULT
    return status if isinstance(status, int) else Exit.CLEAN


def _complain(text: str) -> None:
    click.echo(f"cache-check: {spelled(text)}", err=True)


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
