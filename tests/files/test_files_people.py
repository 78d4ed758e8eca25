"""Workbooks as people really make them are read as they meant them, or refused with sheet, cell and what is right."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from contextlib import nullcontext
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.comments import Comment
from openpyxl.styles import Font
from people import WRITERS, Covered, Formula, Merged, Sheets, plain

from cache_check.errors import InputError
from cache_check.files.cache import read_cache
from cache_check.files.convert import convert
from cache_check.files.needs import read_needs
from cache_check.files.prices import read_prices
from cache_check.files.rules import WRITTEN, read_rules, starter_workbook
from cache_check.files.workbook.grid import csv_text
from cache_check.model.cache import Cache

Change = Callable[[Sheets], None]
EACH = pytest.mark.parametrize("writer", sorted(WRITERS))


def set_(sheet: str, cell: tuple[int, int], value: Any) -> Change:
    """Put a value into a cell, row and column from 1."""

    def change(sheets: Sheets) -> None:
        row = sheets[sheet][cell[0] - 1]
        row.extend([None] * (cell[1] - len(row)))
        row[cell[1] - 1] = value

    return change


def all_of(*changes: Change) -> Change:
    """Several changes one after the other."""

    def change(sheets: Sheets) -> None:
        for one in changes:
            one(sheets)

    return change


def rows(sheet: str, at: int, *new: list[Any]) -> Change:
    """Put rows in before a row."""

    def change(sheets: Sheets) -> None:
        sheets[sheet][at - 1 : at - 1] = new

    return change


def sheet(name: str, *new: list[Any]) -> Change:
    """Add a sheet."""

    def change(sheets: Sheets) -> None:
        sheets[name] = list(new)

    return change


def says(path: Path) -> Cache:
    """What a file says, without which file it was."""
    return read_cache(path).changed(sources=())


def written(folder: Path, writer: str, change: Change) -> Path:
    """The small cache, changed and written."""
    sheets = plain()
    change(sheets)
    path = folder / "rig.xlsx"
    WRITERS[writer](path, sheets)
    return path


def folder_of(folder: Path, change: Change) -> Path:
    """The small cache, changed and written as CSV files."""
    sheets = plain()
    change(sheets)
    inside = folder / "rig"
    inside.mkdir()
    for name, lines in sheets.items():
        (inside / f"{name}.csv").write_text(csv_text(lines), encoding="utf-8")
    return inside


def nothing(_sheets: Sheets) -> None:
    """No change."""


AS_MEANT: dict[str, Change] = {
    "spaces around names": all_of(set_("types", (2, 1), " body  "), set_("parts", (2, 3), "drawer 1 ")),
    "no-break space": set_("parts", (2, 3), "drawer\u00a01"),
    "heads in capitals, with dashes": all_of(set_("types", (1, 1), "TYPE"), set_("about", (5, 1), "Book_Date")),
    "units in brackets": all_of(set_("types", (1, 3), "closed (in)"), set_("types", (1, 4), "open [in]")),
    "another unit in the head": all_of(
        set_("types", (1, 3), "closed, mm"), set_("types", (2, 3), 762), set_("compartments", (1, 2), "length (cm)"),
        set_("compartments", (2, 2), 157.48),
    ),
    "unit in the cell": all_of(set_("types", (2, 3), "762 mm"), set_("types", (7, 10), "1.5 kip")),
    "fraction of an inch": set_("types", (3, 6), "58 1/2"),
    "fraction sign": set_("types", (3, 6), "58 ½"),
    "number as text": all_of(set_("types", (2, 3), "30"), set_("parts", (2, 2), "2"), set_("parts", (6, 2), " 8 ")),
    "count as a decimal": set_("parts", (2, 2), 2.0),
    "noise of sums": set_("types", (2, 4), 48.5 + 7e-15),
    "stray blank rows": all_of(rows("types", 3, [], [None, "  "], []), rows("items", 2, [None] * 9)),
    "stray spaces far right": set_("types", (2, 40), "   "),
    "date in words": all_of(set_("items", (2, 3), "1 Mar 2026"), set_("items", (3, 3), "March 1, 2026")),
    "date with strokes, year first": set_("items", (2, 3), "2026/3/1"),
    "date as text": set_("about", (5, 2), "2026-03-01"),
    "midnight": set_("items", (2, 3), datetime(2026, 3, 1)),
    "ticks": set_("compartments", (2, 3), "x"),
    "check marks": set_("compartments", (2, 3), "✓"),
    "true": set_("compartments", (2, 3), True),
    "chart name repeated": all_of(set_("charts", (3, 1), "C"), set_("charts", (3, 2), "failure load")),
    "chart dash": set_("charts", (3, 4), "-"),
    "title over the heads": rows("parts", 1, ["Rescue rig, March count"], []),
    "own column": all_of(set_("parts", (1, 4), "# who"), set_("parts", (3, 4), "me")),
    "own sheets": all_of(sheet("# scratch", ["x", 1]), sheet("notes", ["call the vendor"]), sheet("Sheet7", [])),
    "sheet names with spaces": sheet("Read Me ", ["hello"]),
    "unknown written out": nothing,
    "id in full": set_("items", (2, 1), "rig/body"),
}  # fmt: skip


@EACH
@pytest.mark.parametrize("case", AS_MEANT)
def test_read_as_meant(case: str, writer: str, tmp_path: Path) -> None:
    """What a person wrote says what the tidy workbook says."""
    (tmp_path / "tidy").mkdir()

    assert says(written(tmp_path, writer, AS_MEANT[case])) == says(written(tmp_path / "tidy", writer, nothing))


@pytest.mark.parametrize("case", [case for case in AS_MEANT if "true" not in case])
def test_csv_is_read_as_meant(case: str, tmp_path: Path) -> None:
    """The same, saved as CSV files."""
    (tmp_path / "tidy").mkdir()

    assert says(folder_of(tmp_path, AS_MEANT[case])) == says(folder_of(tmp_path / "tidy", nothing))


@EACH
def test_words_merged_over_rows_hold_for_each(writer: str, tmp_path: Path) -> None:
    """A part's name merged over the rows of its pieces is the part of each."""
    change = all_of(set_("items", (2, 1), Merged("body", 2)), set_("items", (3, 1), Covered()))
    (tmp_path / "tidy").mkdir()

    assert says(written(tmp_path, writer, change)) == says(written(tmp_path / "tidy", writer, nothing))


