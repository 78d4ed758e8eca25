"""The one line of ``load`` that is read if no other is: a strut that holds is no use where it sinks."""

from __future__ import annotations

import pytest
from cli.running import ON, cache_check

# A base of 7 x 7 in on ground of 4,000 psf bears 4,000 x 49/144 = 1,361 lbf, on 3,000 psf 1,021; each strut puts 1,330
# sin 55 = 1,090 lbf and a little of its pre-tension on it.  The book has no pad.
CASES = {
    "bare base": ([], "MET 3 wanted", "it stands on the base alone"),
    "softer": (["--soil", "3000psf"], "NOT MET does not hold: ground, pads. 3 wanted", "Why not ground: "),
    "a pad that is not on the book": (["--pad", "12in,12in"], "NOT MET does not hold: pads.", "0 large enough"),
    "hard": (["--soil", "12000psf"], "MET 3 wanted", "it stands on the base alone"),
    "unknown": (
        ["--soil", "unknown"],
        "NOT KNOWN unknown: ground. 3 wanted; at this length 4 assembled at once, 3 restrained, 0 known to be rated.",
        "what it bears is not known, so whether it holds the base is unknown",
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_verdict_names_the_ground(name: str) -> None:
    """Met says on what it stands; a ground that is too soft, or that nobody judged, is never met."""
    options, verdict, said = CASES[name]
    run = cache_check("load", "rescue-41.yaml", "car-on-side.yaml", *ON, *options)
    shown = " ".join(run.stdout.split())

    assert f"EXT-2 {verdict}" in shown
    assert said in shown
    assert run.returncode == (not verdict.startswith("MET"))


@pytest.mark.parametrize(("vehicle", "number"), [(["--vehicle", "car"], 3), ([], 1)])
def test_the_largest_that_passes_says_of_how_many_at_once(vehicle: list[str], number: int) -> None:
    """Without a class of vehicle no more than one is asked for: what that one takes is not said as if of three."""
    run = cache_check("load", "rescue-41.yaml", "--contact-height", "40", "--angle", "60", *ON, *vehicle)

    assert f"Passes {number} at once: load lifted upright: " in " ".join(run.stdout.split())


def test_what_comes_nearest_is_not_said_to_hold_where_nothing_can_hold_it() -> None:
    """Without a strap no strut of that build stands: why is said, and of two straps what the next wants."""
    asked = ("load", "rescue-41.yaml", "car-on-side.yaml", *ON, "--without")
    none, one = (" ".join(cache_check(*asked, gone).stdout.split()) for gone in ("strap", "strap=5"))

    assert "Why not ties (Strap): 0 usable, 2 wanted on one base - bring more" in none
    assert "holds by itself" not in none
    assert "comes nearest: it holds by itself, and there are too few: the next wants 2 more Straps" in one


def test_a_length_that_nothing_reaches_is_said_once() -> None:
    """Why not is one line, and the next has the lengths that can be set, or that there is none."""
    near = " ".join(cache_check("load", "truck-9.yaml", "car-on-side.yaml", *ON).stdout.split())
    gone = [word for body in ("short-body", "long-body") for word in ("--without", body)]
    none = " ".join(cache_check("load", "rescue-41.yaml", "car-on-side.yaml", *ON, *gone).stdout.split())

    assert "Instead ask again of 1,600 mm (57.3 deg at this contact) or 1,651 mm" in near
    assert "Instead no assembly of the pieces that count can be set here" in none
    assert [shown.count("no assembly of the pieces that count reaches") for shown in (near, none)] == [1, 1]
