"""Many rigs, each by itself: the same answers as one by one, on however many cores, and past a file that is none."""

from __future__ import annotations

import csv
import gc
import re
from pathlib import Path
from shutil import copy

import pytest

from cache_check.planning.packing import laid
from cache_check.planning.packing.muster import Muster
from cli.running import cache_check

COUNTY = Path(__file__).parents[2] / "sample_caches" / "quillfen"
RIGS = [str(COUNTY / f"{name}.yaml") for name in ("rescue-41", "rescue-44", "truck-9")]
NEEDS = ("--needs", str(COUNTY / "needs.yaml"), "--on", "2026-11-25")


@pytest.mark.parametrize("command", ["check", "buy", "audit"])
def test_rigs_are_told_alike_however_many_work_at_them(command: str) -> None:
    """The lines of two processes are those of one, in the order in which the rigs were named."""
    one = cache_check(command, *RIGS, *NEEDS, "--jobs", "1")
    two = cache_check(command, *RIGS, *NEEDS, "--jobs", "2")
    assert two.stdout == one.stdout
    assert two.returncode == one.returncode
    places = [one.stdout.index(title) for title in ("Rescue 41", "Rescue 44", "Truck 9")]
    assert places == sorted(places)


@pytest.mark.parametrize("command", ["check", "audit"])
def test_a_line_of_many_is_the_line_of_several_and_says_what_it_rests_on(command: str) -> None:
    """Of each rig the day of its book and the design factor; of all the day asked about and the rules changed."""
    many = cache_check(command, *RIGS, *NEEDS, "--jobs", "1").stdout.splitlines()
    rested = ["Today       2026-11-25", "Rules       changed: EXT-2, EXT-1"]
    assert [line for line in many if line.startswith(("Today", "Rules"))] == rested
    for title in ("Rescue 41", "Rescue 44", "Truck 9"):
        assert sum(f"{title}, counted 2026-03-01, at 2:1: " in line for line in many) == 1
    if command == "check":
        several = cache_check("check", *RIGS, *NEEDS).stdout.splitlines()
        assert several[:2] == rested
        assert many[:3] == several[2:5]


@pytest.mark.parametrize("command", ["buy", "stage", "load"])
def test_several_rigs_say_of_each_its_book_and_factor(command: str) -> None:
    """A yes for one of several rests on the day of its book and on a factor, as a yes for one alone does."""
    given = {"buy": (*NEEDS, "--prices", str(COUNTY / "prices.yaml")), "stage": NEEDS, "load": NEEDS[2:]}[command]
    place = [str(COUNTY / "car-on-side.yaml")] if command == "load" else []
    said = cache_check(command, *RIGS[:2], *place, *given, "--factor", "4:1").stdout
    assert "Rescue 41, counted 2026-03-01, at 4:1: " in said
    assert "Rescue 44, counted 2026-03-01, at 4:1: " in said


def test_what_a_rig_says_is_never_said_of_the_next(tmp_path: Path) -> None:
    """Rigs of one family are laid out once; still each has its own counts, pins and rules, as if asked alone."""
    copy(COUNTY / "family-p.yaml", tmp_path)
    text = (COUNTY / "rescue-41.yaml").read_text(encoding="utf-8")
    own = [
        ("strap:\n    count: 7", "strap:\n    count: 3", "EXT-2: {max: 12 in, why: ours}"),
        ("joint-pin: {count: 16", "joint-pin: {count: 9", "EXT-2: {max: 30 in, why: ours}"),
        ("extension-10: {count: 4", "extension-10: {count: 1", "EXT-1: off, EXT-2: off"),
        ("extension-10: {count: 4", "extension-10: {count: 9", "EXT-1: off, EXT-2: off"),
    ]
    needs = tmp_path / "needs.yaml"
    each = "".join(f"      - {{id: at {n}, count: 1, length: {n} in, load: 500}}\n" for n in (60, 97, 130))
    needs.write_text(f"needs: ours\nunits: us\nscenes:\n  all:\n    needs:\n{each}", encoding="utf-8")
    rigs = []
    for n, (old, new, rules) in enumerate(own):
        assert old in text
        said = re.sub(r"\b([A-Z]{2}-0\d)\b", rf"\1-{n}", text.replace("cache: rescue-41", f"cache: rig-{n}"))
        said = said.replace(old, new)
        rigs.append(tmp_path / f"rig-{n}.yaml")
        rigs[-1].write_text(f"{said}\nrules: {{{rules}}}\n", encoding="utf-8")

    def rows(*asked: Path) -> list[str]:
        return cache_check("check", *asked, "--needs", needs, "--format", "csv", "--jobs", "1").stdout.splitlines()[1:]

    alone = []
    for rig in rigs:
        laid._LATELY.clear()
        alone.append(rows(rig))
    laid._LATELY.clear()
    assert len(set(map(tuple, alone))) == len(rigs)
    assert rows(*rigs) == [row for of_one in alone for row in of_one]


