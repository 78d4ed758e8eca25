"""Pitfalls of a load, each by its number, through the verb that the command asks."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from builders import change, checked, loaded, needs_of, tidy

from cache_check import read_rules
from cache_check.model.load import Carrier, LoadResult
from cache_check.model.verdict import LinkCheck
from cache_check.report.load_forces import situation
from cache_check.report.of_load import do
from cache_check.report.say import Say, percent
from cache_check.report.shortly import todo
from cache_check.units import NEWTON_PER_LBF, NM_PER_INCH

ROWS = [{"length": 55, "loads": [8000, 7600, 7200]}, {"length": 75, "loads": [None, 4700, 4400]}]
MARKED: dict[str, Any] = {"base": {"points": [{"wll": 5000}, {"wll": 5000}]}}
AT: dict[str, Any] = {"contact_height": 40, "angle": 60, "half_angles": 30}


def pounds(newtons: Fraction | None) -> float | None:
    """A force in lbf."""
    return None if newtons is None else float(newtons / NEWTON_PER_LBF)


def best(result: LoadResult) -> Carrier:
    """The best assembly."""
    return result.carriers[0]


def rated(inches: float | str, extensions: int, **chart: Any) -> float | None:
    """The rated load (lbf) of a build with so many extensions, upright at a contact of that height."""
    cache = tidy(parts=MARKED, chart={"rows": ROWS} | chart)
    result = loaded(cache, contact_height=inches, angle=90, vertical=1000)
    [found] = {one.rated for one in result.carriers if one.assembly.extensions == extensions}
    return pounds(found)


def chart(one: Carrier) -> LinkCheck:
    """The link that the chart speaks for."""
    return next(link for link in one.links if link.of == "chart")


def rules(result: LoadResult) -> set[str]:
    """The rules that found something."""
    return {finding.rule for finding in result.findings}


def test_pitfall_06_the_row_is_that_of_the_length_needed() -> None:
    """46.2 in use the row to 55, not the last row, and the page names the row used."""
    one = best(loaded(tidy(), vertical=3000, **AT))

    assert one.chart_row == ("T-chart", 55 * NM_PER_INCH)
    assert pounds(one.rated) == 8000


def test_pitfall_07_each_assembly_has_the_column_of_its_own_extensions() -> None:
    """At 53 in builds with 0, 1 and 2 extensions stand beside one another, each with its own figure."""
    assert [rated(53, extensions) for extensions in (0, 1, 2)] == [8000, 7600, 7200]


def test_pitfall_08_no_straight_line_between_two_rows() -> None:
    """Just past 55 in the 75 in row governs at once."""
    assert rated(55, 1) == 7600
    assert rated("55 1/64 in", 1) == 4700


def test_pitfall_09_nothing_past_the_last_row() -> None:
    """A strut of 65 in on a chart that ends at 60 in is unrated, does not carry, and CAP-3 says so."""
    short = [{"length": 60, "loads": [8000, 7600, 7200]}]
    result = loaded(tidy(parts=MARKED, chart={"rows": short}), contact_height=65, angle=90, vertical=1)

    assert best(result).rated is None
    assert best(result).margin is None
    assert not best(result).carries
    assert "CAP-3" in rules(result)
    assert result.tally.count("rated") == 0


def test_pitfall_10_a_blank_cell_carries_nothing() -> None:
    """A blank cell is neither 0 nor infinite: the build is listed, unrated, and never counted."""
    cache = tidy(parts=MARKED | {"body": {"open": 51}}, counts={"ext-6": 0, "ext-12": 0}, chart={"rows": ROWS})
    result = loaded(cache, contact_height=56, angle=90, vertical=1)

    assert [one.rated for one in result.carriers] == [None]
    assert result.tally.count("restrained") == 2
    assert result.tally.count("rated") == 0


def test_pitfall_24_height_is_not_strut_length() -> None:
    """A contact at 48 in with the base 36 in out takes 60 in of strut."""
    result = loaded(tidy(), contact_height=48, base_offset=36, vertical=1000)

    assert result.geometry.length == 60 * NM_PER_INCH
    assert all(one.assembly.covers(60 * NM_PER_INCH, 60 * NM_PER_INCH) for one in result.carriers)


def test_pitfall_25_the_two_angles_are_two_words() -> None:
    """30 deg from the vertical is the strut at 60 deg from the horizontal, and not the one at 30."""
    upright = loaded(tidy(), contact_height=40, angle_from_vertical=30, vertical=1000)
    level = loaded(tidy(), contact_height=40, angle=60, vertical=1000)
    flat = loaded(tidy(), contact_height=40, angle=30, vertical=1000)

    assert upright.geometry == level.geometry
    assert flat.geometry.length > level.geometry.length


def test_pitfall_26_ground_that_drops_makes_the_strut_longer() -> None:
    """6 in of drop turn 42 in of height into 48: the strut of 55.3 in becomes one of 60."""
    dropped = loaded(tidy(), contact_height=42, ground_drop=6, base_offset=36, vertical=1000)

    assert dropped.geometry.length == 60 * NM_PER_INCH
    assert loaded(tidy(), contact_height=42, base_offset=36, vertical=1000).geometry.length < 56 * NM_PER_INCH


def test_pitfall_26_the_drop_makes_lengths_and_not_moments() -> None:
    """The lever of the strut about the pivot is that of the contact above the pivot, drop or no drop."""
    held = [
        loaded(
            tidy(), contact_height=40, ground_drop=drop, angle=60, weight=3000, weight_outside=20, ties="none"
        ).forces
        for drop in (0, 8)
    ]

    assert held[0] is not None
    assert held[0] == held[1]


def test_pitfall_27_the_chart_is_held_against_the_force_along_the_strut() -> None:
    """6,000 lbf upright at 45 deg are 8,486 along the strut: a build rated for 8,000 does not carry them."""
    result = loaded(tidy(parts=MARKED), contact_height=35, angle=45, vertical=6000, half_angles=30)
    one = best(result)

    assert pounds(one.rated) == 8000
    assert pounds(chart(one).demand) == pytest.approx(6000 * math.sqrt(2))
    assert not one.carries
    assert result.tally.count("rated") == 0


def test_pitfall_28_a_chart_at_two_to_one_is_not_divided_again() -> None:
    """A chart of rated loads at 2:1 stays as printed at 2:1; one of failure loads is divided once."""
    assert rated(50, 0) == 8000
    assert rated(50, 0, states="failure load", factor=None) == 4000


@pytest.mark.parametrize(
    ("factor", "said"), [(None, "rated 8,000 lbf at 4:1 (as marked)"), (2, "rated 16,000 lbf at 2:1")]
)
def test_pitfall_28_a_mark_says_its_own_factor(factor: int | None, said: str) -> None:
    """A load marked at 4:1 and used as marked is never told as one at 2:1; asked at 2:1 it is."""
    result = loaded(tidy(chart={"factor": 4}), vertical=1000, factor=factor, **AT)

    assert said in " ".join(do(result, Say.of(result)))


@pytest.mark.parametrize("factor", ["1", "2", "4"])
def test_pitfall_28_straps_are_not_re_rated(factor: str) -> None:
    """The limit of web holds a factor already: at any design factor as many straps hold as much."""
    result = loaded(tidy(), vertical=1000, factor=factor, **AT)
    [way] = result.ties

    assert pounds(way.rated) == 3333
    assert way.per_base == 2


def test_pitfall_29_pre_tension_comes_on_top() -> None:
    """Two straps at 300 lbf put 1,039 lbf into the strut; strut and straps are checked for the sum."""
    slack, tight = (loaded(tidy(), vertical=3000, pretension=force, **AT) for force in (0, 300))

    assert tight.push is not None
    assert pounds(tight.push.strut) == pytest.approx(2 * 300 * math.cos(math.pi / 6) / 0.5)
    assert slack.tally.load is not None
    assert tight.tally.load == slack.tally.load + tight.push.strut
    assert tight.ties[0].tension == slack.ties[0].tension + 300 * NEWTON_PER_LBF
    assert chart(best(tight)).demand == tight.tally.load


def test_pitfall_29_pre_tension_that_moves_the_vehicle_is_told() -> None:
    """Straps hauled to 1,100 lbf lift more than the 3,000 that rest on the strut."""
    result = loaded(tidy(), vertical=3000, pretension=1100, **AT)
    [found] = [finding for finding in result.findings if finding.rule == "PRE-1"]

    assert result.push is not None
    assert result.push.share is not None
    assert result.push.share > 1
    assert found.severity == "short"
    assert result.verdict == "not met"


def test_pitfall_30_equal_share_is_not_assumed() -> None:
    """Of three struts any two may have to carry it all; of two, placed or not, the one left takes it all."""
    three = loaded(tidy(), vertical=3000, on_this_side=3, **AT).forces
    placed = loaded(tidy(), vertical=3000, on_this_side=2, strut_places=[0, 90], load_at=30, **AT).forces
    unplaced = loaded(tidy(), vertical=3000, on_this_side=2, **AT).forces

    assert three is not None
    assert placed is not None
    assert unplaced is not None
    assert pounds(three.vertical) == 1500
    assert pounds(placed.vertical) == 3000
    assert pounds(unplaced.vertical) == 3000


def test_pitfall_31_both_straps_on_one_side_are_refused() -> None:
    """No tension is given, nothing counts as restrained or rated, and the page stops."""
    result = loaded(tidy(), contact_height=40, angle=60, vertical=1000, half_angles=["30 left", "20 left"])

    assert "one side" in result.refused
    assert (result.lines, result.ties) == ((), ())
    assert [result.tally.count(step) for step in ("assembled at once", "restrained", "rated")] == [2, 0, 0]
    assert {finding.rule: finding.severity for finding in result.findings}["STR-3"] == "stop"
    assert not any(one.carries for one in result.carriers)


def test_pitfall_31_anchors_on_one_side_are_refused_too() -> None:
    """Places say the same as angles do."""
    anchors = [[-10, 3, 20], [-10, 3, 8]]

    assert "one side" in loaded(tidy(), contact_height=40, angle=60, vertical=1000, anchors=anchors).refused


def test_pitfall_45_the_weaker_eye_governs() -> None:
    """One eye of 1,000 lbf and one of 5,000: the base holds what the weaker one does, and it is named."""
    eyes = {"base": {"points": [{"wll": 5000}, {"wll": 1000}]}}
    result = loaded(tidy(parts=eyes), vertical=4000, **AT)
    one = best(result)

    assert one.governing.link == "points of base"
    assert pounds(one.governing.rated) == 1000
    assert not one.carries
    assert best(loaded(tidy(parts=MARKED), vertical=4000, **AT)).carries


def test_pitfall_45_an_eye_without_a_limit_is_unknown_and_told() -> None:
    """One marked eye does not speak for the other."""
    eyes = {"base": {"points": [{"wll": 5000}, {}]}}
    result = loaded(tidy(parts=eyes), vertical=1000, **AT)
    [point] = [link for link in best(result).links if link.of == "points"]

    assert point.rated is None
    assert result.verdict == "not known"
    assert "WLL-2" in rules(result)


def test_pitfall_45_no_setting_counts_an_unmarked_eye_as_rated() -> None:
    """What is unknown is never rated: the same count in ``check`` as in ``load``, whatever a policy says."""
    cache, lax = tidy(parts={"base": {"points": [{}, {}]}}), change("WLL-2", unknown_counts=True)
    [need] = checked(cache, lax, needs=needs_of([{"at": 46, "load": 1000, "angle": 60}])).tallies

    assert need.count("rated") == loaded(cache, lax, vertical=800, **AT).tally.count("rated") == 0
    assert need.verdict == "not known"


@pytest.mark.parametrize(
    ("fields", "because"),
    [
        ({"contact": "round"}, "head does not hold: not listed for round"),
        ({"angle": 70}, "stays down: pivot does not hold: the struts together would lift the vehicle"),
    ],
)
def test_pitfall_45_what_bars_every_load_is_named(fields: dict[str, Any], because: str) -> None:
    """Where no load passes the other way round says which link bars it, not that nothing is rated."""
    result = loaded(tidy(), **(AT | {"weight": 3000, "weight_outside": 50, "contact_x": -5} | fields))
    [most] = [one for one in result.largest if one.dimension == "force"]

    assert most.value is None
    assert because in most.because


def test_pitfall_46_lengths_and_demands_up_capacities_down() -> None:
    """60.04 in are said to be 60.1, 4,618.8 lbf 4,619, a rating of 7,999.9 is 7,999, a margin of 4.99 % is 4."""
    result = loaded(tidy(), contact_height=52, angle=60, vertical=4000)
    say = Say("us", ())

    assert say.length(result.geometry.length, "up") == "60.1 in"
    assert say.up(result.tally.load) == "4,619 lbf"
    assert say.down(Fraction("7999.9") * NEWTON_PER_LBF) == "7,999 lbf"
    assert percent(Fraction("0.0499")) == "4%"
    assert percent(Fraction("-0.0001")) == "1% short"


WIDE: dict[str, Any] = {"base": {"points": [{"wll": 5000}] * 2, "footprint": {"length": 12, "width": 12}}}
SAID: dict[str, Any] = {
    "contact": "edge", "far_anchors": "structure", "anchor_distance": 60, "dynamic_allowance": 1, "soil": 50_000,
    "vehicle": "car", "on_this_side": 2, "contact_height": 26,
}  # fmt: skip


@pytest.mark.parametrize(
    ("link", "wll", "place", "more"),
    [
        # 1,000 lbf upright at 30 deg push out sqrt(3) as much, of which each strap of a V of 30 takes 1 / sqrt(3).
        ("ties: strap", 1000, {"angle": 30, "half_angles": 30, "vertical": 1000}, {"vertical": 1001}),
        ("ties: strap", 1100, {"angle": 30, "half_angles": 30, "vertical": 1000, "pretension": 100},
         {"vertical": 1001}),
        # Straps along the strut press 2 tan 45 of their pre-tension into the ground, a V of 30 2 cos 30 tan 60.
        ("ground", 3333, {"angle": 45, "half_angles": 0, "vertical": 1000, "pretension": 100, "soil": 1200},
         {"soil": 1199}),
        ("ground", 3333, {"angle": 60, "half_angles": 30, "vertical": 1000, "pretension": 100, "soil": 1300,
          "contact_height": 32},
         {"soil": 1299}),
        ("ground", 3333, {"angle": 30, "half_angles": 30, "vertical": 1000, "pretension": 100, "soil": 1100},
         {"soil": 1099}),
        # At 45 deg a weight as far outside the edge as the contact is high and out stands on the struts alone.
        *(
            ("stays down: pivot", 3333, {"angle": 45, "half_angles": 30, "weight": 500, "weight_outside": 26 + out,
             "contact_x": out}, {"weight_outside": 27 + out}) for out in (0, 3, 5, 7)
        ),
        ("number: limit of one strut", 3333, {"angle": 45, "half_angles": 30, "weight": 8000, "one_end_pivots": True,
         "strut_limit": 1000, "on_this_side": 4}, {"weight": 8001}),
    ],
)  # fmt: skip
def test_pitfall_46_a_limit_met_exactly_by_trigonometry_is_met(
    link: str, wll: int, place: dict[str, Any], more: dict[str, Any]
) -> None:
    """Roots cancel at 30, 45 and 60 deg: a limit that is then met to the pound holds, and a pound more is too much."""
    cache = tidy(parts=WIDE | {"strap": {"wll": wll}})

    def state(**asked: Any) -> str:
        result = loaded(
            cache, change("STR-3", on=place["half_angles"] != 0), **SAID | {"pretension": 0} | place | asked
        )
        every = {one.named(): one.state for one in (*best(result).links, *result.links)}
        return every.get(link, "not found")

    assert state() == "holds"
    assert state(**more) == "does not hold"


def test_pitfall_46_a_limit_met_exactly_is_met() -> None:
    """6,000 lbf at 90 deg against 6,000, 1,250 at 3-4-5 against 1,250, and a pound more is too much."""
    rows = [{"length": 75, "loads": [1250, 1250, 1250]}]
    cache = tidy(parts=MARKED, chart={"rows": rows})

    assert best(loaded(cache, contact_height=40, base_offset=30, vertical=1000, half_angles=30)).carries
    assert not best(loaded(cache, contact_height=40, base_offset=30, vertical=1001, half_angles=30)).carries
    upright = loaded(cache, change("ANG-1", on=False), contact_height=40, angle=90, vertical=1250, half_angles=30)
    assert best(upright).carries


@pytest.mark.parametrize(
    ("count", "out", "state"),
    [(0, {}, "does not hold"), (1, {}, "does not hold"), (None, {}, "unknown"), (2, {"unknown": 1}, "unknown"),
     (2, {}, "holds")],
)  # fmt: skip
def test_what_nothing_stands_for_holds_no_base(count: int | None, out: dict[str, int], state: str) -> None:
    """However strong a strap of the catalogue is: the table of links said yes of straps that the rig has none of."""
    cache = tidy(counts={"strap": count}, out={"strap": out})
    result = loaded(cache, vertical=1000, on_this_side=1, contact="edge", **AT)

    for links in (best(result).links, result.links):
        ties = [link for link in links if link.of == "ties" and link.link != "far anchors"]
        assert {link.state for link in ties} <= {state}
    assert (best(result).verdict == "not met") is (state == "does not hold")


SMALL: dict[str, Any] = {
    "kind": "fitting", "adds": 2, "serves": "head", "mass": 2, "contacts": ["edge"],
    "strength": {"rated_load": 1900, "factor": 2},
}  # fmt: skip
TWO: dict[str, Any] = {"vertical": 1500, "on_this_side": 2, "on_the_other_side": 0, **AT}


def told(result: LoadResult) -> str:
    """What a crew is told to do, in one text."""
    return " ".join(do(result, Say.of(result)))


def test_struts_that_cannot_all_be_like_the_best_are_told_with_the_worst() -> None:
    """One strong head and one weak: two stand, and what the weak one has to spare is told beside the strong one's."""
    mixed = loaded(tidy(parts={"small": SMALL}, counts={"head": 1, "small": 1}), **TWO)
    alike = loaded(tidy(parts={"small": SMALL}, counts={"head": 2, "small": 1}), **TWO)

    assert (mixed.verdict, alike.verdict) == ("met", "met")
    assert "not all alike: 1 x base + body + head" in told(mixed)
    assert "1 x base + body + small" in told(mixed)
    least = min(one.margin for one in mixed.carriers if one.margin is not None and "T/small" in one.assembly.parts)
    assert f"; {percent(least)} to spare on the worst of them" in told(mixed)
    assert least < (best(mixed).margin or 0)
    assert "alike" not in told(alike)


