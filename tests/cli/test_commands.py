"""Each command as a person runs it: help, what is on stdout, what is written."""

from __future__ import annotations

import importlib
import json
import os
import re
import stat
import sys
from pathlib import Path
from typing import Any

import jsonschema
import networkx as nx
import pytest
from openpyxl import load_workbook
from openpyxl.utils import coordinate_to_tuple

from cache_check.cli.main import COMMANDS, front_page
from cache_check.report.as_json import schemas
from cli.running import ON, SAMPLES, cache_check, started

STACK = ("hinged-base", "long-body", "edge-head")
JSON = {
    "check": ["check", "rescue-41.yaml", "--needs", "needs.yaml", *ON],
    "reach": ["reach", "rescue-41.yaml", "--at", "78in", "--load", "6000lbf", *ON],
    "build": ["build", "rescue-41.yaml", *STACK, *ON],
    "rules": ["rules", "--cache", "rescue-41.yaml"],
}


def answer(*arguments: str) -> Any:
    """The JSON of a command."""
    return json.loads(cache_check(*arguments, "--format", "json").stdout)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_answers_help(name: str) -> None:
    """Each command loads, says how it is used, and shows an example."""
    run = cache_check(name, "--help")

    assert (run.returncode, run.stderr) == (0, "")
    assert run.stdout.startswith(f"Usage: cache-check {name} ")
    assert re.search(rf"^  Examples?:\n    cache-check {name} ", run.stdout, re.MULTILINE)


def test_commands_are_listed_in_order_of_use() -> None:
    """The main job is first; each help is one line that fits."""
    assert next(iter(COMMANDS)) == "check"
    assert all(len(line) <= 100 for line in front_page().splitlines())


def test_front_page_is_the_same_by_every_way() -> None:
    """With and without the group loaded, help is one text."""
    assert cache_check("--help").stdout == started("--help").stdout == front_page()
    assert cache_check().stderr == front_page()


def test_version_is_the_package_s() -> None:
    """The version told is the one in pyproject.toml."""
    project = (SAMPLES.parent.parent / "pyproject.toml").read_text(encoding="utf-8")
    said = cache_check("--version").stdout.split()[-1]

    assert f'\nversion = "{said}"\n' in project


@pytest.mark.parametrize("command", JSON)
def test_stdout_is_data_that_fits_the_schema(command: str) -> None:
    """Everything on stdout is one JSON value of the command's schema, and stderr is silent."""
    run = cache_check(*JSON[command], "--format", "json")

    assert run.stderr == ""
    jsonschema.validate(json.loads(run.stdout), schemas()[command])


def test_json_names_every_file_that_was_read() -> None:
    """Caches, families, needs and policies, each with its digest."""
    found = answer("check", "rescue-41.yaml", "--needs", "needs.yaml", "--rules", "policy-example.yaml", *ON)

    assert [Path(one["path"]).name for one in found["inputs"]] == [
        "rescue-41.yaml", "family-p.yaml", "needs.yaml", "policy-example.yaml",
    ]  # fmt: skip


def test_several_caches_have_a_summary_and_then_their_pages() -> None:
    """One line each; a page each where all is asked; in JSON one answer each."""
    run = cache_check("check", "rescue-41.yaml", "rescue-44.yaml", *ON)

    assert [line.partition(",")[0] for line in run.stdout.splitlines()[2:4]] == ["Rescue 41", "Rescue 44"]
    whole = cache_check("check", "rescue-41.yaml", "rescue-44.yaml", "--show", "all", *ON).stdout
    assert whole.index("Rescue 41: what it can") < whole.index("\nRescue 44: what it can")
    assert [one["name"] for one in answer("check", "rescue-41.yaml", "rescue-44.yaml")["answers"]] == [
        "rescue-41", "rescue-44",
    ]  # fmt: skip


def test_pool_is_one_answer_of_both_rigs() -> None:
    """Pooled, two rigs are one page that names both."""
    (one,) = answer("check", "rescue-41.yaml", "rescue-44.yaml", "--pool", *ON)["answers"]

    assert one["basis"]["pooled"] is True
    assert one["basis"]["rigs"] == ["rescue-41", "rescue-44"]


def test_what_is_supposed_is_done_and_said() -> None:
    """One more strap restrains a fourth strut; without straps none is; both stand on the page."""

    def restrained(*options: str) -> int:
        (found,) = answer("check", "rescue-41.yaml", *ON, *options)["answers"]
        (at_48,) = [one for one in found["tallies"] if one["shortest_mm"] == 1219.2]
        counts = {one["step"]: one["count"] for one in at_48["counts"]}
        assert len(found["basis"]["changes"]) == len(options) // 2
        return int(counts["restrained"])

    assert restrained() == 3  # seven straps at two each
    assert restrained("--with", "strap=1") == 4
    assert restrained("--without", "strap=2") == 2
    assert restrained("--without", "strap") == 0