def test_what_was_worked_out_of_a_rig_is_let_go(tmp_path: Path) -> None:
    """However many rigs are asked, no more than the last is kept, though no garbage is looked for of itself."""
    copy(COUNTY / "family-p.yaml", tmp_path)
    text = (COUNTY / "rescue-41.yaml").read_text(encoding="utf-8")
    rigs = [tmp_path / f"rig-{n}.yaml" for n in range(6)]
    for rig in rigs:
        rig.write_text(text.replace("cache: rescue-41", f"cache: {rig.stem}"), encoding="utf-8")
    gc.collect()
    before = sum(isinstance(one, Muster) for one in gc.get_objects())
    gc.disable()
    try:
        cache_check("check", *rigs, "--jobs", "1")
        assert sum(isinstance(one, Muster) for one in gc.get_objects()) - before < len(rigs)
    finally:
        gc.enable()


def test_a_file_that_is_no_cache_is_told_and_left_out(tmp_path: Path) -> None:
    """The rigs behind it are answered; it is named at the end, and the status says that something was not read."""
    bad = tmp_path / "bad.yaml"
    bad.write_text("cache: [\n", encoding="utf-8")
    said = cache_check("check", RIGS[0], str(bad), RIGS[1], *NEEDS, "--jobs", "2", "--fail-on", "never")
    assert said.returncode == 2
    assert "Rescue 44, counted 2026-03-01, at 2:1: 1 of 5 scenes met (1 of them not with one missing)" in said.stdout
    assert said.stderr.splitlines()[-1] == f"cache-check: no answer for 1 of 3 rigs: {bad}"


@pytest.mark.parametrize("jobs", ["1", "2"])
def test_one_serial_on_two_rigs_is_counted_on_neither(tmp_path: Path, jobs: str) -> None:
    """A piece is on one rig: what needs it is met on neither, from the first line on, and what does not is met."""
    for name in ("family-p.yaml", "family-q.yaml"):
        copy(COUNTY / name, tmp_path)
    first, second = tmp_path / "first.yaml", tmp_path / "second.yaml"
    text = (COUNTY / "rescue-41.yaml").read_text(encoding="utf-8")
    first.write_text(text.replace("count: 3\n    where: drawer 1", "count: 1\n    where: drawer 1"), encoding="utf-8")
    text = (COUNTY / "truck-9.yaml").read_text(encoding="utf-8")
    second.write_text(text.replace("Q-101", "lb-01"), encoding="utf-8")

    def met(*rigs: Path | str) -> tuple[dict[str, str], list[str], int]:
        said = cache_check("check", *rigs, *NEEDS, "--format", "csv", "--jobs", jobs, "--fail-on", "never")
        rows = [row for row in csv.DictReader(said.stdout.splitlines()) if row["rig"] == "Rescue 41"]
        lines = [line for line in said.stderr.splitlines() if line.startswith("cache-check:")]
        return {row["need or length"]: row["verdict"] for row in rows}, lines, said.returncode

    alone, _, clean = met(first, RIGS[2])
    both, lines, status = met(first, second)
    assert (clean, status) == (0, 2)
    assert {need for need in alone if alone[need] != both[need]} == {"long-reach: high rail"}
    assert (alone["long-reach: high rail"], both["long-reach: high rail"]) == ("MET", "NOT KNOWN")
    doubt = "too, so neither counts it; look which rig has the piece, and list it there alone"
    assert lines == [
        f"cache-check: {first}: serial 'LB-01' is in {second} {doubt}",
        f"cache-check: {second}: serial 'lb-01' is in {first} {doubt}",
        f"cache-check: a serial of another rig stands on 2 of 2 rigs: {first}, {second}",
    ]


@pytest.mark.parametrize("command", [
    ("check",), ("check", "--pool"), ("check", "--jobs", "1"), ("buy",), ("buy", "--jobs", "2"), ("stage",),
])  # fmt: skip
def test_two_books_of_one_rig_are_never_silent(tmp_path: Path, command: tuple[str, ...]) -> None:
    """Which of them is right nobody knows, though no serial stands in both; its name in capitals is the same rig."""
    for name in ("family-p.yaml", "family-q.yaml"):
        copy(COUNTY / name, tmp_path)
    first, second = tmp_path / "first.yaml", tmp_path / "second.yaml"
    text = (COUNTY / "rescue-44.yaml").read_text(encoding="utf-8")
    first.write_text(text, encoding="utf-8")
    second.write_text(re.sub(r"serial: ", "serial: x", text).replace(": rescue-44", ": Rescue-44"), encoding="utf-8")

    said = cache_check(*command, str(first), str(second), *NEEDS)

    assert (said.returncode, said.stdout.count("MET")) == (2, 0)
    assert f"rig 'Rescue-44' is in {first} too; give each rig once, under a name of its own" in said.stderr