def test_formula_is_read_as_it_last_showed(tmp_path: Path) -> None:
    """A formula that a spreadsheet has worked out counts as the value it shows."""
    change = all_of(set_("parts", (2, 2), Formula("=1+1", 2)), set_("parts", (3, 3), Formula('=C2&""', "drawer 1")))
    (tmp_path / "tidy").mkdir()

    assert says(written(tmp_path, "xlsxwriter", change)) == says(written(tmp_path / "tidy", "xlsxwriter", nothing))


def test_dates_kept_as_numbers_of_days(tmp_path: Path) -> None:
    """A date that lost its format is a number of days, from 1900 or from 1904 as the workbook says."""
    import xlsxwriter

    # 1 March 2026 is day 46,082 from 1900 and day 44,620 from 1904.
    for from_1904, number in ((False, 46_082), (True, 44_620)):
        sheets = plain()
        set_("items", (2, 3), number)(sheets)
        path = tmp_path / f"{number}.xlsx"
        book = xlsxwriter.Workbook(str(path), {"date_1904": from_1904})
        for name, lines in sheets.items():
            page = book.add_worksheet(name)
            for at, row in enumerate(lines):
                page.write_row(at, 0, [str(cell) if isinstance(cell, date) else cell for cell in row])
        book.close()
        items = next(line.items for line in read_cache(path).stock if line.items)
        assert items[0].inspected == date(2026, 3, 1), from_1904


