"""Pieces supposed moved between two rigs: each answers as its book would if the pieces lay there."""

from __future__ import annotations

import json
from typing import Any

import pytest
from builders import moved as on_rig
from builders import tidy

from cache_check.api.base import WhatIf, moved, muster_of
from cache_check.errors import AskError, InputError
from cache_check.files.cache import read_cache
from cache_check.files.rules import read_rules
from cache_check.model.rule import Setting
from cli.running import ON, SAMPLES, cache_check

RIGS = ("rescue-41.yaml", "rescue-44.yaml", "--needs", "needs.yaml", *ON)
BASES = {"base": [{"serial": "B-1", "points_usable": 1}, {"serial": "B-2", "points_usable": 2}]}


def _usable(*arguments: str) -> list[dict[str, int]]:
    run = cache_check("check", *RIGS, *arguments, "--format", "json", "--fail-on", "never")
    assert run.returncode == 0, run.stderr
    answers: Any = json.loads(run.stdout)["answers"]
    return [{line["part"]: line["usable"] for line in one["parts"]} for one in answers]


def test_what_one_rig_gives_the_other_has() -> None:
    """Two straps and one base by its serial: less there, more here, nothing else; and both answers say so."""
    before, after = _usable(), _usable("--move", "strap=2:rescue-44:rescue-41", "--move", "hb-01:Rescue 41:rescue-44")

    changed = [
        {part: n - old[part] for part, n in new.items() if n != old[part]}
        for old, new in zip(before, after, strict=True)
    ]
    assert changed == [{"P/strap": 2, "P/hinged-base": -1}, {"P/strap": -2, "P/hinged-base": 1}]
    said = cache_check("stage", *RIGS, "--pool", "--move", "strap=2:rescue-44:rescue-41").stdout
    assert "supposed: 2 strap moved from Rescue 44 to Rescue 41" in " ".join(said.split())


@pytest.mark.parametrize(
    ("move", "said"),
    [
        ("strap=9:rescue-44:rescue-41", "9 strap to be moved from Rescue 44: 6 usable there"),
        ("strap=1:rescue-44:rescue-4", "no rig 'rescue-4'; did you mean 'rescue-44'?"),
        ("strap=1:rescue-44:rescue-44", "goes from Rescue 44 to itself"),
        ("strop=1:rescue-44:rescue-41", "did you mean 'strap'?"),
        ("strap=1:rescue-44", "write PART=N:FROM:TO"),
    ],
)
def test_a_move_that_cannot_be_is_refused(move: str, said: str) -> None:
    """More than is usable, a rig or a part that is not there, a rig to itself, a form that is none: a line each."""
    run = cache_check("check", *RIGS, "--move", move)

    assert (run.returncode, run.stdout) == (2, "")
    assert said in run.stderr
    assert cache_check("check", "rescue-41.yaml", "--move", "strap=1:a:b", *ON).returncode == 2


def test_a_part_that_the_other_rig_has_otherwise_is_not_moved() -> None:
    """A strap of 500 lbf on one book is no strap of 3,333 lbf on another, whatever its name."""
    rigs = [tidy(), on_rig(tidy(parts={"strap": {"wll": 500}}), "other")]

    with pytest.raises(InputError, match="'T/strap' differs from the one in other in wll"):
        moved(rigs, [("strap", 1, 0, 1)], read_rules(), WhatIf())
    assert moved([rigs[0], on_rig(tidy(), "other")], [("strap", 1, 0, 1)], read_rules(), WhatIf())


def test_a_base_takes_its_points_along() -> None:
    """A base with one point of two is as poor on the other rig; of two that differ, which one must be said."""
    caches, none = [tidy(counts={"base": 2}, items=BASES), on_rig(tidy(counts={"base": 0}), "bare")], WhatIf()
    after = moved(caches, [("B-1", 1, 0, 1)], read_rules(), none)

    assert [muster_of(one, read_rules(), none).usable.pointed["T/base"] for one in after] == [1, 0]
    assert [muster_of(one, read_rules(), none).usable.counts["T/base"] for one in after] == [1, 1]
    with pytest.raises(AskError, match="move each by its serial"):
        moved(caches, [("base", 1, 0, 1)], read_rules(), none)


def test_a_part_takes_its_familys_sheet_along_and_no_rule_of_its_rig() -> None:
    """What Truck 9 was told for itself holds on no other rig, and is listed at the head of none."""
    book = read_rules()
    here, there = (read_cache(SAMPLES / name, book) for name in ("rescue-41.yaml", "truck-9.yaml"))
    own = Setting(rule="STR-1", values={"min": 3}, by="its captain", rig="truck-9")
    took, _ = moved([here, there.changed(settings=(*there.settings, own))], [("body-34", 1, 1, 0)], book, WhatIf())

    assert {one.family for one in took.settings} == {"P", "Q"}
    assert own not in took.settings


def test_a_part_that_nobody_counted_stays_so_where_others_are_moved() -> None:
    """Straps that nobody counted are not known on the rig that gives a base, before as after; never "none"."""
    caches = [tidy(counts={"strap": None}), on_rig(tidy(counts={"base": 0}), "bare")]
    after = moved(caches, [("base", 1, 0, 1)], read_rules(), WhatIf())

    assert [one.uncounted for one in after] == [("T/strap",), ()]
