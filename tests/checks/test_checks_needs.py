"""Findings about needs, charts and reach."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from builders import NOT_LISTED, change, checked, loaded, needs_of, rescue_41, tidy

from cache_check.files.rules import read_rules
from cache_check.loads.chart import DesignFactor, rated_at_factor
from cache_check.model.cache import Cache
from cache_check.model.finding import Finding
from cache_check.model.need import Needs
from cache_check.planning.packing.muster import Muster
from cache_check.units import NEWTON_PER_LBF, NM_PER_INCH

HOLES: dict[str, Any] = {"lock": "holes", "holes": {"pitch": 2}}


def found(cache: Cache, rule: str, *settings: Any, needs: Needs | None = None) -> list[Finding]:
    """The findings of one rule."""
    return [finding for finding in checked(cache, *settings, needs=needs).findings if finding.rule == rule]


def test_a_need_that_is_short_says_step_and_what_binds() -> None:
    """Rescue 41 stands three of the four struts at 78 in, and only a pair of parts opens the fourth."""
    needs = needs_of([{"at": 78, "count": 4, "load": 6000, "angle": 60, "factor": 2}])
    [one] = found(rescue_41(), "NEED-1", needs=needs)

    assert one.what == "drill 1: need 1: 4 struts wanted rated for 6,000 lbf at 2:1 at 78.0 in, 3 there: 1 short"
    assert one.effect == "no single part helps; 1 more long-body and 1 more strap allows the next strut"
    assert dict(one.figures)["short_count"] == 1


def test_a_need_of_zero_says_why() -> None:
    """None at all is never said without its reason."""
    [one] = found(tidy(), "NEED-1", needs=needs_of([{"at": 90}]))

    assert "no legal assembly of the usable parts covers this length" in one.effect


def test_needs_met_one_by_one_may_fail_together() -> None:
    """Each need of a scene is met alone, yet both draw on the same bodies, and the scene says so."""
    needs = needs_of([{"at": 40, "count": 2}, {"at": 45}])
    [one] = found(tidy(), "NEED-1", needs=needs)

    assert one.what == "scene drill 1: 2 of 3 struts at once (need 1: 2 of 2 and need 2: 0 of 1)"


def test_one_lost_is_said_with_the_piece() -> None:
    """A need met with nothing to spare names the pieces whose loss breaks it."""
    [one] = found(
        tidy(counts={"strap": 6, "base": 3, "head": 3, "pin": 9}), "N1-1", needs=needs_of([{"at": 50, "count": 2}])
    )

    assert one.what == "drill 1: need 1: not met with one body missing"
    assert one.part == "T/body"
    assert one.effect == "1 of 2 left, worst without one body"


def test_a_need_that_is_unmet_is_not_told_of_one_lost() -> None:
    """What is short already is not short once more."""
    assert found(tidy(), "N1-1", needs=needs_of([{"at": 50, "count": 3}])) == []


def test_want_of_rating_is_told_from_want_of_struts() -> None:
    """Struts that stand and are not rated are the load check's; struts that are not there are not."""
    heavy = found(tidy(), "CAP-1", needs=needs_of([{"at": 50, "count": 2, "load": 9000}]))
    missing = found(tidy(), "CAP-1", needs=needs_of([{"at": 50, "count": 3, "load": 9000}]))

    assert [one.what for one in heavy] == [
        "drill 1: need 1: 2 struts restrained at 50.0 in, 0 rated for 9,000 lbf each at 2:1"
    ]
    assert missing == []


def test_an_unrestrained_need_is_held_against_standing() -> None:
    """Without restraint asked, what stands is what the rating is held against."""
    needs = needs_of([{"at": 50, "load": 9000, "restrained": False}])
    [one] = found(tidy(counts={"strap": 0}), "CAP-1", needs=needs)

    assert "2 struts assembled at once" in one.what


