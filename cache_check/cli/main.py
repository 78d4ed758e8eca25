"""The entry point: the front page, which needs nothing else loaded; all else goes through the group."""

import atexit
import gc
import os
import sys

COMMANDS = {
    "check": "What a cache can build, at once, and what it lacks: the main job.",
    "open": "A page on this machine that answers while you change the files; it writes nothing.",
    "reach": "Every legal assembly, the lengths they cover, and how many stand at once by length.",
    "stage": "Which sets to leave built, where they lie, and what is done with them in each scene.",
    "load": "What each strut carries in one situation, and what holds its base.",
    "buy": "What to buy or move: the cheapest list that meets every scene, or the most for a budget.",
    "audit": "Book against count: what is wrong, what the rig can still do, what costs most.",
    "history": "What a record of audits holds: repeat findings, open ones, what changed since.",
    "build": "May these parts, from the ground to the load, be built; if not, which rule says so.",
    "report": "Pages to pin up, carry and sign, in one HTML file.",
    "exercise": "Cards for training: questions about one rig, with proven answers on a key of their own.",
    "graph": "The joint graph: every way a part may sit, every legal joint, and its rule.",
    "rules": "The rules in force and what changed them; or one rule explained.",
    "new": "Write a commented starter file: a cache, family, needs, policy, prices; or a workbook.",
    "convert": "Turn a file into another form: YAML, a workbook, or a folder of CSV files.",
    "schema": "JSON Schemas of the files you write and of the answers in JSON.",
}
"""Every command, a file of ``commands``, with its help in one line; in order of use."""

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


def front_page() -> str:
    """The text of the front page."""
    wide = max(map(len, COMMANDS))
    return _HEAD + "".join(f"  {name:<{wide}}  {line}\n" for name, line in COMMANDS.items()) + _FOOT


def write(text: str) -> None:
    """Write to stdout now; a reader who leaves early, as ``head`` does, is no fault."""
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        pass


def run() -> None:
    """Run ``cache-check`` with the arguments of this process, and exit."""
    # A command makes little garbage and is soon over: to look for it as often as usual takes a tenth of its time.
    gc.set_threshold(1_000_000)
    arguments = sys.argv[1:]
    sys.unraisablehook = _swallowed
    try:
        if arguments == ["--help"] and _shown():
            sys.exit(0)
        from cache_check.cli.output import guarded

        sys.exit(_ended(guarded(arguments)))
    except KeyboardInterrupt:  # before anything that could be left half done
        sys.exit(_interrupted())


def _ended(status: int) -> int:
    """End here: for Python to take apart what is left costs a sixth of a short command; the status where that fails."""
    atexit._run_exitfuncs()
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except (OSError, ValueError, AttributeError):
        return status
    os._exit(status)


def _interrupted() -> int:
    sys.stderr.write("cache-check: interrupted\n")
    return 130


def _swallowed(what: "sys.UnraisableHookArgs") -> None:
    """End at an interrupt that Python would only tell of and forget, as within an import or while it tidies up."""
    if issubclass(what.exc_type, KeyboardInterrupt):
        os._exit(_interrupted())  # a writer that is ended at any moment leaves the old file or the new one
    sys.__unraisablehook__(what)


def _shown() -> bool:
    """Write the front page; whether it could be written.  Where it could not, the guard says why."""
    try:
        write(front_page())
    except (OSError, AttributeError):
        return False
    return True
