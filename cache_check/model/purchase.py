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
    """One line of a list.  ``opens``: (scene, struts with it, struts without it) where it makes a difference.

    Money is in hundredths of the currency: ``price`` is of a pack, ``fixed`` is paid once per order, and ``cost`` is
    both together for all its packs.  ``number`` is what the vendor calls the part; no fewer than ``minimum`` pieces
    are sold.
    """

    part: str
    number: str
    source: str
    moved: bool
    packs: int
    pack: int
    minimum: int
    pieces: int
    price: Hundredths
    fixed: Hundredths
    cost: Hundredths
    opens: Annotated[tuple[tuple[str, int, int], ...], keys("scene struts struts_without")]


@dataclass(frozen=True)
class Order:
    """What one vendor, or rig that gives, is paid for its lines of a list.

    ``once`` is what is paid once, freight included; ``small`` is charged because the goods come to less than the
    vendor's least order.
    """

    source: str
    goods: Hundredths
    once: Hundredths
    small: Hundredths
    pieces: int

    @property
    def cost(self) -> Hundredths:
        """All that it is paid."""
        return self.goods + self.once + self.small


@dataclass(frozen=True)
class Brought:
    """Pieces on the book that do not count today and are brought back before anything is bought.

    ``serial`` is empty for pieces of a lot.  ``way`` is what is done: fetch, find, look, inspect, mend.  ``opens`` as
    in a line of the list: what the scenes serve with it and without it, all else as listed.
    """

    part: str
    rig: str
    where: str
    serial: str
    pieces: int
    way: str
    why: str
    remedy: str
    opens: Annotated[tuple[tuple[str, int, int], ...], keys("scene struts struts_without")]


@dataclass(frozen=True)
class FrontierPoint:
    """One step from today to everything met: the least money that does so much, and what it buys.

    ``met`` are ids of the scenes met whole; ``pieces`` are (part, source, pieces).
    """

    cost: Hundredths
    met: tuple[str, ...]
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
    """A need that cannot be met with everything on offer: how much of it can, and what stands in the way.

    ``rules`` are ids of rules of which each by itself, switched off, would let it be met.
    """

    scene: str
    need: str
    wanted: int
    attainable: int
    says: str
    rules: tuple[str, ...]


@dataclass(frozen=True)
class Quote:
    """Where prices come from; ``strange`` are names it prices that no part of the cache's families has.

    ``unpriced`` are the ids of parts that struts are made and held with and that it does not price: none is bought
    from it.
    """

    title: str
    currency: str
    dated: date | None
    strange: tuple[str, ...]
    unpriced: tuple[str, ...] = ()


@dataclass(frozen=True)
class Giving:
    """What a rig that gives pieces serves by itself before and after: (scene, struts before, struts after)."""

    title: str
    scenes: Annotated[tuple[tuple[str, int, int], ...], keys("scene before after")]


@dataclass(frozen=True)
class Purchase:
    """A proven list for one cache from one set of offers.

    ``free`` comes first and costs nothing; ``lines`` are what that leaves to buy, and ``orders`` what each vendor is
    paid for them: together the ``cost``.  ``cost_as_is`` is what a list that does as much would cost if nothing were
    brought back; None: none does. ``whole`` is whether it meets every scene; ``budget`` what it had to stay within
    (None: any money). ``dead_untold`` says why no dead stock is told: the time was up, or a scene is not known to be
    met. ``before`` and ``after`` say how far scenes are met; ``answers`` are the scenes with the list, packed anew.
    """

    quotes: tuple[Quote, ...]
    budget: Hundredths | None
    free: tuple[Brought, ...]
    cost_as_is: Hundredths | None
    lines: tuple[BuyLine, ...]
    orders: tuple[Order, ...]
    cost: Hundredths
    pieces: int
    whole: bool
    before: tuple[SceneServed, ...]
    after: tuple[SceneServed, ...]
    answers: tuple[SceneAnswer, ...]
    frontier: tuple[FrontierPoint, ...]
    frontier_whole: bool
    dead: tuple[DeadStock, ...]
    dead_untold: str
    giving: tuple[Giving, ...]
    out_of_reach: tuple[OutOfReach, ...]


@dataclass(frozen=True)
class BuyResult(Answer):
    """The answer of ``buy`` for one cache or pool: a purchase for each quote, and one from all quotes together.

    ``no_angle`` are the needs not met today that state a load along the strut and no angle.
    """

    currency: str
    policy: tuple[str, ...]
    asks: tuple[NeedAsked, ...]
    purchases: tuple[Purchase, ...]
    no_angle: tuple[str, ...] = ()


@dataclass(frozen=True)
class Move:
    """Pieces that would help a rig and that another can spare: its own scenes stay served as they are.

    ``pieces`` are (part, title of the rig that gives it); ``verdict`` is that on the scene of the taker then.
    """

    pieces: Annotated[tuple[tuple[str, str], ...], keys("part giver")]
    taker: str
    scene: str
    served_before: int
    served_after: int
    verdict: Verdict


@dataclass(frozen=True)
class County:
    """Several rigs, each by itself: ``served`` by rig, in the order of the scenes; and the moves that help.

    ``steps`` are (scene, need, step): what each need is counted on; ``otherwise`` are rigs (by title) whose rules
    cannot tell that step of it, and the one that they count on.
    """

    rigs: Annotated[tuple[tuple[str, str], ...], keys("rig title")]
    steps: Annotated[tuple[tuple[str, str, Step], ...], keys("scene need step")]
    served: tuple[tuple[SceneServed, ...], ...]
    moves: tuple[Move, ...]
    otherwise: Annotated[tuple[tuple[str, str, str, Step], ...], keys("rig scene need step")] = ()
    names: Annotated[Names, UNTOLD] = ()
