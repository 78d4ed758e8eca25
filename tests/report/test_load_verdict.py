"""The one line of ``load`` that is read if no other is: a strut that holds is no use where it sinks."""

from __future__ import annotations

import pytest
from cli.running import ON, cache_check

# 2,000 psf under 7 x 7 in is 680 lbf; 1,519 lbf take 1,519 / 2,000 sq ft = 10.46 in square (arithmetic).
CASES = {
    "bare base": ([], "MET only on a stiff pad of at least 10.5 in square under each base; none that large is on"),
    "pad that is large enough": (["--pad", "12in,12in"], "MET. At"),
    "pad that is not": (["--pad", "6in,6in"], "SHORT 3"),
    "rock": (["--soil", "40000psf"], "MET. At"),
    "unknown": (["--soil", "unknown"], "MET by struts and straps; whether the ground holds is UNKNOWN."),
}


@pytest.mark.parametrize("name", CASES)
def test_verdict_names_the_ground(name: str) -> None:
    """Met says on what ground: bare, on a pad of a size, or unknown."""
    options, verdict = CASES[name]
    run = cache_check("load", "rescue-41.yaml", "car-on-side.yaml", *ON, "--show", "set", *options)

    assert verdict in " ".join(run.stdout.split())
