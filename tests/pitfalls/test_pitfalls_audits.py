"""Pitfalls of counts, audits and their record, through the command: what must not be called passed, gone or sound."""

from __future__ import annotations

import csv
import io
import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from cli.running import ON, SAMPLES

from cache_check.cli.output import guarded
from cache_check.files.record_in import START, chained

Row = dict[str, str]
NEEDS = str(SAMPLES / "needs.yaml")


class Desk:
    """A folder with the rigs of the county, where commands are run and their JSON is read."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder = folder
        self.capsys = capsys
        for path in SAMPLES.glob("*.yaml"):
            (folder / path.name).write_bytes(path.read_bytes())

    def run(self, *arguments: object) -> tuple[int, str, str]:
        """Exit status, standard output and standard error of a command."""
        status = guarded([str(one) for one in arguments])
        said = self.capsys.readouterr()
        return status, said.out, said.err

    def change(self, old: str, new: str) -> None:
        """Write Rescue 41 otherwise."""
        path = self.folder / "rescue-41.yaml"
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")

    def count(self, name: str, *changes: tuple[str, Row], every: Row | None = None) -> Path:
        """The sheet of Rescue 41 filled in as the book has it, but for lines named by serial, part or set."""
        path = self.folder / f"{name}.csv"
        status, _, said = self.run("audit", self.folder / "rescue-41.yaml", "--sheet", path)
        assert status == 0, said
        rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"))))
        heads = next(row for row in rows if row[:2] == ["place", "part"])
        for row in rows:
            if row[:1] in (["counted by"], ["second person"]):
                row[1] = row[0]
            elif row[:1] == ["counted on"]:
                row[1] = "2026-11-25"
            elif len(row) == len(heads) and row is not heads:
                row[:] = self._line(dict(zip(heads, row, strict=True)), dict(changes), every or {}).values()
        out = io.StringIO()
        csv.writer(out).writerows(rows)
        path.write_text(out.getvalue(), encoding="utf-8")
        return path

    @staticmethod
    def _line(cells: Row, changes: dict[str, Row], every: Row) -> Row:
        single = bool(cells["serial"]) or cells["part"].startswith("ready")
        here = ("yes" if cells["book"] == "1" else "no") if single else cells["book"]
        cells |= {"found": here, "usable": here if here != "no" else "", "held": "yes"}
        cells["label"] = "legible" if cells["serial"] else ""
        if cells["part"] == "hinged-base":
            cells["points"] = "2" if cells["serial"] else "2 each"
        if cells["part"].startswith("ready"):
            cells |= {"usable": "", "label": ""}
        cells |= every | changes.get(cells["serial"] or cells["part"], {})
        return cells

    def audit(self, count: Path, *more: object, on: tuple[str, ...] = ON) -> dict[str, Any]:
        """The answer of an audit of Rescue 41."""
        status, out, said = self.run("audit", self.folder / "rescue-41.yaml", count, *on, "--format", "json", *more)
        assert status in (0, 1), said
        answer: dict[str, Any] = json.loads(out)["answers"][0]
        return answer


@pytest.fixture
def desk(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Desk:
    """A desk in a folder of its own."""
    return Desk(tmp_path, capsys)


def found(answer: dict[str, Any]) -> set[tuple[str, str]]:
    """Rule, and serial or part, of every finding."""
    return {(one["finding"]["rule"], one["finding"]["serial"] or one["finding"]["part"]) for one in answer["findings"]}


def restrained(answer: dict[str, Any]) -> list[int]:
    """Struts restrained today at each length."""
    return [
        next(step["count"] for step in one["today"]["counts"] if step["step"] == "restrained")
        for one in answer["compared"]
    ]


def test_pitfall_17_points_of_a_lot(desk: Desk) -> None:
    """Of the lot of bases, one point fewer in all takes a base; as many as were made takes none; 99 is refused."""
    whole = desk.audit(desk.count("whole", ("hinged-base", {"points": "6"})))
    fewer = desk.audit(desk.count("fewer", ("hinged-base", {"points": "5"})))
    status, _, said = desk.run(
        "audit", desk.folder / "rescue-41.yaml", desk.count("many", ("hinged-base", {"points": "99"}))
    )

    assert not {("TAG-1", "P/hinged-base"), ("CNT-3", "P/hinged-base")} & found(whole)
    assert ("TAG-1", "P/hinged-base") in found(fewer)
    assert all(a <= b for a, b in zip(restrained(fewer), restrained(whole), strict=True))
    assert status == 2
    assert "99 points of 3 found, made with 2 each" in said


def test_points_left_blank_are_not_looked_at(desk: Desk) -> None:
    """Bases at whose points nobody looked are not known and to be looked at; nobody is told that they have none."""
    answer = desk.audit(desk.count("blank", ("hinged-base", {"points": ""})))
    told = [one["finding"] for one in answer["findings"] if one["finding"]["part"] == "P/hinged-base"]

    assert [one["rule"] for one in told if one["severity"] == "stop"] == []
    assert [one["remedy"] for one in told if one["rule"] == "PTS-2"] == [
        "look at its attachment points, and write how many are fit"
    ]


@pytest.mark.parametrize("written", ["no", ""])
def test_pitfall_18_at_repair_is_not_missing(written: str, desk: Desk) -> None:
    """A body at repair in a ready set is not called missing; where its line was left blank nobody looked."""
    desk.change("{serial: LB-01, where", "{serial: LB-01, status: repair, where")
    answer = desk.audit(desk.count("count", ("LB-01", {"found": written, "usable": "", "label": ""})))

    assert ("CNT-1", "LB-01") not in found(answer)
    assert ("SET-1", "LB-01") in found(answer)
    assert (("CNT-3", "P/long-body") in found(answer)) == (written == "")


def test_pitfall_18_unreadable_untagged_and_tagged_in_a_ready_set(desk: Desk) -> None:
    """An unreadable body in a ready set stops the rig until it bears a tag."""
    bad = {"label": "unreadable"}
    untagged = desk.audit(desk.count("untagged", ("LB-01", bad)))
    tagged = desk.audit(desk.count("tagged", ("LB-01", bad | {"tag": "T-7"})))

    assert ("TAG-1", "LB-01") in found(untagged)
    assert untagged["verdict"]["outcome"] == "out of service"
    assert ("TAG-1", "LB-01") not in found(tagged)
    assert ("SET-1", "LB-01") in found(tagged)
    states = {link["name"]: link["state"] for link in tagged["verdict"]["links"]}
    assert states["tags on what is out of use"] == "holds"


def test_pitfall_26_blank_is_not_gone(desk: Desk) -> None:
    """A second audit with blank cells calls nothing gone."""
    record = desk.folder / "audits.db"
    bad = {"label": "unreadable", "condition": "cracked, do not use", "tag": "T-7"}
    desk.audit(desk.count("first", ("LB-01", bad)), "--record", record)
    blank = desk.count("second", every={"found": "", "usable": "", "label": "", "points": "", "held": ""})
    desk.audit(blank, "--record", record, on=("--on", "2026-11-26"))
    status, out, _ = desk.run("history", record, "--format", "json")
    (rig,) = json.loads(out)["answers"][0]["since"]

    assert status == 0
    assert rig["gone"] == []
    assert "LB-01" in {one["finding"]["serial"] for one in rig["unseen"]}


@pytest.mark.parametrize(("asked", "changes", "gone", "unseen"), [
    (("--needs", NEEDS), (), {"LAB-1"}, set()),
    ((), (), {"LAB-1"}, {"AUD-1", "NEED-1", "N1-1"}),
    (("--needs", NEEDS, "--set", "LAB-1=off"), (), set(), {"LAB-1"}),
    (("--needs", NEEDS, "--set", "NEED-1=off"), (), {"LAB-1"}, {"NEED-1"}),
    (("--needs", NEEDS), (("flat-fitting", {"usable": "0"}),), {"LAB-1"}, {"N1-1"}),
])  # fmt: skip
def test_pitfall_26_what_no_audit_asked_again_is_not_gone(
    desk: Desk, asked: tuple[str, ...], changes: tuple[tuple[str, Row], ...], gone: set[str], unseen: set[str]
) -> None:
    """Without the needs, with a rule off, with one missing where a need is not met at all: nobody has looked."""
    record = desk.folder / "audits.db"
    first = desk.count("first", ("LB-01", {"label": "unreadable", "tag": "T-7"}))
    desk.audit(first, "--needs", NEEDS, "--record", record)
    desk.audit(desk.count("second", *changes), *asked, "--record", record, on=("--on", "2026-11-26"))
    (rig,) = json.loads(desk.run("history", record, "--format", "json")[1])["answers"][0]["since"]

    rules = {"AUD-1", "LAB-1", "N1-1", "NEED-1"}
    assert {one["rule"] for one in rig["gone"]} & rules == gone
    assert {one["finding"]["rule"] for one in rig["unseen"]} & rules == unseen


def test_pitfall_27_what_a_record_shows_and_what_it_cannot(desk: Desk) -> None:
    """All written anew with right hashes, the last taken out, emptied: each is said for what it is."""
    record = desk.folder / "audits.db"
    for day in ("2026-11-25", "2026-11-26"):
        kept = desk.audit(desk.count(day), "--record", record, on=("--on", day))["kept"]
    _, plain, _ = desk.run("history", record)
    assert "nothing was changed" not in plain
    assert "compare the last receipt" in " ".join(plain.split())

    whole = record.read_bytes()
    with closing(sqlite3.connect(record)) as connection:
        for name in ("entry_is_not_changed", "entry_is_not_deleted"):
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute("DELETE FROM entry WHERE number = 2")
        connection.commit()
    status, out, _ = desk.run("history", record)
    assert (status, "NOT SOUND" in out, "entry 2 is gone" in out) == (1, True, True)
    status, _, said = desk.run("audit", desk.folder / "rescue-41.yaml", "--record", record, *ON)
    assert (status, "is not sound, so nothing was added" in said) == (2, True)

    record.write_bytes(whole)
    with closing(sqlite3.connect(record)) as connection:
        connection.execute("DROP TRIGGER entry_is_not_deleted")
        connection.execute("DELETE FROM entry WHERE number = 1")
        connection.commit()
    status, out, _ = desk.run("history", record, "--receipt", kept["hash"], "--show", "sound")
    assert (status, "up to there the record is what it was then" in " ".join(out.split())) == (1, False)
    assert "so the record is NOT what it was then" in " ".join(out.split())

    record.write_bytes(whole)
    rewritten(record)
    assert desk.run("history", record)[0] == 0
    status, out, _ = desk.run("history", record, "--receipt", kept["hash"])
    assert (status, "no entry has the receipt" in " ".join(out.split())) == (1, True)

    record.write_bytes(b"")
    status, _, said = desk.run("history", record)
    assert (status, "is empty: not a record of audits" in said) == (2, True)


def rewritten(record: Path) -> None:
    """Write every entry anew, each with the hash that follows."""
    before = START
    with closing(sqlite3.connect(record)) as connection:
        rows = connection.execute("SELECT number, body FROM entry ORDER BY number").fetchall()
        (guard,) = connection.execute("SELECT sql FROM sqlite_master WHERE name = 'entry_is_not_changed'").fetchone()
        connection.execute("DROP TRIGGER entry_is_not_changed")
        for number, body in rows:
            says = body.replace("counted by", "somebody else")
            before = chained(before, says)
            connection.execute("UPDATE entry SET body = ?, hash = ? WHERE number = ?", (says, before, number))
        connection.execute(guard)
        connection.commit()


@pytest.mark.parametrize("written", [{"tag": "T-9"}, {"condition": "cut, burnt", "tag": "T-9"}])
def test_pitfall_35_what_is_written_of_a_strap_takes_it_out(written: Row, desk: Desk) -> None:
    """A strap found usable of which the count says otherwise is not counted on; its tag is kept and shown."""
    answer = desk.audit(desk.count("count", ("ST-01", written)))
    fits = desk.audit(desk.count("fits"))
    (line,) = [one for one in answer["count"]["lines"] if one["serial"] == "ST-01"]

    assert line["tag"] == "T-9"
    assert usable(answer, "P/strap") == usable(fits, "P/strap") - 1
    assert ("TAG-1", "ST-01") not in found(answer)


@pytest.mark.parametrize(
    ("part", "written", "rule", "out"),
    [
        ("short-body", {"condition": "cracked, do not use"}, "WEB-2", True),
        ("hinged-base", {"condition": "bent"}, "WEB-2", True),
        ("edge-head", {"condition": "wobbly"}, "WEB-2", False),
        ("strap", {"label": "unknown"}, "LAB-1", False),
        ("edge-head", {"note": "two bent"}, "WEB-2", False),
        ("edge-head", {"note": "bent", "usable": "3"}, "WEB-2", True),
    ],
)
def test_pitfall_35_what_is_written_of_a_lot_holds_of_every_piece(
    part: str, written: Row, rule: str, out: bool, desk: Desk
) -> None:
    """Words against a lot take all of it out; words that nobody knows, or a label nobody could read, leave it unknown.

    Either way none of it is counted on, though the line says that all of it is usable.
    """
    answer = desk.audit(desk.count("count", (part, written)))
    told = [one["finding"] for one in answer["findings"] if one["finding"]["rule"] == rule]
    lot = {"short-body": 2, "hinged-base": 3, "edge-head": 4, "strap": 6}[part]

    mine = [figure for one in told if one["part"] == f"P/{part}" for figure in one["figures"]]
    named = [figure["value"] for figure in mine if figure["name"] == "pieces_count"]

    assert sum(named) == int(written.get("usable", lot))
    assert (("TAG-1", f"P/{part}") in found(answer)) == out


def test_a_note_of_as_many_as_are_not_fit_leaves_the_others(desk: Desk) -> None:
    """A note of two bent, beside two of four fit, tells of those two."""
    answer = desk.audit(desk.count("count", ("edge-head", {"note": "two bent", "usable": "2"})))

    assert usable(answer, "P/edge-head") == -2


def usable(answer: dict[str, Any], part: str) -> int:
    """Pieces of a part on the book, less what its costs name as out of use."""
    return -sum(number(one["cause"]) for one in answer["costs"] if about(one["cause"])["part"] == part)


def about(cause: dict[str, Any]) -> dict[str, Any]:
    """Where a cause says what pieces it is about."""
    idle: dict[str, Any] = cause.get("idle", cause)
    return idle


def number(cause: dict[str, Any]) -> int:
    """How many pieces a cause is about."""
    return int(about(cause)["number"])


def test_pitfall_36_one_serial_on_two_rigs(desk: Desk) -> None:
    """A serial that stands in the book of another rig too is told, in capitals or not."""
    other = desk.folder / "rescue-44.yaml"
    serial = next(word for word in other.read_text(encoding="utf-8").split() if word.startswith("LB-")).strip(",")
    desk.change("serial: LB-01", f"serial: {serial.lower()}")
    desk.change("serials: [LB-01]", f"serials: [{serial.lower()}]")
    answer = desk.audit(desk.count("count"), "--other", other)

    assert ("CNT-1", serial.lower()) in found(answer)
    assert "two books; the book of rescue-44 lists it too" in json.dumps(answer["findings"])


@pytest.mark.parametrize("more", [(), ("--set", "CNT-3.blank_as_book=on")])
def test_pitfall_36_a_serial_of_two_books_is_counted_where_it_was_seen(more: tuple[str, ...], desk: Desk) -> None:
    """Audited by the book, or with its line left blank, it may be on the other rig, as --jobs has it."""
    other = desk.folder / "rescue-44.yaml"
    serial = next(word for word in other.read_text(encoding="utf-8").split() if word.startswith("LB-")).strip(",")
    desk.change("LB-01", serial)
    blank = desk.count("blank", (serial, {"found": "", "usable": "", "label": "", "points": ""}))
    for count, seen in ((None, False), (blank, False), (desk.count("seen"), True)):
        files = [desk.folder / "rescue-41.yaml", *([count] if count else [])]
        _, out, _ = desk.run("audit", *files, "--other", other, *ON, *more, "--format", "json")
        answer = json.loads(out)["answers"][0]

        assert (usable(answer, "P/long-body") == 0) == seen
        assert ("CNT-1", serial) in found(answer)


def test_a_count_of_another_book_is_said_in_the_short_answer(desk: Desk) -> None:
    """What changed in the book since its sheet was made is not on the sheet: told with the result, not under --show."""
    count = desk.count("count")
    desk.change("count: 4", "count: 5")
    _, out, _ = desk.run("audit", desk.folder / "rescue-41.yaml", count, *ON)
    (line,) = [one for one in out.splitlines() if one.startswith("Count ")]

    assert "made from another book" in line
    assert "another book" not in desk.run("audit", desk.folder / "rescue-41.yaml", desk.count("new"), *ON)[1]


def test_pitfall_37_usable_left_blank_is_not_counted(desk: Desk) -> None:
    """All straps found, none looked at: none is counted, nothing is restrained, and it is no pass."""
    straps = {"usable": "", "label": ""}
    answer = desk.audit(desk.count("count", ("strap", straps), ("ST-01", straps)))

    assert ("CNT-3", "P/strap") in found(answer)
    assert set(restrained(answer)) == {0}
    assert answer["verdict"]["outcome"] not in ("pass", "pass with fixes")


def test_pitfall_18_no_sheet_of_a_counted_rig_says_more_than_its_audit(desk: Desk) -> None:
    """LB-01 of set A unreadable: in one file the audit page says so, and door and crew page say not to use the set."""
    page, rig = desk.folder / "page.html", desk.folder / "rescue-41.yaml"
    said = []
    for name, changes in (("sound", {}), ("worn", {"label": "unreadable"})):
        count = desk.count(name, *([("LB-01", changes)] if changes else []))
        status, _, wrong = desk.run(
            "report", rig, "--audit", count, "--only", "door", "--only", "crew", "-o", page, *ON
        )
        assert status == 0, wrong
        said.append(page.read_text(encoding="utf-8"))

    for text, unfit in zip(said, (False, True), strict=True):
        assert ("Set A: DO NOT USE" in text) == unfit
        assert ("ready set A names LB-01, which is not usable: label unreadable" in " ".join(text.split())) == unfit
        assert "counted on: Rescue 41 2026-11-25" in text.replace("rescue-41", "Rescue 41")


@pytest.mark.parametrize(("row", "built", "why"), [
    ({}, "1 as built", ""), ({"found": ""}, "0 as built", "nobody looked whether it is there"),
    ({"note": "one is bent"}, "0 as built", "noted: one is bent"),
])  # fmt: skip
def test_a_ready_set_at_which_nobody_looked_is_not_counted_on(row: Row, built: str, why: str, desk: Desk) -> None:
    """Its line left blank, or doubted: door and crew page say not to use it and why, no scene takes it as built."""
    count = desk.count("count", ("ready set: A", row), ("ready set: B", {"found": "no", "held": ""}))
    page, rig = desk.folder / "page.html", desk.folder / "rescue-41.yaml"
    sheets = ("--audit", count, "--needs", NEEDS, "--only", "door", "--only", "crew", "-o", page)
    status, _, wrong = desk.run("report", rig, *sheets, *ON)
    said = " ".join(page.read_text(encoding="utf-8").split())

    assert status == 0, wrong
    doubts = ("nobody looked whether it is there", "noted: one is bent")
    assert [one for one in doubts if one in said] == [one for one in doubts if one == why]
    assert ("Set A: DO NOT USE" in said) == bool(why)
    assert built in said[said.index("Van or light truck") :][:600]


@pytest.mark.parametrize(("column", "written"), [
    ("condition", "cracked"), ("tag", "T-9"), ("usable", "no"), ("state", "repair"), ("label", "unreadable"),
    ("pins", "no"), ("rig", "rescue-44"),
])  # fmt: skip
def test_what_is_of_pieces_on_the_row_of_a_set_is_refused(column: str, written: str, desk: Desk) -> None:
    """It was passed over, and the rig passed; where it is written of each piece, it takes them out."""
    count = desk.count("count", ("ready set: A", {column: written}))
    status, _, said = desk.run("audit", desk.folder / "rescue-41.yaml", count, *ON)

    assert status == 2
    assert f"{column!r} is of pieces, not of a set; write it in the lines of its pieces" in " ".join(said.split())
    filled_down = desk.count("down", ("ready set: A", {"usable": "yes", "label": "legible"}))
    assert desk.audit(filled_down)["verdict"] == desk.audit(desk.count("sound"))["verdict"]


@pytest.mark.parametrize(("written", "says"), [
    ({"note": "cracked, do not use"}, "noted: cracked, do not use"),
    ({"note": "one bent"}, "noted: one bent"),
    ({"second": "no"}, "found, and not by the second person"),
])  # fmt: skip
def test_a_set_that_its_row_doubts_is_not_counted_on(written: Row, says: str, desk: Desk) -> None:
    """A note against a set that was found, or no second person who found it: nobody knows, whatever the policy."""
    count = desk.count("count", ("ready set: A", written))
    for policy in ((), ("--set", "CNT-3.blank_as_book=on")):
        answer = desk.audit(count, *policy)
        looked = next(one for one in answer["verdict"]["links"] if one["name"] == "a look at every line")

        assert looked["state"] == "unknown"
        assert [one["finding"]["effect"] for one in answer["findings"] if says in one["finding"]["what"]] == [
            "not counted on until somebody looks"
        ]
    fine = desk.audit(desk.count("fine", ("ready set: A", {"note": "latch is stiff", "second": "C. D."})))
    assert not [one for one in fine["findings"] if "noted" in one["finding"]["what"]]


def test_a_set_that_no_book_has_is_told(desk: Desk) -> None:
    """A row for a ready set that the book does not list was passed over."""
    count = desk.count("count", ("ready set: B", {"part": "ready set: Z"}))
    told = [one["finding"]["what"] for one in desk.audit(count)["findings"] if one["finding"]["rule"] == "CNT-1"]

    assert "ready set Z: extra; on no book; not counted on until it is" in told


def test_a_lot_marked_for_another_rig_is_not_taken_as_the_book_has_it(desk: Desk) -> None:
    """A policy that takes blanks as the book has them says nothing of straps that were seen to be another rig's."""
    count = desk.count("count", ("strap", {"rig": "rescue-44"}))
    answer = desk.audit(count, "--set", "CNT-3.blank_as_book=on")

    assert set(restrained(answer)) == {0}
    assert ("CNT-3", "P/strap") in found(answer)
