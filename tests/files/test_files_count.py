"""Count sheets: written in the order of the drawers, read back from workbook, CSV and YAML alike."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import pytest
from audit_builders import audited_cache
from builders import ready_set
from openpyxl import load_workbook
from openpyxl.comments import Comment
from openpyxl.styles import Font

import cache_check as api
from cache_check.errors import InputError
from cache_check.files.cache import read_cache
from cache_check.files.count import as_csv, as_workbook, read_count
from cache_check.model.cache import Cache
from cache_check.report.as_text import as_table
from cache_check.report.page import Table
from cache_check.report.to_write_on import LINES_TO_A_PAGE, count_sheet

RESCUE_41 = Path(__file__).parents[2] / "sample_caches" / "quillfen" / "rescue-41.yaml"
Row = dict[str, str]


def table(cache: Cache) -> tuple[list[list[str]], list[str], list[Row]]:
    """A blank sheet as CSV: the lines above the table, its heads, and its rows by head."""
    rows = list(csv.reader(io.StringIO(as_csv(api.sheet(cache)))))
    at = next(n for n, row in enumerate(rows) if row[:2] == ["place", "part"])
    return rows[:at], rows[at], [dict(zip(rows[at], row, strict=True)) for row in rows[at + 1 :]]


def filled_in(path: Path, cache: Cache, changes: dict[str, Row], top: Row | None = None) -> Path:
    """A sheet filled in by serial, part or set, and saved as CSV."""
    above, heads, rows = table(cache)
    above = [[row[0], (top or {}).get(row[0], row[1])] if row else row for row in above]
    for row in rows:
        row.update(changes.pop(row["serial"] or row["part"], {}))
    assert not changes
    out = io.StringIO()
    csv.writer(out).writerows([*above, heads, *([row[head] for head in heads] for row in rows)])
    path.write_text(out.getvalue(), encoding="utf-8")
    return path


def test_sheet_is_in_the_order_of_the_drawers() -> None:
    """Places as people walk past them, drawer 2 before drawer 10, what has no place last; in each the book's order."""
    cache = audited_cache(ready_sets=(ready_set("A", "base", "body", "head"),))
    places = {"T/body": "Drawer 10", "T/base": "drawer 2", "T/pin": "", "T/head": "drawer 2"}
    stock = tuple(line.changed(where=places.get(line.part, "bag")) for line in cache.stock)
    lines = api.sheet(cache.changed(stock=stock)).lines

    assert list(dict.fromkeys(line.place for line in lines)) == ["bag", "drawer 2", "Drawer 10", "tray", ""]
    assert [line.part for line in lines if line.place == "drawer 2"] == ["T/base", "T/head"]


def test_sheet_expects_what_should_lie_there() -> None:
    """Pieces with serials have lines of their own; pieces at repair, loaned or missing are not looked for."""
    body = [{"serial": "D-1", "status": "repair"}, {"serial": "D-2", "inspected": "2026-01-10", "label": "legible"}]
    cache = audited_cache(
        counts={"body": 4, "pin": None}, items={"body": body}, out={"body": {"loaned": 1}, "ext-6": {"training": 1}}
    )
    lines = {line.serial or line.part: line for line in api.sheet(cache).lines}

    assert (lines["T/body"].book, lines["T/body"].says) == (1, "1 loaned")
    assert (lines["D-1"].book, lines["D-2"].book) == (0, 1)
    assert lines["D-2"].says == "inspected 2026-01-10, acquired 2024-01-01, label legible"
    assert lines["D-1"].says == "repair, inspected 2026-01-10, acquired 2024-01-01, label legible"
    assert (lines["T/ext-6"].book, lines["T/ext-6"].says) == (1, "1 training")
    assert lines["T/pin"].book is None


def test_workbook_and_csv_are_the_same_sheet(tmp_path: Path) -> None:
    """A blank sheet reads the same from both, and says nothing was looked at."""
    cache = read_cache(RESCUE_41)
    sheet = api.sheet(cache)
    (tmp_path / "count.xlsx").write_bytes(as_workbook(sheet))
    (tmp_path / "count.csv").write_text(as_csv(sheet), encoding="utf-8")
    one, two = (read_count(tmp_path / name, cache.catalogue) for name in ("count.xlsx", "count.csv"))

    assert one.changed(path="", sha256="") == two.changed(path="", sha256="")
    assert one.book == sheet.book
    assert len(one.lines) == 16
    assert [(line.id, line.found) for line in one.sets] == [("A", None), ("B", None)]
    assert all(line.found is None and line.label is None for line in one.lines)


