"""Hostile, huge and damaged workbooks are refused in words, within bounded time and memory."""

from __future__ import annotations

import contextlib
import io
import random
import time
import tracemalloc
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from people import by_openpyxl, plain

from cache_check.errors import InputError
from cache_check.files.cache import read_cache

MOST_SECONDS = 30.0
"""Of processor time, many times what it takes: what this is to catch goes on for hours."""
MOST_BYTES = 120_000_000
PARTS = "xl/worksheets/sheet3.xml"
_MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


@pytest.fixture
def sound(tmp_path: Path) -> Path:
    """A sound workbook to be spoilt."""
    path = tmp_path / "rig.xlsx"
    by_openpyxl(path, plain())
    return path


def spoil(path: Path, change: Callable[[dict[str, bytes]], None]) -> Path:
    """The same archive with its entries changed."""
    with zipfile.ZipFile(path) as archive:
        entries = {name: archive.read(name) for name in archive.namelist()}
    change(entries)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in entries.items():
            archive.writestr(name, content)
    return path


def refusal(path: Path) -> str:
    """What is said of a workbook that is refused, having taken little time and memory."""
    tracemalloc.start()
    began = time.process_time()
    try:
        with pytest.raises(InputError) as refused:
            read_cache(path)
        took = time.process_time() - began
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert took < MOST_SECONDS
    assert most < MOST_BYTES
    return str(refused.value).replace(f"{path}: ", "")


def _sheet(rows: str) -> bytes:
    return f"<worksheet {_MAIN}><sheetData>{rows}</sheetData></worksheet>".encode()


def test_sound_workbook_is_read(sound: Path) -> None:
    """What these tests spoil is sound to begin with, also after being packed again."""
    assert len(read_cache(spoil(sound, lambda entries: None)).stock) == 6


@pytest.mark.parametrize("part", [PARTS, "xl/media/image1.png"])
def test_bomb_that_unpacks_to_more_than_there_is_room(sound: Path, part: str) -> None:
    """A small file of which any part unpacks to hundreds of megabytes is refused without unpacking it."""
    spoil(sound, lambda entries: entries.update({part: b" " * 200_000_000}))

    assert sound.stat().st_size < 2_000_000
    assert refusal(sound) == "unpacks to more than 40 MB; delete the empty rows below the data"


def test_archive_that_lies_about_its_sizes(sound: Path) -> None:
    """An entry that states a size smaller than it unpacks to is damaged, and no more of it is read."""
    spoil(sound, lambda entries: entries.update({PARTS: _sheet("<row/>" * 5_000_000)}))
    raw = bytearray(sound.read_bytes())
    with zipfile.ZipFile(sound) as archive:
        entry = archive.getinfo(PARTS)
    lie = (1000).to_bytes(4, "little")
    raw[entry.header_offset + 22 : entry.header_offset + 26] = lie
    at = raw.rindex(b"PK\x01\x02", 0, raw.rindex(PARTS.encode()))
    raw[at + 24 : at + 28] = lie
    sound.write_bytes(bytes(raw))

    assert "damaged" in refusal(sound)


def test_million_blank_rows(sound: Path) -> None:
    """A sheet with a million blank rows is refused before any of it is read."""
    rows = "".join(f'<row r="{n}"/>' for n in range(1, 1_000_001))
    spoil(sound, lambda entries: entries.update({PARTS: _sheet(rows)}))

    assert refusal(sound) == (
        "holds far more rows and cells than a cache has; delete the blank rows, columns and formats around the data"
    )


def test_rows_just_over_the_bound(sound: Path) -> None:
    """A sheet with some more rows than are read is refused at the bound, and says where."""
    rows = "".join(f'<row r="{n}"/>' for n in range(1, 20_002))
    spoil(sound, lambda entries: entries.update({PARTS: _sheet(rows)}))

    assert refusal(sound) == (
        'sheet "parts" goes on below row 20,000; delete the rows below the data and save it again'
    )


def test_one_row_of_a_million_cells(sound: Path) -> None:
    """Nor does one row of a million cells get in, nor a million texts that no cell uses."""
    spoil(sound, lambda entries: entries.update({PARTS: _sheet(f"<row>{'<c/>' * 1_000_000}</row>")}))
    assert "far more rows and cells" in refusal(sound)

    texts = f"<sst {_MAIN}>{'<si/>' * 1_000_000}</sst>".encode()
    spoil(sound, lambda entries: entries.update({PARTS: _sheet(""), "xl/sharedStrings.xml": texts}))
    assert "far more rows and cells" in refusal(sound)


