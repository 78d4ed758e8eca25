"""Audits as a person runs them: sheet out, count in, record kept; and tables wherever YAML goes."""

from __future__ import annotations

import csv
import io
import json
import re
from datetime import date
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from golden.files import compare

from cache_check import __version__
from cache_check.cli.commands import new
from cache_check.report.as_json import schemas
from cli.running import ON, SAMPLES, cache_check, python

NEEDS = ("--needs", str(SAMPLES / "needs.yaml"))


def filled(path: Path, cache: str = "rescue-44.yaml", **found: str) -> Path:
    """A sheet of a rig, made by the command and filled in as the book has it but for some parts."""
    run = cache_check("audit", cache, "--sheet", path)
    assert (run.returncode, run.stdout) == (0, "")
    rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"))))
    heads = next(row for row in rows if row[:2] == ["place", "part"])
    for row in rows:
        if row[:1] == ["counted on"]:
            row[1] = "2026-11-20"
        elif row[:1] in (["counted by"], ["second person"]):
            row[1] = "A. B."
        elif len(row) == len(heads) and row != heads:
            cells = dict(zip(heads, row, strict=True))
            number = "yes" if cells["serial"] or cells["part"].startswith("ready") else cells["book"]
            number = found.get(cells["part"].replace("-", "_"), number)
            bases = 0 if cells["part"] != "hinged-base" else 1 if cells["serial"] else int(number)
            cells["points"] = str(2 * bases) if bases else ""
            cells |= {"found": number, "usable": number, "label": "legible" if cells["serial"] else "", "held": ""}
            row[:] = [cells[head] for head in heads]
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    path.write_text(out.getvalue(), encoding="utf-8")
    return path


def test_sheet_count_audit_record_history(tmp_path: Path) -> None:
    """The whole way: a sheet is printed, filled in, audited, kept, corrected and looked up."""
    count, record = filled(tmp_path / "count.csv", strap="2"), tmp_path / "audits.db"
    first = cache_check("audit", "rescue-44.yaml", count, *NEEDS, *ON, "--record", record, "--ahead", "12 months",
                        "--show", "all")  # fmt: skip
    again = cache_check(
        "audit", "rescue-44.yaml", count, *NEEDS, "--on", "2026-11-26", "--record", record, "--show", "findings"
    )
    corrected = cache_check("history", record, "--correct", "1", "--says", "wrong day", "--by", "A. B.", *ON,
                            "--show", "entries")  # fmt: skip

    assert first.returncode == again.returncode == 1
    assert "Costs most: 4 x Strap, missing (CNT-1)" in " ".join(first.stdout.split())
    assert "AHEAD, UNTIL 2027-11-25" in first.stdout
    assert f"Kept in {record} as entry 1. Receipt:" in first.stdout.replace("\n", " ")
    assert "REPEAT: found on 2 days in a row" in again.stdout
    assert "REPEAT" not in first.stdout
    assert corrected.returncode == 0
    assert "corrects 1:" in corrected.stdout
    assert "kept as entry 3" in corrected.stderr


@pytest.mark.parametrize("form", ["txt", "json"])
def test_audit_of_the_sample_count_is_as_kept(form: str) -> None:
    """The sample count of Rescue 41, with its faults, gives the page that is kept."""
    shown = ("--format", "json") if form == "json" else ("--show", "all")
    run = cache_check("audit", "rescue-41.yaml", "rescue-41-count.csv", "--needs", "needs.yaml", *ON, "--ahead",
                      "12 months", "--other", "rescue-44.yaml", *shown)  # fmt: skip
    text = run.stdout.replace(f'"version": "{__version__}"', '"version": "VERSION"')
    text = re.sub(r'("sha256": ")[0-9a-f]{64}', r"\1DIGEST", re.sub(r"SHA-256 [0-9a-f]{12}", "SHA-256 DIGEST", text))

    assert run.stderr == ""
    compare(f"audit-rescue-41.{form}", re.sub(r'(book"?: "?)[0-9a-f]{12}', r"\1HASH", text))


def test_printed_sheet_is_as_kept() -> None:
    """The count sheet of Rescue 41 on paper is the page that is kept."""
    run = cache_check("audit", "rescue-41.yaml", "--sheet", "-")

    compare("sheet-rescue-41.txt", re.sub(r"([Bb]ook) [0-9a-f]{12}", r"\1 HASH", run.stdout))


