"""A muster: what one cache, or one pool, can stand up on a day under the rules in force."""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import groupby
from operator import add
from typing import TYPE_CHECKING

from cache_check.frozen import dataclass
from cache_check.joining.assemblies import Joinery
from cache_check.joining.explain import own_fault
from cache_check.joining.stock import Usable, usable
from cache_check.loads.capacity import Capacity
from cache_check.loads.chart import DesignFactor
from cache_check.loads.likely import of_load, trusted
from cache_check.model.assembly import Assembly, Span
from cache_check.model.cache import Cache
from cache_check.model.counting import Step
from cache_check.model.family import Chart
from cache_check.model.part import LINEAR, Chain
from cache_check.model.piece import Idle
from cache_check.model.rule import RuleBook
from cache_check.planning.packing.columns import MOST_ASSEMBLIES, Columns
from cache_check.planning.packing.laid import Laid, laid
from cache_check.planning.packing.packing import Packed, Packer
from cache_check.planning.packing.ratings import Judge, Judging, Ratings, factor_ruled
from cache_check.planning.packing.rows import Rows
from cache_check.planning.solving.solver import Clock

if TYPE_CHECKING:
    from cache_check.model.situation import Situation

SUITING = "head_for_contact"  # the kind of rule that asks a head to be listed for its contact
MORE = 2  # how many pieces more of any part the columns allow for, so that purchases can be tried
_MOST_ASKED = 500  # so many masks are kept of what was asked last: an ask of a need comes again and again
UNCOUNTED = 8
"""How many more still of a part that nobody counted: a strut of which rules limit the extensions takes no more."""


@dataclass(frozen=True)
class Ask:
    """One length or range (nm) that every strut must cover without rebuilding, and what each must carry."""

    shortest: int
    longest: int
    load: Fraction | None = None  # N; None: none is asked
    factor: Fraction | None = None  # of design, that it names itself; where the rules ask more, theirs holds
    restrained: bool = True  # False leaves restraint out of the rated step
    contact: str | None = None  # what the head must be listed for
    angle: Fraction | None = None  # degrees, so what its base pushes out; None: any that the rules allow
    why: str = ""  # what answers for a load that rules call unlikely
    place: "Situation | None" = None  # where it stands with a vertical load; ``load`` is then what statics puts along

    def __hash__(self) -> int:
        """By what is quick to hash: fractions are not, and few asks of one length differ in their loads alone."""
        return hash((self.shortest, self.longest, self.load is None, self.restrained, self.contact))

    @property
    def top(self) -> Step:
        """The highest step that is asked for."""
        return "rated" if self.load is not None else "restrained" if self.restrained else "assembled at once"


