"""Needs files: scenes of needs, each with one length or a range."""

from __future__ import annotations

from fractions import Fraction

import pytest
from desk import SAMPLES, Desk, read_needs

from cache_check import units

INCH = 25_400_000


def test_a_length_and_a_range_both_read(desk: Desk) -> None:
    """One length is a range of no width; from and to are its two ends, each with its own unit if written."""
    text = "needs: n\nunits: us\nscenes: {a: {needs: [{count: 3, length: 50}, {id: b, count: 1, from: 41, to: 1.2 m}]}}"
    first, second = read_needs(desk.put(text)).scenes[0].needs

    assert (first.id, first.count, first.shortest, first.longest) == ("a 1", 3, 50 * INCH, 50 * INCH)
    assert (second.id, second.shortest, second.longest) == ("b", 41 * INCH, 1_200_000_000)
    assert (first.load, first.factor, first.restrained) == (None, None, True)


def test_load_and_factor_are_exact(desk: Desk) -> None:
    """A bare load takes the file's unit, and a factor may be written as a ratio."""
    text = 'needs: n\nunits: si\nscenes: {a: {needs: [{count: 1, length: 50, load: 5, factor: "2:1"}]}}'
    need = read_needs(desk.put(text)).scenes[0].needs[0]

    assert (need.load, need.factor) == (Fraction(5000), Fraction(2))


def test_a_plain_list_is_one_scene(desk: Desk) -> None:
    """A file that lists needs without scenes has a single scene."""
    needs = read_needs(desk.put("title: Drill\nunits: us\nneeds: [{count: 1, length: 50}]"))

    assert (needs.title, [scene.id for scene in needs.scenes], needs.scenes[0].weight) == ("Drill", ["scene"], 1)


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        ("{count: 1}", "the length is missing or half a range; write either one length, or a range as from and to"),
        (
            "{count: 1, from: 5}",
            "the length is missing or half a range; write either one length, or a range as from and to",
        ),
        (
            "{count: 1, length: 5, from: 3}",
            "'length' stands beside 'from' or 'to'; write either one length, or a range as from and to",
        ),
        ("{count: 1, from: 9, to: 3}", "'to' is shorter than 'from'; swap them"),
    ],
)
def test_half_a_length_is_refused(entry: str, says: str, desk: Desk) -> None:
    """No length, half a range, both at once or a range the wrong way round is refused at the need."""
    text = f"needs: n\nunits: us\nscenes: {{a: {{needs: [{entry}]}}}}"

    assert desk.lines(text, read_needs) == [f"x.yaml:3:22: scenes.a.needs[1]: {says}"]


def test_all_mistakes_of_a_needs_file_are_told(desk: Desk) -> None:
    """Wrong counts, units, factors and ids met twice come together."""
    text = """\
needs: n
units: us
scenes:
  a:
    weight: 0
    needs:
      - {id: b, count: 0, length: 5 kg, lod: 5}
      - {id: b, count: yes, length: 5, factor: 0.5}
  c: {}
"""
    unit = 'write a number with in, ft, mm, cm or m, for example "62 in", "58 1/2 in" or "1.2 m"'

    assert desk.lines(text, read_needs) == [
        "x.yaml:5:5: scenes.a.weight: 0 is too few; write 1 or more",
        "x.yaml:7:17: scenes.a.needs[1].count: 0 is too few; write 1 or more",
        f"x.yaml:7:27: scenes.a.needs[1].length: 'kg' is not a unit of length; {unit}",
        "x.yaml:7:41: scenes.a.needs[1].lod: 'lod' is not a field here; did you mean 'load'?",
        "x.yaml:8:10: scenes.a.needs[2].id: 'b' is there already; give each need of a scene its own id",
        "x.yaml:8:17: scenes.a.needs[2].count: 'yes' is not a whole number; "
        "write digits alone, with no quotes, leading zero, point or comma",
        "x.yaml:8:40: scenes.a.needs[2].factor: a design factor is from 1 to 100",
        "x.yaml:9:3: scenes.c: missing 'needs'",
    ]


def test_the_scenes_of_the_county_read() -> None:
    """The sample needs hold the five scenes that the county trains for."""
    needs = read_needs(SAMPLES / "needs.yaml")

    assert [scene.id for scene in needs.scenes] == ["car-on-side", "van-or-truck", "mixer", "low-contact", "long-reach"]
    assert needs.scenes[2].needs[0].load == units.force_n("6000 lbf")
    assert needs.scenes[3].needs[0].longest < 31 * INCH
    assert needs.scenes[4].needs[0].shortest > 96 * INCH
