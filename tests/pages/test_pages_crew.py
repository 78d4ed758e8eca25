"""The crew page, as a file and in a real browser."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from cli.running import ON, cache_check
from golden.files import SAMPLES, compare
from golden.test_golden import settled

from cache_check import __version__
from pages import many
from pages.conftest import Opened, page_of

SAID = re.compile(r"<(?:p|li|td|h\d|figcaption)(?:\s[^>]*)?>(.*?)</(?:p|li|td|h\d|figcaption)>", re.DOTALL)


def crowded(folder: Path) -> Path:
    """Rescue 41 with nine ready sets, of which most want pieces that others have, and five kinds of blank date."""
    text = yaml.safe_load((SAMPLES / "rescue-41.yaml").read_text())
    parts: dict[str, Any] = text["parts"]
    for part in ("extension-10", "extension-22", "edge-head", "point-head"):
        parts[part]["items"] = [{"serial": f"{part}-1", "where": parts[part]["where"]}]
    text["ready_sets"] = {
        name: {"parts": ["hinged-base", "short-body", "extension-10", "edge-head"], "where": "tray-1"}
        for name in "ABCDEFGHI"
    }
    (folder / "family-p.yaml").write_text((SAMPLES / "family-p.yaml").read_text())
    made = folder / "crowded.yaml"
    made.write_text(yaml.safe_dump(text, sort_keys=False))
    return made


def seven(folder: Path) -> Path:
    """Rescue 41 with more of everything and seven sets unlike each other, the last like the first."""
    text = yaml.safe_load((SAMPLES / "rescue-41.yaml").read_text())
    for part in text["parts"].values():
        part["count"] = 40
        part.pop("items", None)
    bodies = ("short-body", "long-body")
    between: tuple[list[str], ...] = ([], ["extension-10"], ["extension-22"], ["extension-10", "extension-10"])
    stacks = [["hinged-base", body, *more, "point-head"] for more in between for body in bodies][:7]
    text["ready_sets"] = {
        name: {"parts": parts, "where": "left side, drawer 1"}
        for name, parts in zip("ABCDEFGH", [*stacks, [*stacks[0]]], strict=True)
    }
    (folder / "family-p.yaml").write_text((SAMPLES / "family-p.yaml").read_text())
    made = folder / "seven.yaml"
    made.write_text(yaml.safe_dump(text, sort_keys=False))
    return made


def said(page: str) -> list[str]:
    """What a page says, paragraph by paragraph."""
    return [re.sub(r"<[^>]+>", "", one).strip() for one in SAID.findall(page)]


def without_screens(page: str) -> str:
    """A page without style, scripts, the finder and drawings, which have tests of their own."""
    page = re.sub(r"<style>.*?</style>|<script.*?</script>", "", page, flags=re.DOTALL)
    page = re.sub(r"<svg.*?</svg>", "<svg/>", page, flags=re.DOTALL)
    page = re.sub(r'<section class="part">\s*<h2[^>]*>Find a strut</h2>.*?</section>', "", page, flags=re.DOTALL)
    page = re.sub(r"sha256-[^']+", "sha256-DIGEST", page)
    return "\n".join(line for line in page.splitlines() if line.strip()) + "\n"


def test_page_is_as_kept() -> None:
    """What the crew page of Rescue 41 says is what is kept, to the letter."""
    run = cache_check("report", "rescue-41.yaml", "--only", "crew", *ON, "-o", "-")

    assert run.stderr == ""
    kept = without_screens(settled(run.stdout)).replace(f"cache-check {__version__}", "cache-check VERSION")
    assert "Find a strut" not in kept
    compare("report-crew-rescue-41.html", kept)


def test_set_is_told_part_by_part(tmp_path: Path) -> None:
    """Set A: 3 + 43 to 66 + 2 in, two pins, 31.1 lb, tray 1, straps, and the chart's loads over 2 at each length."""
    page = page_of(tmp_path, "rescue-41.yaml", "--only", "crew").read_text()
    lines = said(page[page.index(">Set A<") : page.index(">Set B<")])

    rows = ["1", "Hinged base", "3.0", "1 x Joint pin", "2", "Long body", "43.0 to 66.0", "1 x Joint pin",
            "3", "Edge head", "2.0", "touches the load"]  # fmt: skip
    at = lines.index("1")
    assert lines[at : at + 12] == rows
    assert "A lies in: tray-1 of rescue-41, serials LB-01" in lines
    # 22.5 + 5.5 + 2.5 and two pins of 0.3 lb; chart rows 48, 60 and 72 in without extensions, failure loads over 2.
    assert "48.0 to 71.0 in; weight 31.1 lb with loose pins, without straps; carried by: one person" in lines
    assert "rated: to 48.0 in 12,000 lbf; to 60.0 in 10,000 lbf; to 71.0 in 8,000 lbf" in lines
    assert "held by: 2 x Strap (step restrained)" in lines
    assert "Put together from the ground up: 1 Hinged base, then 2 Long body, then 3 Edge head." in page