@pytest.mark.parametrize("form", ["json", "csv", "markdown", "table"])
def test_every_form(form: str, tmp_path: Path) -> None:
    """Audit and history come in every form, data alone on stdout; the JSON fits its schema."""
    record = tmp_path / "audits.db"
    audit = cache_check("audit", "rescue-44.yaml", filled(tmp_path / "c.csv"), *NEEDS, *ON, "--record", record,
                        "--ahead", "6 weeks", "--format", form)  # fmt: skip
    history = cache_check("history", record, "--format", form)

    if form in ("csv", "markdown"):
        assert "This is a planning aid." in audit.stderr
    else:
        assert audit.stderr == history.stderr == ""
    for name, run in (("audit", audit), ("history", history)):
        if form == "json":
            answer: dict[str, Any] = json.loads(run.stdout)
            jsonschema.Draft202012Validator(schemas()[name]).validate(answer)
            assert answer["answers"][0]
        else:
            assert "rescue-44" in run.stdout.casefold().replace(" ", "-")


def test_history_of_a_tampered_record_exits_1(tmp_path: Path) -> None:
    """A record that is not sound is shown as far as it can be read, and the exit status says so."""
    import sqlite3
    from contextlib import closing

    record = tmp_path / "audits.db"
    for _ in range(2):
        cache_check("audit", "rescue-44.yaml", *ON, "--record", record)
    with closing(sqlite3.connect(record)) as connection:
        connection.execute("DROP TRIGGER entry_is_not_deleted")
        connection.execute("DELETE FROM entry WHERE number = 1")
        connection.commit()
    run = cache_check("history", record)

    assert run.returncode == 1
    assert "NOT SOUND" in run.stdout
    assert "entry 1 is gone" in run.stdout


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("audit", "rescue-44.yaml", "--sheet", "x.pdf"), "a count sheet is written as .xlsx, .csv or .txt"),
        (("audit", "rescue-44.yaml", "needs.yaml"), "is a needs file, not a count file"),
        (("check", "rescue-44.yaml", "needs.yaml"), "a needs file, not a cache file; give it to check with --needs"),
        (("buy", "rescue-44.yaml", "prices.yaml"), "a prices file, not a cache file; give it to buy with --prices"),
        (("check", "car-on-side.yaml"), "a situation file, not a cache file; give it to load, after the cache"),
        (("check", "rescue-41-count.csv"), "one table, not a cache file; a filled count sheet is given to audit"),
        (("check", "rescue-44.yaml", "--needs", "rescue-41-count.csv"), "one table, not a needs file"),
        (("check", "none.csv"), "there is no such file"),
        (("audit", "rescue-44.yaml", "--ahead", "soon"), "is not a span of time"),
        (("history", "rescue-44.yaml"), "not a record of audits"),
        (("history", "none.db"), "there is no such record"),
        (("new", "--workbook", "x.xls"), "does not end in .xlsx"),
        (("convert", "rescue-44.yaml", "needs.yaml"), "is there already; nothing was written"),
        (("convert", "rescue-44.yaml", "x.pdf"), "write .yaml, .xlsx, or a folder's name"),
    ],
)
def test_refusals(arguments: tuple[str, ...], says: str) -> None:
    """What cannot be done is refused in words, with exit status 2 and nothing on stdout."""
    run = cache_check(*arguments)

    assert (run.returncode, run.stdout) == (2, "")
    assert says in run.stderr


def test_sheet_is_not_written_over(tmp_path: Path) -> None:
    """A count that somebody filled in is never written over."""
    path = filled(tmp_path / "count.csv")
    kept = path.read_bytes()
    run = cache_check("audit", "rescue-44.yaml", "--sheet", path)

    assert run.returncode == 2
    assert "is there already; nothing was written" in run.stderr
    assert path.read_bytes() == kept


def said(text: str) -> str:
    """A page without the names and hashes of the files that it was made from."""
    return re.sub(r"book: [0-9a-f]{12}", "book: HASH", text.partition("Files read:")[0])


