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
    is of at least ``minimum`` pieces.  ``fixed`` is paid once if any are ordered (a tool, say).  ``number`` is the
    vendor's own name for the part.
    """

    part: Name
    price: Money
    pack: Pieces = 1
    minimum: Pieces = 1
    fixed: Money = 0
    number: Text = ""
    note: Text = ""


class Prices(Record):
    """One vendor's quote.  ``currency`` is only shown.

    ``freight`` is paid once if anything is ordered; goods for less than ``least_order`` are charged as so much.
    ``places`` are where each of ``prices`` stands in the file at ``path``.
    """

    title: Name
    currency: Name
    dated: date | None = None
    freight: Money = 0
    least_order: Money = 0
    prices: tuple[Price, ...] = ()
    path: Text = ""
    places: tuple[str, ...] = ()
