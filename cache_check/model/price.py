"""Prices: what one part costs to buy, in which packs."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import Field, StrictInt

from cache_check.model.record import Money, Name, Record, Text

Pieces = Annotated[StrictInt, Field(ge=1, le=100_000)]


class Price(Record):
    """The price of one part.

    ``price`` is for a whole pack, in hundredths of the currency; ``pack`` pieces come together, and an order
    is of at least ``minimum`` pieces.  ``fixed`` is paid once if any are ordered (freight, say).
    """

    part: Name
    price: Money
    pack: Pieces = 1
    minimum: Pieces = 1
    fixed: Money = 0
    note: Text = ""


class Prices(Record):
    """A file of prices.  ``currency`` is only shown."""

    title: Name
    currency: Name
    dated: date | None = None
    prices: tuple[Price, ...] = ()
    path: Text = ""
