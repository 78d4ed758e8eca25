"""Lists by hand: what is left over, moves, quotes compared, what no money buys, dead stock, and the county."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from benchmarks.ordinary import ordinary
from builders import change, moved, needs_of, tidy
from laws import books

import cache_check as api
from cache_check.errors import AskError, InputError, NoPlanError
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.need import Needs
from cache_check.model.purchase import Move, Price, Prices, Purchase
from cache_check.model.rule import Setting
from cache_check.planning.buying.buy import Bought, Buyer
from cache_check.planning.buying.offers import Terms, quoted
from cache_check.planning.buying.out_of_reach import forbidding_kinds
from cache_check.planning.buying.shop import Policy, Shop
from cache_check.planning.buying.verify_buy import verify
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.verify import FalsePlanError
from cache_check.planning.solving.programme import Answer
from cache_check.planning.solving.solver import Ending
from cache_check.planning.solving.whole_numbers import Opened
from cache_check.report.bought import dead
from cache_check.report.of_county import moves
from cache_check.report.say import Say

ON = date(2026, 11, 25)
THREE = needs_of([{"at": 40, "count": 3}])


def quote(title: str = "quote", currency: str = "USD", **amounts: float) -> Prices:
    """Prices of ``tidy``'s parts, dashes as underscores."""
    named = {f"T/{name.replace('_', '-')}": amount for name, amount in amounts.items()}
    return Prices(
        title=title, currency=currency, prices=tuple(Price(part=part, price=amount) for part, amount in named.items())
    )


FULL = quote(body=900, ext_6=100, ext_12=150, base=300, head=200, pin=5, strap=60)


def bought(cache: Cache, needs: Needs, *quotes: Prices, settings: tuple[Setting, ...] = (), **terms: Any) -> Purchase:
    """The list from all quotes together."""
    suppose = api.WhatIf(on=ON, settings=settings)
    return api.buy(cache, read_rules(), needs, quotes, terms=api.BuyTerms(**terms), suppose=suppose).purchases[-1]


def lines(found: Purchase) -> dict[str, int]:
    """Pieces by name."""
    return {line.part.rpartition("/")[2]: line.pieces for line in found.lines}


def test_a_third_strut_takes_one_of_everything_that_two_use_up() -> None:
    """Two bodies, bases and heads, four straps and eight pins: the third strut wants all but pins."""
    found = bought(tidy(), THREE, FULL)

    assert lines(found) == {"body": 1, "base": 1, "head": 1, "strap": 2}
    assert found.cost == 90_000 + 30_000 + 20_000 + 12_000
    assert found.whole
    assert [(scene.served, scene.met) for scene in found.before] == [(2, False)]
    assert [(scene.served, scene.met) for scene in found.after] == [(3, True)]


@pytest.mark.parametrize("left", [0, 2])
def test_a_base_that_is_overdue_and_has_lost_a_point_is_told_to_be_mended_too(left: int) -> None:
    """To inspect it is not enough: it then counts, and no strap holds it; or not in a strut that asks three points."""
    lost = {"serial": "B1", "points_usable": left, "inspected": date(2020, 1, 1)}
    parts: dict[str, dict[str, Any]] = {
        "base": {"points": [{"wll": 6000}] * 3},
        "head": {"family": "U", "end": {"connector": "T"}},
    }
    rig = tidy(parts=parts, counts={"base": 1}, items={"base": [lost]})
    ruled = books.setting("PTS-1", family="U", min=3), books.setting("FAM-1", on=False)

    found = bought(rig, needs_of([{"at": 40, "count": 1}]), settings=ruled)

    assert [("due" in one.why, "points usable" in one.why, "; " in one.remedy) for one in found.free] == [(True,) * 3]
    assert [(scene.served, scene.met) for scene in found.after] == [(1, True)]


@pytest.mark.parametrize("ruled", [{"max": 8}, {"on": False}])
def test_as_many_of_one_extension_are_bought_as_the_rules_let_into_a_strut(ruled: dict[str, Any]) -> None:
    """Of 6 in five reach from 55 to 85 in, where the rules allow so many; as delivered they do not."""
    cache, needs = tidy(counts={"ext-6": 0, "ext-12": 0}), needs_of([{"at": 85, "count": 1, "restrained": False}])
    long = change("EXT-2", max=100 * 25_400_000)

    found = bought(cache, needs, quote(ext_6=100), settings=(change("EXT-1", **ruled), long))

    assert lines(found) == {"ext-6": 5}
    assert found.whole
    assert not bought(cache, needs, quote(ext_6=100)).whole