def test_workbook_prints_with_page_numbers_and_the_book(tmp_path: Path) -> None:
    """Every printed page repeats the heads and names its number, rig and book; nothing is locked."""
    sheet = api.sheet(read_cache(RESCUE_41))
    path = tmp_path / "count.xlsx"
    path.write_bytes(as_workbook(sheet))
    printed: Any = load_workbook(path)["count"]

    assert printed.oddFooter.right.text == "page &P of &N"
    assert printed.oddFooter.left.text == f"Rescue 41, book {sheet.book}"
    assert printed.print_title_rows == "$10:$10"
    assert printed.page_setup.orientation == "landscape"
    assert not printed.protection.sheet
    assert any("legible,unreadable,unknown" in one.formula1 for one in printed.data_validations.dataValidation)


def test_printable_page_has_every_line_and_its_number() -> None:
    """So many lines to a page, each page with its number and the hash of the book, blank lines at the end."""
    sheet = api.sheet(read_cache(RESCUE_41))
    printed = count_sheet(sheet)
    tables = [block for section in printed.sections for block in section.blocks if isinstance(block, Table)]

    assert [len(one.rows) for one in tables] == [LINES_TO_A_PAGE, 2]
    text = as_table(printed)
    assert "PAGE 1 OF 2" in text
    assert f"Page 2 of 2. Rescue 41, book {sheet.book}." in text
    for line in sheet.lines:
        assert line.serial in text


def test_book_hash_follows_what_the_files_say(tmp_path: Path) -> None:
    """The hash is of what was read: the same under another name, another when a byte differs."""
    text = RESCUE_41.read_text(encoding="utf-8")
    for name, content in (("a.yaml", text), ("b.yaml", text), ("c.yaml", text.replace("count: 7", "count: 8"))):
        (tmp_path / name).write_text(content, encoding="utf-8")
    family = RESCUE_41.with_name("family-p.yaml")
    (tmp_path / family.name).write_bytes(family.read_bytes())
    one, two, three = (api.sheet(read_cache(tmp_path / f"{name}.yaml")).book for name in "abc")

    assert one == two != three


def test_filled_sheet_is_read(tmp_path: Path) -> None:
    """Numbers for lots, yes and no for serials and sets, dates and words as on any sheet."""
    cache = read_cache(RESCUE_41)
    path = filled_in(
        tmp_path / "count.csv", cache,
        {
            "strap": {"found": "6", "usable": "4", "tag": "T-1"},
            "HB-01": {"found": "yes", "usable": "no", "points": "1", "label": "legible", "place": "Drawer 1"},
            "LB-01": {"found": "✓", "inspected": "1 Nov 2026"},
            "SB-01": {"found": "no"},
            "ready set: A": {"found": "yes", "held": "no"},
        },
        {"counted on": "2026-11-20", "counted by": "A. B.", "second person": "C. D."},
    )  # fmt: skip
    count = read_count(path, cache.catalogue)
    lines = {line.serial or line.part: line for line in count.lines}

    assert (count.on and count.on.isoformat(), count.by, count.second) == ("2026-11-20", "A. B.", "C. D.")
    assert (lines["P/strap"].found, lines["P/strap"].usable, lines["P/strap"].tag) == (6, 4, "T-1")
    base = lines["HB-01"]
    assert (base.found, base.usable, base.points, base.label, base.where) == (1, 0, 1, "legible", "Drawer 1")
    assert (lines["LB-01"].found, str(lines["LB-01"].inspected)) == (1, "2026-11-01")
    assert lines["SB-01"].found == 0
    assert (count.sets[0].found, count.sets[0].held, count.sets[1].found) == (True, False, None)


