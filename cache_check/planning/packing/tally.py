"""The tally: the struts counted on each step, for one length or range."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial
from itertools import islice, pairwise

from cache_check.model.counting import Packing, Step, Tally
from cache_check.model.result import Reach
from cache_check.model.verdict import Link, alike, worst
from cache_check.planning.packing.choice import settled, shown
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.rows import bits
from cache_check.planning.packing.verdicts import bare, binding, missing, need_links, not_counted, one_lost, uncounted
from cache_check.units import Rounding, as_asked, show

MOST_CHOICES = 3
"""How many choices of pieces are named that would each make the first strut."""


def tally(muster: Muster, ask: Ask, label: str, wanted: int | None = None) -> Tally:
    """The tally of a muster for an ask; "one missing" starts from the highest step asked."""
    top = muster.top(ask)
    best: Packing = shown(muster, ask, top)
    counts: dict[Step, int | None] = {
        "on the book": _bodies(muster, muster.cache.counted),
        "usable": _bodies(muster, muster.usable.counts),
        "buildable": muster.buildable(ask),
        "assembled at once": muster.most(ask, "assembled at once").count,
        "restrained": muster.most(ask, "restrained").count if muster.restraint_ruled else None,
        "rated": best.count if ask.load is not None else None,
    }
    parts = muster.parts_in_play
    packer, rows = muster.packer, muster.columns.changed
    left, lost = one_lost(packer, muster.stock, muster.mask(ask, top), best.count, muster.parts_there, rows)
    counts["one missing"] = left
    # For each step whose count is zero while the one below is not, the reason in words.
    rising = pairwise((step, n) for step, n in counts.items() if n is not None and step != "one missing")
    none = [step for (_, below), (step, n) in rising if n == 0 and below]
    why = tuple((step, next(_reasons(muster, ask, step, wanted or 0))) for step in none)
    links = need_links(muster, ask, wanted, counts, dict(why)) if wanted else ()
    wide = muster.mask(ask, top, owned=False)
    return Tally(
        label=label, shortest=ask.shortest, longest=ask.longest, wanted=wanted, load=ask.load, contact=ask.contact,
        angle_deg=ask.angle, height=ask.place.contact_height if ask.place else None,
        vertical=ask.place.vertical if ask.place else None,
        factor=muster.factor(ask).k if ask.load is not None else None, counts=tuple(counts.items()), why_zero=why,
        asked_step=top, lost=lost, best=best, binding=binding(packer, muster.stock, wide, best.count, parts, rows),
        links=links, missing=missing(muster, [(ask, wanted)], left, lost) if wanted and worst(links) == "met" else None,
    )  # fmt: skip


def _bodies(muster: Muster, counts: dict[str, int]) -> int:
    return sum(counts.get(part.id, 0) for part in muster.cache.catalogue.parts if part.kind == "body")


def _failing(muster: Muster, ask: Ask) -> str:
    """What of a loaded ask does not hold, where charts are not all and some strut stands restrained."""
    if muster.judge is None or ask.load is None:
        return ""
    if ask.place is None:
        restrained = muster.mask(replace(ask, load=None), "restrained")
        strong = restrained & muster.ratings.carrying(ask)
        if not strong & muster.columns.all_rated and (not strong or restrained & muster.judge.bearing(ask)[0]):
            return ""
    return muster.judge.failing(ask)


def reach_of(muster: Muster, list_at_most: int) -> Reach:
    """The reach of what is usable; where that makes nothing, with what is wanting."""
    one = muster.joined.reach(list_at_most)
    return one if one.count or muster.large else replace(one, why=next(_wanting(muster), ""))


def _wanting(muster: Muster) -> Iterator[str]:
    """What parts no strut takes by their own fault; where there is none, what is not known or the first strut wants."""
    yield from (f"{muster.name(part)}: {why}" for part, why in muster.faults.items())
    if muster.spans:
        return
    packer, stock, every = muster.packer, muster.stock, muster.columns.assembled
    if untold := tuple(uncounted(muster, settled(packer, muster.hoped_stock(1), every, 1)[1], stock)):
        yield _not_known(untold)
    binds = binding(packer, stock, every, 0, muster.parts_in_play, muster.columns.changed)
    if more := binds.more(muster.cache.catalogue.said):
        yield f"the first strut wants {', or '.join(more[:MOST_CHOICES])}"


def why_none(muster: Muster, ask: Ask, wanted: int) -> str:
    """Why not one strut of so many wanted does an ask on its highest step; "" where one does."""
    top = muster.top(ask)
    if muster.mask(ask, top):
        return ""
    below = not muster.mask(ask, "assembled at once"), not muster.mask(ask, "restrained") and muster.holds(ask, top)
    step: Step = "buildable" if below[0] else "restrained" if below[1] else top
    return next(_reasons(muster, ask, step if _bodies(muster, muster.usable.counts) else "usable", wanted))


def _reasons(muster: Muster, ask: Ask, step: Step, wanted: int) -> Iterator[str]:
    """What may be said of a count of zero; the first is what is."""
    stock, at = muster.hoped_stock(1), step if step in ("restrained", "rated") else "assembled at once"
    mask = muster.mask(ask, at, owned=False) if stock != muster.stock else 0
    if untold := tuple(uncounted(muster, settled(muster.packer, stock, mask, 1)[1], muster.stock)):
        yield _too_few(muster, ask, wanted) + _not_known(untold)
    if step == "usable":
        parts = dict.fromkeys((*muster.unknown_pieces, *muster.cache.uncounted))
        unsure = [not_counted(muster, part) for part in parts if muster.cache.catalogue.by_id[part].kind == "body"]
        more = ", ".join(f"{one.name} ({one.why})" for one in unsure)
        yield "no strut body is usable today" + f", and none stands with what is not known: {more}" * bool(unsure)
    elif step == "buildable":
        if ask.contact is not None and muster.mask(replace(ask, contact=None), "assembled at once"):
            yield f"no usable head is listed for {ask.contact}"
        says = "no legal assembly of the usable parts covers this length without rebuilding" + _nearest(muster, ask)
        yield "; ".join((says, *islice(_wanting(muster), 1)))
    elif step == "restrained":
        if not any(muster.usable.pointed.values()):
            yield "no usable base has enough attachment points"
        if not muster.mask(ask, "restrained", owned=False):
            yield "no assembly on a base with enough attachment points covers this length"
        if untold := tuple(bare(muster, muster.columns.groups)):
            yield _not_known(untold)
        yield "there are not enough straps or chains, with their hardware, for one base"
    yield unrated(muster, ask, wanted) if step == "rated" else "the parts do not suffice for one strut"


def _too_few(muster: Muster, ask: Ask, wanted: int) -> str:
    """How many of those wanted there are at most, whatever turns out of what is not known; "" where that is all."""
    most = muster.packer.most(muster.hoped_stock(wanted), muster.hoped(ask, muster.top(ask))).most if wanted else 0
    return f"no more than {most} of {wanted} even if all that is not known is fit; " if most < wanted else ""


def _not_known(links: Iterable[Link]) -> str:
    return "not known of " + " and of ".join(f"{one.name}: {one.why} ({one.ask})" for one in alike(links))


def _nearest(muster: Muster, ask: Ask) -> str:
    """What comes nearest: how much of a range one assembly covers, else the lengths beside it that can be set."""

    def told(nm: int, rounding: Rounding) -> str:
        """An end rounded to the safe side; a single setting, which no other is, as it is."""
        says = as_asked if (nm, nm) in spans else partial(show, dimension="length")
        return says(nm, system=muster.cache.units, rounding=rounding)

    spans = muster.spans
    most = max(spans, key=lambda span: (min(span[1], ask.longest) - max(span[0], ask.shortest), span), default=None)
    if most is not None and min(most[1], ask.longest) > max(most[0], ask.shortest):
        return f"; {told(max(most[0], ask.shortest), 'up')} to {told(min(most[1], ask.longest), 'down')} can"
    if inside := [low for low, _ in spans if ask.shortest <= low <= ask.longest]:
        return f"; only single settings lie in it, as {told(min(inside), 'nearest')}"
    beside = [told(high, "down") for high in sorted(high for _, high in spans if high < ask.longest)[-1:]]
    beside += [told(low, "up") for low in sorted(low for low, _ in spans if low > ask.shortest)[:1]]
    return f"; nearest {' and '.join(beside)}" if beside else ""


def unrated(muster: Muster, ask: Ask, wanted: int = 0) -> str:
    """Why no assembly of a muster is rated for an ask of which so many are wanted, in words."""
    if says := muster.ratings.off_angle(ask) or _failing(muster, ask):
        return says
    if not muster.ratings.edges:
        return "no chart: unrated"
    if muster.mask(replace(ask, restrained=False), "rated"):
        if not muster.mask(replace(ask, load=None), "restrained") & muster.ratings.carrying(ask):
            return "what is rated for it stands on bases that nothing holds"
        return "what holds the bases of all that cover it carries no limit: read it off the pieces, or ask the maker"
    return next(_weak(muster, ask, wanted), "no chart row rates a build for this load at this length and factor")


def _weak(muster: Muster, ask: Ask, wanted: int) -> Iterator[str]:
    """What is not known of what charts rate, first; then the parts whose own strength is too little where they do."""
    columns, factor = muster.columns, muster.factor(ask)
    stacks = dict.fromkeys(columns.all[n].assembly for n in bits(muster.mask(replace(ask, load=None), "restrained")))
    each = [muster.capacity.links(columns.assemblies[i], ask.shortest, ask.longest, factor) for i in stacks]
    if untold := [Link(one.name, "unknown", one.why, one.ask) for links in each for one in links if one.unknown]:
        yield _too_few(muster, ask, wanted) + _not_known(untold[:1])
    for links in each:
        under = [one.part for one in links if one.rated is None or one.rated < (ask.load or 0)]
        if under and all(under):
            yield f"the own strength of {' and of '.join(map(muster.name, under))} is under this load at this factor"