@pytest.mark.parametrize(("factor", "load"), [(4, 5400), (2, 10800)])
def test_a_load_rated_at_four_to_one_doubles_at_two_to_one(factor: int, load: int) -> None:
    """5,400 lbf at 4:1 is 10,800 lbf at 2:1 (common practice, no source), through the chart of an assembly."""
    chart = {"factor": 4, "rows": [{"length": 75, "loads": [5400, 5400, 5400]}]}
    muster = Muster(tidy(chart=chart), read_rules(), date(2026, 4, 1))
    assembly = next(iter(muster.joined.assemblies()))
    at, asked = 50 * NM_PER_INCH, DesignFactor(Fraction(factor), said=True)
    rated = muster.capacity.rated(assembly, at, at, asked)

    assert rated == load * NEWTON_PER_LBF
    assert rated_at_factor(5400, Fraction(4), asked) == load


def test_at_most_two_extensions_and_36_in_of_them() -> None:
    """Without any setting a strut has at most two extensions and 36 in of them (common practice, no source)."""
    book = read_rules()

    assert book.value("EXT-1", "max") == 2
    assert book.value("EXT-2", "max") == 36 * NM_PER_INCH


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ([(55, [8000, 7600]), (75, [8100, 4700])], "0 extensions: 8,100 lbf rises with length, at most 8,000 lbf"),
        ([(55, [8000, 8200]), (75, [5000, 4700])], "1 extension: 8,200 lbf rises with extensions, at most 8,000 lbf"),
        ([(55, [8000, 7600]), (75, [1000, 4700])], "0 extensions: 1,000 lbf falls faster than Euler, at least"),
    ],
    ids=["longer", "more extensions", "too fast"],
)
def test_a_chart_that_makes_no_sense_is_stopped_with_its_cell(rows: list[Any], says: str) -> None:
    """The cell, its figure and what would be right are named."""
    chart = {"rows": [{"length": length, "loads": loads} for length, loads in rows]}
    flaws = found(tidy(chart=chart, counts={"ext-12": 0}), "CAP-2")

    assert any(says in one.what for one in flaws), [one.what for one in flaws]
    assert {one.severity for one in flaws} == {"stop"}
    assert dict(flaws[0].figures) == {"row_nm": 75 * NM_PER_INCH if "1 ext" not in says else 55 * NM_PER_INCH}


def test_a_family_for_which_charts_are_not_doubted() -> None:
    """Where the rule is off for the family, nothing is said of its chart; of another family it goes on."""
    chart = {"rows": [{"length": 55, "loads": [8000]}, {"length": 75, "loads": [8100]}]}
    free = {"free": {"kind": "body", "family": "U", "closed": 30, "open": 50, "lock": "collar", "mass": 9}}
    rises = tidy(chart=chart, parts=free, counts={"free": 1})

    assert len(found(rises, "CAP-2", change("CAP-2", on=False).changed(family="U"))) == 1
    assert found(rises, "CAP-2", change("CAP-2", on=False).changed(family="T")) == []


@pytest.mark.parametrize(
    ("chart", "says"), [({"factor": None}, "design factor"), ({"edition": " "}, "edition"), ({"dated": None}, "date")]
)
def test_a_chart_that_leaves_its_basis_unsaid_is_watched(chart: dict[str, Any], says: str) -> None:
    """Edition, date and the factor of rated loads are each asked for."""
    [one] = found(tidy(chart=chart), "CAP-4")

    assert one.what == f"chart T-chart of family T: {says} not stated"


def test_a_chart_of_a_day_to_come_is_told() -> None:
    """A sheet dated tomorrow is no current one; one of today is."""
    told = [found(tidy(chart={"dated": day}), "CAP-4") for day in ("2026-04-01", "2026-04-02")]

    assert [[one.what for one in each] for each in told] == [
        [], ["chart T-chart of family T: dated 2026-04-02, which is to come"],
    ]  # fmt: skip


def test_a_body_without_a_chart_is_unrated_never_infinite() -> None:
    """A family with bodies and no chart is said to be unrated at every length."""
    [one] = found(tidy(chart={"rows": []}), "CAP-3")

    assert one.what == "2 x body: no chart, so unrated at every length"


def test_lengths_that_no_row_rates_are_named_by_extensions() -> None:
    """Buildable lengths past the last row, and past the last column, are named, the span rounded outward."""
    [one] = found(tidy(chart={"rows": [{"length": 60, "loads": [8000, 7600]}]}), "CAP-3")

    assert one.what == (
        "chart T-chart has no figure for lengths that can be built "
        "(1 extension: 60.0 in to 67.0 in; 2 extensions: 53.0 in to 73.0 in)"
    )