REFUSED: dict[str, tuple[Change, str]] = {
    "thousands comma": (
        set_("types", (7, 10), "1,500"),
        'sheet "types", cell J7: types.strap.wll: \'1,500\' has a comma, which reads as thousands or as a decimal; '
        "write it without",
    ),
    "decimal comma": (
        set_("types", (2, 3), "30,5"),
        'sheet "types", cell C2: types.body.closed: \'30,5\' has a comma, which reads as thousands or as a decimal; '
        "write it without",
    ),
    "two days in one": (
        set_("items", (2, 3), "3/1/2026"),
        "sheet \"items\", cell C2: inspected: '3/1/2026' may be two different days; "
        "write year-month-day, as 2026-03-01",
    ),
    "no such day": (
        set_("items", (2, 3), "2026-02-30"),
        'sheet "items", cell C2: inspected: 2026-02-30 is not a day of the calendar; check month and day',
    ),
    "a date in words that is none": (
        set_("items", (2, 3), "last spring"),
        "sheet \"items\", cell C2: inspected: 'last spring' is not a date; write year-month-day, as 2026-03-01",
    ),
    "a time of day": (
        set_("items", (2, 3), datetime(2026, 3, 1, 14, 30)),
        'sheet "items", cell C2: inspected: 2026-03-01 14:30:00 has a time of day; '
        "write year-month-day, as 2026-03-01",
    ),
    "a fraction made a date": (
        set_("types", (3, 6), date(2026, 1, 2)),
        'sheet "types", cell F3: length: is a date or time; a spreadsheet makes them of fractions such as 1/2; '
        "write the number, a fraction as 58 1/2 with the whole number before it, or as a decimal",
    ),
    "a name made a date": (
        set_("parts", (2, 3), date(2026, 1, 2)),
        'sheet "parts", cell C2: where: is a date or time here; a spreadsheet may have made it one; '
        "format the cell as text and write it again",
    ),
    "a number merged over rows": (
        all_of(set_("parts", (2, 2), Merged(2, 2)), set_("parts", (3, 2), Covered())),
        'sheet "parts", cell B2: count: is one cell merged over several rows; '
        "unmerge it and write each row's own value",
    ),
    "half a piece": (
        set_("parts", (2, 2), 2.5),
        "sheet \"parts\", cell B2: parts.body.count: '2.5' is not a whole number; "
        "write digits alone, with no quotes, leading zero, point or comma",
    ),
    "no figure": (
        set_("parts", (2, 2), "n/a"),
        "sheet \"parts\", cell B2: parts.body.count: 'n/a' is not a whole number; "
        "write digits alone, with no quotes, leading zero, point or comma",
    ),
    "unknown column": (
        set_("types", (1, 5), "lok"),
        "sheet \"types\", cell E1: 'lok' is not a column here; did you mean 'lock'?; "
        "begin a column of your own with #",
    ),
    "column twice": (
        set_("types", (1, 6), "closed, in"),
        "sheet \"types\", cell F1: the column 'closed' is there twice; keep one of them",
    ),
    "no head": (
        set_("parts", (3, 5), "spare"),
        'sheet "parts", cell E3: stands in a column without a head; write the head, or clear the cell',
    ),
    "unknown sheet": (
        sheet("itmes", ["part", "serial"]),
        "sheet \"itmes\": is not a sheet here; did you mean 'items'?; begin a sheet of your own with #",
    ),
    "name twice": (
        rows("parts", 4, ["body", 1]),
        "sheet \"parts\", cell A4: 'body' is written twice; keep one of them",
    ),
    "a name merged over two rows that are one each": (
        all_of(set_("parts", (2, 1), Merged("body", 2)), set_("parts", (3, 1), Covered())),
        "sheet \"parts\", cell A3: 'body' stands twice, as its cell is merged over several rows; "
        "unmerge it and write each row's own name",
    ),
    "no name": (
        rows("parts", 4, [None, 1]),
        "sheet \"parts\", cell A4: this row has no 'part'; write it, or clear the row",
    ),
    "unknown part": (
        set_("parts", (2, 1), "bodi"),
        "sheet \"parts\", cell A2: parts.bodi: there is no part 'bodi'; did you mean 'body'?",
    ),
    "piece of a part that is not counted": (
        set_("items", (2, 1), "bodi"),
        "sheet \"items\", cell A2: 'bodi' has no row in the sheet parts; did you mean 'body'?",
    ),
    "not yes or no": (
        set_("compartments", (2, 3), "maybe"),
        "sheet \"compartments\", cell C2: diagonal: 'maybe' is not yes or no; write yes or no",
    ),
    "wrong word": (
        set_("types", (2, 2), "bodi"),
        "sheet \"types\", cell B2: types.body.kind: 'bodi' is not a kind of part; did you mean 'body'?",
    ),
    "no unit system": (
        set_("about", (4, 1), "system"),
        "sheet \"about\", cell A4: 'system' is not a line here",
    ),
    "chart changes its mind": (
        set_("charts", (3, 2), "rated load"),
        "sheet \"charts\", cell B3: 'states' is not what an earlier row of 'C' says; "
        "write it in the first row only, or give this one another name",
    ),
    "chart falls in length": (
        set_("charts", (3, 3), 40),
        'sheet "charts", cell A2: charts[1]: the rows do not rise in length; sort them, each length once',
    ),
}  # fmt: skip


