"""Verdicts: the worst of named links.  One that does not hold: not met; else one unknown: not known; only else: met."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from cache_check.frozen import dataclass

Verdict = Literal["met", "not met", "not known"]
State = Literal["holds", "does not hold", "unknown"]

OF_STATE: dict[State, Verdict] = {"holds": "met", "unknown": "not known", "does not hold": "not met"}
"""What each state makes of a verdict, from the best to the worst."""
WORST_FIRST = tuple(reversed(OF_STATE.values()))


@dataclass(frozen=True)
class Link:
    """One thing that must hold for a yes.

    ``why`` says in words what was found; ``ask`` what would settle an unknown, or put right what does not hold.
    """

    name: str
    state: State
    why: str = ""
    ask: str = ""


def worst(links: Iterable[Link]) -> Verdict:
    """The verdict of some links: that of the worst of them; of none, not known, since nothing was checked."""
    order = list(OF_STATE)
    states = [order.index(link.state) for link in links]
    return OF_STATE[order[max(states)]] if states else "not known"


def broken(links: Iterable[Link]) -> tuple[Link, ...]:
    """The links that keep a verdict from *met*, the worst first, in their order otherwise."""
    order = list(OF_STATE)
    return tuple(sorted((one for one in links if one.state != "holds"), key=lambda one: -order.index(one.state)))
