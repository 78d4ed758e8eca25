"""Findings about pieces: points, pins, fittings, service, dates, counts, ready sets."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from builders import NOT_LISTED, change, checked, moved, ready_set, rescue_41, tidy

from cache_check.errors import InputError
from cache_check.files.pool import pool
from cache_check.joining.kinds.pieces import due
from cache_check.model.cache import Cache
from cache_check.model.finding import Finding
from cache_check.model.piece import Idle, Reason, Why
from cache_check.model.result import Gap

SERIAL: dict[str, Any] = {"serial": "X-1", "inspected": "2026-01-10"}


def found(cache: Cache, rule: str, *settings: Any, on: date = date(2026, 4, 1)) -> list[Finding]:
    """The findings of one rule."""
    return [finding for finding in checked(cache, *settings, on=on).findings if finding.rule == rule]


def gaps(cache: Cache, rule: str) -> list[Gap]:
    """The gaps of one rule."""
    return [gap for gap in checked(cache).gaps if gap.rule == rule]


def test_nothing_is_wrong_in_a_tidy_cache() -> None:
    """A cache in which nothing is wrong has no finding, and no gap is short."""
    result = checked(tidy())

    assert result.findings == ()
    assert [gap.short for gap in result.gaps] == [0] * len(result.gaps)


def test_a_base_that_lost_a_point_is_named_with_its_place() -> None:
    """Usable points count, not designed ones; the finding names serial, drawer and both figures."""
    [one] = found(tidy(items={"base": [SERIAL | {"points_usable": 1, "where": "drawer 3"}]}), "PTS-1")

    assert one.what == "base X-1 has 1 usable attachment point, 2 wanted, 2 as made"
    assert one.where == "drawer 3"
    assert one.remedy == "tag the bad point; have it mended, or retire the base"
    assert found(tidy(items={"base": [SERIAL | {"points_usable": 2}]}), "PTS-1") == []
    assert dict(one.figures) == {"usable_points_count": 1, "want_points_count": 2}


def test_a_base_made_with_too_few_points_is_one_finding_for_all_its_pieces() -> None:
    """A type made with too few points is said once, with how many bases it is."""
    [one] = found(tidy(parts={"base": {"points": 1}}), "PTS-1")

    assert one.what == "2 x base: 1 attachment point each, 2 wanted"
    assert one.remedy == "use a base with enough usable points"  # none is damaged, so none is to be tagged


def test_bodies_that_can_be_restrained_are_counted_by_their_bases() -> None:
    """Rescue 41's two flat fittings stand on the ground without points, so two of seven bodies cannot be held."""
    [gap] = gaps(rescue_41(), "PTS-1")

    assert (gap.have, gap.want, gap.short) == (5, 7, 2)


@pytest.mark.parametrize(("bodies", "pins", "short"), [(2, 6, 0), (2, 5, 1), (11, 25, 0), (11, 24, 1)])
def test_pins_without_ready_sets_are_two_per_body_and_spares(bodies: int, pins: int, short: int) -> None:
    """Two joints per body, and the greater of two and a tenth rounded up as spares: 4 + 2, 22 + 3."""
    [gap] = gaps(tidy(counts={"body": bodies, "base": bodies, "head": bodies, "pin": pins}), "PIN-2")

    assert gap.short == short


def test_pins_with_ready_sets_are_those_of_their_joints() -> None:
    """A ready set with two extensions has four joints, whatever the bodies in the drawer."""
    sets = (ready_set("A", "base", "ext-6", "body", "ext-12", "head"),)
    [gap] = gaps(tidy(ready_sets=sets), "PIN-2")

    assert gap.want == 4 + 2


def test_captive_pins_are_not_asked_for() -> None:
    """A family whose joints carry their own pins wants none loose."""
    assert gaps(tidy(joints="captive"), "PIN-2") == []


def test_short_pins_say_how_many_joints_are_bare() -> None:
    """Fewer pins than joints is worse than no spare, and is said so."""
    [one] = found(tidy(counts={"pin": 3}), "PIN-2")

    assert one.what == "pin: 4 in two joints on every body and 2 spare make 6: 3 short (3 usable)"
    assert one.effect.startswith("1 pin short even with no spare")


