"""What each part's loss costs, against the same question asked anew with the piece supposed gone."""

from __future__ import annotations

from collections import Counter
from datetime import date

import pytest
from builders import moved, needs_of, rescue_41, tidy

import cache_check as api
from cache_check.api.base import muster_of
from cache_check.files.pool import pool
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.counting import Losses
from cache_check.model.need import Needs
from cache_check.planning.buying.worth import part_losses
from cache_check.planning.staging.rigs import Rigs

ON = date(2026, 11, 25)
SMALL = needs_of([{"at": 40, "count": 2}], [{"at": 60, "count": 1, "restrained": False}, {"at": 36, "count": 1}])
TWO_BASES = tidy(
    counts={"base": 3}, items={"base": [{"serial": "B-1", "points_usable": 1}, {"serial": "B-2", "points_usable": 2}]}
)


def lost(cache: Cache, needs: Needs) -> Losses:
    """The losses of a cache today."""
    return part_losses(muster_of(cache, read_rules(), api.WhatIf(on=ON)), needs.scenes)


def anew(cache: Cache, needs: Needs, part: str, number: int | None) -> tuple[int, ...]:
    """Struts served of each scene, by ``check`` of the cache without so many pieces of a part."""
    suppose = api.WhatIf(on=ON, without=((part, number),))
    return tuple(one.served for one in api.check(cache, read_rules(), needs=needs, suppose=suppose).scenes)


@pytest.mark.parametrize(
    ("cache", "needs"),
    [
        (tidy(), SMALL),
        (TWO_BASES, needs_of([{"at": 40, "count": 3}], [{"at": 40, "count": 2}])),
        (rescue_41(), needs_of([{"shortest": 41, "longest": 50, "count": 3}], [{"at": 78, "count": 4}])),
    ],
    ids=["small", "bases of one and of two points", "rescue 41"],
)  # fmt: skip
def test_each_loss_is_what_check_answers_without_the_piece(cache: Cache, needs: Needs) -> None:
    """One piece of each part gone, and all of them: each scene serves what ``check --without`` says it does."""
    found = lost(cache, needs)

    assert {one.part for one in found.parts} == {part for part, count in cache.counted.items() if count}
    for one in found.parts:
        assert one.one == anew(cache, needs, one.part, 1), one.part
        assert one.none == anew(cache, needs, one.part, None), one.part


def test_costliest_loss_stands_first() -> None:
    """Two bodies for two struts: a body costs both scenes; a pin, of which eight are there, costs none."""
    found = lost(tidy(), SMALL)
    by_part = {one.part: found.cost(one.one) for one in found.parts}

    assert found.served == found.wanted == (2, 2)
    assert by_part["T/body"] == (2, 2)
    assert by_part["T/pin"] == (0, 0)
    assert list(by_part.values()) == sorted(by_part.values(), reverse=True)


def test_a_scene_met_counts_by_its_weight_before_struts() -> None:
    """A loss that lets a met scene fail stands before one that costs more struts of scenes that are short anyway."""
    found = Losses((("a", "", 3), ("b", "", 1)), wanted=(2, 9), served=(2, 5), parts=())

    assert found.cost((1, 5)) == (3, 3)
    assert found.cost((2, 0)) == (0, 5)
    assert found.cost((1, 5)) > found.cost((2, 0))


def test_part_of_which_none_is_usable_cannot_be_lost() -> None:
    """A part out for repair is not among the losses."""
    found = lost(tidy(out={"ext-12": {"repair": 1}}), SMALL)

    assert "T/ext-12" not in [one.part for one in found.parts]


def test_check_tells_losses_where_they_are_asked_for() -> None:
    """What ``check`` tells is what each part's loss costs; without being asked it works nothing out."""
    on = api.WhatIf(on=ON)

    assert api.check(tidy(), read_rules(), needs=SMALL, suppose=on, losses=True).losses == lost(tidy(), SMALL)
    assert api.check(tidy(), read_rules(), needs=SMALL, suppose=on).losses is None


def test_base_that_can_be_held_is_brought_before_one_that_cannot() -> None:
    """The rig named first has a base without points enough, the other a sound one: a held strut takes the sound one."""
    poor = tidy(counts={"base": 1}, items={"base": [{"serial": "B-1", "points_usable": 1}]})
    good = moved(tidy(counts={"base": 1}), "trailer")
    found = api.check(pool([poor, good]), read_rules(), needs=needs_of([{"at": 40, "count": 1}]),
                      suppose=api.WhatIf(on=ON))  # fmt: skip

    first, second = found.scenes[0].brings
    assert found.scenes[0].served == 1
    assert (dict(first.pieces).get("T/base"), dict(second.pieces)) == (None, {"T/base": 1})


def test_a_ready_set_is_brought_by_the_rig_where_it_lies() -> None:
    """Of one strut's pieces the rig named first brings all, but a set that is taken, and not one that stays."""
    both = pool([tidy(counts={"body": 1}), moved(tidy(counts={"body": 1}), "trailer")])
    suppose = api.WhatIf(on=ON)
    packing = api.check(both, read_rules(), needs=needs_of([{"at": 40, "count": 1}]), suppose=suppose).scenes[0].packing
    one = packing.assemblies[0][0]
    lies, rigs = Counter(one.parts) + Counter(dict(one.pins)), Rigs(muster_of(both, read_rules(), suppose))
    first, second = rigs.names

    def brings(*lying: tuple[str, Counter[str], bool]) -> list[str]:
        return [found.rig for found in rigs.bring(packing, lying) if "T/body" in dict(found.pieces)]

    assert brings() == [first]
    assert brings((second, lies, True)) == [second]
    assert brings((first, lies, False)) == [second]
    assert brings(("", lies, True)) == [first]  # proposed where no rig states a compartment: it lies nowhere
