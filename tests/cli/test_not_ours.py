"""What the system or a stranger puts in the way ends in one clear line and exit status 2, and nothing is harmed."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from cli.running import SAMPLES, cache_check, environment


def copied(folder: Path, family: str = "family-p.yaml") -> Path:
    """Rescue 44 with its family in a folder of its own, the family named so."""
    shutil.copy(SAMPLES / "family-p.yaml", folder / "family-p.yaml")
    text = (SAMPLES / "rescue-44.yaml").read_text(encoding="utf-8").replace("family-p.yaml", family)
    (folder / "rig.yaml").write_text(text, encoding="utf-8")
    return folder / "rig.yaml"


@pytest.mark.parametrize("name", ["pipe", "pipe.csv", "pipe.xlsx"])
def test_pipe_is_not_waited_for(name: str, tmp_path: Path) -> None:
    """A named pipe given as a count is refused at once."""
    os.mkfifo(tmp_path / name)
    run = cache_check("audit", "rescue-44.yaml", tmp_path / name)

    assert (run.returncode, run.stdout) == (2, "")
    assert "is a pipe or a device, not a file" in run.stderr


@pytest.mark.parametrize("written", ["root:x:0:0:hidden\n", "user: me\npassword: hidden: x\n"])
def test_a_file_that_is_not_ours_is_not_quoted(written: str, tmp_path: Path) -> None:
    """Neither behind a link nor under a name of ours is a line of a stranger's file printed."""
    (tmp_path / "secret.yaml").write_text(written, encoding="utf-8")
    (tmp_path / "rig.yaml").symlink_to(tmp_path / "secret.yaml")
    for command in (("check", "rig.yaml"), ("check", SAMPLES / "rescue-41.yaml", "--needs", "secret.yaml")):
        run = cache_check(*command, cwd=tmp_path)

        assert run.returncode == 2
        assert "hidden" not in run.stderr


@pytest.mark.parametrize(("name", "says"), [("x" * 300 + ".yaml", "at most 255 bytes"), (b"na\xff.yaml", "UTF-8")])
@pytest.mark.parametrize("command", [("check",), ("history",), ("audit", "rescue-44.yaml", "--record")])
def test_names_that_cannot_be_shown(command: tuple[str, ...], name: str | bytes, says: str) -> None:
    """A file name over 255 bytes, or not in UTF-8, is refused in one line."""
    run = subprocess.run(
        [sys.executable, "-m", "cache_check", *command, name], cwd=SAMPLES, env=environment(), capture_output=True,
        timeout=60, check=False,
    )  # fmt: skip

    assert (run.returncode, run.stdout) == (2, b"")
    assert says.encode() in run.stderr
    assert run.stderr.count(b"\n") == 1


@pytest.mark.parametrize("command", ["--help", "check --help", "rules", "history none.db"])
@pytest.mark.parametrize("where", [">/dev/full", ">&-"])
def test_nowhere_to_write(command: str, where: str) -> None:
    """A full disk and a closed standard output are told in one line."""
    run = subprocess.run(
        ["sh", "-c", f'"{sys.executable}" -m cache_check {command} {where}'], cwd=SAMPLES, env=environment(),
        stderr=subprocess.PIPE, text=True, timeout=60, check=False,
    )  # fmt: skip

    assert run.returncode == 2
    assert run.stderr.startswith("cache-check: ")
    assert run.stderr.count("\n") == 1


@pytest.mark.parametrize("target", ["rig.yaml", "family-p.yaml", "./other/../rig.yaml"])
def test_no_answer_is_written_over_what_it_was_made_from(target: str, tmp_path: Path) -> None:
    """Neither the cache nor its family is written over, by whatever name."""
    rig = copied(tmp_path)
    (tmp_path / "other").mkdir()
    before = [(tmp_path / name).read_bytes() for name in ("rig.yaml", "family-p.yaml")]
    run = cache_check("graph", rig, "-o", tmp_path / target)

    assert run.returncode == 2
    assert "is what the answer was made from; nothing was written" in run.stderr
    assert [(tmp_path / name).read_bytes() for name in ("rig.yaml", "family-p.yaml")] == before


@pytest.mark.parametrize("command", ["graph", "exercise"])
@pytest.mark.parametrize("name", ["other.yaml", "stock.xlsx", "count.CSV", "audits.db", "device"])
def test_no_answer_is_written_over_what_people_write_or_a_device(command: str, name: str, tmp_path: Path) -> None:
    """The book of another rig, a count, a record: there is no other copy.  A device was replaced by a file."""
    rig, target = copied(tmp_path), tmp_path / name
    if name == "device":
        os.mkfifo(target)
    else:
        target.write_text("kept", encoding="utf-8")
    before = target.lstat()
    run = cache_check(command, rig, "-o", target)

    assert run.returncode == 2
    assert "is there already; nothing was written" in run.stderr
    assert (target.lstat().st_ino, target.lstat().st_size) == (before.st_ino, before.st_size)
    (tmp_path / "old.html").write_text("old", encoding="utf-8")
    assert cache_check(command, rig, "-o", tmp_path / "old.html").returncode == 0


def test_a_file_that_is_not_ours_is_not_shown(tmp_path: Path) -> None:
    """A refusal names the place of what is wrong, and quotes no line of a file that nobody wrote for this."""
    rig = copied(tmp_path, "secret.txt")
    (tmp_path / "secret.txt").write_text("hunter2: [}\n", encoding="utf-8")
    run = cache_check("check", rig)

    assert run.returncode == 2
    assert "secret.txt:1:" in run.stderr
    assert "hunter2" not in run.stderr


def test_families_lie_below_the_folder_of_the_cache_unless_asked(tmp_path: Path) -> None:
    """A cache names no file outside its own folder, unless whoever runs the command says where families lie."""
    (tmp_path / "rigs").mkdir()
    rig = copied(tmp_path / "rigs", "../family-p.yaml")
    shutil.move(tmp_path / "rigs" / "family-p.yaml", tmp_path / "family-p.yaml")
    refused = cache_check("reach", rig)
    asked = subprocess.run(
        [sys.executable, "-m", "cache_check", "reach", str(rig)], cwd=SAMPLES, capture_output=True, text=True,
        env=environment() | {"CACHE_CHECK_FAMILIES": str(tmp_path)}, timeout=60, check=False,
    )  # fmt: skip

    assert refused.returncode == 2
    assert "'../family-p.yaml' lies outside the folder of the cache" in refused.stderr
    assert asked.returncode == 0


def test_line_separator_survives_csv(tmp_path: Path) -> None:
    """A line separator of Unicode in a name survives a folder of CSV files and back."""
    rig = copied(tmp_path)
    text = rig.read_text(encoding="utf-8").replace("title: Rescue 44", 'title: "Rescue\\u2028 44"')
    rig.write_text(text, encoding="utf-8")
    there = cache_check("convert", rig, tmp_path / "folder")
    back = cache_check("convert", tmp_path / "folder", tmp_path / "back.yaml")

    assert (there.returncode, back.returncode) == (0, 0)
    assert '"Rescue\\L 44"' in (tmp_path / "back.yaml").read_text(encoding="utf-8")
