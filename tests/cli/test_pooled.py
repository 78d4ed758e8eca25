"""Several caches taken as one, on every command that answers for one cache."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from cli.running import ON, cache_check

ACROSS = ("hinged-base", "P-base-to-Q-body", "body-34", "cross-head")
RIGS = ("rescue-41.yaml", "truck-9.yaml")


def _assemblies(*arguments: str) -> Any:
    return json.loads(cache_check("reach", *arguments, *ON, "--format", "json").stdout)["answers"][0]["reach"][
        "assemblies"
    ]


@pytest.mark.parametrize("command", ["reach", "graph"])
def test_several_caches_are_not_silently_one(command: str) -> None:
    """Two caches without a word of pooling are refused in one line."""
    run = cache_check(command, *RIGS)

    assert (run.returncode, run.stdout) == (2, "")
    assert (
        run.stderr
        == "cache-check: 2 caches are named (Rescue 41, Truck 9); name one, or take them as one with --pool\n"
    )


def test_pool_reaches_what_each_does_and_what_only_both_do() -> None:
    """Assemblies of the pool are those of each rig and those that take parts of both, through the adapter."""
    alone = [{tuple(one["parts"]) for one in _assemblies(rig)} for rig in RIGS]
    pooled = {tuple(one["parts"]) for one in _assemblies(*RIGS, "--pool")}

    assert alone[0] | alone[1] < pooled
    across = pooled - alone[0] - alone[1]
    assert all({part.split("/")[0] for part in one} == {"P", "Q"} for one in across)


def test_stack_of_two_rigs_is_legal_only_with_both() -> None:
    """A base of one rig under a body of the other is fine with both; one rig lacks the base, the other the body."""
    both = cache_check("build", "truck-9.yaml", *ACROSS, "--with-rig", "rescue-41.yaml", *ON, "--fail-on", "stop")

    assert (both.returncode, both.stderr) == (0, "")
    lacking = cache_check("build", "truck-9.yaml", *ACROSS, *ON)
    assert lacking.returncode == 1
    assert "Hinged base: 1 wanted, 0 usable" in lacking.stdout
    assert cache_check("build", "rescue-41.yaml", *ACROSS, *ON).returncode == 2


def test_graph_of_a_pool_joins_the_families() -> None:
    """In the pool's joint graph the adapter stands between parts of both families."""
    run = cache_check("graph", *RIGS, "--pool", *ON, "--format", "json")
    links = json.loads(run.stdout)["edges"]

    ends = [(one["source"], one["target"]) for one in links if "P-base-to-Q-body" in one["source"] + one["target"]]
    assert {end.split(": ")[1].split("/")[0] for pair in ends for end in pair} >= {"P", "Q"}


def test_report_of_a_pool_is_one_card(tmp_path: Path) -> None:
    """Two rigs taken as one get one door card that says so."""
    made = tmp_path / "card.html"
    run = cache_check("report", *RIGS, "--pool", "--only", "door", *ON, "-o", made)

    assert (run.returncode, run.stderr) == (0, f"cache-check: {made} written\n")
    assert made.read_text(encoding="utf-8").count("pooled as one") == 1


def _checked(*arguments: str) -> Any:
    return json.loads(cache_check("check", *arguments, *ON, "--format", "json").stdout)["answers"][0]


def test_each_rig_of_a_pool_brings_what_it_has() -> None:
    """What the rigs bring to a scene is what its struts take, no more of any part than the rig has by itself."""
    asked = ("--needs", "needs.yaml", "--without", "long-body=2")
    rigs = ("rescue-44.yaml", "rescue-41.yaml")
    usable = {
        one["name"]: {part["part"]: part["usable"] for part in one["parts"]}
        for one in (_checked(rig, "--needs", "needs.yaml") for rig in rigs)
    }
    pooled = _checked(*rigs, "--pool", *asked)

    shared = 0
    for scene in pooled["scenes"]:
        taken: Counter[str] = Counter({one["part"]: one["count"] for one in scene["packing"]["ties"]})
        for kind in scene["packing"]["assemblies"]:
            for part in kind["assembly"]["parts"]:
                taken[part] += kind["number"]
        brought: Counter[str] = Counter()
        for rig in scene["brings"]:
            for piece in rig["pieces"]:
                assert piece["count"] <= usable[rig["rig"]][piece["part"]]
                brought[piece["part"]] += piece["count"]
        assert {part: brought[part] for part in taken} == taken
        shared += all(rig["number"] for rig in scene["brings"])
    assert shared, "no scene takes pieces of both rigs, so nothing was tried"


def test_one_rig_alone_brings_nothing_to_share() -> None:
    """Nobody shares where there is one rig; the section says so and its data have no row."""
    asked = ("check", "rescue-41.yaml", "--needs", "needs.yaml", *ON, "--fail-on", "never", "--show", "rigs")
    assert "nothing to share" in cache_check(*asked).stdout
    assert cache_check(*asked, "--format", "csv").stdout == "rig,scene,brought by,part,pieces\n"


def test_what_stays_loose_names_its_rig() -> None:
    """The loose pieces of each rig are those of the pool together, and each rig's own less the sets that lie on it."""
    asked = ("stage", *RIGS, "--pool", "--needs", "needs.yaml", "--sets", "2", *ON)
    (found,) = json.loads(cache_check(*asked, "--format", "json").stdout)["answers"]
    staging = found["staging"]
    summed: Counter[str] = Counter()
    for rig in staging["loose_on"]:
        summed.update({one["part"]: one["count"] for one in rig["pieces"]})
        sets = [one for one in staging["sets"] if one["stowed"]["rig"] == rig["rig"]]
        own = {one["part"]: one["usable"] for one in _checked(f"{rig['rig']}.yaml")["parts"]}
        bodies = Counter(one["assembly"]["body"] for one in sets)
        assert all(one["count"] == own[one["part"]] - bodies[one["part"]]
                   for one in rig["pieces"] if one["part"].endswith("body"))  # fmt: skip

    assert summed == {one["part"]: one["count"] for one in staging["loose"]}
    assert len(staging["loose_on"]) == len(RIGS)
