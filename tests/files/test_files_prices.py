"""Prices files: what each part costs, in which packs."""

from __future__ import annotations

from pathlib import Path

from cli.running import cache_check
from desk import SAMPLES, Desk, read_cache, read_prices

from cache_check.files.rules import starter_text


def test_a_price_is_whole_cents(desk: Desk) -> None:
    """A bare amount is the price of one piece, exact to the cent."""
    prices = read_prices(desk.put("prices: q\ncurrency: USD\nparts: {a: 1500, b: {price: 62.50, pack: 4, minimum: 8}}"))

    first, second = prices.prices
    assert (first.part, first.price, first.pack, first.minimum) == ("a", 150_000, 1, 1)
    assert (second.price, second.pack, second.minimum) == (6_250, 4, 8)


def test_names_become_ids_where_the_parts_are_known(desk: Desk) -> None:
    """With the parts of a cache at hand names are resolved, and an unknown one is refused."""
    catalogue = read_cache(desk.put(starter_text("cache"), "cache.yaml")).catalogue

    prices = read_prices(desk.put(starter_text("prices")), catalogue)

    assert [price.part for price in prices.prices] == ["my-rig/body", "my-rig/strap", "my-rig/pin"]
    assert desk.lines(starter_text("prices").replace("strap", "strp"), lambda path: read_prices(path, catalogue)) == [
        "x.yaml:10:3: parts.strp: there is no part 'strp'; did you mean 'strap'?"
    ]


def test_what_a_vendor_asks_of_an_order_reads_alike_in_every_form(desk: Desk, tmp_path: Path) -> None:
    """Freight, least order, minimum and the vendor's number come through a workbook and a folder of CSV files."""
    text = starter_text("prices")
    start = desk.put(text, "quote.yaml")
    read = read_prices(start)
    assert (read.freight, read.least_order) == (3_500, 10_000)
    assert [(price.minimum, price.number) for price in read.prices] == [(1, ""), (2, "W-6 yellow"), (1, "")]

    for end in ("quote.xlsx", "quote"):
        cache_check("convert", start, tmp_path / end, "--kind", "prices")
        assert read_prices(tmp_path / end).changed(path="", places=()) == read.changed(path="", places=())
    assert desk.lines(text.replace("35.00  ", "-35   "), read_prices)[0].startswith("x.yaml:5:1: freight: -35 is not")


def test_all_mistakes_of_a_prices_file_are_told(desk: Desk) -> None:
    """Fractions of a cent, signs, packs of none, a part priced twice and a missing currency come together."""
    text = "prices: q\nparts:\n  a: 4.999\n  b: {price: -1, pack: 0}\n  'b ': 3\n  c: 1,500\n"

    assert desk.lines(text, read_prices) == [
        "x.yaml:1:1: missing 'currency'",
        "x.yaml:3:3: parts.a: '4.999' is not an amount of money; write 412.50, with no sign and no comma",
        "x.yaml:4:7: parts.b.price: -1 is not an amount of money; write 412.50, with no sign and no comma",
        "x.yaml:4:18: parts.b.pack: 0 is too few; write 1 or more",
        "x.yaml:5:3: parts.b : part 'b' is priced already under 'b'; keep one entry for it",
        "x.yaml:6:3: parts.c: '1,500' is not an amount of money; write 412.50, with no sign and no comma",
    ]


def test_the_county_has_a_price_for_every_part() -> None:
    """The sample quote prices each part of both families, with ids that the caches know."""
    catalogue = read_cache(SAMPLES / "truck-9.yaml").catalogue

    prices = read_prices(SAMPLES / "prices.yaml", catalogue)

    assert {price.part for price in prices.prices} == set(catalogue.by_id)