def test_a_weight_nobody_knows_is_said_once(tmp_path: Path) -> None:
    """A set with a body that nobody weighed: its weight is unknown, on the page and in `build`."""
    family = (SAMPLES / "family-p.yaml").read_text().replace(", lock: collar, mass: 22.5}", ", lock: collar}")
    (tmp_path / "family-p.yaml").write_text(family)
    rig = tmp_path / "rig.yaml"
    rig.write_text((SAMPLES / "rescue-41.yaml").read_text())
    lines = said(page_of(tmp_path, rig, "--only", "crew").read_text())

    assert any(line.startswith("48.0 to 71.0 in; weight unknown with loose pins") for line in lines)
    asked = ("build", rig, "hinged-base", "long-body", "edge-head", "--show", "all", *ON)
    assert "weight with pins, without straps or chains: unknown\n" in cache_check(*asked).stdout


def test_unfit_sets_are_not_to_be_used(tmp_path: Path) -> None:
    """Nine sets that want the same pieces: what is wrong with them together is told whole, and none is left out."""
    page = page_of(tmp_path, crowded(tmp_path), "--only", "crew").read_text()
    lines = said(page)

    assert [line for line in lines if re.match("Set [A-I]$", line)] == [f"Set {name}" for name in "ABCDEFGHI"]
    about = page[page.index("About several sets:") : page.index(">Set A<")]
    assert len(said(about)) > 3
    assert sum("NOT ALL SETS AT ONCE" in line for line in lines) == 9


def test_set_with_a_tagged_piece_is_not_to_be_used(tmp_path: Path) -> None:
    """A set that names a piece at repair says DO NOT USE and why, is not drawn, and has no length, load or straps."""
    (tmp_path / "family-p.yaml").write_text((SAMPLES / "family-p.yaml").read_text())
    made = tmp_path / "cache.yaml"
    made.write_text(
        (SAMPLES / "rescue-41.yaml").read_text().replace("serial: LB-01,", "serial: LB-01, status: repair,")
    )
    page = page_of(tmp_path, made, "--only", "crew").read_text()
    part = page[page.index(">Set A: DO NOT USE<") : page.index(">Set B<")]

    assert "DO NOT USE as it lies:" in part
    assert "which is not usable" in part
    assert "<svg" not in part
    assert "rated:" not in part
    assert "held by" not in part


def test_what_the_door_card_cuts_the_crew_page_has_whole(tmp_path: Path) -> None:
    """Of seven sets unlike each other the card shows five and says where the others are; the crew page has all."""
    made = seven(tmp_path)
    card = page_of(tmp_path, made, "--only", "door").read_text()
    crew = said(page_of(tmp_path, made, "--only", "crew").read_text())

    assert "2 more sets: on the crew page." in said(card)
    assert re.findall('class="letter">(.*?)<', card) == ["A H", *"BCDE"]
    assert [one for one in crew if re.match("Set [A-H]", one)] == [f"Set {name}" for name in "ABCDEFGH"]


def test_a_pool_says_who_brings_what(tmp_path: Path) -> None:
    """For the mixer two rigs share the work, each with its pieces; where one rig brings all, that is one line."""
    asked = ("rescue-41.yaml", "rescue-44.yaml", "--needs", "needs.yaml", "--only", "crew")
    lines = said(page_of(tmp_path, *asked, "--pool").read_text())
    at = lines.index("Who brings what:")

    assert lines[at + 1].startswith("rescue-41: 4 x Hinged base, 3 x Long body, ")
    assert lines[at + 2] == "rescue-44: 1 x Long body, 1 x Flat fitting, 1 x Strap"
    assert "All of it is of rescue-41." in lines
    alone = page_of(tmp_path, *asked).read_text()
    assert "Who brings what" not in alone
    assert "All of it is of" not in alone


def test_what_is_not_known_is_counted_on_the_card_and_told_on_the_crew_page(tmp_path: Path) -> None:
    """The straps of Truck 9 have no date: its card says how many things are not known and where they stand."""
    card = said(page_of(tmp_path, "truck-9.yaml", "--only", "door").read_text())
    crew = page_of(tmp_path, "truck-9.yaml", "--only", "crew").read_text()
    unknown = said(crew[crew.index("<p>Unknown:</p>") : crew.index("<p>Files read:</p>")])[1:]

    assert len(unknown) > 0
    assert any(f"{len(unknown)} not known" in line and "on the crew page." in line for line in card)


