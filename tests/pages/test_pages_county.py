"""The county index, as a file and in a real browser, its figures against what the commands print."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from cli.running import ON, SAMPLES, cache_check, python
from golden.files import compare, unstyled
from golden.test_golden import settled

from pages.conftest import Opened, page_of
from pages.test_pages_office import part, table

RIGS = ("rescue-41.yaml", "rescue-44.yaml", "truck-9.yaml")
ASKED = (*RIGS, "--needs", "needs.yaml", "--only", "county")


@cache
def asked() -> str:
    """The index of the demonstration, made once."""
    return cache_check("report", *ASKED, *ON, "-o", "-").stdout


def answers(*arguments: str) -> list[dict[str, Any]]:
    """The answers of a command in JSON."""
    found: list[dict[str, Any]] = json.loads(cache_check(*arguments, *ON, "--format", "json").stdout)["answers"]
    return found


def test_index_is_as_kept() -> None:
    """The county index of the demonstration is what is kept."""
    compare("report-county.html", unstyled(settled(asked())))


def test_a_scene_that_is_not_known_to_be_met_says_so_beside_its_struts(tmp_path: Path) -> None:
    """A wall holds a head by friction alone: each strut is there, and neither rig, nor both, is shown to meet it."""
    scenes = "".join(
        f"  wall {n}: {{needs: [{{id: side, count: {n}, length: 36, load: 3000, contact: flat}}]}}\n" for n in (1, 3)
    )
    (tmp_path / "n.yaml").write_text(f"needs: Wall\nunits: us\nscenes:\n{scenes}")
    asking = (*RIGS[:2], "--needs", tmp_path / "n.yaml", "--only", "county", "--only", "door", "--only", "crew")
    page = cache_check("report", *asking, *ON, "-o", "-").stdout

    _, one, three = table(part(page, "Rigs side by side"))
    assert one[4:] == ["1 NOT KNOWN"] * 3
    assert three[4:] == ["2, 1 SHORT", "1, 2 SHORT", "3 NOT KNOWN"]
    assert "Rescue 44: wall 1 NOT KNOWN; wall 3" in page
    assert "Rescue 44: wall 3 3 of 3 NOT KNOWN (here 2)" in page
    assert "wall 3: 2 here, 3 of 3 NOT KNOWN with it" in page


def test_what_stands_on_a_word_on_the_second_rig_alone_is_said_at_the_head(tmp_path: Path) -> None:
    """The head of the index is of all its rigs, not of the first, whose own head does not say it; and what it asks."""
    for path in SAMPLES.glob("*.yaml"):
        text = path.read_text()
        if path.name == "family-q.yaml":
            text = text.replace("mass: 9.5", "mass: 200\n    sure: true\n    why: weighed twice", 1)
        (tmp_path / path.name).write_text(text)
    rigs = [tmp_path / name for name in (RIGS[0], RIGS[2])]
    page = cache_check("report", *rigs, "--only", "county", "--with", "strap=1", *ON, "-o", "-").stdout
    head = page.partition("Rig by rig")[0]

    assert "on somebody&#39;s word: Body 34 to 58 in: mass 200.0 kg (weighed twice)" in head
    assert "supposed: with 1 more strap" in head


def test_no_reach_is_not_a_reach_without_blind_spots(tmp_path: Path) -> None:
    """Truck 9 without a day of inspection has no reach, so no blind spot: index, crew page and ``reach`` say so."""
    for path in SAMPLES.glob("*.yaml"):
        undated = re.sub("(?m)^inspected:.*", "", path.read_text()) if path.name == RIGS[2] else path.read_text()
        (tmp_path / path.name).write_text(undated)
    asking = (*RIGS[1:], "--only", "county", "--only", "crew", *ON, "-o", "-")
    page = cache_check("report", *asking, cwd=tmp_path).stdout
    reach = cache_check("reach", RIGS[2], *ON, cwd=tmp_path).stdout

    assert next(row for row in table(part(page, "Rig by rig")) if row[0] == "Truck 9")[4:6] == ["none", "no reach"]
    assert "Truck 9: no reach at all" in part(page, "Blind spots")
    assert page.count("<p>No legal assembly can be built: no reach; not known of ") == 1
    assert [page.count(said) for said in ("Reach chart: ", "<p>No way leads from a base to a head.</p>")] == [1, 1]
    assert "no other sheet" not in page
    assert page.count('">Crew page</a>') == 2
    assert re.search(r"Blind spots +no reach at all", reach)


def test_what_is_supposed_out_is_out_on_each_rig_wherever_rigs_help_each_other(tmp_path: Path) -> None:
    """Two hinged bases out on either rig: whom to call, and all together, count neither rig's; with all there, four."""
    asking = (*RIGS[:2], "--needs", "needs.yaml", "--only", "county", "--only", "crew", "--only", "door")
    page = page_of(tmp_path, *asking, "--without", "hinged-base=2").read_text()

    assert table(part(page, "Rigs side by side"))[4][4:] == ["3, 1 SHORT", "0, 4 SHORT", "3, 1 SHORT"]
    assert "Loaded mixer on its side, two rigs together: 3 here, 3 of 4 with it" in page
    assert "Call:</strong> Rescue 44: no scene gains." in page


