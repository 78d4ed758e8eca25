"""The front page: what ``cache-check --help`` prints, without loading anything that it does not need."""

from __future__ import annotations

import os

FOLDER = os.path.join(os.path.dirname(__file__), "commands")  # noqa: PTH118, PTH120 - pathlib costs 5 ms here
_ORDER = "ORDER = "

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
    found = []
    for file in os.listdir(FOLDER):  # noqa: PTH208 - as above
        name, extension = os.path.splitext(file)  # noqa: PTH122 - as above
        if extension == ".py" and not name.startswith("_"):
            order, line = _read(os.path.join(FOLDER, file))  # noqa: PTH118 - as above
            found.append((order, name, line))
    return {name: line for _, name, line in sorted(found)}


def _read(path: str) -> tuple[int, str]:
    """Where a command stands in the list, and its help in one line."""
    with open(path, encoding="utf-8") as file:  # noqa: PTH123 - as above
        line = next(file).strip().strip('"')
        order = next(text for text in file if text.startswith(_ORDER))
    return int(order.removeprefix(_ORDER)), line


def front_page() -> str:
    """The text of the front page."""
    table = commands()
    wide = max(len(name) for name in table)
    return _HEAD + "".join(f"  {name:<{wide}}  {line}\n" for name, line in table.items()) + _FOOT