def test_of_equal_offers_the_first_is_taken() -> None:
    """Two quotes alike in all but their title: every piece comes from the one that was named first."""
    one, other = (
        quote("one", body=900, base=300, head=200, strap=60),
        quote("other", body=900, base=300, head=200, strap=60),
    )

    assert {line.source for line in bought(tidy(), THREE, one, other).lines} == {"one"}
    assert {line.source for line in bought(tidy(), THREE, other, one).lines} == {"other"}


def test_a_line_opens_only_the_scenes_that_it_opens() -> None:
    """A scene of one strut is met with any of the lines or without."""
    found = bought(tidy(), needs_of([{"at": 40, "count": 3}], [{"at": 40, "count": 1}]), FULL)

    assert {line.opens for line in found.lines} == {(("drill 1", 3, 2),)}


def test_of_equal_needs_the_first_is_served() -> None:
    """Two struts stand; any two of the needs' five would count as much, so the first need has both of its own."""
    needs = needs_of([{"at": 40, "count": 2}, {"at": 40, "count": 3}], [{"at": 42, "count": 1}, {"at": 40, "count": 2}])
    found = bought(tidy(), needs)

    assert [[served for _, _, served in scene.needs] for scene in found.before] == [[2, 0], [1, 1]]


def test_spares_are_bought_on_top() -> None:
    """One strap and one head are to stay unused: one more of each is bought."""
    found = bought(tidy(), THREE, FULL, spare=(("strap", 1), ("head", 1)))

    assert lines(found) == {"body": 1, "base": 1, "head": 2, "strap": 3}


def test_spare_pins_are_those_that_the_rules_ask_for() -> None:
    """Three struts take six pins; two spare make eight, three spare (half of six) make nine: one is bought."""
    few, half = bought(tidy(), THREE, FULL, spare_pins=True), change("PIN-2", share=1)

    assert "pin" not in lines(few)
    assert lines(bought(tidy(), THREE, FULL, spare_pins=True, settings=(half,)))["pin"] == 12 - 8
    none = bought(tidy(counts={"pin": 6}), THREE, FULL, spare_pins=True, settings=(change("PIN-2", on=False),))
    assert "pin" not in lines(none)


def test_a_met_scene_stands_any_one_loss() -> None:
    """Two struts on two of everything: one missing one more of each is bought, but of straps one only."""
    needs = needs_of([{"at": 40, "count": 2}])

    found = bought(tidy(), needs, FULL, one_lost=True)

    assert lines(found) == {"body": 1, "base": 1, "head": 1, "strap": 1}
    assert bought(tidy(), needs, FULL).lines == ()


def test_of_what_there_is_none_as_many_are_bought_as_stand_the_loss_of_one() -> None:
    """No strap today, two wanted on a strut: three are bought, so that one of them may go."""
    found = bought(tidy(counts={"strap": 0}), needs_of([{"at": 40, "count": 1}]), FULL, one_lost=True)

    assert lines(found) == {"strap": 3}


def test_pieces_move_from_another_rig_and_the_giver_is_told() -> None:
    """With everything on offer from a like rig the list moves what is wanted, and says what the giver loses."""
    giver = moved(tidy(), "giver")

    found = bought(tidy(), THREE, givers=(giver,))

    assert lines(found) == {"body": 1, "base": 1, "head": 1, "strap": 2}
    assert found.cost == 0
    assert all(line.moved for line in found.lines)
    assert found.giving[0].scenes == (("drill 1", 2, 1),)


def test_what_a_list_costs_as_it_is_buys_what_would_be_brought_back() -> None:
    """A third strut takes a base that is due, which is free once it is looked at; else one is bought for 300."""
    due = {"serial": "B1", "inspected": date(2020, 1, 1)}

    found = bought(tidy(counts={"base": 3}, items={"base": [due]}), THREE, FULL)

    assert lines(found) == {"body": 1, "head": 1, "strap": 2}
    assert found.cost_as_is == found.cost + 30_000