def test_design_factor_halves_the_rated_load() -> None:
    """At 4:1 fewer struts carry what they carry at 2:1, and the page says which factor."""

    def rated(factor: str) -> int:
        (found,) = answer("reach", "rescue-41.yaml", "--at", "78", "--load", "4000", "--factor", factor)["answers"]
        return int(next(one["count"] for one in found["at"]["counts"] if one["step"] == "rated"))

    # The chart's row 84 in with one extension holds 12,000 lbf: 6,000 at 2:1, 3,000 at 4:1; two straps hold a base
    # against 4,000 at every angle allowed.
    assert (rated("2:1"), rated("4:1")) == (3, 0)


def test_bare_length_is_in_the_units_of_the_page() -> None:
    """78 is inches on a page in inches, and 1981.2 is the same on a page in SI."""

    def at(*arguments: str) -> float:
        return float(answer("reach", "rescue-41.yaml", "--at", *arguments)["answers"][0]["at"]["longest_mm"])

    assert at("78") == at("1981.2", "--units", "si") == at("6ft 6in") == 1981.2


def test_limit_leaves_assemblies_counted_but_not_listed() -> None:
    """Over the limit none is listed, and the count stays."""
    (found,) = answer("reach", "rescue-41.yaml", "--limit", "3")["answers"]

    assert found["reach"]["assemblies"] == []
    assert found["reach"]["count"] > 3


def test_rules_without_cache_are_listed_whole_and_one_is_explained() -> None:
    """The list has every rule; an id in any case explains that one."""
    every = answer("rules")["answers"][0]["rules"]
    (one,) = answer("rules", "ext-2")["answers"][0]["rules"]

    assert len({rule["rule"] for rule in every}) == len(every) > 20
    assert one in every
    assert "\nWhy " in cache_check("rules", "EXT-2").stdout


def test_policy_that_switches_a_rule_off_shows_in_the_list() -> None:
    """A rule that a policy switched off reads OFF, with who did it."""
    (found,) = answer("rules", "EXT-3", "--rules", "policy-example.yaml")["answers"]

    assert found["rules"][0]["on"] is False
    assert found["settings"][0]["by"] == "policy county policy 2026"
    short, listed = (
        cache_check("rules", "--rules", "policy-example.yaml", *show).stdout for show in ((), ("--show", "rules"))
    )
    assert "\nOff         EXT-3\n" in short
    assert " OFF " in listed


def test_graph_comes_out_the_same_in_three_formats(tmp_path: Path) -> None:
    """GraphML and node-link JSON read back into networkx with the same joints; DOT has as many."""
    for form in ("graphml", "json", "dot"):
        run = cache_check("graph", "rescue-41.yaml", "--format", form, "-o", str(tmp_path / form), *ON)
        assert (run.returncode, run.stdout, run.stderr) == (0, "", f"cache-check: {tmp_path / form} written\n")
    read = nx.read_graphml(tmp_path / "graphml")
    linked = nx.node_link_graph(json.loads((tmp_path / "json").read_text(encoding="utf-8")), edges="edges")
    dot = (tmp_path / "dot").read_text(encoding="utf-8")

    assert set(read.edges) == set(linked.edges)
    assert len(read.edges) == dot.count(" -> ") > 20
    assert linked.graph["schema"] == "cache-check/graph/1"
    assert {data["rule"] for _, _, data in read.edges(data=True)} == {
        data["rule"] for _, _, data in linked.edges(data=True)
    }
    assert sorted(path.name for path in tmp_path.iterdir()) == ["dot", "graphml", "json"]


def test_graph_replaces_its_file_whole_and_keeps_its_mode(tmp_path: Path) -> None:
    """An older drawing is replaced; nothing else is left beside it."""
    target = tmp_path / "joints.dot"
    target.write_text("old", encoding="utf-8")
    target.chmod(0o640)
    cache_check("graph", "rescue-41.yaml", "-o", str(target))

    assert target.read_text(encoding="utf-8").startswith("digraph joints {")
    assert stat.S_IMODE(target.stat().st_mode) == 0o640
    assert list(tmp_path.iterdir()) == [target]