def test_an_either_end_fitting_counts_once() -> None:
    """Two bodies, one base, one head and two either-end fittings are enough; with one of them, one is short."""
    either = {"flat": {"kind": "fitting", "adds": 1, "serves": ["base", "head"], "mass": 1}}
    enough = gaps(tidy(parts=either, counts={"base": 1, "head": 1, "flat": 2}), "BAL-1")
    short = gaps(tidy(parts=either, counts={"base": 1, "head": 1, "flat": 1}), "BAL-1")

    assert [gap.short for gap in enough] == [0, 0, 0]
    assert [(gap.what, gap.short) for gap in short] == [("bases", 0), ("heads", 0), ("bases and heads together", 1)]


def test_bases_of_another_family_stand_under_no_body() -> None:
    """A base whose connector meets no body is not counted for it, unless an adapter brings the two together."""
    parts: dict[str, dict[str, Any]] = {
        "u-base": {"kind": "fitting", "adds": 1, "serves": "base", "family": "U", "mass": 1}
    }
    adapter = {"adapter": {"kind": "adapter", "length": 1, "lower": "U", "upper": "T", "mass": 1}}
    alone = gaps(tidy(parts=parts, counts={"base": 0, "u-base": 2}), "BAL-1")
    bridged = gaps(tidy(parts=parts | adapter, counts={"base": 0, "u-base": 2, "adapter": 1}), "BAL-1")

    assert alone[0].short == 2
    assert bridged[0].short == 0


def test_a_part_without_a_figure_is_not_none() -> None:
    """A part that nobody counted is named as such."""
    [one] = found(tidy(counts={"ext-12": None}), "CNT-2")

    assert one.part == "T/ext-12"
    assert one.what == "ext-12 is listed without a figure"


def test_no_strap_listed_is_a_question_and_a_zero_is_an_answer() -> None:
    """A cache that lists no strap or chain at all is asked about; a counted zero is taken at its word."""
    [one] = found(tidy(counts={"strap": NOT_LISTED}), "CNT-2")

    assert one.what == "no strap and no chain is listed: are there none, or did nobody count?"
    assert found(tidy(counts={"strap": 0}), "CNT-2") == []


@pytest.mark.parametrize("status", ["repair", "loaned", "missing", "training", "retired", "quarantined", "unknown"])
def test_a_piece_out_of_service_is_named_by_serial(status: str) -> None:
    """Each state but in service takes the piece off the usable ones and is said with what is left."""
    [one] = found(tidy(items={"body": [SERIAL | {"status": status}]}), "OOS-1")

    known = "state not known" if status == "unknown" else status
    assert one.what == f"body X-1: {known}"
    state = "not known" if status == "unknown" else "not usable"
    assert one.effect == f"{state}, so not counted; 1 of 2 body left to use"
    assert one.serial == "X-1"


def test_a_policy_may_count_training_pieces() -> None:
    """A state that the rule counts is no finding."""
    cache = tidy(items={"body": [SERIAL | {"status": "training"}]})

    assert found(cache, "OOS-1", change("OOS-1", counts=("in service", "training"))) == []


def test_overdue_expired_and_blank_are_three_things() -> None:
    """An overdue piece and an expired one are not usable; of one with a blank date it is not known.

    Each is told what mends it: an expired strap is not sent to be inspected.
    """
    items: list[dict[str, Any]] = [
        {"serial": "S-1", "inspected": "2024-01-10"},
        {"serial": "S-2", "inspected": "2024-01-10", "expires": "2026-03-31"},
        {"serial": "S-3", "inspected": None},
    ]
    late = found(tidy(counts={"strap": 7}, items={"strap": items}), "INS-1")

    assert [(one.what, one.remedy) for one in late] == [
        ("strap S-1: inspection was due on 2025-01-10", "inspect it and write the date"),
        ("strap S-2: expired on 2026-03-31; inspection was due on 2025-01-10", "tag it and retire it"),
        ("strap S-3: inspection date unknown", "find the day of its inspection, or inspect it"),
    ]


