"""What the plain numbers and pairs of a result mean, said beside the field, so that JSON needs no copy of the result.

Every field and public property of a result is told.  A field of ``Nm`` is told in millimetres under a key that ends in
``_mm``; a tuple of unlike things gets its keys from ``Keys``; what is only worked with is ``Annotated[..., UNTOLD]``.
Any other text in ``Annotated`` is a note of what the field is, which the schema gives as its description.
"""

from fractions import Fraction
from typing import Annotated

from cache_check.frozen import dataclass


@dataclass(frozen=True)
class Unit:
    """The unit that a number is told in, which ends its key, and how many of the number's own unit make one."""

    ending: str
    per: int = 1


@dataclass(frozen=True)
class Keys:
    """The keys of a tuple's members.  ``by_name``: a value is in the unit that ends the name beside it."""

    names: tuple[str, ...]
    by_name: bool = False


def keys(names: str, *, by_name: bool = False) -> Keys:
    """Keys parted by spaces."""
    return Keys(tuple(names.split()), by_name)


UNTOLD = "untold"

Nm = Annotated[int, Unit("mm", 1_000_000)]
Newtons = Annotated[Fraction, Unit("n")]
Kilograms = Annotated[Fraction, Unit("kg")]
Degrees = Annotated[Fraction, Unit("deg")]
Pascals = Annotated[Fraction, Unit("pa")]
SquareMetres = Annotated[Fraction, Unit("m2")]
Hundredths = Annotated[int, Unit("hundredths")]
Pieces = Annotated[tuple[tuple[str, int], ...], keys("part count")]
Names = Annotated[tuple[tuple[str, str], ...], keys("part title")]