@pytest.mark.parametrize("form", ["xlsx", ""])
def test_every_command_takes_tables(form: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A workbook or folder of CSV files says to every command what the YAML says, needs and policies too."""
    monkeypatch.setenv("CACHE_CHECK_FAMILIES", "/")  # the family stays with the samples
    suffix = f".{form}" if form else ""
    made = {}
    for kind, name in (("cache", "rescue-44"), ("needs", "needs"), ("prices", "prices"), ("policy", "policy-example")):
        made[name] = tmp_path / f"{name}{suffix}"
        run = cache_check("convert", f"{name}.yaml", made[name], "--kind", kind)
        assert run.returncode == 0, run.stderr
    table = {name: str(path) for name, path in made.items()}
    yaml = {name: f"{name}.yaml" for name in table}
    stack = ("hinged-base", "long-body", "edge-head")
    for command in (
        ("check", "rescue-44", "--needs", "needs", "--rules", "policy-example", *ON),
        ("reach", "rescue-44", *ON),
        ("build", "rescue-44", *stack, *ON),
        ("graph", "rescue-44", *ON),
        ("audit", "rescue-44", "--needs", "needs", *ON),
        ("buy", "rescue-44", "--needs", "needs", "--prices", "prices", *ON),
        ("rules", "--cache", "rescue-44"),
    ):
        one, two = (cache_check(*(names.get(word, word) for word in command)) for names in (table, yaml))
        assert one.returncode == two.returncode, (command, one.stderr)
        assert said(one.stdout) == said(two.stdout), command


def test_convert_takes_a_file_for_what_it_says(tmp_path: Path) -> None:
    """Needs are needs, there and back, without being told so; they were refused as no cache, and no remedy told."""
    for source, target in (("needs.yaml", "needs.xlsx"), (tmp_path / "needs.xlsx", "again.yaml")):
        assert cache_check("convert", source, tmp_path / target).returncode == 0
    refused = cache_check("convert", "rescue-44.yaml", tmp_path / "no.xlsx", "--kind", "needs")

    assert "is a cache file, not a needs file" in refused.stderr


def test_convert_names_no_family_outside_the_folder(tmp_path: Path) -> None:
    """A cache is not converted to where it could not be read, and the line says what would help."""
    run = cache_check("convert", "rescue-44.yaml", tmp_path / "rig.xlsx")

    assert (run.returncode, list(tmp_path.iterdir())) == (2, [])
    assert "would name family-p.yaml, which lies outside its folder" in run.stderr


@pytest.mark.parametrize("day", ["2026-03-01", "2027-12-31", "2040-02-29"])
def test_starters_of_any_day_serve_on_that_day(day: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The starters, text or workbook, serve as cache, needs and prices as they stand: nothing is overdue or to come."""
    today = date.fromisoformat(day)
    monkeypatch.setattr(new, "date", type("Day", (date,), {"today": classmethod(lambda _: today)}))
    book, rig = tmp_path / "my-rig.xlsx", tmp_path / "my-rig.yaml"
    made = [cache_check("new", "--workbook", book), cache_check("new", rig)]
    on = ("--on", day, "--fail-on", "never", "--show", "all")
    checks = [cache_check("check", one, "--needs", book, *on) for one in (book, rig)]

    assert [run.returncode for run in made + checks] == [0] * 4, made + checks
    for run in checks:
        assert "3 usable" in " ".join(run.stdout.split())
        assert "to come" not in run.stdout


def test_yaml_loads_no_spreadsheet_code() -> None:
    """Who uses YAML does not wait for openpyxl or SQLite."""
    code = (
        "import atexit, sys\n"
        "unwanted = {'openpyxl', 'sqlite3', 'cache_check.files.workbook.sheet'}\n"
        "atexit.register(lambda: print('LOADED', sorted(unwanted & set(sys.modules))))\n"
        "sys.argv = ['cache-check', 'check', 'rescue-44.yaml', '--on', '2026-11-25', '--fail-on', 'never']\n"
        "from cache_check.cli.main import run\n"
        "run()\n"
    )
    assert python("-c", code).stdout.endswith("LOADED []\n")


def test_an_entry_is_shown_in_full_or_said_not_to_be_there(tmp_path: Path) -> None:
    """Its kind, day, who and what of it, on the first screen too: one without findings, or a correction, was empty."""
    count, record = filled(tmp_path / "count.csv"), tmp_path / "audits.db"
    cache_check("audit", "rescue-44.yaml", count, *ON, "--record", record)
    cache_check("history", record, "--correct", "1", "--says", "count of another rig", "--by", "A. B.", *ON)
    short, whole = (cache_check("history", record, "--entry", "2", *show) for show in ((), ("--show", "entry")))
    none = cache_check("history", record, "--entry", "9")

    for run in (short, whole):
        assert "correction on 2026-11-25, by A. B.: corrects 1: count of another rig" in " ".join(run.stdout.split())
    assert "Entry 1, audit of rescue-44 on" in " ".join(cache_check("history", record, "--entry", "1").stdout.split())
    assert (none.returncode, none.stdout) == (2, "")
    assert "there is no entry 9 in" in none.stderr