def test_a_blank_date_counts_only_as_the_rule_is_set() -> None:
    """The finding on a blank date says which way the rule is set, and the count agrees."""
    cache = tidy(items={"body": [{"serial": "X-1", "inspected": None}]})
    [strict] = found(cache, "INS-1")
    [mild] = found(cache, "INS-1", change("INS-1", unknown_counts=True))

    assert strict.effect == "not known, so not counted; 1 of 2 body left to use"
    assert mild.effect == "counted all the same, as the rule is set"


def test_a_retired_piece_is_not_overdue_as_well() -> None:
    """One piece, one reason: what is out of service is not also told off for its inspection."""
    cache = tidy(items={"body": [{"serial": "X-1", "inspected": "2020-01-10", "status": "retired"}]})

    assert found(cache, "INS-1") == []
    assert len(found(cache, "OOS-1")) == 1


def test_ready_sets_that_claim_one_piece_twice_are_stopped() -> None:
    """Two sets that each hold the only long extension cannot both be built."""
    sets = tuple(ready_set(name, "base", "body", "ext-12", "head") for name in ("A", "B"))
    [one] = found(tidy(ready_sets=sets), "SET-1")

    assert one.severity == "stop"
    assert one.what == "2 ready sets (A and B) claim 2 x ext-12, 1 usable"


def test_ready_sets_claim_pieces_of_their_own_rig() -> None:
    """The long extension of another rig in the pool does not make two sets of the one that lies with them."""
    sets = tuple(ready_set(name, "base", "body", "ext-12", "head") for name in ("A", "B"))
    one = tidy(ready_sets=sets)
    [pooled] = found(pool([one, moved(tidy(), "other")]), "SET-1")

    assert (pooled.rig, pooled.what) == (one.id, "2 ready sets (A and B) claim 2 x ext-12, 1 usable")
    assert pooled.where == "tray"
    assert [alone.where for alone in found(one, "SET-1")] == ["drawer 1"]


def test_a_ready_set_that_is_no_strut_names_its_rig() -> None:
    """In a pool a set is on its own rig, in its own place."""
    one = tidy(ready_sets=(ready_set("A", "head", "body", "head"),))
    [pooled] = found(pool([one, moved(tidy(), "other")]), "SET-1")

    assert (pooled.rig, pooled.where) == ("tidy", "tray")
    assert pooled.what == "ready set A breaks MAT-4, Fitting in its role: head is not a base; it serves as head"


def test_a_ready_set_of_a_part_the_cache_lacks_is_stopped() -> None:
    """A set that names a part of which there is none is no set."""
    [one] = found(tidy(counts={"ext-6": 0}, ready_sets=(ready_set("A", "base", "body", "ext-6", "head"),)), "SET-1")

    assert one.what == "1 ready set (A) claims 1 x ext-6, 0 usable"


def test_a_ready_set_with_a_tagged_piece_is_stopped() -> None:
    """A set that names a quarantined serial is not to be used, though the type has usable pieces left."""
    sets = (ready_set("A", "base", "body", "head", serials=("X-1",)),)
    [one] = found(tidy(items={"body": [SERIAL | {"status": "quarantined"}]}, ready_sets=sets), "SET-1")

    assert one.what == "ready set A names X-1, which is not usable: quarantined"


@pytest.mark.parametrize(("where", "says"), [
    ("cab", ["ready set A names X-1, which lies in cab, not in tray"]), ("Tray ", []), ("", []),
])  # fmt: skip
def test_a_ready_set_with_a_piece_that_the_book_has_elsewhere_is_told(where: str, says: list[str]) -> None:
    """Set and piece contradict each other, whatever its line says of the others; case and spaces are no other place."""
    sets = (ready_set("A", "base", "body", "head", serials=("X-1",)),)
    told = found(tidy(items={"body": [SERIAL | {"where": where}]}, ready_sets=sets), "SET-1")

    assert [one.what for one in told] == says
    remedy = "look where it lies, and write that of piece and set"
    assert [(one.severity, one.remedy) for one in told] == [("short", remedy)] * len(says)


