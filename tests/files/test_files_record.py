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
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from audit_builders import DAY, audited_cache, counted
from builders import change, needs_of

import cache_check as api
from cache_check.errors import AskError, InputError
from cache_check.files import record
from cache_check.files.record import keep
from cache_check.files.record_in import START, chained, read_record
from cache_check.files.rules import read_rules
from cache_check.model.audit import AuditResult
from cache_check.model.cache import Source
from cache_check.model.count import CountSheet
from cache_check.report import of_history
from cache_check.report.answer import Told

ROOT = Path(__file__).parents[2]
KILLS = int(os.environ.get("KILLS", "30"))
"""Points at which a writer is killed, each way; KILLS=1000 asks for the long form."""


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
        [sys.executable, str(Path(__file__).with_name("kill_writers.py")), str(tmp_path), str(KILLS)],
        env=os.environ | {"PYTHONPATH": str(ROOT)}, capture_output=True, text=True, timeout=60 + 3 * KILLS, check=True,
    )  # fmt: skip
    answer = json.loads(run.stdout)

    assert answer["new"]["faults"] == answer["old"]["faults"] == answer["moments"]["faults"] == []
    assert min(answer[way]["kills"] for way in ("new", "old")) >= min(KILLS, 200)  # some 240 steps: all of them then
    assert answer["moments"]["kills"] >= KILLS
    assert answer["moments"]["reported"] >= KILLS