def test_one_cell_in_the_last_row(sound: Path) -> None:
    """A stray cell a million rows down is refused at the bound."""
    cell = '<row r="1048576"><c r="A1048576" t="inlineStr"><is><t>x</t></is></c></row>'
    spoil(sound, lambda entries: entries.update({PARTS: _sheet(cell)}))

    assert "goes on below row 20,000" in refusal(sound)


def test_stray_cell_far_to_the_right(sound: Path) -> None:
    """A stray cell in the last column is refused."""
    cell = '<row r="1"><c r="XFD1" t="inlineStr"><is><t>x</t></is></c></row>'
    spoil(sound, lambda entries: entries.update({PARTS: _sheet(cell)}))

    assert "goes on beyond column 200" in refusal(sound)


def test_million_merged_ranges(sound: Path) -> None:
    """Merged ranges without number are refused before they are read, which would take a minute."""
    merges = "".join(f'<mergeCell ref="A{n}:A{n + 1}"/>' for n in range(2, 100_000, 2))
    rows = '<row r="1"><c r="A1" t="inlineStr"><is><t>part</t></is></c></row>'
    whole = f"<worksheet {_MAIN}><sheetData>{rows}</sheetData><mergeCells>{merges}</mergeCells></worksheet>"
    spoil(sound, lambda entries: entries.update({PARTS: whole.encode()}))

    assert refusal(sound) == "has more than 2,000 merged cells in one sheet; unmerge them"


def test_entities_that_multiply(sound: Path) -> None:
    """A part that declares entities is refused before any is expanded."""
    bomb = "<!DOCTYPE x [<!ENTITY a 'aaaaaaaaaa'>" + "".join(
        f"<!ENTITY {chr(98 + n)} '{f'&{chr(97 + n)};' * 10}'>" for n in range(12)
    ) + "]>"  # fmt: skip
    spoil(sound, lambda entries: entries.update({PARTS: bomb.encode() + _sheet("<row>&m;</row>")}))

    assert refusal(sound) == (
        f"declares entities ({PARTS}), as no workbook does; save it again as a plain .xlsx workbook"
    )


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_entities_in_another_encoding(encoding: str, sound: Path) -> None:
    """Nor do they get through in UTF-16, with a mark of it at the head or without."""
    bomb = "<?xml version='1.0' encoding='UTF-16'?><!DOCTYPE x [<!ENTITY a 'b'>]><worksheet/>".encode(encoding)
    spoil(sound, lambda entries: entries.update({PARTS: bomb}))

    assert "is not UTF-8" in refusal(sound)


@pytest.mark.parametrize(
    ("part", "says"),
    [
        ("xl/vbaProject.bin", "holds macros; save it as .xlsx, which has none"),
        ("xl/macrosheets/sheet1.xml", "holds macros; save it as .xlsx, which has none"),
        ("xl/externalLinks/externalLink1.xml", "is linked to other workbooks; break the links and keep their values"),
        ("xl/connections.xml", "draws data from elsewhere; remove the connections and keep their values"),
        ("xl/queryTables/queryTable1.xml", "draws data from elsewhere; remove the connections and keep their values"),
        ("xl/embeddings/oleObject1.bin", "holds embedded objects or controls; remove them"),
        ("xl/activeX/activeX1.bin", "holds embedded objects or controls; remove them"),
    ],
)
def test_what_may_not_be_in_a_workbook(part: str, says: str, sound: Path) -> None:
    """Macros, links, connections and controls are refused by name."""
    spoil(sound, lambda entries: entries.update({part: b"x"}))

    assert refusal(sound) == says


def test_thousands_of_files(sound: Path) -> None:
    """An archive of very many files is no workbook."""
    spoil(sound, lambda entries: entries.update({f"xl/media/{n}": b"" for n in range(5000)}))

    assert "more than a workbook has" in refusal(sound)


def test_hundreds_of_sheets(tmp_path: Path) -> None:
    """Too many sheets are refused."""
    path = tmp_path / "rig.xlsx"
    by_openpyxl(path, {f"s{n}": [["x"]] for n in range(100)})

    assert refusal(path) == "has 100 sheets; 60 at most are read"