def test_as_many_pins_are_bought_as_one_strut_takes() -> None:
    """Three in each of two joints are six, of which there is none; of bodies no more than a few serve one strut."""
    needs = needs_of([{"at": 40, "count": 1, "restrained": False}])

    found = bought(tidy(counts={"pin": 0}), needs, FULL, settings=(change("PIN-1", per_joint=3),))

    assert lines(found) == {"pin": 6}


def test_the_fewest_pieces_are_brought_back() -> None:
    """At 65 in two extensions of 6 in serve as well as one of 12; all are due, and only the one is looked at."""
    due = [{"serial": f"E{n}", "inspected": date(2020, 1, 1)} for n in range(3)]
    rig = tidy(counts={"ext-6": 2, "ext-12": 1}, items={"ext-6": due[:2], "ext-12": due[2:]})

    found = bought(rig, needs_of([{"at": 65, "count": 1, "restrained": False}]))

    assert [one.part for one in found.free] == ["T/ext-12"]


def test_a_base_that_is_mended_is_no_more_than_it_was() -> None:
    """It counts already, so with the point that it lacks there is one base still; a second strut takes another."""
    rig = tidy(counts={"base": 1}, items={"base": [{"serial": "B1", "points_usable": 0}]})

    found = bought(rig, needs_of([{"at": 40, "count": 1}]))

    assert found.whole
    assert lines(bought(rig, needs_of([{"at": 40, "count": 2}]), FULL)) == {"base": 1}
    (base,) = (one for one in found.dead if one.part == "T/base")
    assert (base.usable_today, base.idle_today, base.usable_after, base.idle_after) == (1, 1, 1, 0)


def test_what_one_rig_gives_is_not_gone_from_another() -> None:
    """Of two rigs alike one gives what a third strut takes, and has one strut left; the other has two as before."""
    givers = moved(tidy(), "one"), moved(tidy(), "other")

    found = bought(tidy(), THREE, givers=givers)

    assert sorted(one.scenes[0][1:] for one in found.giving) == [(2, 1), (2, 2)]


@pytest.mark.parametrize(("inspected", "given"), [(date(2026, 1, 10), 0), (date(2027, 5, 1), 1)])
def test_what_a_rig_may_give_is_judged_on_the_day_asked(inspected: date, given: int) -> None:
    """In June 2027 what was inspected in January 2026 is due, on the rig that gives too."""

    def looked_at(cache: Cache, day: date) -> Cache:
        """The cache with all of it inspected on a day."""
        return cache.changed(stock=tuple(line.changed(inspected=day) for line in cache.stock))

    rig, other = looked_at(tidy(counts={"body": 0}), date(2027, 5, 1)), looked_at(moved(tidy(), "other"), inspected)
    needs, suppose = needs_of([{"at": 40, "count": 1, "restrained": False}]), api.WhatIf(on=date(2027, 6, 1))

    found = api.buy(rig, read_rules(), needs, terms=api.BuyTerms(givers=(other,)), suppose=suppose).purchases[-1]

    assert sum(line.pieces for line in found.lines if line.moved) == given


def test_a_move_at_a_price_loses_against_a_cheaper_quote() -> None:
    """A strap at 60.00 is bought, not moved at 61.00; at 59.00 it is moved."""
    giver = moved(tidy(), "giver")
    short = tidy(counts={"strap": 2})
    needs = needs_of([{"at": 40, "count": 2}])

    dear = bought(short, needs, FULL, givers=(giver,), move_price=6_100)
    cheap = bought(short, needs, FULL, givers=(giver,), move_price=5_900)

    assert [(line.moved, line.pieces) for line in dear.lines] == [(False, 2)]
    assert [(line.moved, line.pieces) for line in cheap.lines] == [(True, 2)]