def test_a_mixed_strut_is_watched_until_somebody_rates_it() -> None:
    """Builds of two families are unrated, and no longer mentioned once the rule rates them."""
    parts: dict[str, dict[str, Any]] = {
        "adapter": {"kind": "adapter", "length": 1, "mass": 1, "lower": "T", "upper": "T"},
        "u-head": {"kind": "fitting", "adds": 1, "serves": "head", "family": "U", "end": "T", "mass": 1},
    }
    cache = tidy(parts=parts, counts={"adapter": 1, "u-head": 1})
    [one] = found(cache, "ADP-2")

    assert one.what == "builds that mix families T and U can be made; they are unrated"
    assert found(cache, "ADP-2", change("ADP-2", rated=True)) == []


@pytest.mark.parametrize(("at", "says"), [("42.5", "1.5 in of packing, which is within"), ("42.75", "which is more")])
def test_a_length_between_two_holes_names_both_and_the_packing(at: str, says: str) -> None:
    """One hole below and one above, and whether the packing from below stays within 1.5 in; 1.5 itself does."""
    cache = tidy(parts={"body": HOLES}, counts={"ext-6": 0, "ext-12": 0})
    [one] = found(cache, "IDX-1", needs=needs_of([{"at": f"{at} in"}]))

    assert "41.0 in and 43.0 in" in one.what
    assert says in one.effect


def test_a_length_on_a_hole_or_met_otherwise_is_no_finding() -> None:
    """A length that a hole takes, or that another body covers, needs no packing."""
    holes = tidy(parts={"body": HOLES})
    other = {"free": {"kind": "body", "closed": 30, "open": 50, "pull_apart": 55, "lock": "collar", "mass": 15}}
    both = tidy(parts={"body": HOLES} | other, counts={"free": 1})

    assert found(holes, "IDX-1", needs=needs_of([{"at": 41}, {"at": 41, "count": 5}])) == []
    assert found(both, "IDX-1", needs=needs_of([{"at": "41.5 in"}])) == []


def test_a_range_is_never_between_two_holes() -> None:
    """A range cannot be packed; that no build covers it is the need's own finding."""
    needs = needs_of([{"shortest": 40, "longest": 44}])

    assert found(tidy(parts={"body": HOLES}), "IDX-1", needs=needs) == []
    assert len(found(tidy(parts={"body": HOLES}), "NEED-1", needs=needs)) == 1


def test_blind_spots_are_named_widest_first_and_the_rest_counted() -> None:
    """A body that locks at holes leaves a gap at every pitch; four are named, the others counted."""
    [one] = found(tidy(parts={"body": HOLES}, counts={"ext-6": 0, "ext-12": 0}), "RCH-1")

    assert one.what == (
        "10 blind spots inside the reach: 35.0 in to 37.0 in, 37.0 in to 39.0 in, 39.0 in to 41.0 in, "
        "41.0 in to 43.0 in and 6 more"
    )
    assert dict(one.figures) == {"spots_count": 10, "widest_nm": 2 * NM_PER_INCH}


def test_a_severity_in_force_is_the_one_shown() -> None:
    """A policy that raises a rule raises its findings, and the gravest come first."""
    cache = tidy(chart={"edition": ""}, counts={"strap": 3})
    findings = checked(cache, change("CAP-4", severity="stop")).findings

    assert [(one.rule, one.severity) for one in findings] == [("CAP-4", "stop"), ("STR-1", "short")]


def test_every_finding_carries_its_rule_whole() -> None:
    """Rule, title, effect, remedy and source stand in every finding."""
    needs = needs_of([{"at": 78, "count": 4, "load": 6000}, {"at": 90}])
    findings = checked(rescue_41(strap=3, joint_pin=5), needs=needs).findings

    assert len(findings) > 5
    for one in findings:
        assert one.what
        assert one.effect
        assert one.title
        assert one.remedy
        assert one.source
        assert one.rig == "Rescue 41"


