"""The record of audits: only ever added to, whole or not at all, and honest about what was done to it."""

from __future__ import annotations

import json
import os
import random
import sqlite3
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from audit_builders import DAY, audited_cache, counted
from builders import change, needs_of

from cache_check import api
from cache_check.errors import AskError, InputError
from cache_check.files.read import read_rules
from cache_check.files.record import START, chained, keep
from cache_check.files.record_in import read_record
from cache_check.model.audit import AuditResult
from cache_check.model.count import CountSheet

ROOT = Path(__file__).parents[2]


def entry(says: str, size: int = 0) -> dict[str, Any]:
    """A small entry, or one of so many letters."""
    return {"kind": "audit", "rig": "r", "on": "2026-11-25", "outcome": "pass", "says": says + "." * size}


def filled(path: Path, entries: int, size: int = 0) -> Path:
    """A record with so many entries."""
    for number in range(1, entries + 1):
        keep(path, entry(f"entry {number}", size))
    return path


def tampered(path: Path, *statements: str) -> tuple[str, ...]:
    """The faults of a record after somebody went around its guards."""
    with closing(sqlite3.connect(path)) as connection:
        for name in ("entry_is_not_changed", "entry_is_not_deleted"):
            (guard,) = connection.execute("SELECT sql FROM sqlite_master WHERE name = ?", (name,)).fetchone()
            connection.execute(f"DROP TRIGGER {name}")
            statements = (*statements, guard)
        for statement in statements:
            connection.execute(statement)
        connection.commit()
    return read_record(path).faults


def test_entries_are_chained(tmp_path: Path) -> None:
    """Each entry's hash is that of the hash before it with what it says; the first starts from a fixed one."""
    path = tmp_path / "audits.db"
    receipts = [keep(path, entry(f"entry {number}")).hash for number in (1, 2, 3)]
    with closing(sqlite3.connect(path)) as connection:
        bodies = [body for (body,) in connection.execute("SELECT body FROM entry ORDER BY number")]

    before = START
    for body, receipt in zip(bodies, receipts, strict=True):
        before = chained(before, body)
        assert before == receipt
    found = read_record(path)
    assert [one.says for one in found.entries] == ["entry 1", "entry 2", "entry 3"]
    assert found.faults == ()


def test_killed_at_every_step_and_at_any_moment(tmp_path: Path) -> None:
    """A writer killed at each step, or at any moment, leaves whole entries, and none that it reported is lost."""
    run = subprocess.run(
        [sys.executable, str(Path(__file__).with_name("kill_writers.py")), str(tmp_path)],
        env=os.environ | {"PYTHONPATH": str(ROOT)}, capture_output=True, text=True, timeout=300, check=True,
    )  # fmt: skip
    answer = json.loads(run.stdout)

    assert answer["new"]["faults"] == answer["old"]["faults"] == answer["moments"]["faults"] == []
    assert answer["new"]["kills"] > 40
    assert answer["old"]["kills"] > 20
    assert answer["moments"]["kills"] >= 25
    assert answer["moments"]["reported"] >= 40


def _writes(given: tuple[str, int]) -> list[str]:
    return [keep(Path(given[0]), entry(f"writer {given[1]}", 3000)).hash for _ in range(12)]


def test_four_writers_at_once(tmp_path: Path) -> None:
    """Writers take turns: every entry of every one is there, in one unbroken chain."""
    path = tmp_path / "audits.db"
    with ProcessPoolExecutor(4) as pool:
        receipts = [receipt for some in pool.map(_writes, [(str(path), n) for n in range(4)]) for receipt in some]
    found = read_record(path)

    assert found.faults == ()
    assert [one.number for one in found.entries] == list(range(1, 49))
    assert sorted(one.hash for one in found.entries) == sorted(receipts)


def test_reader_while_a_writer_holds_the_record(tmp_path: Path) -> None:
    """Somebody may look at the record while another writes: they see what was kept before."""
    path = filled(tmp_path / "audits.db", 2)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("BEGIN IMMEDIATE")
        assert len(read_record(path).entries) == 2
        connection.execute("ROLLBACK")


