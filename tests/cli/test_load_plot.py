"""The drawing of ``load`` in a file."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from cli.running import ON, cache_check

CAR = ("load", "rescue-41.yaml", "car-on-side.yaml", *ON)


def said(path: Path) -> str:
    """What a drawing says, in one line."""
    return " ".join(re.findall(r"<text[^>]*>(.*?)</text>", path.read_text(), flags=re.DOTALL))


def test_drawing_says_what_it_rests_on(tmp_path: Path) -> None:
    """Verdict, steps, rig, day, rules, factor, units and caution stand in the drawing, pre-tension as counted."""
    made = tmp_path / "car.svg"
    run = cache_check(*CAR, "--format", "json", "--plot", made)

    assert run.returncode == 0
    assert run.stdout == cache_check(*CAR, "--format", "json").stdout
    assert json.loads(run.stdout)
    text = said(made)
    for part in (
        "Rescue 41: Car on its side",
        "MET: 3 wanted",
        "at this length 4 assembled at once, 3 restrained, 3 rated",
        "rig: rescue-41", "today: 2026-11-25", "rules: version 2026.1", "design factor: 2:1", "pounds-force",
        "This is a planning aid.", "Pre-tension of straps is counted on top of the load.",
        "strut 64.7 in", "strap 1: 30.4 deg left", "24% to spare, ground governs",
    ):  # fmt: skip
        assert part in text, part


@pytest.mark.parametrize("kind", ["svg", "pdf"])
def test_same_answer_draws_the_same_bytes(tmp_path: Path, kind: str) -> None:
    """In each kind of file, the same question draws the same bytes."""
    one, two = tmp_path / f"a.{kind}", tmp_path / f"b.{kind}"
    for made in (one, two):
        cache_check(*CAR, "--plot", made)

    assert one.read_bytes() == two.read_bytes()
    assert one.stat().st_size > 10_000


@pytest.mark.parametrize("name", ["a.gif", "no/such/folder/a.svg"])
def test_file_that_cannot_be_is_refused(tmp_path: Path, name: str) -> None:
    """A suffix that is no drawing, or a folder that is not there: exit 2, one line of reason, no page and no file."""
    run = cache_check(*CAR, "--plot", tmp_path / name)

    assert (run.returncode, run.stdout) == (2, "")
    told = [line for line in run.stderr.splitlines() if line and not line.startswith(("Usage:", "Try "))]
    assert len(told) == 1
    assert name in told[0]
    assert list(tmp_path.iterdir()) == []


def test_one_drawing_is_of_one_cache(tmp_path: Path) -> None:
    """Several caches are refused in one line, and drawn as one with --pool."""
    both = ("load", "rescue-41.yaml", "rescue-44.yaml", "car-on-side.yaml", *ON, "--plot", tmp_path / "a.svg")

    run = cache_check(*both)
    assert (run.returncode, run.stdout) == (2, "")
    assert run.stderr.count("\n") == 1
    assert "--plot draws one cache and 2 are named" in run.stderr
    assert list(tmp_path.iterdir()) == []
    assert cache_check(*both, "--pool").returncode in (0, 1)
    assert "rescue-44" in said(tmp_path / "a.svg")


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (("leaning-van.yaml",), "NOT KNOWN: the load. No force is drawn"),
        (("leaning-van.yaml", "--soil", "10000 psf", "--far-anchors", "structure", "--contact", "edge",
          "--anchor-distance", "60"),
         "weight where it lies on 2 struts: at most 4,907 lbf"),
        (("car-on-side.yaml", "--contact", "nowhere"), "NOT MET: does not hold: head"),
        (("--contact-height", "50", "--angle", "60", "--vertical", "3000", "--half-angles", "30 left,20 left"),
         "REFUSED, no tension given"),
        (("--contact-height", "50", "--angle", "90", "--vertical", "3000", "--ties", "none"), "No straps or chain"),
        (("--contact-height", "600", "--angle", "60", "--vertical", "3000"), "no assembly of the pieces that count"),
        (("--contact-height", "10", "--angle", "1", "--vertical", "3000", "--rise", "-80"), "(1) along the strut"),
    ],
)  # fmt: skip
def test_whatever_is_answered_is_drawn(tmp_path: Path, more: tuple[str, ...], words: str) -> None:
    """Unknown load, no assembly left, straps refused or none, upright, flat and out of reach: drawn, and said."""
    made = tmp_path / "a.svg"
    run = cache_check("load", "rescue-41.yaml", *more, *ON, "--plot", made)

    assert run.returncode in (0, 1), run.stderr
    assert run.stderr == f"cache-check: {made} drawn\n"
    assert words in said(made)
