"""What a cache file may say, entry by entry."""

from __future__ import annotations

from typing import Any

from cache_check.files import catalogue
from cache_check.model.cache import Compartment, Label, ReadySet, Stock
from cache_check.model.record import Day, Name


class CacheFile(catalogue.CatalogueFile):
    """A cache file as written.  ``types`` are part types of its own, joined by its own ``joint_pin``.

    ``inspected``, ``label`` and ``made`` are said once for every piece that does not say otherwise.
    """

    cache: Name
    book_date: Day | None = None
    inspected: Day | None = None
    label: Label | None = None
    made: Day | None = None
    joint_pin: Name | None = None
    families: tuple[Name, ...] = ()
    types: dict[Name, Any] | None = None
    parts: dict[Name, Stock] | None = None
    compartments: dict[Name, Compartment] | None = None
    ready_sets: dict[Name, ReadySet] | None = None