def test_yaml_says_the_same(tmp_path: Path) -> None:
    """A count may be written as YAML."""
    cache = read_cache(RESCUE_41)
    path = tmp_path / "count.yaml"
    path.write_text(
        "count: rescue-41\nunits: us\non: 2026-11-20\nby: A. B.\n"
        "lines:\n  - {part: strap, found: 6, usable: 4}\n"
        "  - {part: hinged-base, serial: HB-01, found: yes, points: 1}\n"
        "sets:\n  A: {found: true, held: false}\n",
        encoding="utf-8",
    )
    count = read_count(path, cache.catalogue)

    assert [(line.part, line.found) for line in count.lines] == [("P/strap", 6), ("P/hinged-base", 1)]
    assert count.sets[0].held is False


REFUSED = {
    "more usable than found": ({"strap": {"found": "4", "usable": "5"}}, "5 usable of 4 found"),
    "usable of nothing found": ({"strap": {"usable": "5"}}, "5 usable of a number not written found"),
    "half a strap": ({"strap": {"found": "4.5"}}, "'4.5' is not a whole number"),
    "two of one serial": ({"HB-01": {"found": "2"}}, "more than one piece has this serial"),
    "no label word": ({"HB-01": {"label": "faded"}}, "'faded' is not one of legible, unreadable or unknown"),
    "two days": ({"HB-01": {"inspected": "1/3/2026"}}, "'1/3/2026' may be two different days"),
    "unknown part": ({"strap": {"part": "strop"}}, "there is no part 'strop'; did you mean 'strap'?"),
    "same serial twice": ({"HB-01": {"serial": "HB-02"}}, "'P/hinged-base' HB-02 is counted already"),
    "more points than made": ({"HB-01": {"found": "yes", "points": "3"}}, "3 points of 1 found, made with 2 each"),
    "more points than a lot has": (
        {"hinged-base": {"found": "4", "points": "99"}},
        "99 points of 4 found, made with 2 each",
    ),
    "points of a strap": ({"strap": {"found": "4", "points": "1"}}, "1 points of 4 found, made with 0 each"),
    "more than any rig holds": ({"strap": {"found": "1000000000"}}, "1000000000 is too many"),
    "serial under two parts": ({"HB-01": {"serial": "sb-01"}}, "sb-01 is counted already"),
    "set neither there nor not": ({"ready set: A": {"found": "perhaps"}}, "'perhaps' is not yes or no"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_refused_in_words(case: str, tmp_path: Path) -> None:
    """What cannot be meant on a count sheet is refused with its cell."""
    cache = read_cache(RESCUE_41)
    changes, says = REFUSED[case]
    path = filled_in(tmp_path / "count.csv", cache, dict(changes))
    with pytest.raises(InputError) as refused:
        read_count(path, cache.catalogue)

    assert says in str(refused.value)
    assert ": count.csv, cell " in str(refused.value)


def test_other_files_are_no_count(tmp_path: Path) -> None:
    """A cache, a folder and a table without its heads are told from a count sheet."""
    cache = read_cache(RESCUE_41)
    (tmp_path / "x.csv").write_text("a,b\n1,2\n", encoding="utf-8")
    for path, says in (
        (RESCUE_41, "is a cache file, not a count file"),
        (tmp_path, "is a folder; name the count sheet itself"),
        (tmp_path / "x.csv", 'has no row of heads with "part" and "found"'),
        (tmp_path / "none.xlsx", "there is no such file"),
    ):
        with pytest.raises(InputError, match=says):
            read_count(path, cache.catalogue)


def test_rig_named_with_semicolons_is_read_back(tmp_path: Path) -> None:
    """A name with more semicolons than its line has commas does not turn a comma file into a semicolon file."""
    from cache_check import sheet
    from cache_check.files import count
    from cache_check.files.cache import read_cache

    samples = Path(__file__).parent.parent.parent / "sample_caches" / "quillfen"
    cache = read_cache(samples / "rescue-44.yaml").changed(id="a;b;c")
    made = tmp_path / "count.csv"
    made.write_text(count.as_csv(sheet(cache)), encoding="utf-8")

    assert read_count(made, cache.catalogue).rig == "a;b;c"
    rows = list(csv.reader(made.read_text(encoding="utf-8").splitlines()))
    with made.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter=";").writerows(rows)
    assert read_count(made, cache.catalogue).rig == "a;b;c"


@pytest.mark.parametrize(("written", "points"), [("7", 7), ("8", 8), ("2 each", 8), ("0", 0)])
def test_points_of_a_lot_are_in_all(written: str, points: int, tmp_path: Path) -> None:
    """A number of points on the line of a lot is of all its bases; the sheet may say each."""
    cache = read_cache(RESCUE_41)
    change = {"hinged-base": {"found": "4", "usable": "4", "points": written}}
    count = read_count(filled_in(tmp_path / "count.csv", cache, change), cache.catalogue)

    assert [line.points for line in count.lines if line.part == "P/hinged-base" and not line.serial] == [points]


REMARKS = {
    "below the table": (-1, ["SB-01 is cracked, do not use"], "cell A29: this row has no 'part'"),
    "in a column that is not read": (-1, [*[""] * 22, "SB-01 is cracked"], "cell A29: this row has no 'part'"),
    "above the table": (0, ["all straps are cut"], "cell A1: 'all straps are cut' is not a line here"),
    "as a line": (0, ["remark", "all straps are cut"], "cell A1: 'remark' is not a line here"),
    "beside a line": (0, ["title", "Rescue 41", "", "all straps are cut"], "cell D1: stands beside a line, and is not"),
}


@pytest.mark.parametrize("case", REMARKS)
def test_a_remark_that_nobody_would_read_is_refused(case: str, tmp_path: Path) -> None:
    """What is written outside of the lines and columns that are read was passed over; one that begins with # may be."""
    cache = read_cache(RESCUE_41)
    at, row, says = REMARKS[case]
    rows = list(csv.reader(io.StringIO(as_csv(api.sheet(cache)))))
    path = tmp_path / "count.csv"

    def write(remark: list[str]) -> None:
        out = io.StringIO()
        csv.writer(out).writerows([remark, *rows] if at == 0 else [*rows, remark])
        path.write_text(out.getvalue(), encoding="utf-8")

    write(row)
    with pytest.raises(InputError) as refused:
        read_count(path, cache.catalogue)
    assert says in str(refused.value)
    write(["# seen in the rain"] if at == 0 else [rows[-1][0]])  # a line of one's own, or the name of a drawer
    assert read_count(path, cache.catalogue).rig == "rescue-41"


def _marked(path: Path, cache: Cache, mark: str) -> None:
    """The sheet as a workbook in which somebody marks the line of SB-01, in a way that no cell says."""
    path.write_bytes(as_workbook(api.sheet(cache)))
    book: Any = load_workbook(path)
    page = book["count"]
    serial = next(cell for row in page.iter_rows() for cell in row if cell.value == "SB-01")
    if mark == "comment":
        serial.comment = Comment("cracked, do not use", "A. B.")
        page["A11"].comment = Comment("seen", "A. B.")
    elif mark == "struck out":
        serial.font = Font(strike=True)
    elif mark:
        book.create_sheet(mark).append(["SB-01 is cracked"])
    book.save(path)


@pytest.mark.parametrize(("mark", "says"), [
    ("comment", 'sheet "count", cell A11 and 1 more: has a comment, which is not read; write it in a column'),
    ("struck out", "serial: is struck out; clear the cell, or take the line through it away"),
    ("remarks", "has 2 sheets that are filled in (count and remarks), and a count is one"),
    ("Count ", "has 2 sheets that are filled in (count and Count ), and a count is one"),
    ("", ""), ("# remarks", ""), ("notes", ""),
])  # fmt: skip
def test_a_mark_in_a_workbook_that_nobody_would_read_is_refused(mark: str, says: str, tmp_path: Path) -> None:
    """A comment on a cell, a line through it, a second sheet: each may say that a piece is gone or cracked."""
    cache = read_cache(RESCUE_41)
    path = tmp_path / "count.xlsx"
    _marked(path, cache, mark)
    if not says:
        assert len(read_count(path, cache.catalogue).lines) == 16
        return
    with pytest.raises(InputError) as refused:
        read_count(path, cache.catalogue)
    assert says in str(refused.value)