def test_the_widest_blind_spots_are_the_ones_named() -> None:
    """Of five gaps the four widest are named, in order of length."""
    cuts = {f"cut-{n}": {"kind": "body", "closed": at, "open": at, "lock": "collar", "mass": 9}
            for n, at in enumerate((30, 33, 37, 38, 43, 49))}  # fmt: skip
    cache = tidy(parts=cuts, counts={"body": 0, "ext-6": 0, "ext-12": 0} | dict.fromkeys(cuts, 1))
    [one] = found(cache, "RCH-1")

    assert one.what == (
        "5 blind spots inside the reach: 35.0 in to 38.0 in, 38.0 in to 42.0 in, 43.0 in to 48.0 in, "
        "48.0 in to 54.0 in and 1 more"
    )
    assert dict(one.figures)["widest_nm"] == 6 * NM_PER_INCH


def test_the_chart_of_a_family_without_a_body_here_is_left_alone() -> None:
    """A family named for its straps alone is not told off for its chart on this rig."""
    free = {"free": {"kind": "body", "family": "U", "closed": 30, "open": 50, "lock": "collar", "mass": 9}}
    cache = tidy(parts=free, counts={"body": NOT_LISTED, "free": 1}, chart={"edition": ""})

    assert found(cache, "CAP-4") == []


def test_one_either_end_fitting_makes_no_longer_build_than_it_can() -> None:
    """One tall fitting stands at one end only, so a chart to 59 in covers every build without extensions."""
    tall = {"tall": {"kind": "fitting", "adds": 6, "serves": ["base", "head"], "mass": 2}}
    none = {"ext-6": 0, "ext-12": 0}
    rows = {"rows": [{"length": 59, "loads": [8000]}]}

    assert found(tidy(parts=tall, counts=none | {"tall": 1}, chart=rows), "CAP-3") == []
    assert len(found(tidy(parts=tall, counts=none | {"tall": 2}, chart=rows), "CAP-3")) == 1


def test_mixed_builds_are_no_gap_in_the_chart() -> None:
    """A chart speaks for its own family; that mixed builds are unrated is said once, by their own rule."""
    parts: dict[str, dict[str, Any]] = {
        "adapter": {"kind": "adapter", "length": 1, "mass": 1, "lower": "T", "upper": "T"},
        "u-head": {"kind": "fitting", "adds": 30, "serves": "head", "family": "U", "end": "T", "mass": 1},
    }
    cache = tidy(parts=parts, counts={"adapter": 1, "u-head": 1})

    assert len(found(cache, "ADP-2")) == 1
    assert found(cache, "CAP-3") == []


@pytest.mark.parametrize(("points", "dated", "verdict"), [
    (2, True, "met"), (2, False, "not known"), (0, True, "not met"), (0, False, "not met"),
    ("unknown", False, "not known"),
])  # fmt: skip
def test_a_base_without_points_is_not_hoped_for(points: int | str, dated: bool, verdict: str) -> None:
    """A base of which only the date is not known may hold; one that is known to have no points does not."""
    base: dict[str, Any] = {"serial": "B", "points_usable": points} | ({} if dated else {"inspected": None})
    said = checked(tidy(counts={"base": 1}, items={"base": [base]}), needs=needs_of([{"at": 50, "count": 1}]))

    assert (said.tallies[0].verdict, said.scenes[0].verdict) == (verdict, verdict)


@pytest.mark.parametrize("unknown", ["day", "count"])
def test_what_takes_more_pieces_than_count_is_hoped_for_too(unknown: str) -> None:
    """A strut of two extensions and four pins, none of which counts, may stand all the same: by a need and a place."""
    parts = ("pin", "ext-6", "ext-12")
    cache = tidy(counts=dict.fromkeys(parts) if unknown == "count" else {})
    if unknown == "day":
        cache = cache.changed(stock=tuple(line.changed(inspected=None) for line in cache.stock))
    said = checked(cache, needs=needs_of([{"at": 73, "count": 1, "load": 1000, "angle": "60 deg"}]))
    steep = loaded(cache, contact_height=60, angle=60, vertical=1000)

    assert said.tallies[0].verdict == said.scenes[0].verdict == "not known"
    assert said.tallies[0].count("buildable") == 0
    assert steep.verdict == "not known"