@pytest.mark.parametrize("jobs", [(), ("--jobs", "2")])
def test_rigs_of_two_unit_systems_stand_under_one_head(jobs: tuple[str, ...]) -> None:
    """No millimetre stands under inches: the last rig is kept in SI, the first is not."""
    rows = list(csv.DictReader(cache_check("check", *RIGS, *NEEDS, *jobs, "--format", "csv").stdout.splitlines()))
    lengths = {(row["rig"], row["need or length"]): row["from, in"] for row in rows}
    assert lengths["Truck 9", "car-on-side: roof side"] == lengths["Rescue 41", "car-on-side: roof side"] == "41.0"
    assert {row["load along each, lbf"] for row in rows if "mixer" in row["need or length"]} == {"6000"}


@pytest.mark.parametrize("more", [("--format", "json"), ("--show", "needs"), ("--pool",)])
def test_what_is_no_row_is_refused(more: tuple[str, ...]) -> None:
    """One line, and nothing is worked out."""
    said = cache_check("check", *RIGS, *NEEDS, "--jobs", "2", *more)
    assert said.returncode == 2
    assert not said.stdout
    assert len(said.stderr.splitlines()) == 1


def test_no_rig_is_called_met_for_what_is_not_bought_yet() -> None:
    """A line of ``buy`` begins with how the rig stands today."""
    said = cache_check("buy", *RIGS, *NEEDS, "--prices", str(COUNTY / "prices.yaml")).stdout.splitlines()
    assert [line for line in said if line.startswith("MET")] == []
    assert [line.split(",")[0] for line in said if line.startswith("NOT MET")] == [
        "NOT MET     Rescue 41",
        "NOT MET     Rescue 44",
        "NOT MET     Truck 9",
    ]


@pytest.mark.parametrize("jobs", [(), ("--jobs", "1")])
def test_what_is_supposed_of_several_rigs_is_said(jobs: tuple[str, ...]) -> None:
    """Nobody may take what is supposed for what is there: one line says it for all the rigs."""
    said = cache_check("check", *RIGS, *NEEDS, *jobs, "--with", "strap=1", "--factor", "4:1").stdout.splitlines()
    assert [" ".join(line.split()) for line in said if line.startswith("Supposed")] == [
        "Supposed with 1 more strap, design factor 4:1"
    ]
    assert not any(
        line.startswith("Supposed") for line in cache_check("check", *RIGS, *NEEDS, *jobs).stdout.splitlines()
    )


@pytest.mark.parametrize("command", ["check", "buy", "audit"])
def test_data_of_many_says_the_day_and_the_factor(command: str) -> None:
    """Rows have no room for them: once for all rigs, beside the data, as where each is asked by itself."""
    many = cache_check(command, *RIGS, *NEEDS, "--jobs", "1", "--format", "csv", "--factor", "4:1")
    beside = many.stderr.splitlines()
    assert "Today       2026-11-25" in beside
    assert "Factor      4:1" in beside
    assert "Factor" not in cache_check(command, *RIGS, *NEEDS, "--jobs", "1", "--factor", "4:1").stdout


def test_a_gap_of_several_rigs_is_told_once(tmp_path: Path) -> None:
    """Two rigs lack the same straps: one line under "Do now" names both."""
    copy(COUNTY / "family-p.yaml", tmp_path)
    text = (COUNTY / "rescue-41.yaml").read_text(encoding="utf-8")
    names = ["one", "two", "three"]
    for name in names:
        own = text.replace("cache: rescue-41", f"cache: {name}").replace("Rescue 41", f"Rig {name}")
        own = re.sub(r"\b(SB|LB|HB|ST)-", rf"\1{name}-", own)
        (tmp_path / f"{name}.yaml").write_text(own, encoding="utf-8")
    said = cache_check("check", *(tmp_path / f"{name}.yaml" for name in names), *NEEDS).stdout
    assert " ".join(said.split()).count("5 bases need 10 straps at two each: 3 short") == 1
    assert "Do now      Rig one, Rig two and Rig three, each: 5 bases need" in said