def test_a_base_with_damaged_points_is_moved_as_such() -> None:
    """Of the giver's two bases one has one usable point: only the other helps where a base is to be held."""
    damaged = [{"serial": "B-1", "points_usable": 1}, {"serial": "B-2", "points_usable": 2}]
    giver = moved(tidy(items={"base": damaged}), "giver")
    needs = needs_of([{"at": 40, "count": 3}])
    cache = tidy(counts={"base": 1, "body": 3, "head": 3, "strap": 6})

    assert not bought(cache, needs, givers=(giver,)).whole
    assert bought(cache, needs_of([{"at": 40, "count": 2}]), givers=(giver,)).whole
    assert bought(cache, needs_of([{"at": 40, "count": 3, "restrained": False}]), givers=(giver,)).whole


@pytest.mark.parametrize(
    ("rule", "values", "pieces"),
    [
        ("INS-1", {"every": 3650}, {"inspected": "2025-01-10"}),
        ("PTS-1", {"min": 1}, {"points_usable": 1}),
        ("OOS-1", {"counts": ("in service", "training")}, {"status": "training"}),
    ],
)
def test_what_counts_on_the_giver_alone_is_not_moved(rule: str, values: dict[str, Any], pieces: dict[str, Any]) -> None:
    """The giver's own rule takes bases that the taker's does not: moved there, they would not hold its scene."""
    bases = [{"serial": f"B-{n}"} | pieces for n in range(2)]
    lax = moved(tidy(items={"base": bases}), "giver").changed(
        settings=(Setting(rule=rule, values=values, by="its book", rig="giver"),)
    )
    short, needs = tidy(counts={"base": 1}), needs_of([{"at": 40, "count": 2}])

    assert not bought(short, needs, givers=(lax,)).whole
    assert not [move for move in county_of(short, lax, needs) if move.taker == "Tidy"]
    assert bought(short, needs, givers=(moved(tidy(), "giver"),)).whole


def test_what_the_giver_alone_does_not_count_is_not_moved() -> None:
    """Nor are bases that are out by the giver's own rule, though the taker's would have them."""
    strict = moved(tidy(), "giver").changed(
        settings=(Setting(rule="INS-1", values={"every": 1}, by="its book", rig="giver"),)
    )
    short, needs = tidy(counts={"base": 1}), needs_of([{"at": 40, "count": 2}])

    assert not any(line.moved for line in bought(short, needs, givers=(strict,)).lines)


def test_a_part_that_the_giver_has_otherwise_is_not_moved() -> None:
    """A strap of 500 lbf on one book is no strap of 3,333 lbf on another, whatever its name."""
    plenty = {"strap": 40}  # enough that the giver could spare them
    weak = moved(tidy(parts={"strap": {"wll": 500}}, counts=plenty), "giver")
    short, needs = tidy(counts={"strap": 2}), needs_of([{"at": 40, "count": 2, "load": 2000, "angle": 60}])

    with pytest.raises(InputError, match="'T/strap' differs from the one in tidy in wll"):
        bought(short, needs, givers=(weak,))
    assert county_of(short, weak, needs) == ()
    assert county_of(short, moved(tidy(chart={"factor": 4}, counts=plenty), "giver"), needs) == ()
    assert county_of(short, moved(tidy(counts=plenty), "giver"), needs)


def county_of(one: Cache, other: Cache, needs: Needs) -> tuple[Move, ...]:
    """The moves between two rigs that help."""
    return api.county([one, other], read_rules(), needs, suppose=api.WhatIf(on=ON)).moves


def test_two_quotes_are_compared_and_bought_from_together() -> None:
    """One is cheap in bodies, the other in straps; from both together it is cheaper than from either."""
    one = quote("one", body=800, base=300, head=200, strap=90)
    two = quote("two", body=900, base=300, head=200, strap=50)

    result = api.buy(tidy(), read_rules(), THREE, [one, two], suppose=api.WhatIf(on=ON))

    assert [purchase.cost for purchase in result.purchases] == [148_000, 150_000, 140_000]
    assert [tuple(q.title for q in purchase.quotes) for purchase in result.purchases] == [
        ("one",), ("two",), ("one", "two"),
    ]  # fmt: skip


