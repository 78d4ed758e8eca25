"""Prices files: what a quote asks for each part."""

from pathlib import Path

from pydantic import Field

from cache_check.files.catalogue import Names, supplied
from cache_check.files.reading import open_file
from cache_check.model.family import Catalogue
from cache_check.model.purchase import Price, Prices
from cache_check.model.quantities import Day, Money
from cache_check.model.record import Name, Record


class PricesFile(Record):
    """A prices file as written.  A part's entry is its price, or a group with pack and minimum."""

    prices: Name
    currency: Name
    dated: Day | None = None
    freight: Money = 0
    least_order: Money = 0
    parts: dict[Name, Price] = Field(min_length=1)


def read_prices(path: str | Path, catalogue: Catalogue | None = None) -> Prices:
    """Read a prices file, parts by the ``catalogue`` that may be bought from; all its mistakes are one InputError."""
    reading = open_file(path, "prices")
    data = dict(reading.data)
    if isinstance(data.get("parts"), dict):
        names = Names(catalogue.by_id) if catalogue else Names(complete=False)
        ids = names.of_keys(reading, ("parts",), data["parts"], "priced")
        data["parts"] = {
            name: supplied(reading, ("parts", name), one if isinstance(one, dict) else {"price": one}, part=ids[name])
            for name, one in data["parts"].items()
        }
    file = reading.sound(reading.record(PricesFile, data))
    prices = tuple(file.parts.values())
    places = tuple(reading.page.mistake(("parts", name), "").place for name in file.parts)
    return Prices.model_construct(  # money is in hundredths already, and would be read again as if it were written
        title=file.prices, currency=file.currency, dated=file.dated, freight=file.freight,
        least_order=file.least_order, prices=prices, path=str(path), places=places,
    )  # fmt: skip
