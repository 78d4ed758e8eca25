"""The door card: what stands ready, how far it reaches, how it is held, whom to call; on one printed side."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from cache_check import units
from cache_check.model.cache import Source
from cache_check.model.card import Aim, CardResult, Helper, SetShown, TieHold
from cache_check.model.report import ReportResult
from cache_check.model.result import Basis
from cache_check.model.rule import RuleBook
from cache_check.report import basis
from cache_check.report.page import Block, Column, Paragraph, Points, Table, short, words
from cache_check.report.pages import svg
from cache_check.report.pages.sheet import Figure, Part, Sheet
from cache_check.report.say import UNKNOWN, Say, counted, ratio
from cache_check.units import Rounding

if TYPE_CHECKING:
    from markupsafe import Markup

KIND, NAME, ORDER = "door", "Door card", 20
MOST_SETS, MOST_SAID, MOST_TIES, MOST_HELPERS = 6, 3, 4, 3
LONGEST_NAME, LONGEST_LOOSE = 24, 420
CREW_PAGE = "on the crew page (report --only crew)"
NO_SET = "—"
NO_BASE = "NO base of this cache can be restrained with what is usable."


def sheets(result: ReportResult, _book: RuleBook, _read: Sequence[Source]) -> Iterator[Sheet]:
    """A card for each cache."""
    return map(sheet, result.doors)


def sheet(card: CardResult) -> Sheet:
    """The card.  Long names and long lists are cut short here, and said to be; the crew page has them whole."""
    say = Say(card.basis.units, tuple((part, short(name, LONGEST_NAME)) for part, name in card.names))
    return Sheet(
        "door",
        f"{short(card.title, 60)}: what stands ready",
        basis.head(card.basis),
        (
            Part("Ready sets, closed to open", tuple(_sets(card, say)), wide=True),
            Part("Contact height, strut, base out", tuple(_aims(card, say))),
            Part("Straps, seen from above", tuple(_straps(card, say))),
            Part("Loose", tuple(_loose(card, say))),
            Part("Whom to call for the next strut", tuple(helpers(card.helpers, MOST_HELPERS))),
        ),
        foot(card.basis),
        of=card.name,
    )


def foot(one: Basis) -> tuple[str, ...]:
    """Rules off, ignored and unknown, the first few of each and how many more, as one paragraph."""
    lists = (("Rules switched off", one.rules_off), ("Ignored", one.ignored), ("Unknown", one.unknown))
    changed = tuple(f"{s.rule} by {short(s.by, 20)}" for s in one.settings)
    return (" ".join(_few(lead, items) for lead, items in (("Rules changed", changed), *lists)),)


def _few(lead: str, items: tuple[str, ...]) -> str:
    if not items:
        return f"{lead}: none."
    more = f"; and {len(items) - MOST_SAID} more: {CREW_PAGE}" if len(items) > MOST_SAID else ""
    return f"{lead}: {'; '.join(short(one, 70) for one in items[:MOST_SAID])}{more}."


def _loose(card: CardResult, say: Say) -> Iterator[Block]:
    said = f"Usable and in no set: {say.pieces(card.loose)}."
    whole = len(said) <= LONGEST_LOOSE
    yield Paragraph(said if whole else f"{short(said, LONGEST_LOOSE)} All of it: {CREW_PAGE}.")


def _sets(card: CardResult, say: Say) -> Iterator[Block | Figure]:
    if not card.sets:
        yield Paragraph("None on the book and none proposed: every strut is built on scene.")
        return
    if not all(one.built for one in card.sets):
        yield Paragraph("PROPOSED ONLY: the book lists no ready set. Look before you count on one of these.")
    shown = card.sets[:MOST_SETS]
    drawn = bars(shown, say, "door-bars-" + _key(card))
    yield Figure(drawn, "Bars: lengths each set is set to without rebuilding.", wide=True)
    heads = f"set|parts, ground to load|lies in|#rated closed, {say.force_unit}|#mid|#open|held by"
    yield Table(words(heads), tuple(_set(one, say) for one in shown))
    if len(card.sets) > MOST_SETS:
        yield Paragraph(f"{len(card.sets) - MOST_SETS} more sets: {CREW_PAGE}.")
    yield Paragraph(
        f"Rated along the strut at {ratio(card.factor)}, at or under that length; a strut by itself, its straps not. "
        "Step of each set: assembled at once; restrained only where it says held by."
    )
    if card.across:
        yield Points("About several sets:", _across(card.across))


def _across(said: tuple[str, ...]) -> tuple[str, ...]:
    more = (f"{len(said) - MOST_SAID} more: {CREW_PAGE}",) if len(said) > MOST_SAID else ()
    return (*(short(one, 120) for one in said[:MOST_SAID]), *more)


def _key(card: CardResult) -> str:
    return "".join(one if one.isascii() and one.isalnum() else "-" for one in card.name)[:40]


def _set(one: SetShown, say: Say) -> tuple[str, ...]:
    loads = [UNKNOWN if load is None else _down(load, say) for _, load in one.rated]
    loads = ["unrated" if load == UNKNOWN else load for load in loads]
    loads += [loads[-1] if loads else "none"] * (3 - len(loads))
    held = say.pieces(one.ties) if one.ties else "NOTHING: not restrained"
    name = short(one.name, 12)
    if not one.usable:
        why = one.unfit[0] if one.unfit else "it is no legal strut"
        return (
            f"{name}: DO NOT USE",
            short(why, 90),
            short(one.where, 16) or UNKNOWN,
            "none",
            "none",
            "none",
            "",
        )
    return (name, short(say.stack(one.parts), 90), short(one.where, 16) or UNKNOWN, *loads, held)


def _down(load: Fraction, say: Say) -> str:
    return units.show(load, "force", say.system, "down", unit=False)


def bars(sets: Iterable[SetShown], say: Say, key: str) -> Markup:
    """A bar for each set over one scale of lengths; holes between single settings stay white."""
    drawn = list(sets)
    reached = [one.assembly for one in drawn if one.assembly is not None]
    top = max((one.open for one in reached), default=1)
    row, left, wide = 26, 60, 720
    scale = (wide - left - 90) / top
    marks = [svg.line(left, 4, left, row * len(drawn) + 4, "thin")]
    for n, one in enumerate(drawn):
        y = n * row + 6
        marks.append(svg.text(0, y + 15, short(one.name, 7), class_="big"))
        if one.assembly is None or not one.usable:
            marks.append(svg.text(left + 4, y + 15, "DO NOT USE", class_="big"))
            continue
        for low, high in one.assembly.spans:
            marks.append(svg.box(left + low * scale, y, max((high - low) * scale, 2), row - 8, "bar"))
        low, high = one.assembly.closed, one.assembly.open
        marks.append(svg.text(left + low * scale - 4, y + 15, say.bare_length(low, "up"), class_="big end"))
        marks.append(svg.text(left + high * scale + 4, y + 15, say.length(high, "down"), class_="big"))
    title = "Lengths of each ready set, closed to open, from 0 at the left"
    return svg.drawing(wide, row * len(drawn) + 8, title, *marks, key=key)


def _aims(card: CardResult, say: Say) -> Iterator[Block]:
    if not card.angles_deg:
        yield Paragraph("The rule on angles is off: no angle to table.")
        return
    if not card.aims:
        yield Paragraph("No ready set reaches a round height at these angles.")
        return
    columns = [Column(f"contact, {say.length_unit}", "figures")]
    for angle in card.angles_deg:
        columns += [Column(f"{_deg(angle)} strut", "figures"), Column("base out", "figures"), Column("sets")]
    yield Table(tuple(columns), tuple(_aim(row, say) for row in card.aims))
    yield Paragraph(
        "Contact above the ground at the base (add the ground's drop). Strut is seat to seat; base out is from "
        "straight under the contact. Angles from the horizontal, the flattest and steepest the rules allow "
        "unless asked. "
        f"{NO_SET}: no ready set does it there; build one, or move the base between the two."
    )


def _aim(row: tuple[Aim, ...], say: Say) -> tuple[str, ...]:
    cells = [say.bare_length(row[0].height, "nearest")]
    flattest = min(one.angle_deg for one in row)
    for one in row:
        toward: Rounding = "down" if one.angle_deg == flattest else "up"
        named = " ".join(short(name, 6) for name in one.sets[:6])
        cells += [say.bare_length(one.length, toward), say.bare_length(one.offset, toward), named or NO_SET]
    return tuple(cells)


def _deg(angle: Fraction) -> str:
    return f"{float(angle):g}°"


def _straps(card: CardResult, say: Say) -> Iterator[Block | Figure]:
    narrow, wide = card.half_angles_deg
    yield Figure(
        vee(narrow, wide, "door-vee-" + _key(card)),
        f"One strap on each side of the strut's line, {_deg(narrow)} to {_deg(wide)} from it; never both on one side.",
    )
    yield from straps(card, say, MOST_TIES)


def straps(card: CardResult, say: Say, most: int | None = None) -> Iterator[Block]:
    """What a base takes, and what each kind of strap or chain holds; with ``most`` the first so many kinds."""
    held = f"The usable pieces hold {counted(card.bases_held, 'base')}." if card.bases_held else NO_BASE
    kinds = tuple(_tie(one, say) for one in card.ties[:most])
    more = len(card.ties) - len(kinds)
    yield Points(
        f"Each base: at least {card.ties_per_base} straps or chains of its own, of one kind, and "
        f"{counted(card.points_per_base, 'usable point')}. {held}",
        kinds + ((f"{more} more: {CREW_PAGE}",) if more else ()),
    )


def _tie(one: TieHold, say: Say) -> str:
    rated = UNKNOWN if one.rated is None else f"{_down(one.rated, say)} {say.force_unit}"
    said = f"{short(say.name(one.part), LONGEST_NAME)}: {one.usable} usable, rated {rated}"
    if not one.holds:
        return said
    number, thrust = one.holds[0]
    return (
        f"{said}; {number} at {_deg(one.half_angle_deg)}, level, hold a thrust of {_down(thrust, say)} {say.force_unit}"
    )


def vee(narrow: Fraction, wide: Fraction, key: str) -> Markup:
    """Two straps from above, drawn at the widest half-angle, the narrowest dashed beside it."""
    x, y = 190.0, 165.0
    marks = [
        svg.box(40, 12, 300, 14, "adapter"),
        svg.text(190, 10, "vehicle", class_="mid"),
        svg.line(x, y, x, 26, "ink"),
        svg.text(x + 6, 60, "strut"),
    ]
    for side in (-1, 1):
        for half, kind in ((float(wide), "strap"), (float(narrow), "dash")):
            across, along = math.sin(math.radians(half)), math.cos(math.radians(half))
            reach = min(139 / max(along, 0.01), 149 / max(across, 0.01))
            end = (x + side * reach * across, y - reach * along)
            marks.append(svg.line(x, y, *end, kind))
        marks.append(svg.text(x + side * 70, 120, f"{_deg(wide)} at most", class_="end" if side < 0 else ""))
    marks += [svg.box(x - 9, y - 4, 18, 14, "fitting"), svg.text(x + 16, y + 8, "base")]
    return svg.drawing(
        380, 185, "Two straps in a V from the base to the vehicle, one on each side of the strut", *marks, key=key
    )


def helpers(helping: tuple[Helper, ...] | None, most: int | None = None) -> Iterator[Block]:
    """Other rigs, the one that helps most first; with ``most`` the first so many, and scenes, of each."""
    if helping is None:
        yield Paragraph("UNKNOWN: no other cache was given when this page was made.")
        return
    for one in helping[:most]:
        items = [
            f"{short(scene, 44)}: {here} of {wanted} here, {both} with it"
            for scene, wanted, here, both in one.scenes[:most]
        ]
        held = (
            f"most restrained at once at any one length: {one.restrained_here} here, {one.restrained_together} with it"
        )
        first = f", {len(items)} of {len(one.scenes)} scenes" if len(one.scenes) > len(items) else ""
        yield Points(f"{short(one.title, 40)} (counted {one.counted}){first}:", (*items, held))
    rigs = len(helping) - len(helping[:most])
    if rigs or any(len(one.scenes) > len(one.scenes[:most]) for one in helping):
        yield Paragraph(f"{f'{rigs} more rigs, and the' if rigs else 'The'} other scenes: {CREW_PAGE}.")