def test_few_of_each_are_not_said_to_be_cut(tmp_path: Path) -> None:
    """Rescue 41 has two sets and one unknown: its card sends nobody to the crew page."""
    assert "crew page" not in page_of(tmp_path, "rescue-41.yaml", "--only", "door").read_text()


def test_scenes_the_card_cuts_are_on_the_crew_page(tmp_path: Path) -> None:
    """Rescue 44 is short in four scenes: the card tells two of them and where the rest is, the crew page all."""
    asked = ("rescue-44.yaml", "rescue-41.yaml", "--needs", "needs.yaml", "--only")
    card = page_of(tmp_path, *asked, "door").read_text()
    crew = page_of(tmp_path, *asked, "crew").read_text()

    called = re.findall(r"Rescue 41: .*? 2 more scenes: on the crew page\.", card)
    assert len(called) == 1
    assert called[0].count("(here ") == 2
    crew = crew[crew.index("Whom to call") :]
    assert crew[: crew.index("most restrained at once")].count(" here, ") == 4


def test_too_many_assemblies_are_said(tmp_path: Path) -> None:
    """2,116 assemblies are not drawn one by one, and the page says so; parts that join alike share a box."""
    page = page_of(tmp_path, many.write(tmp_path), "--only", "crew").read_text()

    assert "all 2,116 assemblies, one at a time, too many to be drawn one by one" in page
    assert "and 40 more" in page
    assert "base-45" in page


@pytest.mark.browser
def test_finder_stays_on_the_screen(opened: Opened, tmp_path: Path) -> None:
    """In print the finder, which nobody can work there, is left out, and the four drawings are not."""
    page = opened.open(page_of(tmp_path, "rescue-41.yaml", "--only", "crew"))
    page.emulate_media(media="print")
    assert not page.locator(".finder").is_visible()
    assert page.locator("figure svg").count() == 4


@pytest.mark.browser
@pytest.mark.parametrize("cache", ["rescue-41.yaml", "crowded", "many"])
def test_page_opens_quietly_and_fits_a_phone(opened: Opened, tmp_path: Path, cache: str) -> None:
    """No console message, no request beside the page itself, and no sideways scroll at 390 px."""
    given = {"crowded": crowded, "many": many.write}.get(cache, lambda _: Path(cache))(tmp_path)
    made = page_of(tmp_path, given, "--only", "crew")
    page = opened.open(made)

    assert opened.said == []
    assert opened.asked == [made.as_uri()]
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    ids = page.evaluate("[...document.querySelectorAll('[id]')].map(one => one.id)")
    assert len(ids) == len(set(ids))


def test_scenes_are_served_with_the_sets_that_lie_there() -> None:
    """Each scene with the verdict of ``check``, the sets of the book as they lie, and its bases out at L cos a."""
    run = cache_check("report", "rescue-41.yaml", "--needs", "needs.yaml", "--only", "crew", *ON, "-o", "-")
    page = said(run.stdout)
    van = page[page.index("MET: Van or light truck on its side") :]

    assert [one for one in page if one.startswith(("MET: ", "NOT MET: "))][2].startswith("NOT MET: Loaded mixer")
    assert "each held by</th>" in run.stdout
    assert "29.0 to 33.0 at 60°" in van[: van.index("In this order:")]
    assert "set A as built" in van[: van.index("In this order:")]
    assert "MET: Car on its side; one missing NOT MET" in page
    assert "Set A" in page


def test_sets_that_want_one_piece_twice_tell_no_scene(tmp_path: Path) -> None:
    """Where the sets on the book cannot all lie there, no scene is told with them."""
    run = cache_check("report", str(crowded(tmp_path)), "--needs", "needs.yaml", "--only", "crew", *ON, "-o", "-")

    why = "the sets on the book take more pieces than are usable"
    assert f"NOT TOLD with the sets of this page: {why}." in said(run.stdout)


def test_what_stands_beside_a_scene_says_which_way_it_tells(tmp_path: Path) -> None:
    """Why Truck 9 serves nothing is said to be in the way: a crew must not take it for what the struts take along."""
    page = page_of(tmp_path, "truck-9.yaml", "--needs", "needs.yaml", "--only", "crew").read_text()

    assert page.count("<p>In the way, not known, or to take along:</p>\n<ul>\n<li>roof side: no legal assembly") == 2
    assert "They take along" not in page
    assert page.count("<bdi>none stands</bdi></td>") == 6  # nobody sets a base for these
    assert "736 to 898" not in page