@pytest.mark.parametrize("statement", ["UPDATE entry SET body = 'x'", "DELETE FROM entry"])
def test_guards_refuse_changes(statement: str, tmp_path: Path) -> None:
    """Whoever edits the file with a database tool is told that nothing is ever changed."""
    path = filled(tmp_path / "audits.db", 2)
    with (
        closing(sqlite3.connect(path)) as connection,
        pytest.raises(sqlite3.IntegrityError, match="an entry is never"),
    ):
        connection.execute(statement)
    assert len(read_record(path).entries) == 2


TAMPERINGS = {
    "a text changed": ("UPDATE entry SET body = replace(body, 'pass', 'fail') WHERE number = 2",),
    "a hash changed": ("UPDATE entry SET hash = (SELECT hash FROM entry WHERE number = 1) WHERE number = 2",),
    "a text and its hash changed": (
        "UPDATE entry SET body = (SELECT body FROM entry WHERE number = 1), "
        "hash = (SELECT hash FROM entry WHERE number = 1) WHERE number = 2",
    ),
    "one taken out of the middle": ("DELETE FROM entry WHERE number = 2",),
    "the first taken out": ("DELETE FROM entry WHERE number = 1",),
    "the last taken out": ("DELETE FROM entry WHERE number = 4",),
    "all taken out": ("DELETE FROM entry",),
    "two swapped": (
        "UPDATE entry SET number = 9 WHERE number = 2", "UPDATE entry SET number = 2 WHERE number = 3",
        "UPDATE entry SET number = 3 WHERE number = 9",
    ),
    "one put in": ("INSERT INTO entry (number, body, hash) SELECT 5, body, hash FROM entry WHERE number = 4",),
    "a text that is none": ("UPDATE entry SET body = X'00FF' WHERE number = 3",),
}  # fmt: skip


@pytest.mark.parametrize("how", TAMPERINGS)
def test_tampering_is_found(how: str, tmp_path: Path) -> None:
    """Whatever is changed, taken out, put in or put elsewhere, the record is said not to be sound."""
    path = filled(tmp_path / "audits.db", 4)
    if how == "all taken out":
        with pytest.raises(InputError, match="entry 1 is gone"):
            tampered(path, *TAMPERINGS[how])
    else:
        assert tampered(path, *TAMPERINGS[how])


def test_guards_taken_out_are_found(tmp_path: Path) -> None:
    """Nor can somebody take out the guards unseen."""
    path = filled(tmp_path / "audits.db", 2)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DROP TRIGGER entry_is_not_changed")
        connection.commit()

    assert read_record(path).faults == ("the guards against changes were taken out of the file",)


def test_what_can_be_read_of_a_tampered_record_is_read(tmp_path: Path) -> None:
    """The untouched entries are there, those that no longer follow are marked."""
    path = filled(tmp_path / "audits.db", 4)
    tampered(path, *TAMPERINGS["a text changed"])

    assert [(one.number, one.sound) for one in read_record(path).entries] == [
        (1, True),
        (2, False),
        (3, True),
        (4, True),
    ]


def test_chain_rewritten_whole_shows_by_its_receipts(tmp_path: Path) -> None:
    """Somebody who rewrites all of it makes a sound record, but not the receipts that were told."""
    path = tmp_path / "audits.db"
    told = keep(path, entry("as it was")).hash
    path.unlink()
    keep(path, entry("as they like it"))

    found = read_record(path)
    assert found.faults == ()
    assert told not in [one.hash for one in found.entries]


def test_number_of_a_lost_entry_is_not_given_again(tmp_path: Path) -> None:
    """After the last entry was taken out, the next one leaves its gap to be seen."""
    path = filled(tmp_path / "audits.db", 3)
    tampered(path, "DELETE FROM entry WHERE number = 3")
    kept = keep(path, entry("after"))

    assert kept.entry == 4
    assert "entry 3 is gone" in read_record(path).faults