def test_new_writes_a_cache_that_check_takes(tmp_path: Path) -> None:
    """What new writes, check reads without a stop."""
    run = cache_check("new", "rig.yaml", cwd=tmp_path)

    assert (run.returncode, run.stdout) == (0, "")
    assert cache_check("check", "rig.yaml", "--fail-on", "stop", cwd=tmp_path).returncode == 0
    assert list(tmp_path.iterdir()) == [tmp_path / "rig.yaml"]


@pytest.mark.parametrize("kind", ["cache", "family", "needs", "policy", "prices"])
def test_new_to_stdout_is_the_file_and_nothing_else(kind: str, tmp_path: Path) -> None:
    """With "-" the text goes to stdout, and it is what is written to a file otherwise."""
    shown = cache_check("new", "-", "--kind", kind, cwd=tmp_path)
    cache_check("new", "--kind", kind, cwd=tmp_path)

    assert shown.stderr == ""
    assert shown.stdout == (tmp_path / f"{kind}.yaml").read_text(encoding="utf-8")


def test_new_never_overwrites(tmp_path: Path) -> None:
    """A file that is there stays as it is, to the byte."""
    target = tmp_path / "rig.yaml"
    target.write_text("mine\n", encoding="utf-8")
    run = cache_check("new", "rig.yaml", cwd=tmp_path)

    assert run.returncode == 2
    assert "there already" in run.stderr
    assert target.read_text(encoding="utf-8") == "mine\n"
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="the superuser may write anywhere")
def test_new_leaves_nothing_where_it_may_not_write(tmp_path: Path) -> None:
    """A folder that refuses is said in words."""
    tmp_path.chmod(0o500)
    run = cache_check("new", str(tmp_path / "rig.yaml"))
    tmp_path.chmod(0o700)

    assert run.returncode == 2
    assert not list(tmp_path.iterdir())


def test_schemas_are_printed_by_name() -> None:
    """Each name that is listed prints a schema of one draft; the longest and the first keep to it."""
    found = [json.loads(cache_check("schema", name).stdout) for name in cache_check("schema").stdout.split()]

    assert {one["$schema"] for one in found} == {jsonschema.Draft202012Validator.META_SCHEMA["$id"]}
    for one in (found[0], max(found, key=lambda schema: len(str(schema)))):
        jsonschema.Draft202012Validator.check_schema(one)


def test_odd_names_come_through_every_format(tmp_path: Path) -> None:
    """Quotes, right-to-left, emoji, a leading "=" and a very long note stay text in each format."""
    title = '=1+1 \\"q\\" قاطرة 🚒 <b> | \\x1b[31m'
    text = cache_check("new", "-").stdout.replace("title: My rig ", f'title: "{title}"  ')
    (tmp_path / "rig.yaml").write_text(
        text.replace("why: the sheet of these struts", f"why: {'w' * 9000}"), encoding="utf-8"
    )
    runs = {form: cache_check("check", "rig.yaml", "--format", form, cwd=tmp_path)
            for form in ("table", "json", "csv", "markdown")}  # fmt: skip

    assert runs["table"].stderr == runs["json"].stderr == ""
    assert json.loads(runs["json"].stdout)["answers"][0]["title"] == '=1+1 "q" قاطرة 🚒 <b> | \x1b[31m'
    for form in ("table", "csv", "markdown"):
        assert "\x1b" not in runs[form].stdout
        assert "قاطرة 🚒" in runs[form].stdout
    assert not [line for line in runs["csv"].stdout.splitlines() if ",=" in line or ',"=' in line]


TWO_FACTORS = ("--factor", "2", "--factor", "4:1")


def test_two_factors_stand_side_by_side() -> None:
    """Each scene at both factors as at each alone, the stricter first and the head's, in JSON too."""
    asked = ("check", "rescue-41.yaml", "--needs", "needs.yaml", *ON)
    both = json.loads(cache_check(*asked, *TWO_FACTORS, "--format", "json").stdout)["answers"]
    alone = [json.loads(cache_check(*asked, "--factor", one, "--format", "json").stdout)["answers"] for one in "42"]
    assert both == [*alone[0], *alone[1]]

    text = " ".join(cache_check(*asked, *TWO_FACTORS).stdout.split())
    assert "at 4:1 MET, 3 of 3 (one missing NOT MET)" in text
    text = text.replace(" (one missing NOT MET)", "")
    for strict, mild in zip(*(one["scenes"] for one in both), strict=True):
        served = (f"{one['verdict'].upper()}, {one['served']} of {one['wanted']}" for one in (strict, mild))
        assert "{}: at 4:1 {}; at 2:1 {}".format(strict["title"], *served) in text
    verdicts = text.partition("Long reach over 96 in: at 4:1")[2]
    assert "NOT MET Van or light truck on its side: roof side 0 of 3 rated" in verdicts


