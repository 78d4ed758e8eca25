"""The door card, as a file and in a real browser."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from cli.running import ON, SAMPLES, cache_check
from golden.files import compare
from golden.test_golden import settled

from cache_check.report.pages.sheets.door import UNRULED
from pages import hostile
from pages.conftest import Opened, page_of
from pages.test_pages_crew import seven
from pages.test_pages_office import part, table


def test_card_is_as_kept() -> None:
    """The door card of Rescue 41 is what is kept, to the letter."""
    run = cache_check("report", "rescue-41.yaml", "--only", "door", *ON, "-o", "-")

    assert run.stderr == ""
    compare(
        "report-door-rescue-41.html", re.sub(r"cache-check \d+\.\d+\.\d+", "cache-check VERSION", settled(run.stdout))
    )


def test_heights_follow_the_triangle(tmp_path: Path) -> None:
    """At 60 degrees, contact 52 in: 52/sin 60 = 60.04 in of strut and 52/tan 60 = 30.02 in out (trigonometry)."""
    text = page_of(tmp_path, "rescue-41.yaml", "--only", "door", "--angle", "60", "--angle", "45").read_text()
    row = re.search(r'<tr><th scope="row" class="figure-big">52\.0</th>.*', text)
    assert row is not None
    assert re.findall(r">([^<>]+)</t[hd]>", row[0]) == ["52.0", "73.5", "52.0", "—", "60.1", "30.1", "A"]


@pytest.mark.parametrize("setting", [(), ("--set", "SET-1=off")])
def test_set_with_a_tagged_piece_is_not_to_be_used(tmp_path: Path, setting: tuple[str, ...]) -> None:
    """A ready set that names a piece at repair says DO NOT USE, no load, and no height, whatever rule is off."""
    samples = Path(__file__).parent.parent.parent / "sample_caches" / "quillfen"
    text = (samples / "rescue-41.yaml").read_text().replace(
        "serial: LB-01, where: tray-1", "serial: LB-01, status: repair, where: tray-1"
    )  # fmt: skip
    (tmp_path / "cache.yaml").write_text(text)
    (tmp_path / "family-p.yaml").write_text((samples / "family-p.yaml").read_text())

    page = page_of(tmp_path, tmp_path / "cache.yaml", "--only", "door", *setting).read_text()

    unfit = re.findall(r'<div class="set unfit">.*?</div>', page, re.DOTALL)
    assert len(unfit) == 1
    assert '<p class="letter">A</p>' in unfit[0]
    assert "DO NOT USE" in unfit[0]
    assert "which is not usable" in unfit[0]
    assert "8,000" not in unfit[0]
    assert '<td class="sets">A' not in page


def test_who_to_call_is_unknown_without_another_cache(tmp_path: Path) -> None:
    """With one cache the card says that it does not know whom to call; with two it names the rig that helps."""
    assert "UNKNOWN: no other rig" in page_of(tmp_path, "rescue-44.yaml", "--only", "door").read_text()

    both = page_of(tmp_path, "rescue-44.yaml", "rescue-41.yaml", "--needs", "needs.yaml", "--only", "door").read_text()
    assert "Rescue 41: Car on its side 3 of 3 (here 2)" in both


def test_loads_are_told_of_sets_alone_and_a_set_of_a_pool_with_its_rig(tmp_path: Path) -> None:
    """Truck 9 has no set, so its card tells nothing of loads; in a pool its reader must know whose tray it is."""
    none = page_of(tmp_path, "truck-9.yaml", "--needs", "needs.yaml", "--only", "door").read_text()
    assert "Loads: " not in none

    pool = page_of(tmp_path, "rescue-41.yaml", "truck-9.yaml", "--pool", "--only", "door").read_text()
    assert pool.count('<span class="whole">tray-1 of rescue-41</span>') == 2
    assert "Loads: rated along the strut by itself" in pool


def test_base_that_cannot_be_held_is_said(tmp_path: Path) -> None:
    """Truck 9, one point on each base where two are ruled: the card says that no base can be restrained."""
    assert "NO base of this cache can be restrained" in page_of(tmp_path, "truck-9.yaml", "--only", "door").read_text()


def test_of_sets_no_more_are_held_than_there_are_bases_with_points_enough(tmp_path: Path) -> None:
    """Four of five bases lost a point, two sets stand on one each: of one nobody may read that straps hold it."""
    samples = Path(__file__).parent.parent.parent / "sample_caches" / "quillfen"
    text = (samples / "rescue-41.yaml").read_text()
    bases = "".join(f"      - {{serial: HB-{n}, points_usable: 1}}\n" for n in range(1, 5))
    text = re.sub(r"(?m)(^  hinged-base:\n.*\n.*\n    items:\n)(?:      - .*\n)+", lambda was: was[1] + bases, text)
    (tmp_path / "cache.yaml").write_text(text)
    (tmp_path / "family-p.yaml").write_text((samples / "family-p.yaml").read_text())

    page = page_of(tmp_path, tmp_path / "cache.yaml", "--only", "door").read_text()

    assert [page.count(said) for said in ("Held by 2 x Strap.", "<strong>Held by NOTHING")] == [1, 1]


@pytest.mark.parametrize("setting", ["STR-1.min=0", "STR-1=off"])
def test_no_base_is_called_held_where_no_rule_says_by_how_many(tmp_path: Path, setting: str) -> None:
    """Without a number to hold a base by the card counts none that is held."""
    only = ("--needs", "needs.yaml", "--only", "door", "--only", "crew", "--only", "county")
    text = page_of(tmp_path, "rescue-41.yaml", "rescue-44.yaml", *only, "--set", setting).read_text()

    assert text.count("whether any is held is NOT KNOWN") == 4
    assert "1 rule off" in text
    assert "1 rules off" not in text
    assert "They hold" not in text
    alone = page_of(tmp_path, "rescue-41.yaml", "rescue-44.yaml", "--only", "door", "--set", setting).read_text()
    assert set(re.findall(r"Held by (.*?)\.", alone)) == {f"{UNRULED}; none allotted"}
    assert text.count(f"{UNRULED}; 2 x Strap allotted") == 6
    assert "step restrained" not in text
    assert "most restrained at once at any one length: NOT KNOWN here, NOT KNOWN with it" in text
    assert [row[7] for row in table(part(text, "Rig by rig"))[1:]] == ["NOT KNOWN"] * 2


def test_sets_whose_names_are_cut_alike_are_told_apart(tmp_path: Path) -> None:
    """Two long names with one beginning: each set has a number, in the table of heights too, and its name beside it."""
    for name in ("rescue-41.yaml", "family-p.yaml"):
        said = (SAMPLES / name).read_text().replace("  A: {parts", "  Tray left: {parts")
        (tmp_path / name).write_text(said.replace("  B: {parts", "  Tray right: {parts"))
    text = page_of(tmp_path, tmp_path / "rescue-41.yaml", "--only", "door").read_text()

    assert re.findall(r'class="letter">(.*?)<', text) == ["#1", "#2"]
    assert "Tray left: Hinged base + Long body + Edge head" in text
    assert "Tray right: Hinged base + Short body + Edge head" in text
    assert set(re.findall(r'class="sets">(.*?)<', text)) == {"#1", "#2", "—"}


def test_sets_of_one_name_on_two_rigs_are_told_apart(tmp_path: Path) -> None:
    """Each of two rigs of a pool has a set A: the card numbers them, and names the rig of each."""
    for name in ("rescue-41.yaml", "family-p.yaml", "rescue-44.yaml"):
        (tmp_path / name).write_text((SAMPLES / name).read_text())
    with (tmp_path / "rescue-44.yaml").open("a") as more:
        more.write("ready_sets:\n  A: {parts: [hinged-base, short-body, edge-head], where: cabinet-1}\n")
    rigs = (tmp_path / "rescue-41.yaml", tmp_path / "rescue-44.yaml")
    text = page_of(tmp_path, *rigs, "--pool", "--only", "door").read_text()

    assert sorted(re.findall(r'class="letter">(.*?)<', text)) == ["#1", "#3", "B"]
    assert "A of rescue-41: Hinged base + Long body" in text
    assert "A of rescue-44: Hinged base + Short body" in text


def test_proposed_sets_look_unlike_built_ones(tmp_path: Path) -> None:
    """Rescue 44 has no set on the book: each is framed and says that it is not built; Rescue 41's are plain."""
    built = page_of(tmp_path, "rescue-41.yaml", "--only", "door").read_text()
    proposed = page_of(tmp_path, "rescue-44.yaml", "--needs", "needs.yaml", "--only", "door").read_text()

    assert 'class="set proposed' not in built
    assert proposed.count('class="set proposed"') == proposed.count("PROPOSED, not built.") > 0
    assert "Head for <strong>edge</strong>" in built
    assert "Chart: P P-2026, invented." in built