def test_damaged_page_hides_only_its_own(tmp_path: Path) -> None:
    """With a page of the file overwritten, the entries on the other pages are read, and the damage is told."""
    path = filled(tmp_path / "audits.db", 12, 30_000)
    raw = bytearray(path.read_bytes())
    page = 65_536
    at = next(n for n in range(2, len(raw) // page) if b"entry 5" in raw[n * page : (n + 1) * page])
    raw[at * page : at * page + 64] = b"\xff" * 64
    path.write_bytes(bytes(raw))
    found = read_record(path)

    numbers = [one.number for one in found.entries]
    assert found.faults
    assert {1, 2, 11, 12} <= set(numbers)
    assert numbers == sorted(set(numbers))


def test_file_with_its_head_gone_is_salvaged(tmp_path: Path) -> None:
    """A file that no database opens any more still gives up the entries that lie whole in its bytes."""
    path = filled(tmp_path / "audits.db", 6, 500)
    raw = path.read_bytes()
    path.write_bytes(b"\0" * 200 + raw[200:])
    found = read_record(path)

    assert [one.number for one in found.entries] == [1, 2, 3, 4, 5, 6]
    assert all(one.sound for one in found.entries)
    assert found.faults[0].startswith("the file is damaged")
    assert "6 entries were read from the bytes of the file; others may be lost" in found.faults


def test_file_cut_short(tmp_path: Path) -> None:
    """A file of which the end is missing is read as far as it goes."""
    path = filled(tmp_path / "audits.db", 12, 30_000)
    raw = path.read_bytes()
    path.write_bytes(raw[: len(raw) * 2 // 3])
    found = read_record(path)

    assert found.faults
    assert len(found.entries) >= 5


def test_any_damage_is_read_or_refused(tmp_path: Path) -> None:
    """Whichever bytes are damaged, there is an answer or a refusal, and no entry is called sound that was changed."""
    path = filled(tmp_path / "audits.db", 5, 800)
    whole = path.read_bytes()
    true = {one.number: one for one in read_record(path).entries}
    dice = random.Random(3)
    answered = 0
    for _ in range(60):
        raw = bytearray(whole)
        for _ in range(dice.randrange(1, 40)):
            raw[dice.randrange(len(raw))] = dice.randrange(256)
        path.write_bytes(bytes(raw))
        try:
            found = read_record(path)
        except InputError:
            continue
        answered += 1
        for one in found.entries:
            if one.sound and one.hash == true[one.number].hash:
                assert one == true[one.number]
            if one != true.get(one.number):
                assert found.faults
    assert answered > 20


def test_not_a_record(tmp_path: Path) -> None:
    """A text file, a database of something else and a missing file are refused, and left as they were."""
    text = tmp_path / "notes.txt"
    text.write_text("call the vendor\n" * 400, encoding="utf-8")
    other = tmp_path / "other.db"
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("CREATE TABLE photo (id INTEGER)")
        connection.commit()
    before = [path.read_bytes() for path in (text, other)]

    for path in (text, other):
        with pytest.raises(InputError, match="not a record of audits"):
            keep(path, entry("x"))
        with pytest.raises(InputError, match="not a record of audits"):
            read_record(path)
    with pytest.raises(InputError, match="there is no such record"):
        read_record(tmp_path / "none.db")
    with pytest.raises(InputError, match="cannot be written"):
        keep(tmp_path / "no" / "such" / "folder.db", entry("x"))
    assert [path.read_bytes() for path in (text, other)] == before


def audited(changes: dict[str, dict[str, Any]] | None = None) -> AuditResult:
    """An audit of the small cache, with lines of its count changed."""
    cache = audited_cache()
    count: CountSheet = counted(cache, changes)
    needs = needs_of([{"at": 50, "count": 2}])
    suppose = api.WhatIf(on=DAY, settings=(change("N1-1", on=False),))
    return api.audit(cache, read_rules(), count, needs=needs, suppose=suppose)


def test_history_says_what_changed_since(tmp_path: Path) -> None:
    """Three audits: what is found again is counted in a row, what is mended is gone, what is new is new."""
    path = tmp_path / "audits.db"
    burnt, moved = {"S-1": {"condition": "burnt"}}, {"S-2": {"where": "the cab"}}
    first = api.keep_audit(audited(burnt | moved), path)
    second = api.keep_audit(audited(burnt), path)
    third = api.keep_audit(audited(burnt | {"S-3": {"where": "the cab"}}), path)
    (since,) = api.history(path).since

    assert [one.kept.entry for one in (first, second, third) if one.kept] == [1, 2, 3]
    assert {one.finding.rule: one.times for one in third.findings}["WEB-2"] == 3
    assert (since.earlier, since.later) == (2, 3)
    assert {(one.finding.rule, one.finding.serial) for one in since.repeated if one.finding.serial} == {
        ("WEB-2", "S-1")
    }
    assert {(one.finding.rule, one.finding.serial) for one in since.new} == {("CNT-1", "S-3")}
    assert since.gone == ()
    before = api.history(path).entries[:2]
    assert {one.key for one in before[0].findings} - {one.key for one in before[1].findings} == {"CNT-1|T/strap|S-2"}


def test_finding_with_other_figures_is_found_again(tmp_path: Path) -> None:
    """Two straps missing, then three: the same finding again, though its figures differ."""
    path = tmp_path / "audits.db"
    for found in (6, 5):
        result = api.keep_audit(audited({"pin": {"found": found, "usable": found}}), path)

    assert {(one.finding.rule, one.finding.part): one.times for one in result.findings}["CNT-1", "T/pin"] == 2


def test_findings_that_went_away_are_told(tmp_path: Path) -> None:
    """What the audit before found and this one does not is gone, and the struts stand beside those of before."""
    path = tmp_path / "audits.db"
    api.keep_audit(audited({"body": {"found": 1, "usable": 1}}), path)
    api.keep_audit(audited(), path)
    (since,) = api.history(path).since

    assert {one.rule for one in since.gone} == {"AUD-1", "CNT-1", "NEED-1"}
    assert [(one.today, before) for one, before in since.struts] == [(2, 1)]


def test_correction_is_a_new_entry(tmp_path: Path) -> None:
    """A correction leaves what it corrects as it was, and names it."""
    path = tmp_path / "audits.db"
    kept = api.keep_audit(audited(), path)
    api.correct(path, 1, "counted on the 24th", "A. B.", DAY)
    first, second = api.history(path).entries

    assert kept.kept is not None
    assert first.hash == kept.kept.hash
    assert (second.kind, second.corrects, second.says, second.by) == ("correction", 1, "counted on the 24th", "A. B.")
    with pytest.raises(AskError, match="there is no entry 9"):
        api.correct(path, 9, "x", "A. B.")
    with pytest.raises(AskError, match="says what is wrong, and who says so"):
        api.correct(path, 1, " ", "A. B.")
    assert len(api.history(path).entries) == 2


def test_history_of_one_rig(tmp_path: Path) -> None:
    """One rig's audits with their corrections; a rig that is not there is refused with those that are."""
    path = tmp_path / "audits.db"
    api.keep_audit(audited(), path)
    keep(path, entry("another rig"))
    api.correct(path, 2, "wrong day", "A. B.")

    assert [one.number for one in api.history(path, "r").entries] == [2, 3]
    with pytest.raises(AskError, match="there are tidy, r"):
        api.history(path, "rescue-9")


def test_an_audit_that_is_not_kept_says_so(tmp_path: Path) -> None:
    """Without a record nothing is counted in a row, and there is no receipt."""
    result = audited({"S-1": {"condition": "burnt"}})

    assert result.kept is None
    assert {one.times for one in result.findings} == {0}
    assert replace(result, kept=None) == result
