"""The drawings of ``reach`` and ``stage`` in files."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from matplotlib.image import imread

from cli.running import ON, cache_check, started

REACH = ("reach", "rescue-41.yaml", "--load", "6000lbf", *ON)
STAGE = ("stage", "rescue-41.yaml", "--needs", "needs.yaml", *ON)
BOTH = pytest.mark.parametrize("asked", [REACH, STAGE], ids=["reach", "stage"])


def said(path: Path) -> str:
    """What a drawing says, in one line."""
    return " ".join(re.findall(r"<text[^>]*>(.*?)</text>", path.read_text(), flags=re.DOTALL))


def test_reach_chart_says_what_it_rests_on(tmp_path: Path) -> None:
    """Caution, steps, load, factor, day, rules and units stand in the drawing; stdout is JSON and nothing else."""
    made = tmp_path / "reach.svg"
    run = cache_check(*REACH, "--format", "json", "--plot", made)

    assert run.returncode == 0
    assert json.loads(run.stdout)["schema"].startswith("cache-check/reach/")
    text = said(made)
    assert "This is a planning aid. It is not a load rating" in text
    assert "Struts are counted on the steps buildable, assembled at once, restrained, rated. Rated for 6000lbf." in text
    assert "counted on: rescue-41 2026-03-01; today: 2026-11-25; rules: version" in text
    assert "design factor: 2:1; units: inches, pounds, pounds-force" in text
    assert "ignored: none; unknown: none." in text
    assert "Short body + Extension 10 in (6 assemblies)" in text


def test_reach_chart_says_what_is_not_known(tmp_path: Path) -> None:
    """Pieces of which something is not known are not counted, and the drawing says so."""
    made = tmp_path / "reach.svg"
    cache_check("reach", "truck-9.yaml", *ON, "--plot", made)

    assert "unknown: 4 Strap: age unknown, not counted." in said(made)


def test_sets_say_what_they_rest_on(tmp_path: Path) -> None:
    """The sets that ``stage`` proposes, their parts by number, step, order, caution and basis stand in the drawing."""
    made = tmp_path / "stage.svg"
    run = cache_check(*STAGE, "--format", "json", "--plot", made)

    assert json.loads(run.stdout)["schema"].startswith("cache-check/stage/")
    text = said(made)
    assert "A (proposed): 41.0 to 53.5 in" in text
    assert "1 Hinged base · 2 Short body · 3 Extension 10 in · 4 Flat fitting" in text
    assert "Each set is a strut on the step assembled at once" in text
    assert "Parts are numbered in the order they are put together, from the ground up" in text
    assert "This is a planning aid. It is not a load rating" in text
    assert "rules: version" in text


def test_several_caches_stand_under_each_other(tmp_path: Path) -> None:
    """``stage`` of two caches draws both; of one that has nothing to leave built it says so."""
    made = tmp_path / "stage.svg"
    cache_check("stage", "rescue-44.yaml", "truck-9.yaml", "--needs", "needs.yaml", *ON, "--plot", made)

    text = said(made)
    assert "Rescue 44: what to leave built" in text
    assert "Truck 9: what to leave built" in text
    assert "No ready set." in text


@BOTH
def test_same_file_on_every_run(tmp_path: Path, asked: tuple[str, ...]) -> None:
    """The same question draws the same bytes; stdout is as without ``--plot``."""
    one, two = tmp_path / "one.svg", tmp_path / "two.svg"
    run = cache_check(*asked, "--plot", one)
    started(*asked, "--plot", two)

    assert one.read_bytes() == two.read_bytes()
    assert run.stdout == cache_check(*asked).stdout
    assert run.stderr == f"cache-check: {one} drawn\n"


@BOTH
def test_png_and_pdf_open(tmp_path: Path, asked: tuple[str, ...]) -> None:
    """The PNG is read by an image reader and is not blank; the PDF is one page whose text is text."""
    cache_check(*asked, "--plot", tmp_path / "a.PNG")
    cache_check(*asked, "--plot", tmp_path / "a.pdf")

    assert imread(tmp_path / "a.PNG", format="png").std() > 0.1
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF")
    reader = shutil.which("pdftotext")
    if reader is None:
        pytest.skip("no pdftotext here: apt-get install poppler-utils")
    text = subprocess.run([reader, tmp_path / "a.pdf", "-"], capture_output=True, text=True, check=True).stdout
    assert "This is a planning aid." in text
    assert text.count("\f") == 1


@BOTH
@pytest.mark.parametrize("name", ["a.gif", "no/such/folder/a.svg"])
def test_file_that_cannot_be_is_refused(tmp_path: Path, asked: tuple[str, ...], name: str) -> None:
    """A suffix that is no drawing, or a folder that is not there: exit 2, one line of reason, no page and no file."""
    run = cache_check(*asked, "--plot", tmp_path / name)

    assert run.returncode == 2
    assert run.stdout == ""
    told = [line for line in run.stderr.splitlines() if not line.startswith(("Usage:", "Try "))]
    assert len([line for line in told if line]) == 1
    assert name in told[-1]
    assert list(tmp_path.iterdir()) == []
