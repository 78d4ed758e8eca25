"""Which assemblies carry it, the chain of the best, the ground, and the way back."""

from collections.abc import Iterable, Iterator, Sequence
from math import floor

from cache_check import units
from cache_check.model.load import Carrier, LoadResult, Near
from cache_check.model.result import Basis
from cache_check.model.verdict import LinkCheck, broken, worst_of
from cache_check.report import cells
from cache_check.report.page import Block, Points, Rows, Table
from cache_check.report.say import UNKNOWN, Say, percent, ratio

SHOWN = 8
_STATES = {"holds": "yes", "does not hold": "NO", "unknown": UNKNOWN}
BUILDS = (
    cells.STACK + "|#rated, {force}|#at factor|#row to, {length}|governs|#to spare, %|verdict|not held or not known"
)


def near(one: Near, say: Say) -> str:
    """A length beside the one needed, and the angle it gives at the same contact."""
    angle = "too short for this contact" if one.angle_deg is None else f"{say.angle(one.angle_deg)} at this contact"
    return f"{say.length(one.length, 'nearest')} ({angle})"


def builds(result: LoadResult, say: Say) -> Iterator[Block]:
    """The assemblies at the length needed, best first, and every link of the best."""
    if not result.carriers:
        items = tuple(near(one, say) for one in result.near)
        yield Points("No assembly of this cache reaches this length." + " The nearest it reaches:" * bool(items), items)
        return
    shown, more = result.carriers[:SHOWN], len(result.carriers[SHOWN:])
    each = [_open(one, result) for one in shown]
    shared = [link for link in each[0] if len(shown) > 1 and all(link in one for one in each)]
    said = f" Not known or not holding in each of these: {'; '.join(shared)}." if shared else ""
    left_out = f" {more} more are in --format csv." if more else ""
    yield (
        "Best first: verdict, then margin, then weight, then joints. Each may be built by itself, not all at "
        f"once. Rated along the strut{at_factor(shown, result.basis)}.{left_out}{said}"
    )
    rows = (
        (say.stack(one.assembly.parts), cells.down(one.rated, say) or "unrated", _row_used(one, say) or "none",
         one.governing.link, None if one.margin is None else percent(one.margin), say.bare_mass(one.assembly.mass),
         one.assembly.joints, _verdict(one, result, shared))
        for one in shown
    )  # fmt: skip
    heads = "assembly, ground to load|#rated, {force}|#row to, {length}|governs|#to spare, %|#weight, {mass}|#joints"
    yield say.table(f"{heads}|verdict", rows)
    yield chain(result.carriers[0].links, say)
    yield hold_too(result.carriers[0])


def at_factor(carriers: Iterable[Carrier], basis: Basis) -> str:
    """The design factors of rated loads as an addition: that asked, and any higher one that a maker marked."""
    asked = next((factor for _, factor in basis.factors), basis.factor)
    factors = sorted({one.rated_at for one in carriers if one.rated is not None and one.rated_at is not None})
    each = [f"{ratio(one)} (as marked)" if asked is not None and one > asked else ratio(one) for one in factors]
    return f" at {' or '.join(each)}" if each else ""


def _row_used(one: Carrier, say: Say) -> str | None:
    return None if one.chart_row is None else say.bare_length(one.chart_row[1], "nearest")


def rows(result: LoadResult, say: Say) -> Rows:
    """Every assembly as data, under ``BUILDS``; where none reaches, a row of the verdict and what keeps it alone."""
    if not result.carriers:
        yield *(None,) * 11, result.verdict.upper(), ", ".join(link.of for link in broken(result.links))
    for one in result.carriers:
        spare = None if one.margin is None else floor(one.margin * 100)
        rated = (cells.down(one.rated, say), cells.number(one.rated_at), _row_used(one, say), one.governing.link)
        yield *cells.stack(one.assembly, say), *rated, spare, _worst(one, result), ", ".join(_open(one, result))


def _verdict(one: Carrier, result: LoadResult, shared: Sequence[str]) -> str:
    thin = ", THIN" if one.carries and one.margin is not None and one.margin * 20 < 1 else ""
    own = "; ".join(link for link in _open(one, result) if link not in shared)
    return f"{_worst(one, result)}{thin}" + f": {own}" * bool(own)


def _worst(one: Carrier, result: LoadResult) -> str:
    """The verdict on it where so many are wanted: by itself it may hold, and there be too few."""
    return worst_of((one.verdict, result.verdict)).upper()


def _open(one: Carrier, result: LoadResult) -> tuple[str, ...]:
    """Of what its links, and those of the number, are that do not hold or are not known."""
    number = (link.link for link in broken(result.links) if link.of == "number")
    return tuple(dict.fromkeys((*(link.of for link in one.broken), *number)))


def chain(links: Iterable[LinkCheck], say: Say, head: str = "links of the first") -> Table:
    """The links that take a force or do not hold, with who could tell or put them right."""
    rows = (
        (link.of, link.link, *figures, _STATES[link.state], " - ".join(filter(None, (link.why, link.ask))))
        for link in links
        for figures in ((cells.up(link.demand, say), say.bare_down(link.rated)) if link.loaded else (None, None),)
        if link.loaded or link.state != "holds"
    )
    return say.table(f"{head}|what|" + "#must take, {force}|#rated, {force}|holds|note", rows)


def hold_too(one: Carrier) -> str:
    """The links that hold and take no force."""
    held = [link for link in one.links if link.state == "holds" and not link.loaded]
    return f"Hold too: {'; '.join(f'{link.link}: {link.why}' for link in held) or 'none'}."


def ground(result: LoadResult, say: Say) -> Iterator[Block]:
    """The ground under one base, and the pad it takes."""
    if (one := result.ground) is None:
        yield "No load is known, or nothing stands here: nothing to bear."
        return
    unknown = f"{UNKNOWN}, its footprint is not on the book"
    pressure = unknown if one.pressure is None else say.pressure(one.pressure, "up")
    items = [f"most that comes down under one base: {say.up(one.bearing)}", f"pressure {one.on}: {pressure}"]
    if one.soil is None:
        why = "known" if "soil" in result.situation.unknown else "given"
        items.append(f"bearing value of the ground: not {why}, so no pad can be sized")
    else:
        side = "" if one.pad_side is None else say.length(one.pad_side, "up")
        items.append(f"ground of {say.pressure(one.soil, 'down')} takes a stiff pad of at least {side} square")
        fit = ", ".join(f"{count} x {say.name(part)}" for part, count in one.pads)
        items.append(f"pads of this cache that are large enough: {fit or 'none on the book'}")
    yield Points("Under one base:", tuple(items))


def largest(result: LoadResult, say: Say) -> tuple[str | Points]:
    """The largest values that still pass, on as many struts as are wanted."""
    if not result.largest:
        return ("Nothing to ask the other way round.",)
    return (Points(f"What still passes, {result.tally.wanted or 1} wanted at once:", passing(result, say)),)


def passing(result: LoadResult, say: Say) -> tuple[str, ...]:
    """Each of these values."""
    said = []
    for one in result.largest:
        way: units.Rounding = "down" if one.dimension == "force" or one.way == "at most" else "up"
        value = "" if one.value is None else units.show(one.value, one.dimension, say.system, way)
        said.append(f"{one.what}: {f'{one.way} {value}' if value else 'none passes'}; {one.because}")
    return tuple(said)
