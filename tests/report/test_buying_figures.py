"""What the drawings of buying put where, against the figures they are made from."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from builders import moved, needs_of, tidy

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.purchase import BuyResult, Price, Prices
from cache_check.report.figures import buying, canvas

PRICES = Prices(
    title="quote $x$", currency="USD",
    prices=tuple(Price(part=f"T/{name}", price=n) for name, n in
                 {"body": 900, "base": 300, "head": 200, "pin": 5, "strap": 60}.items()),
)  # fmt: skip
NEEDS = needs_of([{"at": 40, "count": 4}], [{"at": 40, "count": 3}], [{"at": 36, "count": 1}])


def bought(*quotes: Prices) -> BuyResult:
    """Struts three and four for two bodies' worth of parts."""
    terms = api.BuyTerms(frontier=True)
    return api.buy(tidy(), read_rules(), NEEDS, quotes, terms=terms, suppose=api.WhatIf(on=date(2026, 11, 25)))


def steps(result: BuyResult, name: str) -> Any:
    """The drawing of the steps of one list."""
    return canvas.alone(5, 5, buying.steps_on, result, [name])


def test_steps_are_drawn_where_they_are() -> None:
    """The line of struts has a corner at each step's cost and count, and the last holds to the edge."""
    result = bought(PRICES)
    points = result.purchases[0].frontier
    figure = steps(result, "quote $x$")
    lines: list[Any] = list(figure.axes[1].lines)
    line = next(one for one in lines if len(one.get_xdata()) > 2)

    assert list(line.get_xdata())[:-1] == [point.cost / 100 for point in points]
    assert list(line.get_ydata())[:-1] == [point.struts for point in points]
    assert figure.axes[1].get_xlabel() == "cost, USD"
    assert len(points) == 3


def test_lane_runs_where_its_scene_is_met() -> None:
    """A third strut costs 900 + 300 + 200 + 2 x 60 = 1,520.00: from there on three are met; one is met from 0 on."""
    result = bought(PRICES)
    found = buying.steps_of(result, result.purchases[0], "quote")

    assert buying.met(found, "drill 2", 9_999) == [(1520, 9_999)]
    assert buying.met(found, "drill 3", 9_999) == [(0, 9_999)]


def test_steps_not_shown_are_not_drawn_as_met() -> None:
    """Where the steps just above today are left out, nothing is drawn before the first that is known."""
    result = bought(PRICES)
    cut = replace(result.purchases[0], frontier_whole=False)
    found = buying.steps_of(result, cut, "quote")

    assert buying.met(found, "drill 3", 9_999) == [(1520, 9_999)]


def test_without_prices_the_axis_counts_pieces() -> None:
    """Without a quote a step is so many pieces."""
    result = bought()

    assert buying.unit(result) == "pieces"
    assert steps(result, "none").axes[1].get_xlabel() == "pieces"


def test_moves_that_cost_nothing_have_no_steps() -> None:
    """Moved for nothing, everything comes at once: no line is drawn as if fewer pieces did nothing."""
    terms = api.BuyTerms(givers=(moved(tidy(), "giver"),), frontier=True)
    result = api.buy(tidy(), read_rules(), NEEDS, terms=terms, suppose=api.WhatIf(on=date(2026, 11, 25)))

    assert result.purchases[0].lines
    assert not buying.worth(result)
    assert buying.worth(bought(PRICES))


def test_bars_are_as_long_as_their_struts() -> None:
    """Wanted, today and with the list of each scene, in that order; what is short says so."""
    purchase = bought(PRICES).purchases[0]
    axes: Any = canvas.alone(5, 5, buying.bars_on, (purchase,), ["with the list"]).axes[0]
    long = [patch.get_width() for patch in axes.patches]

    assert long == [4, 2, 4, 3, 2, 3, 1, 1, 1]
    assert [text.get_text() for text in axes.texts if "SHORT" in text.get_text()] == ["2, 2 SHORT", "2, 1 SHORT"]