@pytest.mark.parametrize(("strong", "says"), [
    (1, ["the worst of those that stand at once has 3.9% to spare, under 5%; small governs"]), (2, []),
])  # fmt: skip
def test_a_thin_margin_of_one_that_must_stand_with_the_best_is_told(strong: int, says: list[str]) -> None:
    """The margin was that of the best, of which one can stand; where two can, the weak head is not wanted."""
    weak = {"small": SMALL | {"strength": {"rated_load": 1800, "factor": 2}}}
    result = loaded(tidy(parts=weak, counts={"head": strong, "small": 1}), **TWO)

    assert result.verdict == "met"
    assert [one.what for one in result.findings if one.rule == "CAP-5"] == says


def test_of_kinds_of_ties_that_are_mixed_the_weakest_is_told() -> None:
    """Straps for one base and chain for the other: the margin is that of the straps, and both kinds are named."""
    chain = {"kind": "chain", "wll": 6600, "mass": 9, "length": "20 ft", "needs": {}}
    parts: dict[str, Any] = {"chain": chain, "strap": {"wll": 600}}
    mixed = loaded(tidy(parts=parts, counts={"strap": 2, "chain": 2}), **TWO)
    chains = loaded(tidy(parts=parts, counts={"strap": 2, "chain": 4}), **TWO)

    assert (mixed.verdict, chains.verdict) == ("met", "met")
    assert best(mixed).governing.link == "strap"
    assert "held by 2 x chain, 2 x strap" in told(mixed) or "held by 2 x strap, 2 x chain" in told(mixed)
    assert best(chains).governing.link != "strap"
    assert "alike" not in told(chains)


