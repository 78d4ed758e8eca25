"""The front page: what ``cache-check --help`` prints, without loading anything that it does not need."""

from __future__ import annotations

import os
import sys

FOLDER = os.path.join(os.path.dirname(__file__), "commands")  # noqa: PTH118, PTH120 - pathlib costs 5 ms here
ORDER = (
    "check", "open", "reach", "stage", "load", "buy", "audit", "history", "build", "report", "exercise", "graph",
    "rules", "new", "convert", "schema",
)  # fmt: skip
"""Commands in order of use; one that is not named here comes last."""

_HEAD = """\
Usage: cache-check [OPTIONS] COMMAND [ARGS]...

  What a rescue cache of strut parts can build, at once, restrained and
  rated; and what it lacks.

  A planning aid, not a load rating: the maker's current chart and label,
  training, local codes and incident command come first.

  Example: cache-check check rescue-41.yaml --needs scenes.yaml

Options:
  --version  Show the version and exit.
  --help     Show this message and exit.

Commands:
"""
_FOOT = """
Exit status: 0 clean; 1 findings at or above --fail-on; 2 a bad command line
or an unreadable file; 3 our own fault; 4 no proven plan; 130 interrupted.
"""


def commands() -> dict[str, str]:
    """The help of each command in one line, by name, in order of use."""
    names = [name.removesuffix(".py") for name in os.listdir(FOLDER) if name.endswith(".py")]  # noqa: PTH208 - as above
    known = sorted(name for name in names if not name.startswith("_"))
    known.sort(key=lambda name: ORDER.index(name) if name in ORDER else len(ORDER))
    return {name: _first_line(os.path.join(FOLDER, f"{name}.py")) for name in known}  # noqa: PTH118 - as above


def _first_line(path: str) -> str:
    with open(path, encoding="utf-8") as file:  # noqa: PTH123 - as above
        return next(file).strip().strip('"')


def front_page() -> str:
    """The text of the front page."""
    table = commands()
    wide = max(len(name) for name in table)
    return _HEAD + "".join(f"  {name:<{wide}}  {line}\n" for name, line in table.items()) + _FOOT


def write(text: str) -> None:
    """Write to stdout now; a reader who leaves early, as ``head`` does, is no fault."""
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        pass
