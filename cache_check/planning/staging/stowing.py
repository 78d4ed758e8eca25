"""Which ready sets fit where, and who can carry them.

A set lies along a compartment: its closed length and the clearance are no more than the clear length.  Where the
compartment allows it and states its width, a set may lie on the diagonal; then it has the compartment to itself.
Sets lie side by side in one layer, each as wide as its largest stated footprint; the height that this leaves must
be there, and their weight no more than the compartment carries.  What is not stated is not checked, and said.

While the rule on carry weight is in force, no set is left built that two persons cannot carry or nobody weighed.
"""

from fractions import Fraction

from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly
from cache_check.model.cache import Compartment
from cache_check.model.family import Catalogue
from cache_check.model.rule import RuleBook
from cache_check.model.staging import Carry


@dataclass(frozen=True)
class Lie:
    """One way for a set to lie in a compartment (None: the cache has none), and how wide it then is (nm)."""

    compartment: Compartment | None
    width: int | None  # None: not known
    spare: int  # what is left of the clear length
    diagonal: bool = False
    unchecked: tuple[str, ...] = ()  # what was not stated


def footprint(assembly: Assembly, catalogue: Catalogue) -> tuple[int, int] | None:
    """The smaller and the larger side (nm) of what a set is wide, by its fittings; None where none states any."""
    stated = (getattr(catalogue.by_id[part], "footprint", None) for part in (assembly.ground, assembly.load))
    sizes = [sorted((one.length, one.width)) for one in stated if one is not None]
    return (max(s[0] for s in sizes), max(s[1] for s in sizes)) if sizes else None


def lies(assembly: Assembly, catalogue: Catalogue, places: tuple[Compartment, ...], book: RuleBook) -> tuple[Lie, ...]:
    """Every way for a set to lie in these compartments, those first of which most is stated; with none, as it may."""
    if not places:
        return (Lie(None, None, 0, unchecked=("no compartment is stated",)),)
    found = (lie for place in places if (lie := _in(assembly, catalogue, place, book)) is not None)
    return tuple(sorted(found, key=lambda lie: len(lie.unchecked)))


def _in(assembly: Assembly, catalogue: Catalogue, place: Compartment, book: RuleBook) -> Lie | None:
    if place.carries is not None and (assembly.mass is None or assembly.mass > place.carries):
        return None
    size = footprint(assembly, catalogue)
    unchecked = _unchecked(place, size)
    width = _width(place, size)
    if width is None and size is not None:
        return None
    if width is not None and place.width is not None and width > place.width:
        return None
    long = assembly.closed + place.clearance
    if long <= place.length or not book.in_force("stowed_length"):
        return Lie(place, width, place.length - long, unchecked=unchecked)
    if place.diagonal and place.width is not None and on_diagonal(long, width or 0, place.length, place.width):
        return Lie(place, width, 0, diagonal=True, unchecked=unchecked)
    return None


def _width(place: Compartment, size: tuple[int, int] | None) -> int | None:
    """How wide a set lies, laid so that it is low enough; None: it is too high either way, or not known."""
    if size is None:
        return None
    small, large = size
    if place.height is None:
        return large
    if large <= place.height:
        return small
    return large if small <= place.height else None


def _unchecked(place: Compartment, size: tuple[int, int] | None) -> tuple[str, ...]:
    said = {
        "the size of its fittings is not stated: width and height not checked": size is None,
        "width of the compartment not stated": size is not None and place.width is None,
        "height of the compartment not stated": size is not None and place.height is None,
        "weight allowance of the compartment not stated": place.carries is None,
    }
    return tuple(what for what, lacks in said.items() if lacks)


def on_diagonal(length: int, width: int, long: int, wide: int) -> bool:
    """Whether a rectangle goes into a larger one in some turning, though it is longer than that; all whole numbers.

    A rectangle p by q with p > a goes into a by b exactly when q <= b and
    b (p² + q²) >= 2 p q a + (p² - q²) sqrt(p² + q² - a²)   (Carver 1957, from memory; tested by turning).
    """
    p, q, a, b = length, width, long, wide
    if q > b or p * p > a * a + b * b:
        return False
    left = b * (p * p + q * q) - 2 * p * q * a
    return left >= 0 and left * left >= (p * p - q * q) ** 2 * (p * p + q * q - a * a)


def carry(mass: Fraction | None, book: RuleBook) -> Carry:
    """Who can carry a set of this mass (kg) under the rules; unknown is unknown."""
    if mass is None:
        return "unknown"
    one, two = carry_limits(book)
    if one is None or mass <= one:
        return "one person"
    return "two persons" if two is None or mass <= two else "more than two"


def carry_limits(book: RuleBook) -> tuple[Fraction | None, Fraction | None]:
    """The heaviest sets (kg) that one person and two persons carry; None where no rule in force says."""
    if not book.in_force("carry_weight"):
        return None, None
    return Fraction(book.ruled("carry_weight", "one_person")), Fraction(book.ruled("carry_weight", "two_persons"))


def may_be_carried(assembly: Assembly, book: RuleBook) -> bool:
    """Whether a set may be left built for its weight."""
    _, two = carry_limits(book)
    return two is None or (assembly.mass is not None and assembly.mass <= two)