@EACH
@pytest.mark.parametrize("case", REFUSED)
def test_refused_in_words(case: str, writer: str, tmp_path: Path) -> None:
    """What cannot be read as meant is refused, with its sheet and cell and what would be right."""
    change, line = REFUSED[case]
    with pytest.raises(InputError) as refused:
        read_cache(written(tmp_path, writer, change))

    lines = str(refused.value).replace(f"{tmp_path}/rig.xlsx: ", "").split("\n")
    assert any(one.startswith(line) for one in lines), lines


@EACH
def test_all_that_is_wrong_is_told_at_once(writer: str, tmp_path: Path) -> None:
    """Mistakes of five sheets come in one message, in the order of the sheets and their rows."""
    cases = ["thousands comma", "half a piece", "two days in one", "not yes or no", "chart changes its mind"]
    change = all_of(*(REFUSED[case][0] for case in cases))
    with pytest.raises(InputError) as refused:
        read_cache(written(tmp_path, writer, change))

    assert [str(one).replace(f"{tmp_path}/rig.xlsx: ", "") for one in refused.value.mistakes] == [
        REFUSED[case][1] for case in cases
    ]


def test_formula_never_worked_out_is_refused(tmp_path: Path) -> None:
    """A formula without a value is not a blank."""
    with pytest.raises(InputError, match="cell B2: count: holds a formula that was never worked out"):
        read_cache(written(tmp_path, "openpyxl", set_("parts", (2, 2), Formula("=1+1", 2))))


def test_error_value_is_refused(tmp_path: Path) -> None:
    """What a spreadsheet could not work out is told as it shows."""
    with pytest.raises(InputError, match="cell B2: count: holds the error #REF!"):
        read_cache(written(tmp_path, "xlsxwriter", set_("parts", (2, 2), Formula("=A1+#REF!", "#REF!"))))


def test_factor_made_a_time_is_refused(tmp_path: Path) -> None:
    """2:1 that became two o'clock is told so."""
    change = all_of(set_("charts", (1, 6), "factor"), set_("charts", (2, 6), time(2, 1)))
    with pytest.raises(InputError, match="factor: is a time of day; a spreadsheet makes one of 2:1; write the first"):
        read_cache(written(tmp_path, "openpyxl", change))


def test_csv_names_its_file_and_cell(tmp_path: Path) -> None:
    """A mistake in a CSV file names the file and the cell a spreadsheet would show."""
    path = folder_of(tmp_path, set_("types", (7, 10), "1,500"))
    with pytest.raises(InputError) as refused:
        read_cache(path)

    assert str(refused.value).startswith(f"{path}: types.csv, cell J7: types.strap.wll: '1,500' has a comma")


def test_csv_with_semicolons_and_tabs(tmp_path: Path) -> None:
    """The separators that spreadsheets of other countries write are read, a byte order mark too."""
    path = folder_of(tmp_path, nothing)
    tidy = says(path)
    for mark in ";\t":
        for file in path.glob("*.csv"):
            text = file.read_text(encoding="utf-8-sig").replace(",", mark).replace(f"{mark} in", ", in")
            text = text.replace('"', "").replace(f"{mark} lbf", ", lbf").replace(";", mark)
            file.write_text(text, encoding="utf-8-sig")
        assert says(path) == tidy, repr(mark)