@pytest.mark.parametrize(
    ("points", "says"), [(1, ["ready set A names X-1, whose base cannot be held: 1 of 2"]), (2, [])]
)
def test_a_ready_set_on_a_base_that_lost_a_point_is_stopped(points: int, says: list[str]) -> None:
    """Its door card said by which straps it is held, while one of the two eyes is out."""
    sets = (ready_set("A", "base", "body", "head", serials=("X-1",)),)
    rig = tidy(items={"base": [SERIAL | {"points_usable": points}]}, ready_sets=sets)

    assert [one.what.removesuffix(" attachment points usable") for one in found(rig, "SET-1")] == says


@pytest.mark.parametrize(
    ("serials", "says"),
    [
        (("Y-9",), "ready set A names Y-9, which the cache does not list"),
        (("E-1",), "ready set A names E-1, which is ext-6 and none of its parts"),
    ],
)
def test_a_serial_must_be_a_piece_of_its_set(serials: tuple[str, ...], says: str) -> None:
    """A serial that is not listed, or of a part that the set has not, is a finding."""
    items = {"ext-6": [{"serial": "E-1", "inspected": "2026-01-10"}]}
    [one] = found(tidy(items=items, ready_sets=(ready_set("A", "base", "body", "head", serials=serials),)), "SET-1")

    assert one.what == says


def test_a_serial_is_claimed_once() -> None:
    """Two sets that name one serial cannot both be built."""
    sets = tuple(ready_set(name, "base", "body", "head", serials=("X-1",)) for name in ("A", "B"))
    [one] = found(tidy(items={"body": [SERIAL]}, ready_sets=sets), "SET-1")

    assert one.what == "X-1 is claimed by ready sets A and B"


def test_a_finding_of_a_pool_names_the_rig() -> None:
    """In a pool a piece is found on its own rig."""
    one = tidy(items={"body": [SERIAL | {"status": "repair"}]})
    both = found(pool([one, moved(one, "other")]), "OOS-1")

    assert [finding.rig for finding in both] == ["other", "tidy"]


def test_the_rig_of_training_pieces_is_named() -> None:
    """Where a policy counts them, each rig of a pool is told of its own."""
    one = tidy(out={"body": {"training": 1}})
    both = found(pool([one, moved(tidy(), "other")]), "TRN-1", change("OOS-1", counts=("in service", "training")))

    assert [(finding.rig, finding.what) for finding in both] == [
        ("tidy", "1 x body for training only, counted as usable")
    ]


def test_an_unlikely_figure_is_told_of_what_is_there() -> None:
    """One extension is enough for it; of none that is there nothing is said."""
    heavy = {"ext-12": {"mass": 5000}}
    [one] = found(tidy(parts=heavy, counts={"ext-12": 1}), "SIZ-1")

    assert one.what == "ext-12: mass 5,000.0 lb is not likely, 0.0 lb to 250.0 lb would be"
    assert one.part == "T/ext-12"
    [factor] = found(tidy(parts={"head": {"strength": {"rated_load": 9000, "factor": 7}}}), "SIZ-1")
    assert factor.what == "head: strength 7:1 is not likely, 1:1 to 6:1 would be"
    assert found(tidy(parts=heavy, counts={"ext-12": 0}), "SIZ-1") == []


def test_a_book_of_a_year_is_recent_and_a_day_more_is_not() -> None:
    """So many days as the rule allows are allowed."""
    book = tidy().changed(book_date=date(2025, 3, 31))

    assert found(book, "DAT-2") == []
    [one] = found(book, "DAT-2", on=date(2026, 4, 2))
    assert one.what == "the book of tidy was counted on 2025-03-31, 367 days ago"
    assert dict(one.figures) == {"age_days": 367, "most_days": 366}


def test_a_day_that_is_blanked_takes_no_finding_of_a_book_away() -> None:
    """A book of which nobody wrote the day may be of any age: as grave as one that is too old, rig by rig of a pool."""
    undated = tidy().changed(book_date=None)
    [one] = found(undated, "DAT-2")

    assert (one.severity, one.what) == ("short", "nobody wrote on which day the book of tidy was counted")
    assert one.remedy == "count the rig, and write the day"
    assert [each.rig for each in found(pool([tidy(), moved(undated, "second")]), "DAT-2")] == ["second"]