def test_freight_and_a_least_order_move_the_split_and_add_up_vendor_by_vendor() -> None:
    """Straps at 100 less from another vendor are worth an order there until its freight or least order eats that."""
    one = quote("one", body=800, base=300, head=200, strap=90)
    two = quote("two", strap=50)

    def split(**terms: int) -> list[tuple[str, int, int, int, int]]:
        told = api.buy(tidy(), read_rules(), THREE, [one, two.changed(**terms)], suppose=api.WhatIf(on=ON))
        orders = told.purchases[-1].orders
        assert sum(order.cost for order in orders) == told.purchases[-1].cost
        return [(o.source, o.goods, o.once, o.small, o.cost) for o in orders]

    goods = ("one", 130_000, 0, 0, 130_000)
    assert split(freight=7_999) == [goods, ("two", 10_000, 7_999, 0, 17_999)]
    assert split(freight=8_001) == [("one", 148_000, 0, 0, 148_000)]
    assert split(freight=100, least_order=17_000) == [goods, ("two", 10_000, 100, 7_000, 17_100)]
    assert split(freight=1_001, least_order=17_000) == [("one", 148_000, 0, 0, 148_000)]


def test_two_quotes_of_one_name_are_refused() -> None:
    """Their orders could not be told apart."""
    with pytest.raises(AskError, match="both called 'q'"):
        api.buy(tidy(), read_rules(), THREE, [quote("q", body=1), quote("q", body=2)], suppose=api.WhatIf(on=ON))


def test_quotes_of_two_currencies_are_not_added_up() -> None:
    """The sentence names both."""
    with pytest.raises(AskError, match="EUR and USD"):
        api.buy(tidy(), read_rules(), THREE, [FULL, quote("other", currency="EUR", body=1)], suppose=api.WhatIf(on=ON))


def test_a_quote_of_a_day_to_come_is_refused_as_such_a_book_is() -> None:
    """A quote of tomorrow is not one, unless the rule on days to come is off; one of today is."""

    def asked(day: date, *, on: bool) -> None:
        suppose = api.WhatIf(on=ON, settings=(change("DAT-1", on=on),))
        api.buy(tidy(), read_rules(), THREE, [FULL, quote("later", body=1).changed(dated=day)], suppose=suppose)

    asked(ON, on=True)
    asked(date(2026, 11, 26), on=False)
    says = "the quote later is dated 2026-11-26, after the day asked about, 2026-11-25: put dated right, or ask about"
    with pytest.raises(AskError, match=says):
        asked(date(2026, 11, 26), on=True)


def test_a_name_that_is_no_part_here_is_told() -> None:
    """A quote may price parts of other families; they are listed, and nothing else is made of them."""
    strange = Prices(title="q", currency="USD", prices=(*FULL.prices, Price(part="Z/wing", price=1)))

    assert bought(tidy(), THREE, strange).quotes[0].strange == ("Z/wing",)


def test_a_quote_may_use_short_names() -> None:
    """A part is found by its short name where that is enough."""
    short = Prices(title="q", currency="USD", prices=tuple(p.changed(part=p.part[2:]) for p in FULL.prices))

    assert lines(bought(tidy(), THREE, short)) == lines(bought(tidy(), THREE, FULL))


@pytest.mark.parametrize(
    ("need", "rules", "says"),
    [
        ({"at": 75}, ("EXT-2",), "longest"),
        ({"at": 34.999}, (), "shortest assembly that can be made is longer"),
        ({"shortest": 40, "longest": 61}, (), "whole range"),
        ({"at": 60, "load": 8000}, (), "no chart row rates a build for this load"),
    ],
)
def test_what_no_money_buys_is_said_with_what_forbids_it(
    need: dict[str, Any], rules: tuple[str, ...], says: str
) -> None:
    """Under 18 in of extension at most: a rule, a length, a range, a rating."""
    limit = change("EXT-2", max=18 * 25_400_000)

    (found,) = bought(tidy(), needs_of([need]), FULL, settings=(limit,)).out_of_reach

    assert found.rules == rules
    assert says in found.says
    assert found.attainable == 0


def test_what_is_not_on_offer_is_named() -> None:
    """Three struts want straps that no quote offers: two more would help."""
    (found,) = bought(tidy(), THREE, quote(body=900, base=300, head=200)).out_of_reach

    assert (found.attainable, found.wanted) == (2, 3)
    assert "2 more straps would help" in found.says


