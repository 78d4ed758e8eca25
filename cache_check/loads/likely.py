"""Which figures that people type are unlikely, and parts and situations in which nothing rests on them."""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from cache_check.errors import grouped
from cache_check.frozen import dataclass
from cache_check.loads.rating import rating_of
from cache_check.model.family import Catalogue
from cache_check.model.part import Body, Fitting, Hardware, Pad, Part, Strength, Tie
from cache_check.model.rule import RuleBook
from cache_check.units import Dimension, System, ratio, show

if TYPE_CHECKING:
    from cache_check.model.need import Need
    from cache_check.model.situation import Situation

_Figure = tuple[str, Dimension | None, Fraction | int | None, Any, Any]
"""A figure: its name, dimension and value (None: not stated), and what it should lie between."""


@dataclass(frozen=True)
class Unlikely:
    """A figure of a part (id) or situation (title), base unit of its dimension (None: a ratio), and its bounds."""

    part: str
    figure: str
    dimension: Dimension | None
    value: Fraction | int
    least: Fraction | int
    most: Fraction | int
    word: str = ""  # why its file says that it is right all the same

    def shown(self, value: Fraction | int, system: System) -> str:
        """The figure, or one of its bounds, in words."""
        return ratio(Fraction(value)) if self.dimension is None else show(value, self.dimension, system, "nearest")


def trusted(catalogue: Catalogue, book: RuleBook) -> tuple[Catalogue, tuple[Unlikely, ...]]:
    """The catalogue with every unlikely figure taken out as not known but those answered for, and what is unlikely."""
    rules = book.in_force("figure_likely")
    found = tuple(one for part in catalogue.parts for rule in rules for one in _of_part(part, book, rule.id))
    if not (doubted := grouped((one.part, one.figure) for one in found if not one.word)):
        return catalogue, found
    parts = tuple(_without(one, {*doubted[one.id]}) if one.id in doubted else one for one in catalogue.parts)
    limits = frozenset(one.part for one in found if one.figure in ("wll", "points") and not one.word)
    return catalogue.changed(parts=parts, doubted=catalogue.doubted | limits), found


def believed(one: "Situation", book: RuleBook) -> "tuple[Situation, tuple[Unlikely, ...]]":
    """A situation with what is unlikely of ground and weight taken as not known if not answered for; and what is."""
    of, found = one.title or "this situation", list[Unlikely]()
    for rule in (rule.id for rule in book.in_force("figure_likely")):
        soft, hard = book.value(rule, "soil_least"), book.value(rule, "soil_most")
        light, heavy = book.value(rule, "weight_least"), book.value(rule, "weight_most")
        figures: list[_Figure] = [("soil", "pressure", soil, soft, hard) for soil in one.soil]
        found += _outside(of, one.answer(), [*figures, ("weight", "force", one.weight, light, heavy)])
    for name, load in (("vertical", one.vertical), ("axial", one.axial)):
        found += of_load(of, name, load, one.answer(), book)
    if one.sure:
        return one, tuple(found)
    names = tuple(dict.fromkeys(doubt.figure for doubt in found))
    cleared = {name: type(one).model_fields[name].default for name in names}
    return one.changed(**cleared, unknown=tuple(dict.fromkeys((*one.unknown, *names)))), tuple(found)


def of_load(of: str, name: str, load: Fraction | None, word: str, book: RuleBook) -> Iterator[Unlikely]:
    """What is unlikely of a load (N; None: none is stated) on struts, and the word that answers for it, "" if none."""
    for rule in book.in_force("figure_likely"):
        least, most = book.value(rule.id, "load_least"), book.value(rule.id, "weight_most")
        yield from _outside(of, word, [(name, "force", load, least, most)])


def of_need(need: "Need", book: RuleBook) -> tuple[Unlikely, ...]:
    """What is unlikely of a need: of its place, or of its load along the strut."""
    place = need.place
    return believed(place, book)[1] if place else tuple(of_load(need.id, "load", need.load, need.answer(), book))


def _outside(part: str, word: str, figures: Iterable[_Figure]) -> Iterator[Unlikely]:
    for figure, dimension, value, least, most in figures:
        if value is not None and not least <= value <= most:
            yield Unlikely(part, figure, dimension, value, least, most, word)


def _of_part(part: Part, book: RuleBook, rule: str) -> Iterator[Unlikely]:
    def value(name: str) -> Any:
        return book.value(rule, name, (part.family,))

    weak, strong = value("wll_least"), value("wll_most")
    found: list[_Figure] = [("mass", "mass", part.mass or None, value("mass_least"), value("mass_most"))]
    if isinstance(part, Tie | Hardware):
        found.append(("wll", "force", part.wll, weak, strong))
    if isinstance(part, Tie):
        found.append(("length", "length", part.length, 1, value("tie_most")))
    if isinstance(part, Tie) and (usual := rating_of(part.changed(wll=None)).rated) is not None:
        found.append(("wll", "force", part.wll, weak, Fraction(value("over_usual")) * usual))
    if isinstance(part, Fitting):
        found += [("points", "force", point.wll, weak, 2 * strong) for point in part.points]
    if part.strength is not None:
        load = part.strength.failure_load or part.strength.rated_load
        found.append(("strength", "force", load, weak, value("strength_most")))
        found.append(("strength", None, part.strength.factor, 1, value("factor_most")))
    if isinstance(part, Body) and part.holes is not None:
        found.append(("holes", "length", part.holes.pitch, value("pitch_least"), value("pitch_most")))
    if isinstance(part, Fitting | Pad) and part.footprint is not None:
        sides = (part.footprint.length, part.footprint.width)
        found += [("footprint", "length", side, 1, value("footprint_most")) for side in sides]
    yield from _outside(part.id, part.answer(), found)


def _without(part: Part, figures: set[str]) -> Part:
    changed: dict[str, Any] = dict.fromkeys(figures & {"mass", "wll", "footprint", "length"})
    if "wll" in figures and isinstance(part, Tie):
        changed["size"] = None  # what the mark says is not known, so neither is what stands in for a mark
    if "points" in figures and isinstance(part, Fitting):
        changed["points"] = tuple(point.changed(wll=None) for point in part.points)
    if "strength" in figures and part.strength is not None:
        # It stays, as one whose factor nobody stated: a limit that is there and not known.
        load = part.strength.failure_load or part.strength.rated_load
        changed["strength"] = Strength.model_construct(failure_load=None, rated_load=load, factor=None)
    if "holes" in figures:
        changed |= {"lock": "unknown", "holes": None}
    return part.changed(**changed)