@pytest.mark.parametrize("nameless", [True, False])
def test_whoever_is_quicker_with_a_new_record_is_asked_about(
    nameless: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An entry that finds a record where there was none asks it first; a folder without nameless files serves too."""
    if not nameless:
        monkeypatch.delattr(os, "O_TMPFILE")
    path, put = tmp_path / "audits.db", record._put
    seen: list[tuple[int]] = []

    def slow(path: Path, whole: bytes) -> None:
        monkeypatch.setattr(record, "_put", put)
        keep(path, entry("the quicker"))
        put(path, whole)

    monkeypatch.setattr(record, "_put", slow)
    kept = keep(path, entry("the slower"), lambda held: seen.extend(held.execute("SELECT number FROM entry")))

    assert (seen, kept.entry) == ([(1,)], 2)
    assert [one.says for one in read_record(path).entries] == ["the quicker", "the slower"]
    assert list(tmp_path.iterdir()) == [path]


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
    with closing(sqlite3.connect(path)) as connection, pytest.raises(sqlite3.IntegrityError, match="an entry is never"):
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
        with pytest.raises(InputError, match="entries 1 to 4 are gone"):
            tampered(path, *TAMPERINGS[how])
    else:
        assert tampered(path, *TAMPERINGS[how])


def test_an_entry_kept_again_in_another_place_is_found(tmp_path: Path) -> None:
    """Its hash may be worked out for the new place by anyone: what it says that it is may not be another."""
    path = filled(tmp_path / "audits.db", 3)
    with closing(sqlite3.connect(path)) as connection:
        [(body, ending)] = connection.execute("SELECT body, hash FROM entry WHERE number = 3").fetchall()
        connection.execute("INSERT INTO entry (body, hash) VALUES (?, ?)", (body, chained(ending, body)))
        connection.commit()

    assert read_record(path).faults == (
        "entry 4 does not follow from the one before it: it, or one before it, was changed or is missing",
    )
    with pytest.raises(InputError, match="is not sound, so nothing was added"):
        keep(path, entry("after"))


@pytest.mark.parametrize(
    "instead", ["", "CREATE TRIGGER entry_is_not_changed BEFORE UPDATE ON entry BEGIN SELECT 1; END"]
)
def test_guards_taken_out_are_found_and_not_put_back(instead: str, tmp_path: Path) -> None:
    """Guards taken out, or others in their place, are seen, and are not put back by the next entry."""
    path = filled(tmp_path / "audits.db", 2)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DROP TRIGGER entry_is_not_changed")
        connection.execute(instead)
        connection.commit()

    fault = "the guards against changes were taken out of the file, or changed"
    assert read_record(path).faults == (fault,)
    with pytest.raises(InputError, match=f"is not sound, so nothing was added: {fault}"):
        keep(path, entry("after"))
    assert read_record(path).faults == (fault,)


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


@pytest.mark.parametrize(("how", "agrees"), [
    ("a text changed", [True, False, False, False]), ("the first taken out", [False, False, False]),
    ("the last taken out", [True, True, True]), ("a text that is none", [True, True, False]),
])  # fmt: skip
def test_a_receipt_answers_for_no_entry_before_which_something_was_changed(
    how: str, agrees: list[bool], tmp_path: Path
) -> None:
    """The hash of a later entry is still there when an earlier one is changed: that it is there says nothing."""
    path = filled(tmp_path / "audits.db", 4)
    tampered(path, *TAMPERINGS[how])
    left = [one.hash for one in read_record(path).entries]

    assert [one.agrees for one in read_record(path, left).receipts] == agrees


def rewritten(path: Path) -> None:
    """Every entry says something else, and every hash is right."""
    before, rows = START, []
    with closing(sqlite3.connect(path)) as connection:
        for number, body in connection.execute("SELECT number, body FROM entry ORDER BY number").fetchall():
            says = body.replace("pass", "fail")
            before = chained(before, says)
            rows.append((says, before, number))
        guards = [sql for (sql,) in connection.execute("SELECT sql FROM sqlite_master WHERE type = 'trigger'")]
        connection.execute("DROP TRIGGER entry_is_not_changed")
        connection.executemany("UPDATE entry SET body = ?, hash = ? WHERE number = ?", rows)
        connection.execute(next(sql for sql in guards if "entry_is_not_changed" in sql))
        connection.commit()


def test_chain_rewritten_whole_shows_by_its_receipts_alone(tmp_path: Path) -> None:
    """Somebody who writes all of it anew makes links that agree; a receipt from outside shows it."""
    path = tmp_path / "audits.db"
    told = [keep(path, entry(f"entry {number}")).hash for number in (1, 2)]
    assert [one.entry for one in read_record(path, [told[0][:12], told[1]]).receipts] == [1, 2]
    rewritten(path)

    assert read_record(path).faults == ()
    found = read_record(path, [told[1]])
    assert [one.entry for one in found.receipts] == [None]
    assert "no entry has the receipt" in found.faults[0]
    with pytest.raises(AskError, match="is not a receipt"):
        read_record(path, ["1234567890"])


def test_last_entry_cut_off_with_the_counter_set_back_shows_by_its_receipt(tmp_path: Path) -> None:
    """Whoever sets the counter back too leaves a shorter record whose links agree; the receipt of the last is gone."""
    path = filled(tmp_path / "audits.db", 2)
    told = keep(path, entry("the last")).hash
    assert not tampered(path, "DELETE FROM entry WHERE number = 3", "UPDATE sqlite_sequence SET seq = 2")

    assert read_record(path, [told]).receipts[0].entry is None


@pytest.mark.parametrize("how", ["a text changed", "the last taken out", "one put in"])
def test_nothing_is_added_to_a_record_that_is_not_sound(how: str, tmp_path: Path) -> None:
    """After such a change no entry and no correction is added, and the file stays byte for byte as it is."""
    path = filled(tmp_path / "audits.db", 4)
    tampered(path, *TAMPERINGS[how])
    as_found = path.read_bytes()

    with pytest.raises(InputError, match="is not sound, so nothing was added: entry"):
        keep(path, entry("after"))
    with pytest.raises(InputError, match="is not sound, so nothing was added: entry"):
        api.correct(path, 1, "counted on the 24th", "A. B.")
    assert path.read_bytes() == as_found


def test_empty_file_is_no_record(tmp_path: Path) -> None:
    """A file emptied, or made by something else, is neither read as a record without entries nor begun anew."""
    path = tmp_path / "audits.db"
    path.touch()
    for run in (lambda: read_record(path), lambda: keep(path, entry("x")), lambda: api.keep_audit(audited(), path)):
        with pytest.raises(
            InputError, match="is empty: not a record of audits, and if it was one, every entry is gone"
        ):
            run()
    assert path.read_bytes() == b""


def test_what_fails_leaves_nothing_behind(tmp_path: Path) -> None:
    """An entry that cannot be written makes no file, and adds nothing to one that is there."""
    path = tmp_path / "audits.db"
    with pytest.raises(TypeError):
        keep(path, {"kind": object()})
    assert list(tmp_path.iterdir()) == []
    filled(path, 2)
    whole = path.read_bytes()
    with pytest.raises(TypeError):
        keep(path, {"kind": object()})
    assert (path.read_bytes(), list(tmp_path.iterdir())) == (whole, [path])


def test_pipe_is_no_record(tmp_path: Path) -> None:
    """A named pipe is refused at once, not waited for."""
    path = tmp_path / "pipe"
    os.mkfifo(path)
    for run in (read_record, lambda name: keep(name, entry("x"))):
        with pytest.raises(InputError, match="is not a file"):
            run(path)


def test_damaged_page_hides_nothing_before_it(tmp_path: Path) -> None:
    """With pages of the file overwritten, the entries before them are read, and the damage is told."""
    path = filled(tmp_path / "audits.db", 12, 30_000)
    raw = bytearray(path.read_bytes())
    at = raw.index(b"entry 5") // 4096 * 4096
    raw[at : at + 64] = b"\xff" * 64
    path.write_bytes(bytes(raw))
    found = read_record(path)

    numbers = [one.number for one in found.entries]
    assert found.faults
    assert {1, 2} <= set(numbers)
    assert numbers == sorted(set(numbers))


def test_file_that_no_database_opens_is_refused(tmp_path: Path) -> None:
    """A file with its head gone, or cut short, is refused as damaged, and nothing is added."""
    path = filled(tmp_path / "audits.db", 12, 30_000)
    raw = path.read_bytes()
    path.write_bytes(b"\0" * 200 + raw[200:])
    with pytest.raises(InputError, match="is not a record of audits, or is damaged"):
        read_record(path)
    path.write_bytes(raw[: len(raw) * 2 // 3])
    with pytest.raises(InputError, match="damaged"):
        keep(path, entry("after"))


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


def audited(changes: dict[str, dict[str, Any]] | None = None, after: int = 0, **head: Any) -> AuditResult:
    """An audit of the small cache so many days after the first, with lines of its count changed."""
    cache = audited_cache()
    on = DAY + timedelta(after)
    count: CountSheet | None = counted(cache, changes, on=on, **head)
    needs = needs_of([{"at": 50, "count": 2}])
    suppose = api.WhatIf(on=on, settings=(change("N1-1", on=False),))
    return api.audit(cache, read_rules(), count, needs=needs, suppose=suppose)


BURNT, MOVED = {"S-1": {"condition": "burnt", "tag": "T-1"}}, {"S-2": {"where": "the cab"}}
WHOLE = {"S-1": {"condition": "good"}}


def test_history_says_what_changed_since(tmp_path: Path) -> None:
    """Three audits: what is found again is counted in a row, what is mended is gone, what is new is new."""
    path = tmp_path / "audits.db"
    first = api.keep_audit(audited(BURNT | MOVED), path)
    second = api.keep_audit(audited(BURNT, 1), path)
    third = api.keep_audit(audited(BURNT | {"S-3": {"where": "the cab"}}, 2), path)
    (since,) = api.history(path).since

    assert [one.kept.entry for one in (first, second, third) if one.kept] == [1, 2, 3]
    assert {one.finding.rule: one.times for one in third.findings}["WEB-2"] == 3
    assert (since.earlier, since.later) == (2, 3)
    assert {(one.finding.rule, one.finding.serial, one.times) for one in since.repeated if one.finding.serial} == {
        ("WEB-2", "S-1", 3)
    }
    assert {(one.finding.rule, one.finding.serial) for one in since.new} == {("CNT-1", "S-3")}
    assert (since.gone, since.unseen) == ((), ())
    before = api.history(path).entries[:2]
    assert {one.key for one in before[0].findings} - {one.key for one in before[1].findings} == {"CNT-1|T/strap|S-2"}


def test_finding_with_other_figures_is_found_again(tmp_path: Path) -> None:
    """Two straps missing, then three: the same finding again, though its figures differ."""
    path = tmp_path / "audits.db"
    for after, found in enumerate((6, 5)):
        result = api.keep_audit(audited({"pin": {"found": found, "usable": found}}, after), path)

    assert {(one.finding.rule, one.finding.part): one.times for one in result.findings}["CNT-1", "T/pin"] == 2


def test_findings_that_went_away_are_told(tmp_path: Path) -> None:
    """What the audit before found and this one looked at and did not find is gone; struts stand beside those before."""
    path = tmp_path / "audits.db"
    api.keep_audit(audited({"body": {"found": 1, "usable": 1}}), path)
    api.keep_audit(audited(after=1), path)
    (since,) = api.history(path).since

    assert {one.rule for one in since.gone} == {"AUD-1", "CNT-1", "NEED-1"}
    assert [(one.today, before) for one, before in since.struts] == [(2, 1)]


def test_what_went_from_the_book_alone_is_not_called_gone_without_a_word(tmp_path: Path) -> None:
    """Two pins missing; then the book is written to have two fewer, and no pin was found."""
    path, lines = tmp_path / "audits.db", {"pin": {"found": 6, "usable": 6}}
    for after, pins in enumerate((8, 8, 6)):
        cache = audited_cache(counts={"pin": pins}).changed(sources=(Source(path="rig.yaml", sha256=f"{pins:064}"),))
        suppose = api.WhatIf(on=DAY + timedelta(days=after))
        api.keep_audit(api.audit(cache, read_rules(), counted(cache, lines), suppose=suppose), path)
        (since,) = (found := api.history(path)).since
        [rig] = [one.text for one in of_history.short(found, Told())[2].lines if one.label == "Rig"]

        assert since.rebooked == (after == 2)
        assert ("CNT-1|T/pin" in {one.key[:11] for one in since.gone}) == (after == 2)
        assert rig.endswith("what is gone may have gone from the book alone") == (after == 2)


BLANKS: dict[str, dict[str, Any]] = {
    "line": {"found": None, "usable": None, "label": None}, "usable": {"usable": None}, "condition": {},
}  # fmt: skip


@pytest.mark.parametrize("blank", BLANKS)
def test_blank_is_not_gone(blank: str, tmp_path: Path) -> None:
    """A burnt strap whose line, fitness or condition the next count leaves blank is not looked at, and stays open."""
    path = tmp_path / "audits.db"
    api.keep_audit(audited(BURNT), path)
    api.keep_audit(audited({"S-1": BLANKS[blank]}, 1), path)
    (since,) = api.history(path).since
    (line,) = [one.text for one in of_history.short(api.history(path), Told())[2].lines if "WEB-2" in one.text]
    again = api.keep_audit(audited(BURNT, 2), path)
    api.keep_audit(audited(WHOLE, 3), path)
    (mended,) = api.history(path).since

    assert ("WEB-2", "S-1") in {(one.finding.rule, one.finding.serial) for one in since.unseen}
    assert line.endswith("not looked at since)")
    assert all(one.serial != "S-1" for one in since.gone)
    assert {one.finding.rule: one.times for one in again.findings}["WEB-2"] == 2
    assert ("WEB-2", "S-1") in {(one.rule, one.serial) for one in mended.gone}
    assert mended.unseen == ()


def test_audit_without_a_count_closes_nothing(tmp_path: Path) -> None:
    """The book alone, audited after a count, looks at nothing."""
    path = tmp_path / "audits.db"
    api.keep_audit(audited(BURNT | MOVED), path)
    suppose = api.WhatIf(on=DAY + timedelta(1))
    api.keep_audit(api.audit(audited_cache(), read_rules(), None, suppose=suppose), path)
    (since,) = api.history(path).since

    assert since.gone == ()
    assert {"S-1", "S-2"} <= {one.finding.serial for one in since.unseen}


def test_corrected_audit_does_not_count(tmp_path: Path) -> None:
    """An audit that a correction takes back neither closes what was open nor adds to its days."""
    path = tmp_path / "audits.db"
    api.keep_audit(audited(BURNT), path)
    api.keep_audit(audited(WHOLE, 1), path)
    api.correct(path, 2, "counted the wrong rig", "A. B.", DAY)
    found = api.history(path)

    assert found.corrected == (2,)
    assert (found.since[0].later, found.since[0].gone) == (1, ())
    third = api.keep_audit(audited(BURNT, 2), path)
    assert {one.finding.rule: one.times for one in third.findings}["WEB-2"] == 2


def test_late_audit_takes_its_place_by_its_day(tmp_path: Path) -> None:
    """An audit kept after one of a later day is late: the last is still that of the later day."""
    path = tmp_path / "audits.db"
    api.keep_audit(audited(WHOLE, 5), path)
    late = api.keep_audit(audited(BURNT, 1), path)
    found = api.history(path)

    assert found.late == (2,)
    assert (found.since[0].earlier, found.since[0].later) == (2, 1)
    assert ("WEB-2", "S-1") in {(one.rule, one.serial) for one in found.since[0].gone}
    assert {one.times for one in late.findings} == {1}


def test_in_a_row_counts_days(tmp_path: Path) -> None:
    """Three audits of one day are one day; the last of them holds."""
    path = tmp_path / "audits.db"
    for changes in (BURNT, BURNT, BURNT | MOVED):
        result = api.keep_audit(audited(changes), path)
    (since,) = api.history(path).since

    assert {one.times for one in result.findings} == {1}
    assert (since.earlier, since.later, since.repeated) == (None, 3, ())


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