@pytest.mark.parametrize(("found", "sets"), [(("B",), "B"), (("A", "B"), "A and B")])
def test_sets_of_the_book_that_were_not_built_are_said_to_be(found: tuple[str, ...], sets: str, tmp_path: Path) -> None:
    """The count did not find one set, or any: both pages say so, and neither that the book lists none."""
    text = (SAMPLES / "rescue-41-count.csv").read_text()
    for name in found:
        text = text.replace(f"tray-1,ready set: {name},,1,yes,", f"tray-1,ready set: {name},,1,no,")
    count = tmp_path / "count.csv"
    count.write_text(text)
    page = page_of(tmp_path, "rescue-41.yaml", "--audit", count, "--only", "door", "--only", "crew").read_text()

    assert page.count(f"On the book, and NOT BUILT when it was counted: {sets}.") == 2
    assert ("PROPOSED ONLY: no ready set is known to be built." in page) == (len(found) == 2)


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_it_is_read_at_arms_length(opened: Opened, tmp_path: Path, paper: str) -> None:
    """In print: figures of 0.20 in and more, no word under 0.10 in, set letters the largest of all.

    Sizes from the PDF: a digit of these faces is 0.71 of its type size and more, so 20.3 points make 0.20 in.
    """
    if shutil.which("pdftohtml") is None:
        pytest.skip("no pdftohtml here: apt-get install poppler-utils")
    page = opened.open(page_of(tmp_path, "rescue-41.yaml", "--only", "door"))
    page.pdf(path=tmp_path / "card.pdf", format=paper)
    told = subprocess.run(
        ["pdftohtml", "-xml", "-zoom", "1", "-i", "-stdout", tmp_path / "card.pdf"], capture_output=True, text=True,
        check=True,
    ).stdout  # fmt: skip
    sizes = {one: int(size) for one, size in re.findall(r'<fontspec id="(\d+)" size="(\d+)"', told)}
    texts = [
        (sizes[font], re.sub("<.*?>", "", said).strip())
        for font, said in re.findall(r'<text [^>]*font="(\d+)">(.*?)</text>', told)
    ]

    assert min(size for size, said in texts if said) >= 10
    figures = [size for size, said in texts if re.fullmatch(r"[\d.,–]+", said)]
    assert len(figures) > 20
    assert min(figures) >= 20
    assert {said for size, said in texts if size == max(sizes.values())} == {"A", "B"}


def test_a_cache_is_never_written_over(tmp_path: Path) -> None:
    """An output that is no HTML file is refused, so that a slip of the hand does not cost a cache."""
    kept = tmp_path / "cache.yaml"
    kept.write_text("mine")

    run = cache_check("report", "rescue-41.yaml", *ON, "-o", kept)

    assert run.returncode == 2
    assert kept.read_text() == "mine"


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("cache", ["rescue-41.yaml", "hostile", "seven"])
def test_card_is_one_printed_side(opened: Opened, tmp_path: Path, cache: str, paper: str) -> None:
    """A door card prints on one side of letter and of A4, whatever its cache holds."""
    others = [one for one in ("rescue-41.yaml", "rescue-44.yaml", "truck-9.yaml") if one != cache]
    written = {"hostile": hostile.write, "seven": seven}.get(cache)
    given = [written(tmp_path)] if written else [cache, *others, "--needs", "needs.yaml"]
    page = opened.open(page_of(tmp_path, *given, "--only", "door"))

    page.pdf(path=tmp_path / "card.pdf", format=paper)

    pages = re.findall(rb"/Type\s*/Page\b(?!s)", (tmp_path / "card.pdf").read_bytes())
    assert len(pages) == (1 if written else 3)
