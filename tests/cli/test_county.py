"""A county file: commands take rig names where one stands in the folder or above, and say so in one line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cache_check.cli.input import _told
from cache_check.cli.output import guarded
from cli.running import ON, SAMPLES, cache_check

Capture = pytest.CaptureFixture[str]


def run(capsys: Capture, *arguments: str) -> tuple[int, str, str]:
    """Exit status, stdout and stderr of a command in this process."""
    _told.cache_clear()
    status = guarded(arguments)
    out, err = capsys.readouterr()
    return status, out, err


@pytest.fixture
def county(monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of the sample county."""
    monkeypatch.chdir(SAMPLES)
    return SAMPLES


def test_a_new_county_checks_clean(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    """What ``new --county`` writes has a first rig whose check is clean, and nothing is written over."""
    monkeypatch.chdir(tmp_path)
    assert run(capsys, "new", "--county")[0] == 0
    status, out, err = run(capsys, "check")

    assert (status, err.count("\n")) == (0, 1)
    assert "MET         Car on its side" in out
    assert run(capsys, "buy")[0] == 0
    assert run(capsys, "new", "--county")[0] == 2


def test_all_rigs_are_asked_where_none_is_named(county: Path, capsys: Capture) -> None:
    """One line says what is taken from where; each rig has its answer, by the county's needs."""
    _, out, err = run(capsys, "check", *ON, "--format", "json")

    assert err == (
        f"cache-check: Quillfen County, from {county / 'county.yaml'}: rescue-41, rescue-44, truck-9; "
        "with needs.yaml, prices.yaml, prices-2.yaml\n"
    )
    answers = json.loads(out)["answers"]
    assert [one["name"] for one in answers] == ["rescue-41", "rescue-44", "truck-9"]
    assert all(len(one["scenes"]) == 5 for one in answers)


@pytest.mark.usefixtures("county")
@pytest.mark.parametrize("more", [(), ("--sheet", "never-written.csv")])
def test_an_audit_of_a_county_asks_which_rig(more: tuple[str, ...], capsys: Capture) -> None:
    """A count is of one rig: with none named one line says so, and how many books are audited."""
    status, out, err = run(capsys, "audit", *ON, *more)

    assert (status, out) == (2, "")
    assert err.endswith("Error: name one CACHE and at most one COUNT, or many caches with --jobs\n")


@pytest.mark.parametrize(("was", "wrong", "says"), [
    ("serial: LB-11", "serial: lb-01", "serial 'lb-01'"), ("cache: rescue-44", "cache: Rescue-41", "rig 'rescue-41'"),
])  # fmt: skip
@pytest.mark.parametrize("command", [("check",), ("stage",), ("buy",), ("audit",), ("load",), ("reach",)])
def test_a_serial_or_rig_of_two_books_of_a_county_is_counted_by_no_question_about_one(
    command: tuple[str, ...],
    was: str,
    wrong: str,
    says: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: Capture,
) -> None:
    """As all of them together are refused, so is the one that is named; another rig, or a file by itself, is not."""
    for path in SAMPLES.glob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        (tmp_path / path.name).write_text(text.replace(was, wrong), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    beside = ("car-on-side.yaml",) if command == ("load",) else ()
    status, out, err = run(capsys, *command, "Rescue 44", *beside, *ON)

    assert (status, out) == (2, "")
    assert f"rescue-41.yaml: {says} is in" in err
    assert run(capsys, *command, "Truck 9", *beside, *ON)[0] != 2
    assert run(capsys, "check", "rescue-41.yaml", *ON)[0] != 2


def test_a_rig_of_a_county_named_beside_a_file_of_it_is_not_held_against_itself(county: Path, capsys: Capture) -> None:
    """The file is one of the county's rigs, however its path is written."""
    assert run(capsys, "check", "Truck 9", "rescue-44.yaml", *ON)[0] != 2


@pytest.mark.parametrize("name", ["Rescue 41", "rescue-41", "RESCUE 41", "rescue41"])
def test_a_rig_is_found_by_its_name(name: str, county: Path, capsys: Capture) -> None:
    """By title, id or file, whatever its case and marks; the answer is that of the file with the county's needs."""
    named = run(capsys, "check", name, *ON)[1]

    assert named == run(capsys, "check", "rescue-41.yaml", "--needs", "needs.yaml", *ON)[1]


def test_a_file_stands_for_itself(county: Path, capsys: Capture) -> None:
    """A rig named by its path takes nothing of the county, and nothing is said of one."""
    _, out, err = run(capsys, "check", "rescue-41.yaml", *ON, "--format", "json")

    assert err == ""
    assert json.loads(out)["answers"][0]["scenes"] == []


def test_options_on_the_line_win(county: Path, tmp_path: Path, capsys: Capture) -> None:
    """Other needs than the county's are the only ones."""
    own = tmp_path / "own.yaml"
    own.write_text("needs: mine\nunits: us\nscenes: {s: {needs: [{id: n, count: 1, length: 48}]}}\n")
    _, out, _ = run(capsys, "check", "rescue-41", "--needs", str(own), *ON, "--format", "json")

    assert [one["scene"] for one in json.loads(out)["answers"][0]["scenes"]] == ["s"]


def test_a_name_that_is_no_rig_is_asked_about(county: Path, capsys: Capture) -> None:
    """The nearest rig is offered; without a county file the reader says what is not there."""
    status, _, err = run(capsys, "check", "Resque 41")

    assert status == 2
    assert "no rig 'Resque 41'" in err
    assert "did you mean 'Rescue 41'?" in err


def test_policies_of_the_county_hold_for_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    """A policy that the county names is told on each answer; one on the line comes after it and wins."""
    monkeypatch.chdir(tmp_path)
    run(capsys, "new", "--county")
    run(capsys, "new", "--kind", "policy")
    path = tmp_path / "county.yaml"
    path.write_text(path.read_text().replace("# policies: [policy.yaml]", "policies: [policy.yaml]"))
    assert "design factor 4:1" in run(capsys, "check")[1]

    own = tmp_path / "own.yaml"
    own.write_text("policy: own\nunits: us\nset: {CAP-1: {factor: 3, why: trial}}\n")
    assert "design factor 3:1" in run(capsys, "check", "--rules", str(own))[1]


def test_mistakes_of_all_files_are_told_in_one_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    """A rig, its needs and a quote with a mistake each: three lines at once, status 2."""
    monkeypatch.chdir(tmp_path)
    run(capsys, "new", "--county")
    for name, old, new in (
        ("my-rig", "closed: 30", "closed: thirty"), ("needs", "count: 2", "count: 0"), ("prices", "pack: 4", "pack: 0"),
    ):  # fmt: skip
        path = tmp_path / f"{name}.yaml"
        path.write_text(path.read_text().replace(old, new))
    status, out, err = run(capsys, "buy", *ON)

    assert (status, out) == (2, "")
    assert all(f"{name}.yaml:" in err for name in ("my-rig", "needs", "prices"))


@pytest.mark.parametrize("slip", ["starp", "P/starp"])
def test_a_name_in_a_quote_that_is_nearly_a_part_is_asked_about(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture, slip: str
) -> None:
    """A slip in a price list is asked about; another number is another part, and is not."""
    monkeypatch.chdir(tmp_path)
    run(capsys, "new", "--county")
    path = tmp_path / "prices.yaml"
    path.write_text(path.read_text().replace("  strap:", f"  {slip}:"))
    err = run(capsys, "buy", *ON)[2]

    line = path.read_text().splitlines().index(next(one for one in path.read_text().splitlines() if slip in one)) + 1
    assert f"prices.yaml:{line}:3: '{slip}' is no part here; did you mean 'strap'?" in err


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("rigs: [gone.yaml]", "'gone.yaml' is not there"),
        ("rigs: []", "rigs"),
        ("rigs: [my-rig.yaml]\nneds: needs.yaml", "did you mean 'needs'?"),
    ],
)
def test_mistakes_of_the_county_file_have_their_line(
    written: str, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    """A rig that is not there, no rig at all, a word that is none: one clear line, status 2."""
    monkeypatch.chdir(tmp_path)
    run(capsys, "new", "my-rig.yaml")
    (tmp_path / "county.yaml").write_text(f"county: c\n{written}\n")
    status, out, err = run(capsys, "check")

    assert (status, out) == (2, "")
    assert "county.yaml:" in err
    assert said in err


def test_history_without_a_record_takes_that_of_the_county(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    """The county's record is shown; where it names none, the line says how to."""
    monkeypatch.chdir(tmp_path)
    run(capsys, "new", "--county")
    status, _, err = run(capsys, "history")
    assert status == 2
    assert "no record is named" in err

    path = tmp_path / "county.yaml"
    path.write_text(path.read_text().replace("# record: audits.db", "record: audits.db"))
    run(capsys, "audit", "My rig", "--record", "audits.db")
    assert "audits.db" in run(capsys, "history")[1]


@pytest.mark.parametrize(
    "asked",
    [("reach", "bad.yaml"), ("build", "bad.yaml", "a"), ("graph", "bad.yaml"), ("load", "bad.yaml", "wrong.yaml"),
     ("exercise", "bad.yaml", "--needs", "wrong.yaml")],
    ids=lambda asked: asked[0],
)  # fmt: skip
def test_mistakes_of_several_files_are_told_together(tmp_path: Path, asked: tuple[str, ...]) -> None:
    """A policy, a cache and what stands beside it are all read before any is complained of."""
    (tmp_path / "bad.yaml").write_text("cache: bad\nnonsense: 1\n")
    (tmp_path / "policy.yaml").write_text("twaddle: 1\n")
    (tmp_path / "wrong.yaml").write_text("situation: odd\nwhat: 1\n")

    run = cache_check(*asked, "--rules", "policy.yaml", cwd=tmp_path)

    assert run.returncode == 2
    assert "bad.yaml" in run.stderr
    assert "policy.yaml" in run.stderr
    assert ("wrong.yaml" in run.stderr) == ("wrong.yaml" in asked)


def test_a_rig_that_is_named_twice_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    """By its file and its name, in the county file, with --jobs: each was told as a rig of its own."""
    monkeypatch.chdir(tmp_path)
    for path in SAMPLES.glob("*.yaml"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    for named in (["truck-9.yaml"] * 2, ["./truck-9.yaml", "truck-9.yaml", "--jobs", "2"], ["Truck 9", "truck-9.yaml"]):
        status, _, err = run(capsys, "check", *named, *ON)
        assert (status, "truck-9.yaml is named twice; name each rig once" in err) == (2, True)
    county = tmp_path / "county.yaml"
    twice = county.read_text(encoding="utf-8").replace("truck-9.yaml]", "truck-9.yaml, ./truck-9.yaml]")
    county.write_text(twice, encoding="utf-8")
    status, _, err = run(capsys, "audit", "--jobs", "1", *ON)
    assert (status, "truck-9.yaml is named twice; name each rig once" in err) == (2, True)


def test_another_rig_may_be_named_as_the_county_has_it(county: Path, capsys: Capture) -> None:
    """Its name was looked for as a file after it had been read."""
    status, out, err = run(capsys, "audit", "Rescue 41", "--other", "Rescue 44", *ON, "--fail-on", "never")
    named = run(capsys, "audit", "Rescue 41", "--other", "rescue-44.yaml", *ON, "--fail-on", "never")

    assert (status, out) == (0, named[1]), err


def test_two_rigs_of_one_title_are_told_apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    """The title alone, or a name like it, asked about the last of the two; their pieces were told as of one rig."""
    monkeypatch.chdir(tmp_path)
    for path in SAMPLES.glob("*.yaml"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    twin = (SAMPLES / "rescue-44.yaml").read_text()
    for old, new in (("-44", "-45"), ("Rescue 44", "rescue 41"), ("LB-11", "LB-91"), ("HB-11", "HB-91")):
        twin = twin.replace(old, new)
    (tmp_path / "rescue-45.yaml").write_text(twin)
    county = (SAMPLES / "county.yaml").read_text().replace("truck-9.yaml", "rescue-45.yaml")
    (tmp_path / "county.yaml").write_text(county)

    status, _, err = run(capsys, "check", "Rescue 41", *ON)
    assert (status, "rescue-41.yaml and of" in err, "name one of the files" in err) == (2, True, True)
    assert run(capsys, "check", *ON, "--move", "strap=1:Rescue 41:Rescue 44")[0] == 2
    assert "Rescue 41 (rescue-41), counted" in run(capsys, "check", *ON)[1]
    rigs = ("rescue-44.yaml", "--from", "rescue-41.yaml", "--from", "rescue-45.yaml", "--needs", "needs.yaml")
    told = " ".join(run(capsys, "buy", *rigs, *ON, "--show", "list")[1].split())
    assert "Rescue 41 (rescue-41) then serves less" in told
    assert "rescue 41 (rescue-45) serves its own scenes as before" in told
