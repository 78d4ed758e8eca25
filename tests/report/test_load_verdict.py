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
        "NOT KNOWN unknown: ground. 3 wanted",
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