def test_a_base_without_points_is_forbidden_by_the_rule_on_points() -> None:
    """A base of one point, two asked: PTS-1 alone stands in the way."""
    (found,) = bought(tidy(parts={"base": {"points": 1}}), needs_of([{"at": 40, "count": 1}]), FULL).out_of_reach

    assert found.rules == ("PTS-1",)
    assert "cannot be restrained" in found.says


def test_dead_stock_is_what_no_best_plan_takes() -> None:
    """Two struts at 40 in: extensions and four of the pins lie idle; with needs for them they do not."""
    short = bought(tidy(), needs_of([{"at": 40, "count": 2}]), FULL)
    long = bought(tidy(), needs_of([{"at": 40, "count": 2}], [{"at": 73, "count": 1}]), FULL)

    assert {d.part: d.idle_today for d in short.dead} == {"T/ext-6": 1, "T/ext-12": 1, "T/pin": 4}
    assert {d.part: d.idle_today for d in long.dead} == {"T/pin": 4}


def test_straps_beyond_what_a_base_needs_lie_idle() -> None:
    """Eight straps of one family and seven of the other hold alike: six are taken at most, and of those of the first.

    Loaded needs list ways with more straps; without those that lie idle no scene is served less.
    """
    one, on = ordinary(62), api.WhatIf(on=ON)
    found = api.buy(one.cache, one.book, one.needs, [one.prices], suppose=on).purchases[0]
    straps = tuple((d.part, d.idle_today) for d in found.dead if d.part.endswith("strap"))
    left = api.check(one.cache, one.book, needs=one.needs, suppose=replace(on, without=straps), whole=False)

    assert straps == (("K/strap", 2), ("L/strap", 7))
    assert [one.served for one in left.scenes] == [sum(own for _, _, own in one.needs) for one in found.before]


def test_a_list_stands_though_its_dead_stock_is_not_proven_in_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """The list and what it meets are told; the dead stock is not, with the reason, and not called none."""

    def stopped(*_: object) -> dict[str, int]:
        raise NoPlanError("the search for idle pins reached its limit of time")

    monkeypatch.setattr("cache_check.api.buy.idle", stopped)

    found = bought(tidy(), THREE, FULL)

    assert (found.whole, found.dead) == (True, ())
    assert "limit of time" in found.dead_untold
    assert list(dead(None, found, Say("us", ()))) == ["Not told: the search for idle pins reached its limit of time."]


def test_what_lies_idle_because_something_is_not_known_is_no_dead_stock() -> None:
    """With a blank row in the chart nothing is rated, so nothing is taken: no piece is said to be of no use."""
    blank = {"rows": [{"length": 55, "loads": [None, None, None]}, {"length": 75, "loads": [5000, 4700, 4400]}]}
    needs = needs_of([{"at": 40, "count": 2, "load": 1000, "angle": 60}])

    known, found = bought(tidy(), needs, FULL), bought(tidy(chart=blank), needs, FULL)

    assert {d.part for d in known.dead} == {"T/ext-6", "T/ext-12", "T/pin"}
    assert (found.dead, found.dead_untold) == (
        (), "what these take is not known, nor whether they are met: drill 1",
    )  # fmt: skip
    assert list(dead(None, found, Say("us", ()))) == [f"Not told: {found.dead_untold}."]


def test_a_piece_that_only_worse_plans_take_is_dead_stock() -> None:
    """67 in by twice 6 in leaves none for 45 to 60 in: the best plan takes the 12 in, and one 6 in lies idle."""
    needs = needs_of([{"shortest": 45, "longest": 60, "count": 1}, {"at": 67, "count": 1}])

    found = bought(tidy(counts={"ext-6": 2}), needs, FULL)

    assert {d.part: d.idle_today for d in found.dead} == {"T/ext-6": 1, "T/pin": 2}


def test_the_budget_is_kept_to_the_cent() -> None:
    """1,520.00 buys the third strut and 1,519.99 does not."""
    assert bought(tidy(), THREE, FULL, budget=152_000).whole
    less = bought(tidy(), THREE, FULL, budget=151_999)
    assert not less.whole
    assert less.lines == ()


