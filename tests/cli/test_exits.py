"""Every exit status; one question of each goes through a real process."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from cache_check.cli.output import Exit
from cli.running import ON, SAMPLES, broken_inside, cache_check, environment, python, started


def test_clean_is_0() -> None:
    """Nothing at or above what was asked for: 0."""
    assert started("check", "rescue-41.yaml", "--fail-on", "stop", *ON).returncode == Exit.CLEAN
    assert cache_check("build", "rescue-41.yaml", "hinged-base", "long-body", "edge-head").returncode == Exit.CLEAN


@pytest.mark.parametrize(
    ("fail_on", "status"), [("never", 0), ("stop", 0), ("short", 1), ("watch", 1), ("note", 1)]
)  # fmt: skip
def test_findings_at_or_above_the_asked_severity_are_1(fail_on: str, status: int) -> None:
    """Rescue 41 has straps short and nothing graver."""
    assert cache_check("check", "rescue-41.yaml", "--fail-on", fail_on, *ON).returncode == status


def test_short_is_the_severity_unless_asked() -> None:
    """Without --fail-on a need that is not met is 1."""
    assert started("check", "truck-9.yaml", "--needs", "needs.yaml", *ON).returncode == Exit.FINDINGS


def test_build_that_is_not_legal_is_1() -> None:
    """A stop in the verdict is a finding."""
    run = cache_check("build", "rescue-41.yaml", "hinged-base", "edge-head")

    assert run.returncode == Exit.FINDINGS
    assert "NOT LEGAL" in run.stdout


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["chek", "rescue-41.yaml"], "did you mean 'check'?"),
        (["check", "rescue-41.yaml", "--poool"], "--pool"),
        (["check", "no-such-rig"], "no rig 'no-such-rig'"),
        (["check", "rescue-41.yaml", "--on", "tomorrow"], "write it as 2026-11-25"),
        (["check", "rescue-41.yaml", "--factor", "0.5"], "1 or more, at most 100, as 4:1"),
        (["check", "rescue-41.yaml", "--with", "strap"], "PART=N"),
        (["check", "rescue-41.yaml", "--without", "strap=0"], "from 1 to 10000"),
        (["check", "rescue-41.yaml", "--without", "strapp"], "did you mean 'strap'?"),
        (["check", "rescue-41.yaml", "--without", "strap=8"], "8"),
        (["reach", "rescue-41.yaml", "--at", "long"], "not a length"),
        (["reach", "rescue-41.yaml", "--at", "0"], "not a length above zero"),
        (["reach", "rescue-41.yaml", "--load", "heavy"], "not a force"),
        (["build", "rescue-41.yaml", "hinged-bas"], "did you mean 'hinged-base'?"),
        (["rules", "EXT-22"], "did you mean 'EXT-2'?"),
        (["schema", "cash"], "cache"),
        (["check", "nowhere.yaml"], "nowhere.yaml"),
        (["check", "needs.yaml"], "needs.yaml"),
        (["graph", "rescue-41.yaml", "-o", "nowhere/joints.dot"], "cannot be written"),
        (["reach", "not-there.yaml", "--plot", "nowhere/reach.svg"], "there is no folder 'nowhere'"),
        (["report", "not-there.yaml", "-o", "nowhere/door.html"], "there is no folder 'nowhere'"),
        (["audit", "not-there.yaml", "--record", "nowhere/audits.db"], "there is no folder 'nowhere'"),
    ],
)
def test_bad_command_line_or_input_is_2_and_says_what_would_be_right(arguments: list[str], says: str) -> None:
    """What a person got wrong is 2, in words on stderr, with nothing on stdout."""
    run = cache_check(*arguments)

    assert run.returncode == Exit.INPUT, run
    assert says in run.stderr
    assert run.stdout == ""
    assert "Traceback" not in run.stderr


def test_bare_command_is_2_with_the_front_page_on_stderr() -> None:
    """No command is a bad command line; the front page says which there are."""
    run = started()

    assert (run.returncode, run.stdout) == (Exit.INPUT, "")
    assert "Commands:" in run.stderr


def test_every_mistake_of_every_file_is_told_at_once(tmp_path: Path) -> None:
    """Two broken files are told in one run, each with its place."""
    for name in ("one", "two"):
        (tmp_path / f"{name}.yaml").write_text("cache: x\ntitle: X\nunits: us\nsurplus: 1\n", encoding="utf-8")
    run = cache_check("check", "one.yaml", "two.yaml", cwd=tmp_path)

    assert run.returncode == Exit.INPUT
    assert "one.yaml:4:1" in run.stderr
    assert "two.yaml:4:1" in run.stderr


@pytest.mark.parametrize("command", [("check", "{}.yaml"), ("check", "--{}"), ("{}",), ("rules", "--set", "{}=1")])
def test_no_refusal_prints_what_turns_a_line_around(command: tuple[str, ...]) -> None:
    """Whatever was typed, marks of direction and what steers a terminal are spelled out where it is repeated."""
    marks = "\u202e\u2066\u200f\x1b"
    done = cache_check(*(word.format(marks) for word in command))

    assert done.returncode == 2
    assert "202e" in done.stderr.casefold()
    assert not set(marks) & set(done.stderr)


def test_our_own_fault_is_3_in_one_line_with_the_traceback_in_a_file() -> None:
    """One line on stderr names the file, and the file holds the traceback."""
    run = python(*broken_inside("check", "raise KeyError('lost\\nkey')"))

    assert run.returncode == Exit.FAULT
    assert run.stdout == ""
    assert len(run.stderr.splitlines()) == 1
    match = re.search(r"our own fault.*KeyError.*traceback in (.+)\)", run.stderr)
    assert match
    kept = Path(match[1])
    assert "KeyError" in kept.read_text(encoding="utf-8")
    kept.unlink()


def test_no_proven_plan_is_4_and_says_which() -> None:
    """A limit that was reached is said, and no half answer is printed."""
    run = python(*broken_inside("check", "raise NoPlanError('the time limit was reached')"))

    assert (run.returncode, run.stdout) == (Exit.NO_PLAN, "")
    assert run.stderr == "cache-check: the time limit was reached\n"


@pytest.mark.skipif(sys.platform == "win32", reason="no SIGINT to send")
@pytest.mark.parametrize("inside", ["{}", "type('Late', (), {{'__del__': lambda self: {}}})()"])
def test_interrupted_is_130(inside: str) -> None:
    """Ctrl-C ends it at once, without a traceback; where Python ignores what is raised, too."""
    arguments = broken_inside("check", f"print('ready', flush=True); {inside.format('time.sleep(60)')}")
    # What a shell without job control starts with "&" is to ignore Ctrl-C, and so is all that it starts in turn.
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        process = subprocess.Popen(
            [sys.executable, *arguments], cwd=SAMPLES, env=environment(), text=True,
            stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )  # fmt: skip
    finally:
        signal.signal(signal.SIGINT, before)
    with process:
        assert process.stdout
        assert process.stdout.readline() == "ready\n"
        time.sleep(0.05)
        process.send_signal(signal.SIGINT)
        _, errors = process.communicate(timeout=20)

    assert process.returncode == Exit.INTERRUPTED
    assert errors.strip() == "cache-check: interrupted"


def test_at_the_end_what_others_want_done_is_done_and_nothing_is_taken_apart() -> None:
    """All is written and the end comes at once: what Python does last would take a good part of the time."""
    code = (
        "import atexit, sys\n"
        "class Late:\n    def __del__(self): print('taken apart')\n"
        "sys.late = Late()\n"
        "atexit.register(print, 'done at the end', end='')\n"
        "from cache_check.cli.main import run\n"
        "run()\n"
    )
    run = python("-c", code, "rules", "EXT-2")

    assert run.stdout.startswith("EXT-2")
    assert run.stdout.endswith("done at the end")
    assert (run.returncode, run.stderr) == (Exit.CLEAN, "")


@pytest.mark.skipif(sys.platform == "win32", reason="no such pipe")
@pytest.mark.parametrize("arguments", [["check", "rescue-41.yaml", *ON], ["new", "-"], ["--help"], ["check", "--help"]])
def test_reader_who_leaves_early_is_no_fault(arguments: list[str]) -> None:
    """A closed pipe is quiet: no traceback, and the status the answer deserves."""
    with subprocess.Popen(
        [sys.executable, "-m", "cache_check", *arguments], cwd=SAMPLES, env=environment(),
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as process:  # fmt: skip
        assert process.stdout
        assert process.stderr
        process.stdout.close()
        errors = process.stderr.read()

    assert errors == b""
    assert process.returncode == (Exit.FINDINGS if "rescue-41.yaml" in arguments else Exit.CLEAN)
