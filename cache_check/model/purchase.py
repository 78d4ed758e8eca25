"""Prices, and what ``buy`` answers: lists, what they open, moves between rigs; money is in hundredths."""

from datetime import date
from typing import Annotated

from pydantic import Field, StrictInt

from cache_check.frozen import dataclass
from cache_check.model.counting import NeedAsked, SceneAnswer, SceneServed, Step
from cache_check.model.quantities import Money
from cache_check.model.record import Name, Placed, Record, Text
from cache_check.model.result import Answer
from cache_check.model.told import UNTOLD, Hundredths, Names, keys
from cache_check.model.verdict import Verdict

SoldPieces = Annotated[StrictInt, Field(ge=1, le=100_000)]


class Price(Record):
    """The price of one part.

    ``price`` is for a whole pack, in hundredths of the currency; ``pack`` pieces come together, and an order
    is of at least ``minimum`` pieces.  ``fixed`` is paid once if any are ordered (a tool, say).  ``number`` is the
    vendor's own name for the part.
    """

    part: Placed
    price: Money
    pack: SoldPieces = 1
    minimum: SoldPieces = 1
    fixed: Money = 0
    number: Text = ""
    note: Text = ""


class Prices(Record):
    """One vendor's quote."""

    title: Name
    currency: Name  # only shown
    dated: date | None = None
    freight: Money = 0  # paid once if anything is ordered
    least_order: Money = 0  # goods for less are charged as so much
    prices: tuple[Price, ...] = ()
    path: Text = ""
    places: tuple[str, ...] = ()  # where each of ``prices`` stands in the file at ``path``


@dataclass(frozen=True)
class BuyLine:
    """One line of a list."""

    part: str
    number: Annotated[str, "what the vendor calls the part"]
    source: str
    moved: bool
    packs: int
    pack: int
    minimum: Annotated[int, "no fewer pieces are sold"]
    pieces: int
    price: Annotated[Hundredths, "of a pack"]
    fixed: Annotated[Hundredths, "paid once per order"]
    cost: Annotated[Hundredths, "both together, for all its packs"]
    opens: Annotated[tuple[tuple[str, int, int], ...], keys("scene struts struts_without"), "where it matters"]
    note: Annotated[str, "what the quote says beside the price, as that it is out of stock"]


@dataclass(frozen=True)
class Order:
    """What one vendor, or rig that gives, is paid for its lines of a list."""

    source: str
    goods: Hundredths
    once: Annotated[Hundredths, "what is paid once, freight included"]
    small: Annotated[Hundredths, "charged because the goods come to less than the vendor's least order"]
    pieces: int

    @property
    def cost(self) -> Hundredths:
        """All that it is paid."""
        return self.goods + self.once + self.small


@dataclass(frozen=True)
class Brought:
    """Pieces on the book that do not count today and are brought back before anything is bought."""

    part: str
    rig: str
    where: str
    serial: Annotated[str, "empty for pieces of a lot"]
    pieces: int
    way: Annotated[str, "what is done: fetch, find, look, inspect, mend"]
    why: str
    remedy: str
    opens: Annotated[tuple[tuple[str, int, int], ...], keys("scene struts struts_without"), "all else as listed"]


@dataclass(frozen=True)
class FrontierPoint:
    """One step from today to everything met: the least money that does so much, and what it buys."""

    cost: Hundredths
    met: Annotated[tuple[str, ...], "ids of the scenes met whole"]
    struts: int
    pieces: Annotated[tuple[tuple[str, str, int], ...], keys("part source count")]


@dataclass(frozen=True)
class DeadStock:
    """Usable pieces of a part that no best plan of any scene takes: today, and with the list."""

    part: str
    usable_today: int
    idle_today: int
    usable_after: int
    idle_after: int


@dataclass(frozen=True)
class OutOfReach:
    """A need that cannot be met with everything on offer: how much of it can, and what stands in the way."""

    scene: str
    need: str
    wanted: int
    attainable: int
    says: str
    rules: Annotated[tuple[str, ...], "ids of rules of which each by itself, switched off, would let it be met"]


@dataclass(frozen=True)
class Quote:
    """Where prices come from."""

    title: str
    currency: str
    dated: date | None
    strange: Annotated[tuple[str, ...], "names it prices that no part of the cache's families has"]
    unpriced: Annotated[tuple[str, ...], "ids of parts of struts, and of what holds them, that it does not price"] = ()


@dataclass(frozen=True)
class Giving:
    """What a rig that gives pieces serves by itself before and after: (scene, struts before, struts after)."""

    title: str
    scenes: Annotated[tuple[tuple[str, int, int], ...], keys("scene before after")]


@dataclass(frozen=True)
class Purchase:
    """A proven list for one cache from one set of offers."""

    quotes: tuple[Quote, ...]
    budget: Annotated[Hundredths | None, "what it had to stay within; None: any money"]
    free: Annotated[tuple[Brought, ...], "comes first, and costs nothing"]
    cost_as_is: Annotated[Hundredths | None, "of a list that does as much if nothing is brought back; None: none does"]
    lines: Annotated[tuple[BuyLine, ...], "what that leaves to buy"]
    orders: Annotated[tuple[Order, ...], "what each vendor is paid for the lines: together the ``cost``"]
    cost: Hundredths
    pieces: int
    whole: Annotated[bool, "whether it meets every scene"]
    before: Annotated[tuple[SceneServed, ...], "how far scenes are met today"]
    after: Annotated[tuple[SceneServed, ...], "how far scenes are met with the list"]
    answers: Annotated[tuple[SceneAnswer, ...], "the scenes with the list, packed anew"]
    frontier: tuple[FrontierPoint, ...]
    frontier_whole: bool
    dead: tuple[DeadStock, ...]
    dead_untold: Annotated[str, "why no dead stock is told: the time was up, or a scene is not known to be met"]
    giving: tuple[Giving, ...]
    out_of_reach: tuple[OutOfReach, ...]


@dataclass(frozen=True)
class BuyResult(Answer):
    """The answer of ``buy`` for one cache or pool: a purchase for each quote, and one from all quotes together."""

    currency: str
    policy: tuple[str, ...]
    asks: tuple[NeedAsked, ...]
    purchases: tuple[Purchase, ...]
    no_angle: Annotated[tuple[str, ...], "the needs not met today that state a load along the strut and no angle"] = ()


@dataclass(frozen=True)
class Move:
    """Pieces that would help a rig and that another can spare: its own scenes stay served as they are."""

    pieces: Annotated[tuple[tuple[str, str], ...], keys("part giver"), "giver: the title of its rig"]
    taker: str
    scene: str
    served_before: int
    served_after: int
    verdict: Annotated[Verdict, "on the scene of the taker then"]


@dataclass(frozen=True)
class County:
    """Several rigs, each by itself: ``served`` by rig, in the order of the scenes; and the moves that help.

    ``otherwise`` are rigs (by title) whose rules cannot tell the step of a need, and the one that they count on.
    """

    rigs: Annotated[tuple[tuple[str, str], ...], keys("rig title")]
    steps: Annotated[tuple[tuple[str, str, Step], ...], keys("scene need step"), "what each need is counted on"]
    served: tuple[tuple[SceneServed, ...], ...]
    moves: tuple[Move, ...]
    otherwise: Annotated[tuple[tuple[str, str, str, Step], ...], keys("rig scene need step")] = ()
    names: Annotated[Names, UNTOLD] = ()
