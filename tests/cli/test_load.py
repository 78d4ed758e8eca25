"""The command ``load`` as a person runs it: exit statuses, one line for what is wrong, data on stdout only."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import jsonschema
import pytest
from golden.files import SCHEMAS

from cli.running import ON, cache_check

AT = ("--contact-height", "52", "--angle", "60", *ON)


@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (("rescue-41.yaml", "car-on-side.yaml", *ON), 0),
        (("rescue-41.yaml", "trailer-one-end.yaml", *ON), 1),
        (("rescue-41.yaml", "trailer-one-end.yaml", "--fail-on", "never", *ON), 1),
        (("rescue-41.yaml", *AT, "--vertical", "4000", "--half-angles", "30 left,20 left"), 1),
        (("rescue-41.yaml", *AT, "--vertical", "4000kg"), 2),
        (("rescue-41.yaml", "--angle", "60"), 2),
        (("rescue-41.yaml",), 2),
        (("rescue-41.yaml", "car-on-side.yaml", "leaning-van.yaml"), 2),
        (("rescue-41.yaml", *AT, "--weight", "3000", "--weight-outside", "20", "--contact-x", "-200"), 2),
    ],
)
def test_exit_status_says_how_it_went(arguments: tuple[str, ...], status: int) -> None:
    """0 clean, 1 findings at or above the asked severity, 2 what cannot be read or asked; data only where it is."""
    run = cache_check("load", *arguments)

    assert run.returncode == status
    assert bool(run.stdout) == (status < 2)
    assert bool(run.stderr) == (status == 2)
    assert "Traceback" not in run.stderr


def test_an_option_takes_the_place_of_the_file_s_entry() -> None:
    """The car of the file at another angle: another length, the rest as it was."""
    plain = json.loads(cache_check("load", "rescue-41.yaml", "car-on-side.yaml", "--format", "json", *ON).stdout)
    steep = json.loads(
        cache_check("load", "rescue-41.yaml", "car-on-side.yaml", "--angle", "65", "--format", "json", *ON).stdout
    )

    assert steep["answers"][0]["geometry"]["angle_deg"] == 65
    assert steep["answers"][0]["geometry"]["length_mm"] < plain["answers"][0]["geometry"]["length_mm"]
    assert steep["answers"][0]["forces"]["whole_n"] == plain["answers"][0]["forces"]["whole_n"]


@pytest.mark.parametrize("situation", ["car-on-side.yaml", "trailer-one-end.yaml", "leaning-van.yaml"])
@pytest.mark.parametrize("rig", ["rescue-41.yaml", "rescue-44.yaml", "truck-9.yaml"])
def test_json_fits_its_schema(rig: str, situation: str) -> None:
    """Every sample situation on every rig fits the committed schema, every key there."""
    run = cache_check("load", rig, situation, "--format", "json", *ON)

    jsonschema.Draft202012Validator(SCHEMAS["load"]).validate(json.loads(run.stdout))
    assert run.stderr == ""


def test_several_caches_each_by_itself_or_pooled() -> None:
    """Two caches make two answers, or one of both together that stands more."""
    both = ("rescue-41.yaml", "rescue-44.yaml", "car-on-side.yaml", "--format", "json", *ON)
    apart = json.loads(cache_check("load", *both).stdout)["answers"]
    pooled = json.loads(cache_check("load", *both, "--pool").stdout)["answers"]

    def rated(answer: dict[str, object]) -> int:
        tally = answer["tally"]
        assert isinstance(tally, dict)
        return int(next(step["count"] for step in tally["counts"] if step["step"] == "rated"))

    assert [one["name"] for one in apart] == ["rescue-41", "rescue-44"]
    assert len(pooled) == 1
    assert rated(pooled[0]) >= sum(rated(one) for one in apart)


def test_friction_and_pre_tension_are_told_where_they_count() -> None:
    """The caution and the basis say so, in words and in JSON; friction that is only typed counts nowhere."""
    typed = ("rescue-41.yaml", *AT, "--vertical", "4000", "--friction", "0.2", "--pretension", "50")
    counted = (*typed, "--set", "LOD-1.friction=0.3")
    page = cache_check("load", *counted, "--show", "all").stdout
    answer = json.loads(cache_check("load", *counted, "--format", "json").stdout)
    plain = json.loads(cache_check("load", *typed, "--format", "json").stdout)

    assert "Friction under the base is counted at a coefficient of 0.2, as policy says." in " ".join(page.split())
    for rigs in ((), ("rescue-44.yaml",)):  # what a yes rests on is in the line that is read if no other is
        short = " ".join(cache_check("load", counted[0], *rigs, *counted[1:]).stdout.split())
        assert short.count("; friction of 0.2 under each base counted, as policy says.") == 1 + len(rigs)
        assert "friction" not in " ".join(cache_check("load", typed[0], *rigs, *typed[1:]).stdout.split("More")[:1])
    assert any("counted at a coefficient of 0.2" in line for line in answer["caution"])
    assert answer["answers"][0]["slip"]["counted"] == 0.2
    assert answer["answers"][0]["push"] is not None
    assert (plain["answers"][0]["slip"]["said"], plain["answers"][0]["slip"]["counted"]) == (0.2, 0)
    assert any("Friction under the base is not counted" in line for line in plain["caution"])


def test_a_starter_situation_is_written_and_answered(tmp_path: Path) -> None:
    """The starter file is a situation as it stands."""
    path = tmp_path / "situation.yaml"

    assert cache_check("new", "--kind", "situation", path).returncode == 0
    assert cache_check("load", "rescue-41.yaml", path, *ON).returncode in (0, 1)


def test_data_of_a_place_that_no_build_reaches_has_a_row() -> None:
    """Rows that are not there read as "nothing is wrong": the verdict and what keeps it are told without a build."""
    ran = cache_check("load", "rescue-41.yaml", "--contact-height", "400", "--angle", "55", "--vertical", "1000",
                      "--format", "csv", *ON)  # fmt: skip
    head, row = csv.DictReader(ran.stdout.splitlines()), None
    (row,) = head
    assert (row["rig"], row["verdict"]) == ("Rescue 41", "NOT MET")
    assert row["not held or not known"].startswith("length")
    assert row["parts, ground to load"] == ""


@pytest.mark.parametrize("form", ["situation.xlsx", "situation"])
def test_a_situation_may_be_a_workbook_or_a_folder(form: str, tmp_path: Path) -> None:
    """What ``convert`` writes of a situation is answered as the file is; a workbook of a cache is none."""
    assert cache_check("convert", "car-on-side.yaml", tmp_path / form, "--kind", "situation").returncode == 0
    said, of_file = (
        json.loads(cache_check("load", "rescue-41.yaml", one, *ON, "--format", "json").stdout)["answers"]
        for one in (tmp_path / form, "car-on-side.yaml")
    )

    assert said == of_file
    assert cache_check("load", "rescue-41.yaml", tmp_path / form, "car-on-side.yaml", *ON).returncode == 2


@pytest.mark.parametrize(
    ("named", "says"),
    [
        ("needs.yaml", "needs.yaml is a needs file, not a situation; give it to check with --needs"),
        ("prices.yaml", "prices.yaml is a prices file, not a situation; give it to buy with --prices"),
        ("policy-example.yaml", "policy-example.yaml is a policy file, not a situation; give it with --rules"),
        ("county.yaml", "county.yaml is a county file, not a situation; name caches and one situation file"),
        ("car-on-sid.yaml", "car-on-sid.yaml: there is no such file; did you mean 'car-on-side.yaml'?"),
    ],
)
@pytest.mark.parametrize("options", [(), ("--contact-height", "52", "--angle", "60", "--vertical", "4000")])
def test_a_file_that_is_no_situation_is_said_to_be_what_it_is(named: str, says: str, options: tuple[str, ...]) -> None:
    """One line: the file, what it is or that it is not there, and what would be right; status 2."""
    ran = cache_check("load", "rescue-41.yaml", named, *options, *ON)

    assert (ran.returncode, ran.stdout, ran.stderr) == (2, "", f"cache-check: {says}\n")
