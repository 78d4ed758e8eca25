"""What is free comes before what costs: nobody buys a body that only wants its yearly inspection."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from builders import needs_of, tidy

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.purchase import Price, Prices, Purchase

ON = date(2026, 11, 25)
LONG_AGO = ON - timedelta(days=800)
THREE = needs_of([{"at": 40, "count": 3}])
OVERDUE_REPAIR_AND_A_BAD_EYE: dict[str, Any] = {
    "counts": {"body": 3, "base": 3, "head": 3, "strap": 6, "pin": 12},
    "items": {
        "body": [{"serial": "B1", "inspected": LONG_AGO}, {"serial": "B2", "status": "repair"}],
        "base": [{"serial": "G1", "points_usable": 1}],
    },
}


def bought(spec: dict[str, Any], **terms: Any) -> Purchase:
    """The list for three restrained struts, each part on offer."""
    prices = {"body": 900, "base": 300, "head": 200, "strap": 60, "pin": 5, "ext-6": 100, "ext-12": 150}
    quote = Prices(
        title="quote", currency="USD", prices=tuple(Price(part=f"T/{name}", price=n) for name, n in prices.items())
    )
    suppose = api.WhatIf(on=ON)
    terms_of = api.BuyTerms(**terms)
    return api.buy(tidy(**spec), read_rules(), THREE, [quote], terms=terms_of, suppose=suppose).purchases[-1]


def test_what_is_overdue_at_repair_or_has_a_bad_eye_comes_before_any_purchase() -> None:
    """Three bodies, one overdue and one at repair; three bases, one with a bad eye: three struts want no money."""
    found = bought(OVERDUE_REPAIR_AND_A_BAD_EYE)

    assert [(one.part, one.serial, one.way) for one in found.free] == [
        ("T/body", "B1", "inspect"),
        ("T/body", "B2", "fetch"),
        ("T/base", "G1", "mend"),
    ]
    assert all(one.opens == (("drill 1", 3, 2),) for one in found.free)
    assert (found.lines, found.cost, found.whole) == ((), 0, True)


@pytest.mark.parametrize("verb", [api.audit, api.check])
def test_the_free_list_and_the_findings_tell_a_piece_the_same(verb: Any) -> None:
    """A base with a bad eye is to be mended in each of them, not mended in one and only tagged in another."""
    cache, suppose = tidy(**OVERDUE_REPAIR_AND_A_BAD_EYE), api.WhatIf(on=ON)
    found = [getattr(one, "finding", one) for one in verb(cache, read_rules(), needs=THREE, suppose=suppose).findings]

    for one in bought(OVERDUE_REPAIR_AND_A_BAD_EYE).free:
        assert {each.remedy for each in found if each.serial == one.serial} == {one.remedy}


def test_what_it_would_cost_as_is_stands_beside_it() -> None:
    """Two bodies and a base would be bought: 2,100; and with as-is that is the list."""
    free, as_is = bought(OVERDUE_REPAIR_AND_A_BAD_EYE), bought(OVERDUE_REPAIR_AND_A_BAD_EYE, as_is=True)

    assert free.cost_as_is == as_is.cost == 2 * 90_000 + 30_000
    assert as_is.free == ()
    assert {(line.part, line.pieces) for line in as_is.lines} == {("T/body", 2), ("T/base", 1)}


def test_no_more_is_brought_back_than_helps() -> None:
    """Of three bodies overdue where one is wanted, one is inspected; heads there are enough of stay where they are."""
    late = [{"serial": f"B{n}", "inspected": LONG_AGO} for n in range(3)]
    spec = {
        "counts": {"body": 5, "base": 3, "head": 4, "strap": 6, "pin": 12},
        "items": {"body": late, "head": [{"serial": "H1", "status": "loaned"}]},
    }

    found = bought(spec)

    assert [(one.part, one.pieces) for one in found.free] == [("T/body", 1)]
    assert found.cost == 0


def test_what_only_money_mends_is_bought() -> None:
    """A body that is retired is not brought back: one is bought, though another comes back from repair."""
    spec = OVERDUE_REPAIR_AND_A_BAD_EYE | {
        "items": {"body": [{"serial": "B1", "status": "retired"}, {"serial": "B2", "status": "repair"}]}
    }

    found = bought(spec)

    assert [one.serial for one in found.free] == ["B2"]
    assert [(line.part, line.pieces) for line in found.lines] == [("T/body", 1)]


@pytest.mark.parametrize("there", [0, 1])
def test_a_spare_is_held_of_a_part_that_no_strut_needs(there: int) -> None:
    """Two 12 in extensions are to be left; no strut at 40 in takes one; what is not there is bought."""
    spec = {"counts": {"body": 3, "base": 3, "head": 3, "strap": 6, "pin": 12, "ext-12": there}}

    found = bought(spec, spare=(("ext-12", 2),))

    assert [(line.part, line.pieces) for line in found.lines] == [("T/ext-12", 2 - there)]


def test_one_part_under_two_names_of_a_quote_is_refused() -> None:
    """By its id and by its short name: the cheaper of the two prices was taken."""
    prices = tuple(Price(part=name, price=price) for name, price in (("T/body", 900), ("body", 400), ("T/base", 1)))
    quote = Prices(title="quote", currency="USD", prices=prices)

    with pytest.raises(api.AskError, match="quote prices T/body as T/body and as body; keep one of them"):
        api.buy(tidy(), read_rules(), THREE, [quote], suppose=api.WhatIf(on=ON))