def test_two_files_of_one_name(sound: Path) -> None:
    """An archive in which a part is there twice could be read in two ways."""
    with pytest.warns(UserWarning, match="Duplicate name"), zipfile.ZipFile(sound, "a") as archive:
        archive.writestr(PARTS, _sheet(""))

    assert "holds two files of one name" in refusal(sound)


def test_old_and_other_forms(tmp_path: Path) -> None:
    """Old .xls workbooks, passworded ones, OpenDocument files and things that are no archive are told apart."""
    old = tmp_path / "old.xls"
    old.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600)
    text = tmp_path / "text.xlsx"
    text.write_bytes(b"part,count\n")
    office = tmp_path / "rig.ods"
    with zipfile.ZipFile(office, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
    other = tmp_path / "other.xlsx"
    with zipfile.ZipFile(other, "w") as archive:
        archive.writestr("word/document.xml", "<w/>")
    right = "save it again as a plain .xlsx workbook"

    assert refusal(old) == f"is an old .xls workbook, or one with a password; {right}"
    assert refusal(text) == f"is not a workbook, or a damaged one; {right}"
    assert refusal(office) == f"is an OpenDocument file; {right}"
    assert refusal(other) == f"is not an .xlsx workbook; {right}"


def test_too_large_a_file(tmp_path: Path) -> None:
    """A file over the bound is refused by its size alone."""
    path = tmp_path / "rig.xlsx"
    path.write_bytes(random.Random(1).randbytes(5_000_001))

    assert refusal(path).startswith("is larger than 5 MB")


def test_missing_and_unreadable(tmp_path: Path) -> None:
    """A workbook that is not there is said not to be, with the nearest name."""
    by_openpyxl(tmp_path / "rig-41.xlsx", plain())

    assert refusal(tmp_path / "rig-14.xlsx") == "there is no such file; did you mean 'rig-41.xlsx'?"


def test_workbook_of_something_else(tmp_path: Path) -> None:
    """A workbook without the sheet that says what it is is refused with the way to one."""
    path = tmp_path / "budget.xlsx"
    by_openpyxl(path, {"Sheet1": [["month", "spent"], ["May", 12]]})

    assert refusal(path).startswith('has no sheet "about", which says what it is; cache-check new --workbook')


def test_folder_without_csv_files(tmp_path: Path) -> None:
    """A folder of other things is no cache."""
    assert refusal(tmp_path) == "is a folder without CSV files; name a file, or a folder that has about.csv"


def test_csv_without_end(tmp_path: Path) -> None:
    """A CSV file with too many rows, or an open quote, is refused."""
    folder = tmp_path / "rig"
    folder.mkdir()
    (folder / "about.csv").write_text("what,value\ncache,rig\n" + ",\n" * 30_000, encoding="utf-8")
    assert "goes on below row 20,000" in refusal(folder)

    (folder / "about.csv").write_text('what,value\ncache,"rig\n', encoding="utf-8")
    assert "is not a CSV file" in refusal(folder)


def test_damaged_bytes_are_no_fault_of_ours(sound: Path) -> None:
    """Whichever bytes of a workbook are damaged, it is read or refused in words."""
    whole = sound.read_bytes()
    dice = random.Random(20261125)
    refused = 0
    for _ in range(250):
        raw = bytearray(whole)
        for _ in range(dice.randrange(1, 6)):
            raw[dice.randrange(len(raw))] = dice.randrange(256)
        if dice.random() < 0.2:
            del raw[dice.randrange(len(raw)) :]
        sound.write_bytes(bytes(raw))
        try:
            read_cache(sound)
        except InputError:
            refused += 1
    assert refused > 100


def test_damaged_parts_are_no_fault_of_ours(sound: Path) -> None:
    """Nor when the XML inside is damaged and the archive is whole."""
    with zipfile.ZipFile(sound) as archive:
        entries = {name: archive.read(name) for name in archive.namelist()}
    dice = random.Random(42)
    names = sorted(entries)
    for _ in range(250):
        name = dice.choice(names)
        raw = bytearray(entries[name])
        for _ in range(dice.randrange(1, 4)):
            at = dice.randrange(len(raw))
            raw[at : at + dice.randrange(4)] = dice.randbytes(dice.randrange(4))
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w") as archive:
            for one, content in entries.items():
                archive.writestr(one, bytes(raw) if one == name else content)
        sound.write_bytes(packed.getvalue())
        with contextlib.suppress(InputError):
            read_cache(sound)