def test_csv_in_another_encoding_is_refused(tmp_path: Path) -> None:
    """A CSV file that is not UTF-8 is refused with its line, not read as other letters."""
    path = folder_of(tmp_path, nothing)
    (path / "parts.csv").write_bytes("part,count,where\nbody,2,Fahrzeugtür\n".encode("cp1252"))
    with pytest.raises(InputError, match=r"parts.csv:2: is not UTF-8 text; save it as CSV UTF-8"):
        read_cache(path)


FORMULAS = ["=1+1", "+1", "-1", "@SUM(A1)", "=cmd|'/c calc'!A1", "'quoted", "\tx"]


@pytest.mark.parametrize("text", FORMULAS)
def test_text_like_a_formula_stays_text(text: str, tmp_path: Path) -> None:
    """A text that starts like a formula is written so that no spreadsheet works it out, and is read back the same."""
    from openpyxl import load_workbook

    source = tmp_path / "a.yaml"
    source.write_text(
        f'cache: rig\nunits: us\ntypes:\n  pin: {{kind: pin, note: "{text.replace(chr(9), "x")}"}}\n'
        "joint_pin: pin\nparts: {pin: 1}\n",
        encoding="utf-8",
    )
    convert(source, tmp_path / "b.xlsx", "cache", read_rules())
    convert(tmp_path / "b.xlsx", tmp_path / "c", "cache", read_rules())

    note = text.replace("\t", "x")
    cells = [cell for row in load_workbook(tmp_path / "b.xlsx")["types"].iter_rows() for cell in row]
    (cell,) = [cell for cell in cells if cell.value == note]
    assert cell.data_type == "s"
    written_csv = (tmp_path / "c" / "types.csv").read_text(encoding="utf-8")
    assert f"'{note}" in written_csv or note[0] not in "=+-@'"
    assert says(tmp_path / "c") == says(source)


def test_end_that_takes_nothing_is_not_an_end_that_takes_anything(tmp_path: Path) -> None:
    """An empty list is written as a word, since a blank cell says nothing."""
    source = tmp_path / "a.yaml"
    source.write_text(
        "cache: rig\nunits: us\njoint_pin: captive\nparts: {e: 1}\n"
        "types:\n  e: {kind: extension, length: 1, lower: {connector: rig, takes: []}}\n",
        encoding="utf-8",
    )
    convert(source, tmp_path / "b.xlsx", "cache", read_rules())

    (part,) = says(tmp_path / "b.xlsx").catalogue.parts
    assert getattr(part, "lower").takes == frozenset()  # noqa: B009 - only linear parts have it
    assert getattr(part, "upper").takes is None  # noqa: B009


OFFICE = shutil.which("soffice")


@pytest.mark.skipif(OFFICE is None, reason="LibreOffice (Debian: libreoffice-calc-nogui) is not installed")
def test_libreoffice_keeps_what_it_says(tmp_path: Path) -> None:
    """The starter workbook, opened and saved by LibreOffice in its own form and back, says the same."""
    source = tmp_path / "starter.xlsx"
    source.write_bytes(starter_workbook(["cache", "needs", "prices"], WRITTEN))
    for suffix, given in (("ods", source), ("xlsx", tmp_path / "ods" / "starter.ods")):
        assert OFFICE is not None
        subprocess.run(
            [OFFICE, "--headless", f"-env:UserInstallation=file://{tmp_path}/profile", "--convert-to", suffix,
             "--outdir", str(tmp_path / suffix), str(given)],
            check=True, capture_output=True, timeout=120,
        )  # fmt: skip

    assert says(tmp_path / "xlsx" / "starter.xlsx") == says(source)