def test_a_rig_whose_pieces_nobody_knows_may_help_all_the_same(tmp_path: Path) -> None:
    """Rescue 44 undated: whether it brings the mixer's fourth strut is not known, and not said to be no."""
    for path in SAMPLES.glob("*.yaml"):
        undated = path.name == RIGS[1]
        text = re.sub("(?m)^inspected:.*", "", path.read_text()) if undated else path.read_text()
        (tmp_path / path.name).write_text(text)
    asking = (*RIGS[:2], "--needs", "needs.yaml", "--only", "door", "--only", "crew", *ON, "-o", "-")
    page = cache_check("report", *asking, cwd=tmp_path).stdout

    assert "3 here, 3 of 4 NOT KNOWN with it" in page
    assert "3 of 4 NOT KNOWN (here 3)" in page
    assert "Rescue 44: no scene gains" not in page


def test_no_other_sheet_is_said_once() -> None:
    """An index that is alone in its file says so once, not once for each rig."""
    assert asked().count("no other sheet") == 1


def test_rows_are_what_check_and_reach_print() -> None:
    """Bodies, most assembled at once and restrained, needs, findings and reach are those that the commands print."""
    page = asked()
    heads, *rows = table(part(page, "Rig by rig"))
    at = {head: n for n, head in enumerate(heads)}

    printed = " ".join(cache_check("check", *RIGS, "--needs", "needs.yaml", "--units", "us", *ON).stdout.split())
    for file, row in zip(RIGS, rows, strict=True):
        (found,) = answers("check", file, "--needs", "needs.yaml")
        bodies = [one for one in found["parts"] if one["kind"] == "body"]
        most = {
            one["step"]: max((stretch["count"] for stretch in one["stretches"]), default=0) for one in found["profiles"]
        }
        assert int(row[at["bodies on the book"]]) == sum(one["on_book"] for one in bodies)
        assert int(row[at["usable"]]) == sum(one["usable"] for one in bodies)
        assert int(row[at["most assembled at once"]]) == most["assembled at once"]
        assert int(row[at["most restrained at once"]]) == most["restrained"]
        some = [text for text in row[at["findings"]].split(", ") if not text.startswith("0 ")]
        assert f"{row[at['needs']]}; {', '.join(some)} " in printed
        reach = " ".join(cache_check("reach", file, "--units", "us", *ON).stdout.split())
        assert f"one at a time: {row[at['reach']]}" in reach


