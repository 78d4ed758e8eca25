"""Which assemblies carry it, the chain of the best, the ground, and the way back."""

from __future__ import annotations

from collections import Counter

from cache_check.model.load import Carrier, Largest, LinkCheck, LoadResult, Near
from cache_check.report.load_say import LoadSay, percent
from cache_check.report.page import Block, Paragraph, Points, Section, Table, words
from cache_check.report.say import NOT_ASKED, UNKNOWN

SHOWN = 12


def why_not(one: Carrier, say: LoadSay) -> str:
    """Why an assembly does not carry."""
    if one.refused:
        return one.refused
    link = one.governing
    if link.rated is None:
        return f"{link.link} is unrated: {link.why}" if link.why else f"{link.link} is unrated"
    return f"{link.link} takes {say.down(link.rated)} of {say.up(link.demand)}"


def near(one: Near, say: LoadSay) -> str:
    """A length beside the one needed, and the angle it gives at the same contact."""
    angle = "too short for this contact" if one.angle_deg is None else f"{say.angle(one.angle_deg)} at this contact"
    return f"{say.length(one.length, 'nearest')} ({angle})"


def builds(result: LoadResult, say: LoadSay) -> Section:
    """The assemblies at the length needed, best first, and every link of the best."""
    heading = f"Assemblies at {say.length(result.geometry.length, 'nearest')}"
    if not result.carriers:
        items = tuple(near(one, say) for one in result.near)
        lead = "No assembly of this cache reaches this length." + (" The nearest it reaches:" if items else "")
        return Section(heading, (Points(lead, items),), _listed(result, say))
    may = [one for one in result.carriers if not one.refused]
    more = len(may) - len(may[:SHOWN])
    blocks: list[Block] = [
        Paragraph(
            "Best first: margin, then weight, then joints. Each may be built by itself, not all at once. Rated along "
            f"the strut{say.ratio(result.basis.factor)}." + (f" {more} more not shown." if more else "")
        ),
    ]
    table = _listed(result, say)
    if may:
        blocks.append(Table(table.columns, table.rows[:SHOWN]))
        blocks.append(_chain(may[0], say))
    refused = Counter(one.refused for one in result.carriers if one.refused)
    if refused:
        said = tuple(f"{counted_of(count, 'assembly', 'assemblies')}: {why}" for why, count in refused.most_common())
        blocks.append(Points("Refused here:", said))
    return Section(heading, tuple(blocks), table)


def _listed(result: LoadResult, say: LoadSay) -> Table:
    """Every assembly that is not refused, best first."""
    rows = tuple(_row(one, say) for one in result.carriers if not one.refused)
    heads = f"assembly, ground to load|#rated, {say.force_unit}|#row to, {say.length_unit}|governs|#to spare, %"
    return Table(words(f"{heads}|#weight, {say.mass_unit}|#joints|verdict"), rows)


def counted_of(count: int, noun: str, nouns: str) -> str:
    """A count with its noun, for nouns that take more than an s."""
    return f"{count:,} {noun if count == 1 else nouns}"


def _row(one: Carrier, say: LoadSay) -> tuple[str, ...]:
    return (
        say.stack(one.assembly.parts),
        "unrated" if one.rated is None else say.bare_down(one.rated),
        "none" if one.chart_row is None else say.bare_length(one.chart_row[1], "nearest"),
        one.governing.link,
        NOT_ASKED if one.margin is None else percent(one.margin),
        say.bare_mass(one.assembly.mass),
        str(one.assembly.joints),
        _verdict(one, say),
    )


def _verdict(one: Carrier, say: LoadSay) -> str:
    if not one.carries:
        return f"NO: {why_not(one, say)}"
    said = "carries" if one.margin is not None else "rated"
    if one.margin is not None and one.margin * 20 < 1:
        said += ", THIN"
    return said + (f"; head {one.head}" if one.head else "")


def _chain(one: Carrier, say: LoadSay) -> Table:
    rows = tuple(
        (link.link, _demand(link, say), say.bare_down(link.rated), _holds(link), link.why) for link in one.links
    )
    heads = f"links of the first|#must take, {say.force_unit}|#rated, {say.force_unit}|holds|note"
    return Table(words(heads), rows)


def _demand(link: LinkCheck, say: LoadSay) -> str:
    return NOT_ASKED if link.demand is None else say.bare_up(link.demand)


def _holds(link: LinkCheck) -> str:
    if link.rated is None:
        return UNKNOWN if link.counts else f"{UNKNOWN}, not counted"
    if link.demand is None:
        return NOT_ASKED
    return "yes" if link.holds else "NO" if link.counts else "no, a pad is needed"


def ground(result: LoadResult, say: LoadSay) -> Section:
    """The ground under one base, and the pad it takes."""
    one = result.ground
    if one is None:
        return Section("Ground", (Paragraph("No load is known, or nothing stands here: nothing to bear."),))
    on = "the pad given" if one.on == "pad" else f"{say.name(one.on)} alone"
    items = [f"most that comes down under one base: {say.up(one.bearing)}"]
    if one.pressure is None:
        items.append(f"pressure under {on}: {UNKNOWN}, its footprint is not on the book")
    else:
        items.append(f"pressure under {on}: {say.pressure(one.pressure, 'up')}")
    if one.soil is None:
        items.append("bearing value of the ground: not given, so no pad can be sized")
    else:
        side = "" if one.pad_side is None else say.length(one.pad_side, "up")
        items.append(f"ground of {say.pressure(one.soil, 'down')} takes a stiff pad of at least {side} square")
        fit = ", ".join(f"{count} x {say.name(part)}" for part, count in one.pads)
        items.append(f"pads of this cache that are large enough: {fit or 'none on the book'}")
    return Section("Ground", (Points("Under one base:", tuple(items)),))


def largest(result: LoadResult, say: LoadSay) -> Section:
    """The largest values that still pass on the best assembly."""
    if not result.largest:
        return Section("The other way round", (Paragraph("Nothing to ask the other way round."),))
    items = tuple(_largest(one, say) for one in result.largest)
    best = next(iter(result.carriers), None)
    on = "" if best is None else f", on {say.stack(best.assembly.parts)}"
    return Section("The other way round", (Points(f"What still passes{on}:", items),))


def _largest(one: Largest, say: LoadSay) -> str:
    if one.value is None:
        return f"{one.what}: none passes; {one.because}"
    rounding = "down" if one.way == "at most" else "up"
    if one.dimension == "force":
        value = say.down(one.value)
    elif one.dimension == "length":
        value = say.length(int(one.value), rounding)  # type: ignore[arg-type]
    else:
        value = say.pressure(one.value, rounding)  # type: ignore[arg-type]
    return f"{one.what}: {one.way} {value}; {one.because}"