@pytest.mark.parametrize("name", ["starter", "rescue-44-count"])
def test_kept_files_of_libreoffice_are_read(name: str) -> None:
    """Workbooks that LibreOffice 7.4 wrote, kept here so that every run reads them."""
    from cache_check.files.count import read_count

    kept = Path(__file__).parent / "libreoffice" / f"{name}.xlsx"
    if name == "starter":
        assert [line.part for line in read_cache(kept).stock][:2] == ["my-rig/body", "my-rig/extension"]
    else:
        rig = read_cache(Path(__file__).parents[2] / "sample_caches" / "quillfen" / "rescue-44.yaml")
        count = read_count(kept, rig.catalogue)
        assert count.rig == "rescue-44"
        assert {line.part: line.found for line in count.lines if not line.serial}["P/strap"] == 5


def test_a_mate_of_one_end_is_a_line_and_the_rows_below_it_are_read(tmp_path: Path) -> None:
    """A row that is left out of a list does not shift the places of the rows after it."""
    (tmp_path / "about.csv").write_text("what,value\ncache,x\nunits,us\n")
    (tmp_path / "mates.csv").write_text("one end,other end,pin\na plug,,\nb plug,c socket,nothing\n")

    with pytest.raises(InputError) as wrong:
        read_cache(tmp_path)

    told = str(wrong.value)
    assert "mates.csv, cell A2: this row has no 'other end'; write it, or clear the row" in told
    assert "mates.csv, cell C3: mates[1].pin: there is no part 'nothing'" in told


@pytest.mark.parametrize("other", ["Items.csv", "items .csv", "ITEMS.tsv"])
def test_one_sheet_in_two_files_is_refused(other: str, tmp_path: Path) -> None:
    """Of two files whose names are one sheet the second was read alone, and a piece that is gone counted."""
    folder = folder_of(tmp_path, nothing)
    (folder / other).write_text("part,serial,status\nbody,B-1,missing\n", encoding="utf-8")

    with pytest.raises(InputError, match=r"has \w+ ?\.\wsv and \w+ ?\.\wsv, which are one; keep one of them"):
        says(folder)
    (folder / other).write_text("\n", encoding="utf-8")
    assert [item.serial for line in says(folder).stock for item in line.items] == ["B-1", "B-2"]


def test_a_sheet_parted_by_tabs_is_read_from_a_folder(tmp_path: Path) -> None:
    """Saved as .tsv it was passed over, and the piece that it says is missing counted."""
    folder = folder_of(tmp_path, nothing)
    (folder / "items.csv").unlink()
    (folder / "items.tsv").write_text("part\tserial\tstatus\nbody\tB-1\tmissing\n", encoding="utf-8")

    assert [item.status for line in says(folder).stock for item in line.items] == ["missing"]


@pytest.mark.parametrize(("sheet", "read"), [
    ("about", "cnp"), ("parts", "c"), ("items", "c"), ("needs", "n"), ("prices", "p"),
])  # fmt: skip
def test_a_comment_on_a_cell_is_refused_in_what_is_read(sheet: str, read: str, tmp_path: Path) -> None:
    """Cracked, on a serial; 6,000 really, on a load: where the first is and how many more, not those on a head."""
    path = tmp_path / "all.xlsx"
    path.write_bytes(starter_workbook(["cache", "needs", "prices"], date(2026, 4, 1)))
    readers: dict[str, Callable[[Path], object]] = {"c": read_cache, "n": read_needs, "p": read_prices}
    for reader in readers.values():
        reader(path)
    book: Any = load_workbook(path)
    for cell in ("B2", "A3"):
        book[sheet][cell].comment = Comment("not so", "A. B.")
    book.save(path)

    says = f'sheet "{sheet}", cell B2 and 1 more: has a comment, which is not read; write it in a column, a note say'
    for kind, reader in readers.items():
        with pytest.raises(InputError, match=says) if kind in read else nullcontext():
            reader(path)


def test_a_cell_that_is_struck_out_is_refused(tmp_path: Path) -> None:
    """People strike out the line of a piece that is gone."""
    path = written(tmp_path, "openpyxl", nothing)
    book: Any = load_workbook(path)
    book["items"]["B2"].font = Font(strike=True)
    book.save(path)

    with pytest.raises(InputError, match='sheet "items", cell B2: serial: is struck out; clear the cell'):
        says(path)