def test_what_is_not_known_of_a_rig_that_gives_is_told() -> None:
    """Its bodies have no day of inspection, so none is moved; that they are there, and what they want, is said."""
    rich = moved(tidy(counts={"body": 5}), "rich")
    stock = tuple(line.changed(inspected=None) if line.part == "T/body" else line for line in rich.stock)
    terms = api.BuyTerms(givers=(rich.changed(stock=stock),))
    found = api.buy(tidy(counts={"body": 1}), read_rules(), THREE, [FULL], terms=terms, suppose=api.WhatIf(on=ON))

    assert [one for one in found.purchases[-1].lines if one.part == "T/body" and one.moved] == []
    assert "Rich: 5 body: inspection date unknown, not counted" in found.basis.unknown


def test_the_county_moves_only_what_the_giver_can_spare() -> None:
    """A rig of three bodies that needs two gives its third; its bases it needs itself."""
    rich = moved(tidy(counts={"body": 3, "base": 2}), "rich")
    no_body = moved(tidy(counts={"body": 1}), "no-body")
    no_base = moved(tidy(counts={"base": 1}), "no-base")

    found = api.county(
        [rich, no_body, no_base], read_rules(), needs_of([{"at": 40, "count": 2}]), suppose=api.WhatIf(on=ON)
    )

    assert [scenes[0].served for scenes in found.served] == [2, 1, 1]
    moves = {(move.taker, move.pieces) for move in found.moves}
    assert ("No-Body", (("T/body", "Rich"),)) in moves
    assert all(taker != "No-Base" or giver != "Rich" for taker, pieces in moves for _, giver in pieces)


@pytest.mark.parametrize(("contact", "verdict"), [("edge", "met"), ("flat", "not known")])
def test_a_move_says_where_its_scene_is_not_known_even_so(contact: str, verdict: str) -> None:
    """A flat face holds a head by friction alone: with the body moved all struts stand, and nobody can call it met."""
    rigs = [moved(tidy(counts={"body": 3, "base": 3, "head": 3}), "rich"), moved(tidy(counts={"body": 1}), "poor")]
    needs = needs_of([{"at": 40, "count": 2, "contact": contact}])
    found = api.county(rigs, read_rules(), needs, suppose=api.WhatIf(on=ON))
    (move,) = (move for move in found.moves if move.pieces == (("T/body", "Rich"),))

    assert (move.served_after, move.verdict) == (2, verdict)
    (text,) = (text for text in moves(found).items if text.startswith("1 body from Rich to Poor"))
    assert text.endswith(", NOT KNOWN even so") == (verdict == "not known")


def test_the_county_moves_the_last_piece_that_its_giver_does_without() -> None:
    """60 in wants an extension of either length: the rig with one of each gives its last one of a length."""
    rich, poor = moved(tidy(), "rich"), moved(tidy(counts={"ext-6": 0, "ext-12": 0}), "poor")

    found = api.county([rich, poor], read_rules(), needs_of([{"at": 60}]), suppose=api.WhatIf(on=ON))

    assert {(move.taker, move.pieces) for move in found.moves} == {
        ("Poor", (("T/ext-6", "Rich"),)), ("Poor", (("T/ext-12", "Rich"),)),
    }  # fmt: skip


@pytest.mark.parametrize(("on", "step"), [(True, "restrained"), (False, "assembled at once")])
def test_nothing_of_the_county_is_called_restrained_without_a_rule(on: bool, step: str) -> None:
    """Where no rule says what restrained is, each rig is named with the step that it counts on instead."""
    suppose = api.WhatIf(on=ON, settings=(change("STR-1", on=on), change("PTS-1", on=on)))

    found = api.county([moved(tidy(), "one"), moved(tidy(), "two")], read_rules(), THREE, suppose=suppose)

    assert [said for _, _, said in found.steps] == ["restrained"]
    assert [rig_step for *_, rig_step in found.otherwise] == ([] if on else [step, step])