class Muster:
    """Usable pieces (``known``, where another of the same has found them), legal assemblies and the packer."""

    def __init__(
        self, cache: Cache, book: RuleBook, on: date, gone: dict[str, int] | None = None, clock: Clock | None = None,
        judging: Judging | None = None, known: Usable | None = None,
    ) -> None:  # fmt: skip
        catalogue, unlikely = trusted(cache.catalogue, book) if known is None else (cache.catalogue, ())
        self.cache = cache if catalogue is cache.catalogue else cache.changed(catalogue=catalogue)
        self.unlikely = tuple(one for one in unlikely if one.part in self.listed)
        self.book, self.on, self.gone, self.clock, self.judging = book, on, dict(gone or {}), clock, judging
        self.usable: Usable = known or usable(self.cache, book, on, gone)
        self._headed, self._factor = lru_cache(None)(self._suiting), factor_ruled(book)
        self._done = lru_cache(_MOST_ASKED)(self._doing)

    def name(self, part: str) -> str:
        """What a part is called to people."""
        return self.cache.catalogue.said.get(part, part)

    def changed(
        self, *, cache: Cache | None = None, book: RuleBook | None = None, on: date | None = None,
        gone: dict[str, int] | None = None,
    ) -> "Muster":  # fmt: skip
        """Another muster, the same but for this, which must be done by the same time."""
        gone = self.gone if gone is None else gone
        return Muster(cache or self.cache, book or self.book, on or self.on, gone, self.clock, self.judging)

    def narrowed(self, assemblies: tuple[Assembly, ...]) -> "Muster":
        """The same muster, of whose assemblies only these are listed."""
        made = self.changed()
        made.laid = Laid(self.cache.catalogue, self.usable.counts, self.book, assemblies)
        return made

    @cached_property
    def judge(self) -> Judge | None:
        """What judges how the bases of loaded struts are held; None where nothing does."""
        return self.judging(self) if self.judging else None

    @cached_property
    def joined(self) -> Joinery:
        """The assemblies of the usable pieces."""
        return self.laid.joinery(self.usable.counts)

    @cached_property
    def laid(self) -> Laid:
        """The assemblies of pieces that are or may be usable and ``MORE`` of each, with what rests on them alone."""
        more = {part: n + MORE + UNCOUNTED * (part in self.cache.uncounted) for part, n in self.usable.hoped.items()}
        return laid(self.cache.catalogue, {part: n + more[part] for part, n in self.usable.counts.items()}, self.book)

    @cached_property
    def faults(self) -> dict[str, str]:
        """The linear parts on the book that no strut takes by their own fault, each with the rule that says so."""
        idle = [part for part in self.cache.catalogue.parts if part.kind in LINEAR and part.id not in self.laid.of_use]
        found = ((part.id, own_fault(self.joined.joints, self.cache.catalogue, part)) for part in idle)
        return {part: why for part, why in found if why and part in self.listed}

    @cached_property
    def listed(self) -> frozenset[str]:
        """The parts that the book lists, counted or not."""
        return frozenset(line.part for line in self.cache.stock if line.count != 0)

    @property
    def large(self) -> bool:
        """Whether these are too many to list: then ``columns``, and all that rests on them, are refused."""
        return self.laid.assemblies > MOST_ASSEMBLIES

    @cached_property
    def columns(self) -> Columns:
        """Every column of the catalogue's parts, of as many pieces as are laid out."""
        return (self.judge and self.judge.columns()) or self.laid.columns(self.pointable, self.bare)

    @cached_property
    def bare(self) -> frozenset[str]:
        """Chains of which nobody says what hardware they take: they may want more of it than there is."""
        parts = self.cache.catalogue.parts
        return frozenset(part.id for part in parts if isinstance(part, Chain) and part.needs is None)

    @cached_property
    def pointable(self) -> tuple[str, ...]:
        """Fittings of which some piece, owned or bought, has enough attachment points."""
        there, made = self.usable.pointed, self.cache.catalogue.by_id
        least = self.usable.least_points.items()
        return tuple(part for part, n in least if there[part] or len(getattr(made[part], "points", ())) >= n)

    @cached_property
    def stock(self) -> tuple[int, ...]:
        """How much there is of each row."""
        return self.columns.stock(self.usable.counts, self.usable.pointed)

    @cached_property
    def packer(self) -> Packer:
        """The packer over all columns."""
        return self.laid.packer(self.columns, self.clock)

    @cached_property
    def there(self) -> int:
        """The columns that the stock can build at least once."""
        return self.columns.within(self.stock)

    @cached_property
    def spans(self) -> frozenset[Span]:
        """Every span of lengths (nm) that some assembly which the stock can build is set to."""
        each = zip(self.columns.assemblies, self.columns.of_assembly, strict=True)
        return frozenset(span for assembly, columns in each if columns & self.there for span in assembly.spans)

    @cached_property
    def capacity(self) -> Capacity:
        """What the assemblies are rated for; the laid ones' where they are laid out."""
        return self.laid.capacity if "laid" in vars(self) else Capacity(self.cache.catalogue, self.book)

    @cached_property
    def ratings(self) -> Ratings:
        """What the columns are rated for."""
        return Ratings(self)

    def factor(self, ask: Ask | None = None) -> DesignFactor:
        """The design factor of an ask: the higher of its own and the rules'."""
        own = None if ask is None else ask.factor
        return self._factor if own is None or own < self._factor.k else DesignFactor(own, said=True)

    def charts_on_book(self) -> Iterator[Chart]:
        """The charts of families of which the cache lists a strut body, counted or not, in the order of the files."""
        catalogue = self.cache.catalogue
        named = dict.fromkeys(p.family for p in catalogue.parts if p.kind == "body" and p.id in self.listed)
        families = (catalogue.family[family] for family in named if family in catalogue.family)
        yield from (chart for family in families for chart in family.charts)

    def above_mark(self, factor: Fraction) -> Iterator[tuple[str, Fraction]]:
        """The charts and usable parts that their makers rated at more than a factor; at how much."""
        parts = [(part, part.strength) for part in self.cache.catalogue.parts if self.usable.counts[part.id]]
        rated = [(f"chart {chart.id}", chart.factor) for chart in self.charts_on_book()]
        rated += [(self.name(part.id), strength.factor) for part, strength in parts if strength is not None]
        yield from ((name, at) for name, at in rated if at is not None and at > factor)

    @cached_property
    def parts_in_play(self) -> tuple[str, ...]:
        """The part types that some column uses, in the order of the catalogue."""
        used = self.columns.rows_used
        parts = (part.id for part in self.cache.catalogue.parts if part.kind != "pad")
        return tuple(part for part in parts if not used.isdisjoint(self.columns.changed(part)))

    @cached_property
    def parts_there(self) -> tuple[str, ...]:
        """Of the part types in play, those of which one can go missing: some piece is usable."""
        return tuple(part for part in self.parts_in_play if self.usable.counts[part])

    @cached_property
    def restraint_ruled(self) -> bool:
        """Whether some rule in force says how many straps or chains hold a base; else no count is called restrained."""
        families = {part.family for part in self.cache.catalogue.parts if part.id in self.usable.least_points}
        return any(self.book.ruled("straps_per_base", "min", (family,), 0) for family in families)

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps that are counted at every length."""
        return ("buildable", "assembled at once", *(("restrained",) if self.restraint_ruled else ()))

    def holds(self, ask: Ask, step: Step) -> bool:
        """Whether an ask on a step wants its bases restrained, and a rule says what that is."""
        return self.restraint_ruled and step != "assembled at once" and (ask.restrained or step == "restrained")

    def top(self, ask: Ask) -> Step:
        """The highest step asked for that can be told: nothing is called restrained where no rule says what that is."""
        return "assembled at once" if ask.top == "restrained" and not self.restraint_ruled else ask.top

    def mask(self, ask: Ask, step: Step, *, owned: bool = True) -> int:
        """The columns that do an ask on a step; with ``owned`` only those that the stock can build at all."""
        return self._done(ask, step, False) & (self.there if owned else -1)

    def hoped(self, ask: Ask, step: Step) -> int:
        """The columns that would do an ask on a step if all that nobody knows turned out well."""
        return self._done(ask, step, True)

    def _doing(self, ask: Ask, step: Step, hoped: bool) -> int:
        if ask.place is not None and step == "rated":
            return self._standing(ask)[hoped]
        columns, held = self.columns, self.holds(ask, step)
        tied = columns.tied if hoped else columns.restrained
        mask = columns.covering(ask.shortest, ask.longest) & self._headed(ask.contact, hoped)
        mask &= tied if held else columns.assembled
        if step == "rated" and ask.load is not None and mask:
            if not hoped and self.doubts(ask):
                return 0
            mask &= self.ratings.standing_at(ask.angle)
            if held:
                mask &= self._standing(ask)[hoped]
                mask &= -1 if hoped else columns.all_rated
            mask &= self.ratings.carrying(ask, hoped=hoped)
        return mask

    def doubts(self, ask: Ask) -> str:
        """That the load of an ask is unlikely, if nobody answers for it; "" else. One in its place is judged there."""
        load, units = ask.load if ask.place is None and not ask.why else None, self.cache.units
        found = (one.shown(one.value, units) for one in of_load("", "", load, "", self.book))
        return next((f"in doubt: {load} is not a likely load" for load in found), "")

    def _standing(self, ask: Ask) -> tuple[int, int]:
        """The columns whose bases are held for certain against what a loaded ask pushes out, and those that may be."""
        return self.judge.bearing(ask) if self.judge else (-1, -1)

    @cached_property
    def unknown_pieces(self) -> dict[str, tuple[Idle, ...]]:
        """Pieces of the book that are not counted because something about them is not known, by part."""
        unknown = sorted((i for i in self.usable.idle if i.state == "not known"), key=lambda one: one.part)
        return {part: tuple(own) for part, own in groupby(unknown, key=lambda one: one.part)}

    def hoped_stock(self, wanted: int) -> tuple[int, ...]:
        """The stock with what is not known to be usable; of what nobody counted, as many as ``wanted`` struts take."""
        return self.hoped_of(self.columns, 2 * wanted * self.columns.most_of_one)

    def hoped_of(self, rows: Rows, plenty: int) -> tuple[int, ...]:
        """The same by other rows; of what nobody counted there is ``plenty``."""
        more = list(rows.stock(self.usable.hoped, self.usable.hoped_pointed))
        for row in (row for part in self.cache.uncounted for row in rows.changed(part)):
            more[row] += plenty
        stock = tuple(map(add, rows.stock(self.usable.counts, self.usable.pointed), more))
        mixed = rows.mixed(stock)
        return tuple(number + mixed.get(row, 0) for row, number in enumerate(stock)) if mixed else stock

    def suits(self, head: str, contact: str | None, *, hoped: bool = False) -> bool:
        """Whether a head is listed for a contact, where a rule asks that; ``hoped`` where nobody says what it suits."""
        if contact is None or not self.book.in_force(SUITING):
            return True
        listed: frozenset[str] = getattr(self.cache.catalogue.by_id[head], "contacts", frozenset())
        return contact in listed or (hoped and not listed)

    def _suiting(self, contact: str | None, hoped: bool) -> int:
        if contact is None:
            return -1
        return self.columns.where(lambda one: self.suits(one.load, contact, hoped=hoped), (contact, hoped))

    def most(self, ask: Ask, step: Step) -> Packed:
        """The most struts at once that do an ask on a step."""
        return self.packer.most(self.stock, self.mask(ask, step))

    def reaches(self, ask: Ask, step: Step, number: int) -> bool:
        """Whether so many struts at once do an ask on a step."""
        return self.packer.reaches(self.stock, self.mask(ask, step), number)

    @cached_property
    def there_or_bought(self) -> int:
        """The columns that the stock could build at least once with all that may be, and ``MORE`` of everything."""
        return self.columns.within(tuple(n + MORE for n in self.hoped_stock(1)))

    def buildable(self, ask: Ask) -> int:
        """Usable bodies that at least one legal assembly, built alone, takes over the whole ask."""
        mask = self.mask(ask, "assembled at once")
        return sum(self.usable.counts[body] for body, columns in self.columns.of_body.items() if columns & mask)
