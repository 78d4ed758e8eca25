"""Two ends mate: one connector, plug into socket, or a pair that a family lists."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.joining.seats import Seat
from cache_check.model.family import Catalogue
from cache_check.model.part import End


def mates(one: End, two: End, catalogue: Catalogue) -> bool:
    """Whether two ends mate, whichever is below."""
    if one.name == two.name and {one.gender, two.gender} in ({""}, {"plug", "socket"}):
        return True
    return listed_pin(one, two, catalogue) is not None


def listed_pin(one: End, two: End, catalogue: Catalogue) -> str | None:
    """The pin of a pair of unlike connectors that some family lists as mating; None where none does."""
    pair = {one.connector, two.connector}
    for family in catalogue.families:
        for mate in family.mates:
            if set(mate.ends) == pair:
                return mate.pin
    return None


class Check(Kind):
    """Asks the two connectors that meet."""

    def joint(self, lower: Seat, upper: Seat) -> str | None:
        if lower.top is None or upper.bottom is None or mates(lower.top, upper.bottom, self.catalogue):
            return None
        return (
            f"{upper.part.name} does not mate with {lower.part.name}: "
            f"connector {upper.bottom.connector!r} on connector {lower.top.connector!r}"
        )