def test_a_damaged_base_out_of_service_is_told_once() -> None:
    """A base that is tagged already is not also told off for its points."""
    cache = tidy(items={"base": [SERIAL | {"points_usable": 1, "status": "quarantined"}]})

    assert found(cache, "PTS-1") == []


@pytest.mark.parametrize(
    ("whys", "do"),
    [
        ([Why.NOTED, Why.POINTS], "have what is noted judged; tag the bad point; mend it, or retire it"),
        (
            [Why.REPAIR, Why.TAGGED, Why.NOTED, Why.OVERDUE],
            "fetch it back from repair, inspected; ask who tagged it; have what is noted judged; mend it and take the "
            "tag off, or retire it; inspect it and write the date",
        ),
        (
            [Why.OVERDUE, Why.POINTS],
            "inspect it and write the date; tag the bad point; have it mended, or retire the base",
        ),
    ],
)
def test_what_is_to_be_mended_for_several_reasons_is_mended_or_retired_once(whys: list[Why], do: str) -> None:
    """Each reason has a first step of its own; what is done then is said once, as the gravest says it."""
    piece = Idle("P/base", "rig", "drawer 3", "HB-01", 1, "in service", tuple(Reason(why, "", "") for why in whys))

    assert piece.remedy == do
    for why in (why for why in Why if why.way == "mend"):
        assert replace(piece, reasons=(Reason(why, "", ""),)).remedy == why.remedy


def test_a_base_counted_by_hand_is_not_counted_with_its_type_again() -> None:
    """Of two bases made with one point, the one counted by hand and the other make two bases, not three."""
    cache = tidy(parts={"base": {"points": 1}}, items={"base": [SERIAL | {"points_usable": 1}]})

    assert [(one.what, one.remedy) for one in found(cache, "PTS-1")] == [
        ("1 x base: 1 attachment point each, 2 wanted", "use a base with enough usable points"),
        ("base X-1 has 1 usable attachment point, 2 wanted, 1 as made", "use a base with enough usable points"),
    ]


def test_a_lot_without_serials_may_be_counted_by_policy_too() -> None:
    """What the rule counts as usable is no finding, with or without a serial."""
    cache = tidy(out={"body": {"training": 1}})

    assert len(found(cache, "OOS-1")) == 1
    assert found(cache, "OOS-1", change("OOS-1", counts=("in service", "training"))) == []


def test_the_last_day_still_counts() -> None:
    """A piece that expires today may be used today."""
    cache = tidy(items={"strap": [SERIAL | {"expires": "2026-04-01"}]})

    assert found(cache, "INS-1") == []
    assert len(found(cache, "INS-1", on=date(2026, 4, 2))) == 1


def test_a_ready_set_against_mere_advice_is_not_stopped() -> None:
    """The longer extension away from the body is watched, not stopped, unless the rule is raised."""
    cache = tidy(ready_sets=(ready_set("A", "base", "body", "ext-6", "ext-12", "head"),))
    [one] = found(cache, "SET-1", change("EXT-3", severity="stop"))

    assert found(cache, "SET-1") == []
    assert one.what.startswith("ready set A breaks EXT-3, Order of extensions: ext-12 is longer than ext-6")


def test_one_serial_on_two_rigs_is_one_piece() -> None:
    """A piece cannot be on two rigs at once: a pool that would count it twice is refused."""
    one, other = (tidy(items={"body": [SERIAL]}), tidy(items={"strap": [SERIAL | {"serial": "x- 1"}]}))

    with pytest.raises(InputError, match="serial 'x- 1' of 'strap' is in tidy too"):
        pool([one, other.changed(id="other", rigs=("other",))])


def test_an_inspection_near_the_end_of_the_calendar_is_still_judged() -> None:
    """A date in the year 9999, slip of the pen or not, is judged: the calendar's last day stands for later."""
    assert due(date(9999, 12, 1), 366) == date.max
    assert due(date(2026, 2, 28), 366) == date(2027, 3, 1)