@pytest.mark.parametrize("asked", [("buy", "rescue-41.yaml"), ("check", "rescue-41.yaml", "--jobs", "1")])
def test_two_factors_are_refused_where_one_is_answered(asked: tuple[str, ...]) -> None:
    """What answers at one factor does not quietly take one of two."""
    run = cache_check(*asked, "--needs", "needs.yaml", *TWO_FACTORS)
    assert (run.returncode, run.stdout) == (2, "")
    assert run.stderr.startswith("cache-check: one --factor at a time here")


def test_rows_at_two_factors_say_which() -> None:
    """Rows of data and the answer at one length name the factor that each is of."""
    rows = cache_check("check", "rescue-41.yaml", "--needs", "needs.yaml", *ON, *TWO_FACTORS, "--format", "csv").stdout
    assert [row.split(",")[0] for row in rows.splitlines()[1:]] == ["Rescue 41 at 4:1"] * 6 + ["Rescue 41 at 2:1"] * 6
    at = cache_check("reach", "rescue-41.yaml", "--at", "60in", "--load", "6000lbf", *ON, *TWO_FACTORS)
    assert "60.0 in: at 4:1 0 rated; at 2:1 1 rated" in at.stdout


@pytest.mark.parametrize(
    ("name", "says", "file", "line"),
    [
        ("drum side", "mixer: drum side: NOT MET", "needs.yaml", "id: drum side"),
        ("Mixer", "mixer: NOT MET, 1 short, 3 of 4 at once", "needs.yaml", "mixer:"),
        ("flat-fitting", "Flat fitting: 2 on the book, 2 usable", "rescue-41.yaml", "flat-fitting:"),
    ],
)  # fmt: skip
def test_why_leads_from_a_number_to_function_rule_and_line(name: str, says: str, file: str, line: str) -> None:
    """What is called so with its figures, a function that is there, and the line of the file that says it."""
    asked = ("check", "rescue-41.yaml", "--needs", "needs.yaml", *ON, "--fail-on", "never", "--why")
    text = cache_check(*asked, name).stdout

    assert says in text
    made = re.search(r"Made by +cache_check\.([\w.]+)\.(\w+)\n", text)
    assert made
    assert callable(getattr(importlib.import_module(f"cache_check.{made[1]}"), made[2]))
    at = re.search(rf"{file}, line (\d+)", text)
    assert at
    assert line in (SAMPLES / file).read_text(encoding="utf-8").splitlines()[int(at[1]) - 1]
    assert ("CAP-1 (rated): Load check; common practice, no source" in " ".join(text.split())) == (file == "needs.yaml")
    assert "Caution" in text


def test_why_names_the_cell_of_a_workbook(tmp_path: Path) -> None:
    """Needs that stand in a workbook are led to by sheet and cell, and the cell says the name."""
    book = tmp_path / "needs.xlsx"
    assert cache_check("convert", "needs.yaml", book, "--kind", "needs").returncode == 0
    text = cache_check(
        "check", "rescue-41.yaml", "--needs", book, *ON, "--fail-on", "never", "--why", "drum side"
    ).stdout

    at = re.search(r'sheet "needs", cell ([A-Z]+[0-9]+)', " ".join(text.split()))
    assert at
    assert load_workbook(book)["needs"].cell(*coordinate_to_tuple(at[1])).value == "drum side"


def test_why_of_what_is_not_there_is_refused() -> None:
    """A name that nothing has is refused with those that there are, and so is what --why cannot be told as."""
    asked = ("check", "rescue-41.yaml", "--needs", "needs.yaml", *ON, "--why")
    assert cache_check(*asked, "nope").stderr.startswith("cache-check: no scene, need or part is called 'nope'; there")
    assert cache_check(*asked, "mixer", "--format", "csv").returncode == 2


def test_buy_says_that_only_spares_are_short() -> None:
    """All struts are there and a spare is not: the scene is not met, and the line says why."""
    run = cache_check("buy", "rescue-41.yaml", "--needs", "needs.yaml", "--prices", "prices.yaml", *ON,
                      "--spare", "point-head=9")  # fmt: skip
    line = next(line for line in run.stdout.splitlines() if "Van or light truck" in line)

    assert line.startswith("NOT MET     Van or light truck on its side: today 3 of 3 struts, and short of the spares")