def test_what_all_struts_lack_is_no_want_of_struts() -> None:
    """Two struts are there and one pad for two bases: nobody is told that there are too few struts."""
    pad = {"kind": "pad", "footprint": {"length": 24, "width": 24}}
    result = loaded(tidy(parts={"pad": pad}, counts={"pad": 1}), soil=3000, sure=False, **TWO)

    assert result.verdict == "not met"
    assert told(result).endswith("it holds by itself, and all lack: pads")


@pytest.mark.parametrize(
    ("place", "ask"),
    [
        ({"half_angles": 46}, "hold the base on both sides, no wider than allowed"),
        ({"half_angles": ["20 left", "30 left"]}, "hold the base on both sides, no wider than allowed"),
        ({"half_angles": 30, "rise": 79}, "bring the anchors lower"),
    ],
)
def test_straps_that_are_refused_are_told_what_mends_them(place: dict[str, Any], ask: str) -> None:
    """Straps too wide or on one side are spread; straps so steep that nothing balances are anchored lower."""
    result = loaded(tidy(), vertical=1500, **AT | place)

    assert result.refused
    assert {link.ask for link in result.links if link.of == "ties"} == {ask}


def test_what_pre_tension_makes_is_rounded_up() -> None:
    """A hair over half of what keeps the vehicle there is not called the half that is allowed."""
    result = loaded(tidy(), vertical=1500, pretension="251 lbf", **AT)
    [why] = [link.why for link in result.links if link.of == "pre-tension" and link.state == "does not hold"]

    assert result.push is not None
    assert result.push.share is not None
    assert Fraction(1, 2) < result.push.share < Fraction(505, 1000)
    assert "makes 51% of what keeps the vehicle there, 50% allowed" in why


@pytest.mark.parametrize(
    ("place", "rule"),
    [({"half_angles": ["1 right", "30 left"]}, "STR-6"), ({"dynamic_allowance": "1"}, "LOD-1"), ({}, "")],
)
def test_what_a_yes_counts_on_is_told_at_once(place: dict[str, Any], rule: str) -> None:
    """A strap near the line lets the base go sideways, an allowance is under policy's: met, and told on first sight."""
    result = loaded(tidy(), vertical=1500, **AT | {"dynamic_allowance": "1.25"} | place)
    now = " ".join(line.text for line in todo(result.findings, read_rules(), Say.of(result)).lines)

    assert result.verdict == "met"
    assert [one for one in ("STR-6", "LOD-1") if f"({one})" in now] == [rule] * bool(rule)


def test_of_unlike_ground_it_is_told_that_the_softest_is_taken() -> None:
    """Ground stated under each base is said to be taken as the softest under all; one value for all is not."""
    said = [
        str(tuple(situation(result, Say.of(result))))
        for result in (loaded(tidy(), **TWO | {"soil": soil}) for soil in ([6000, 9000], 6000))
    ]

    assert ["6,000 psf, the softest, taken under each base" in text for text in said] == [True, False]