def test_a_tampered_list_is_refused() -> None:
    """The verifier refuses another cost, a piece too few, and a scene that is not met."""
    muster = Muster(tidy(), read_rules(), ON)
    offers, _ = quoted(muster, FULL)
    shop = Shop(muster, THREE.scenes, offers)
    good = Buyer(shop).best()
    verify(shop, good)

    billed = Shop(muster, THREE.scenes, tuple(replace(o, terms=Terms("quote", 5_000, 0)) for o in offers))
    with pytest.raises(FalsePlanError, match="costs"):
        verify(billed, good)
    for wrong in (
        replace(good, cost=good.cost - 1),
        replace(good, packs=good.packs[1:], cost=sum(offers[o].cost(n) for o, n in good.packs[1:])),
        replace(good, served=((2,),)),
        replace(good, packs=((*good.packs[0][:1], 0), *good.packs[1:])),
    ):
        with pytest.raises(FalsePlanError):
            verify(shop, wrong)
    with pytest.raises(FalsePlanError):
        verify(shop, good, budget=good.cost - 1)
    with pytest.raises(FalsePlanError, match="serves fewer than 3 struts with one T/body lost"):
        verify(Shop(muster, THREE.scenes, offers, Policy(one_lost=True)), good)


def test_no_time_is_no_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    """A search that was stopped says so, with what is proven, and calls no list the cheapest."""

    class Stopped(Opened):
        def least(self, *asked: Any, **more: Any) -> Answer:
            return Answer(Ending.LIMIT, None, None, 40_000)

    monkeypatch.setattr("cache_check.planning.buying.buy.solver", lambda: Stopped)

    with pytest.raises(
        NoPlanError, match=r"the cheapest list ended without proof.* after 0 s: nothing found yet, at least 40000"
    ):
        bought(tidy(), THREE, FULL)


def test_steps_that_time_did_not_prove_are_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """The proven list and the steps next below it are shown, and that some are missing is said."""
    needs = needs_of([{"at": 40, "count": 6}])
    every = bought(tidy(), needs, FULL, frontier=True)
    budgets: list[int | None] = []
    best = Buyer.best

    def stopped(self: Buyer, budget: int | None = None) -> Bought:
        budgets.append(budget)
        if len(budgets) > 2:
            raise NoPlanError("stopped")
        return best(self, budget)

    monkeypatch.setattr(Buyer, "best", stopped)
    found = bought(tidy(), needs, FULL, frontier=True)

    assert every.frontier_whole
    assert len(every.frontier) == 5
    assert not found.frontier_whole
    assert found.frontier == (every.frontier[0], *every.frontier[2:])
    assert found.lines == every.lines


def test_without_any_scene_there_is_nothing_to_buy_for() -> None:
    """The sentence says what is wanted."""
    with pytest.raises(AskError, match="no scene"):
        bought(tidy(), Needs())


def test_a_kind_of_rule_that_forbids_stacks_is_heard_without_being_listed(monkeypatch: pytest.MonkeyPatch) -> None:
    """A kind that starts to say something of joints may forbid a need from then on; one that only judges items not."""
    muster = Muster(tidy(), read_rules(), ON)
    kinds = {kind.rule.kind: kind for kind in muster.joined.joints.kinds}
    assert {"extension_count", "ends_mate", "straps_per_base", "mixed_rating"} <= forbidding_kinds(muster)
    assert "inspection_due" in kinds
    assert "inspection_due" not in forbidding_kinds(muster)

    monkeypatch.setattr(type(kinds["inspection_due"]), "joint", lambda *_: None, raising=False)

    assert "inspection_due" in forbidding_kinds(muster)


def test_a_list_is_split_between_vendors_by_their_freight_and_least_orders() -> None:
    """A third strut: the body and base of one vendor, the head and a box of straps of another, nothing of the third.

    All of the first come to 1,570; the body alone of the second is charged 800 and 150 of freight.
    """
    first = FULL.model_copy(update={"title": "first", "freight": 5_000})
    second = quote("second", body=700, base=280, head=190).model_copy(update={"freight": 15_000, "least_order": 80_000})
    straps = Price(part="T/strap", price=100, pack=4)
    third = quote("third", base=250, head=150)
    third = third.model_copy(update={"freight": 6_000, "prices": (*third.prices, straps)})
    found = bought(tidy(), THREE, first, second, third)

    assert (found.whole, found.cost) == (True, 144_000)
    assert {(order.source, order.cost, order.small) for order in found.orders} == {
        ("second", 113_000, 0), ("third", 31_000, 0)
    }  # fmt: skip
    assert bought(tidy(), THREE, first).cost == 157_000
    assert bought(tidy(), THREE, first, second, third, budget=143_999).lines == ()