def test_matrix_is_that_of_buy() -> None:
    """Each rig's struts of each need, and the moves, are those of ``buy``."""
    page = asked()
    text = part(page, "Rigs side by side")
    run = cache_check("buy", *RIGS, "--needs", "needs.yaml", *ON, "--format", "json")
    county = json.loads(run.stdout)["county"]
    served = [[need["served"] for scene in rig for need in scene["needs"]] for rig in county["served"]]

    _, *rows = table(text)
    assert [[int(re.findall(r"\d+", row[4 + n])[0]) for row in rows] for n in range(3)] == served
    assert len(re.findall(r"to Rescue 44: Van or light truck on its side from 2 to 3 struts", text)) == len(
        county["moves"]
    )


def test_what_falls_due() -> None:
    """Rescue 41's edge heads, inspected as its book says for all on 2026-01-10, are due after a year; more is said."""
    text = part(asked(), "What falls due next")

    assert ["Rescue 41", "2027-01-11", "inspection", "4 x Edge head"] in table(text)
    assert "Rescue 44: 6 later" in text


def test_without_needs_there_is_no_matrix(tmp_path: Path) -> None:
    """Without needs the index has the rigs and says that needs were not asked."""
    page = page_of(tmp_path, *RIGS, "--only", "county").read_text()

    assert "Rigs side by side" not in page
    assert [row[8] for row in table(part(page, "Rig by rig"))[1:]] == ["not asked"] * 3


def test_one_cache_has_no_index(tmp_path: Path) -> None:
    """An index is of several caches: asked for by name of one it is refused, else it is left out."""
    run = cache_check("report", "rescue-44.yaml", "--only", "county", *ON, "-o", tmp_path / "page.html")
    assert (run.returncode, run.stderr.count("\n")) == (2, 1)

    page = page_of(tmp_path, "rescue-44.yaml", "--only", "door").read_text()
    assert "Rig by rig" not in page


def test_rig_not_proven_is_said_and_the_others_stand(tmp_path: Path) -> None:
    """Where one rig's answer is not proven, its row says so and the other rows have their figures."""
    code = (
        "import sys\n"
        "from cache_check.api import check as checking\n"
        "from cache_check.errors import NoPlanError\n"
        "right = checking.check\n"
        "def broken(cache, *rest, **named):\n"
        "    if cache.id == 'rescue-44':\n        raise NoPlanError('too many to prove')\n"
        "    return right(cache, *rest, **named)\n"
        "checking.check = broken\n"
        "sys.argv[0] = 'cache-check'\n"
        "from cache_check.cli.main import run\n"
        "run()\n"
    )
    made = tmp_path / "page.html"
    run = python("-c", code, "report", *ASKED, *ON, "-o", str(made))

    assert (run.returncode, run.stderr) == (0, f"cache-check: {made} written\n")
    rows = table(part(made.read_text(), "Rig by rig"))[1:]
    assert "NOT PROVEN: too many to prove" in rows[1]
    assert rows[0][2] == "7"


@pytest.mark.browser
def test_links_lead_to_the_sheets_of_each_rig(opened: Opened, tmp_path: Path) -> None:
    """Each rig's links, used from the keyboard, lead to its own sheets in the same file."""
    made = page_of(tmp_path, *RIGS, "--needs", "needs.yaml", "--only", "county", "--only", "door", "--only", "count")
    page = opened.open(made)
    lists = page.locator("ul.links")

    assert lists.count() == 3
    for n, title in enumerate(("Rescue 41", "Rescue 44", "Truck 9")):
        links = lists.nth(n).locator("a")
        assert links.all_text_contents() == ["Door card", "Count sheet"]
        for link in links.all():
            link.focus()
            page.keyboard.press("Enter")
            target = page.evaluate("location.hash")
            assert title in page.locator(f"{target} .title").text_content()
    assert opened.said == []


@pytest.mark.browser
def test_links_are_left_out_of_print(opened: Opened, tmp_path: Path) -> None:
    """Links are of no use on paper."""
    (tmp_path / "page.html").write_text(asked())
    page = opened.open(tmp_path / "page.html")
    page.emulate_media(media="print")

    assert not page.locator("ul.links").first.is_visible()
