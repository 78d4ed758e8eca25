"""A short form of the fuzz run, and by name what a run or a hand has found: each ends in one line, status 2."""

from __future__ import annotations

import json
import os
import re
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from cli.running import ON, ROOT, SAMPLES, cache_check, environment

from cache_check.files.record_in import START, chained
from fuzz.run import main

INPUTS, SEED = 40, 16
LOAD = ("load", "rescue-41.yaml", "--contact-height", "52in", "--angle", "60", "--vertical", "4000lbf")


def test_damaged_input_ends_in_a_word(tmp_path: Path) -> None:
    """So many inputs of a fixed seed: no traceback, no status but 0, 1, 2 and 4, none over its time or memory."""
    code = f"from pathlib import Path; from fuzz.run import main; main(Path({str(tmp_path)!r}), {INPUTS}, {SEED})"
    path = {"PYTHONPATH": f"{ROOT}:{ROOT / 'tests'}"}
    run = subprocess.run([sys.executable, "-c", code], env=environment() | path, capture_output=True, check=False)
    wrong = tmp_path / "wrong.jsonl"

    assert run.returncode == 0, run.stderr
    assert (tmp_path / "next").read_text() == str(INPUTS)
    assert wrong.read_text() == ""
    assert main(tmp_path, INPUTS, SEED) == 0  # taken up again where it stopped: nothing is left to do


def test_the_run_tells_what_ends_wrongly(tmp_path: Path) -> None:
    """An input whose process dies is told by its number, and the run goes on behind it."""
    from fuzz import run

    def dies(_seed: int, _first: int, _count: int, folder: Path) -> None:
        (folder / "progress").write_text("7\n8\n")
        os._exit(9)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("fuzz.worker.work", dies)
        assert run.batch(tmp_path, 1, 7, 500) == 9
    assert json.loads((tmp_path / "wrong.jsonl").read_text())["number"] == 8


@pytest.mark.parametrize(
    "arguments",
    [
        ("check", "rescue-41.yaml", "--set", "CAP-1.factor=0.5"),
        ("check", "rescue-41.yaml", "--set", "CAP-1.factor=0"),
        ("check", "rescue-41.yaml", "--set", "CAP-1.factor=10 %"),
        (*LOAD, "--half-angles", "0.000001"),
        (*LOAD, "--soil", "9" * 22),
        (*LOAD, "--soil", "1/" + "9" * 32),
        (*LOAD, "--strut-limit", "1/" + "9" * 32),
        ("check", "rescue-41.yaml", "--factor", "9" * 30),
        ("check", "x" * 300 + ".yaml"),
        ("buy", "truck-9.yaml", "--needs", "needs.yaml", "--prices", "prices.yaml", "--budget", "1e300"),
    ],
)
def test_found_by_hand(arguments: tuple[str, ...]) -> None:
    """One clear line, status 2."""
    run = cache_check(*arguments)

    assert run.returncode == 2
    assert "our own fault" not in run.stderr
    assert run.stderr.strip()


@pytest.mark.parametrize(
    ("name", "old", "new", "command"),
    [
        ("rescue-41.yaml", "families: [family-p.yaml]", "families: [6]", ("check",)),
        ("car-on-side.yaml", "vehicle: car", "unknown: 7", ("load", "rescue-41.yaml")),
        ("car-on-side.yaml", "vehicle: car", "unknown: 7\nweight: unknown", ("load", "rescue-41.yaml")),
        ("prices.yaml", "P/edge-head: 265.00", "P/edge-head: 1.0e+300", ("check", "rescue-41.yaml", "--needs")),
        ("prices.yaml", "P/edge-head: 265.00", "P/edge-head: 1.0e+300",
         ("buy", "truck-9.yaml", "--needs", "needs.yaml", "--prices")),
        ("needs.yaml", "factor: 2}", "factor: 1.0e+300}", ("check", "rescue-41.yaml", "--needs")),
        ("needs.yaml", "drum side", "dru\ufeffm side", ("convert", "--kind", "needs")),
    ],
)  # fmt: skip
def test_found_in_a_file(tmp_path: Path, name: str, old: str, new: str, command: tuple[str, ...]) -> None:
    """One clear line, status 2, for a sample file with one thing changed."""
    for one in SAMPLES.glob("*.yaml"):
        text = one.read_text(encoding="utf-8")
        (tmp_path / one.name).write_text(text.replace(old, new) if one.name == name else text, encoding="utf-8")
    target = ("made",) if command[0] == "convert" else ()
    run = cache_check(*command, name, *target, cwd=tmp_path)

    assert run.returncode == 2
    assert "our own fault" not in run.stderr
    assert run.stderr.strip()
    assert old in (SAMPLES / name).read_text(encoding="utf-8")


def test_more_straps_to_a_base_than_any_takes_hold_none() -> None:
    """A rule that asks for a thousand million straps on each base is kept: nothing is restrained, and nothing fails."""
    two, many = (
        cache_check("check", "rescue-41.yaml", "--set", f"STR-1.min={number}", *ON) for number in (2, 1_000_000_000)
    )

    assert (two.returncode, many.returncode) == (1, 1)
    assert [re.findall(r"(\d+) restrained", one.stdout)[:2] for one in (two, many)] == [["3", "3"], ["0", "0"]]


@pytest.mark.parametrize(("what", "name"), [("findings", "key"), ("findings", "rule"), ("struts", "label")])
def test_found_in_a_record(tmp_path: Path, what: str, name: str) -> None:
    """An entry whose hash agrees, and whose text is not what an entry says, is told as that."""
    record = tmp_path / "audits.db"
    assert cache_check("audit", "rescue-41.yaml", "rescue-41-count.csv", *ON, "--record", record).returncode == 1
    with closing(sqlite3.connect(record, isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER entry_is_not_changed")
        (body,) = connection.execute("SELECT body FROM entry").fetchone()
        data = json.loads(body)
        data[what][0][name] = {"a": 1}
        body = json.dumps(data, separators=(",", ":"))  # as entries are written
        connection.execute("UPDATE entry SET body = ?, hash = ?", (body, chained(START, body)))
    run = cache_check("history", record)

    assert run.returncode == 2
    assert "no entry that can be read: " in run.stderr
    assert "entry 1 is not what an entry is" in run.stderr
