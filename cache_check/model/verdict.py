"""Verdicts: the worst of named links.  One that does not hold: not met; else one unknown: not known; only else: met."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Annotated, Literal, TypeVar

from cache_check.errors import grouped
from cache_check.frozen import dataclass
from cache_check.model.told import Newtons

Verdict = Literal["met", "not met", "not known"]
State = Literal["holds", "does not hold", "unknown"]

OF_STATE: dict[State, Verdict] = {"holds": "met", "unknown": "not known", "does not hold": "not met"}
"""What each state makes of a verdict, from the best to the worst."""
LinkName = Literal[
    "length", "angle", "head", "chart", "points", "ties", "ground", "stays down", "pre-tension", "number"
]  # fmt: skip
_NOTHING = Fraction(0)
_OF_THE_PLACE = ("head", "ties")  # links that take no force, and of which no load makes known what is not


@dataclass(frozen=True)
class Link:
    """One thing that must hold for a yes."""

    name: str
    state: State
    why: Annotated[str, "what was found, in words"] = ""
    ask: Annotated[str, "what would settle an unknown, or put right what does not hold"] = ""


def alike(links: Iterable[Link]) -> Iterator[Link]:
    """The links, those of one state, cause and remedy as one under all their names."""
    names = grouped((replace(one, name=""), one.name) for one in links)
    yield from (replace(one, name=", ".join(dict.fromkeys(named))) for one, named in names.items())


def worst_of(verdicts: Iterable[Verdict]) -> Verdict:
    """The worst of several verdicts; not known where there is none."""
    said = set(verdicts)
    return next((one for one in reversed(OF_STATE.values()) if one in said), "not known")


def worst(links: Iterable[Link | LinkCheck]) -> Verdict:
    """The verdict of some links: that of the worst of them; of none, not known, since nothing was checked."""
    return worst_of(OF_STATE[link.state] for link in links)


@dataclass(frozen=True)
class LinkCheck:
    """One link of a strut in its place; those that are ``loaded`` take a force and are rated for so much of it."""

    of: LinkName
    link: str
    state: State
    kind: Annotated[str, "that of the rules behind it"] = ""
    why: str = ""
    ask: Annotated[str, "what would settle an unknown, or put right what does not hold"] = ""
    rated: Annotated[Newtons | None, "None: nobody knows it"] = None
    fixed: Annotated[Newtons, "what of the demand pre-tension makes"] = _NOTHING
    per_load: Annotated[Fraction, "the demand for each unit of the strut's share of the load"] = _NOTHING
    demand: Annotated[Newtons | None, "what both make of the load; None: it is not known"] = None
    loaded: bool = False

    @property
    def ratio(self) -> Fraction | None:
        """Rated over demanded, or the load it would take where none is known; None where unrated."""
        if self.rated is None:
            return None
        if self.demand is None:
            return self.largest
        return self.rated / self.demand if self.demand else None

    @property
    def largest(self) -> Newtons | None:
        """The most of the strut's share of the load that the link takes; None where unrated or not loaded by it."""
        if self.rated is None or not self.per_load:
            return None
        return max(_NOTHING, (self.rated - self.fixed if self.fixed else self.rated) / self.per_load)

    def named(self) -> str:
        """The link of the table, and what of it."""
        return self.of if self.link == self.of else f"{self.of}: {self.link}"

    def bars(self) -> bool:
        """Whether it lets no load pass: it is unrated, or fails, or is not known, whatever the load."""
        unknown = self.state == "unknown" and self.of in _OF_THE_PLACE
        return self.rated is None if self.loaded else self.state == "does not hold" or unknown

    def link_of(self) -> Link:
        """The same for a verdict: the link of the table, and what of it."""
        what = "" if self.link == self.of else self.link
        return Link(self.of, self.state, f"{what}: {self.why}" if what and self.why else what or self.why, self.ask)


AnyLink = TypeVar("AnyLink", Link, LinkCheck)


def broken(links: Iterable[AnyLink]) -> tuple[AnyLink, ...]:
    """The links that keep a verdict from *met*, the worst first, in their order otherwise."""
    order = list(OF_STATE)
    return tuple(sorted((one for one in links if one.state != "holds"), key=lambda one: -order.index(one.state)))
