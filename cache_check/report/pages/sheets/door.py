"""The door card: which set for which length, how far out, how it is held, whom to call; on one printed side.

It is read with gloves on: set letters are the largest thing on it, figures come next, words are few.  Sizes follow
guidance on checklists for flight decks (NASA CR-177605, 1992, from memory: capitals of 0.10 in and more, larger for
what matters in an emergency, black on white, short lines); a test measures them in print.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from cache_check.errors import grouped
from cache_check.model.card import Aim, CardResult, Helper, SetShown, TieAtHand
from cache_check.model.counting import SceneServed
from cache_check.report import basis
from cache_check.report.answer import Told
from cache_check.report.page import Block, Points, short
from cache_check.report.pages.shell import Part, Sheet, Widget
from cache_check.report.say import UNKNOWN, Say, counted, listed
from cache_check.units import Rounding

KIND, NAME, ORDER, OF = "door", "Door card", 20, "doors"
MOST_TIES, MOST_SCENES = 3, 2
HEIGHTS = (13, 13, 10, 8, 6, 3)  # heights a side has room for beside so many rows of sets; more rows do not fit
LONGEST_NAME = 24
CREW_PAGE = "on the crew page"
NO_BASE = "NO base of this cache can be restrained with what is usable."
UNRULED = "NOT KNOWN, since no rule says how many straps hold it"


def sheet(card: CardResult, _told: Told, _key: str) -> Sheet:
    """The card.  Long names and long lists are cut short here, and said to be; the crew page has them whole."""
    say = Say(card.basis.units, tuple((part, short(name, LONGEST_NAME)) for part, name in card.names))
    key = "door-" + "".join(one if one.isascii() and one.isalnum() else "-" for one in card.name)[:40]
    heading = "Ready sets" if all(one.built for one in card.sets) else "PROPOSED sets: not built"
    part = Part(heading, (Widget("door.html.j2", "", key, _data(card, say)),))
    return Sheet("door", short(card.title, 40), basis.head(card.basis), (part,), of=card.name)


def _data(card: CardResult, say: Say) -> dict[str, Any]:
    one = card.basis
    off = len(one.rules_off)
    counts = ((len(one.unknown), "not known"), (len(one.ignored), "not counted"), (off, f"rule{'s' * (off > 1)} off"))
    unknown = [f"{number} {what}" for number, what in counts if number]
    edition = listed((f"{short(family, 12)} {short(chart, 24)}" for family, chart in card.charts), "and")
    cut = [short(one.name, 6) for one in card.sets]  # a number stands for a name where that would be another's too
    each = enumerate(zip(card.sets, cut, strict=True), 1)
    labels = {one.name: said if cut.count(said) == 1 else f"#{n}" for n, (one, said) in each}
    told = (_set(one, labels[one.name], card, say) for one in card.sets)
    alike = grouped((tuple(one.values())[1:], one) for one in told)  # save for the name
    rows = [same[0] | {"names": [one["name"] for one in same]} for same in alike.values()]
    shown = rows[: len(HEIGHTS) - 1]
    aims, most = card.aims, HEIGHTS[len(shown)]
    if len(aims) > most:  # evenly, the lowest and the highest among them
        aims = tuple(aims[round(n * (len(aims) - 1) / (most - 1))] for n in range(most))
    return {
        "sets": shown,
        "more": sum(len(row["names"]) for row in rows[len(shown) :]),
        "factor": basis.at_factor(card.basis, card.factor, marked=card.marked),
        "chart": f"Chart: {edition}." if card.charts else "NO CHART: nothing here is rated.",
        "across": [short(one, 120) for one in (*card.unbuilt, *card.across[:2])],
        "unit": say.length_unit,
        "angles": [f"{float(angle):g}°" for angle in card.angles_deg],
        "aims": [_aim(row, labels, say) for row in aims],
        "straps": _straps(card, say),
        "loose": short(say.pieces(card.loose), 200),
        "call": list(_call(card.helpers)),
        "unknown": f"{', '.join(unknown)}: {CREW_PAGE}." if unknown else "",
    }  # fmt: skip


def _set(one: SetShown, label: str, card: CardResult, say: Say) -> dict[str, Any]:
    of = f" of {one.rig}" * card.basis.pooled
    told: dict[str, Any] = {
        "name": label, "built": one.built, "usable": one.usable, "where": (short(one.where, 16) or UNKNOWN) + of,
        "parts": f"{short(one.name, 30)}: " * label.startswith("#") + short(say.stack(one.parts), 80),
        "why": short(one.unfit[0] if one.unfit else "no legal strut", 90),
    }  # fmt: skip
    if not one.usable or one.assembly is None:
        return told
    low, high = say.bare_length(one.assembly.closed, "up"), say.bare_length(one.assembly.open, "down")
    settings = len(one.assembly.spans)
    contacts = next((piece.contacts for piece in card.pieces if piece.part == one.assembly.load), ())
    loads = [load for _, load in one.rated]
    least = None if None in loads else min((load for load in loads if load is not None), default=None)
    return told | {"low": low, "high": high, "settings": f"{settings} settings" if settings > 1 else "",
                   "head": listed(contacts) if contacts else "what it is made for is not known",
                   "rated": "UNRATED" if least is None else say.bare_down(least),
                   "force": "" if least is None else say.force_unit, "held": held(one, card, say)}  # fmt: skip


def held(one: SetShown, card: CardResult, say: Say) -> str:
    """What holds a set, and what nobody knows: what its points hold, whether so many are enough."""
    base = one.assembly.ground if one.assembly else ""
    points = "; its points: limit UNKNOWN" * ((base, None) in card.finder.points and bool(one.ties))
    return held_by(one.ties, base, card, say) + points


def held_by(ties: Iterable[tuple[str, int]], base: str, card: CardResult, say: Say) -> str:
    """The straps or chains of a base; where no rule says how many hold one, whether it is held is not known."""
    pointed = any(piece.part == base and piece.pointed for piece in card.pieces)
    if not card.ties_per_base and (pointed or ties):
        return f"{UNRULED}; {say.pieces(ties) if ties else 'none'} allotted"
    return say.pieces(ties) if ties else "NOTHING: not restrained"  # too few points, or a rule asks for straps it lacks


def _aim(row: tuple[Aim, ...], labels: Mapping[str, str], say: Say) -> dict[str, Any]:
    flattest, cells = min(one.angle_deg for one in row), []
    for one in row:
        toward: Rounding = "down" if one.angle_deg == flattest else "up"
        long, out = (say.bare_length(nm, toward) for nm in (one.length, one.offset))
        cells.append({"length": long, "out": out, "sets": " ".join(labels[name] for name in one.sets[:6])})
    return {"height": say.bare_length(row[0].height, "nearest"), "cells": cells}


def _straps(card: CardResult, say: Say) -> list[str]:
    narrow, wide = card.half_angles_deg
    lines = [
        f"On each base {_least(card)}, of one kind, on both sides of the strut's line, "
        f"{float(narrow):g}° to {float(wide):g}° from it. Never all on one side."
    ]
    lines += straps(card, say).items[:MOST_TIES]
    return [*(lines if card.ties_per_base else lines[1:]), _held(card, "They hold")]


def _least(card: CardResult) -> str:
    kinds = "strap or chain" if card.ties_per_base == 1 else "straps or chains"
    return f"at least {card.ties_per_base} {kinds} of its own"


def _held(card: CardResult, what: str) -> str:
    """How many bases are held, which nobody knows where no rule says by how many."""
    if not card.ties_per_base:
        return "No rule in force says how many straps hold a base: whether any is held is NOT KNOWN."
    return f"{what} {counted(card.bases_held, 'base')}." if card.bases_held else NO_BASE


def _call(helping: tuple[Helper, ...] | None) -> Iterator[str]:
    if helping is None:
        yield "UNKNOWN: no other rig was named when this card was made."
        return
    for one in helping[:MOST_SCENES]:
        scenes = [
            f"{short(here.title or here.scene, 30)} {_with(both)} (here {here.served})"
            for here, both in one.scenes
            if both.served > here.served or (both.verdict == "not known" and here.verdict == "not met")
        ]
        more = f"; {len(scenes) - MOST_SCENES} more scenes: {CREW_PAGE}" if len(scenes) > MOST_SCENES else ""
        yield f"{short(one.title, 24)}: {'; '.join(scenes[:MOST_SCENES]) or 'no scene gains'}{more}."
    if len(helping) > MOST_SCENES:
        yield f"{len(helping) - MOST_SCENES} more rigs: {CREW_PAGE}."


def _with(both: SceneServed) -> str:
    """How many struts a scene then has, and what it is where nobody knows or all of them are no yes."""
    untrue = both.verdict == "not known" or (not both.met and both.served >= both.wanted)
    return f"{both.served} of {both.wanted}" + f" {both.verdict.upper()}" * untrue


def straps(card: CardResult, say: Say) -> Points:
    """What a base takes, and what each kind of strap or chain holds."""
    own = f"Each base: {_least(card)}, of one kind, and {counted(card.points_per_base, 'usable point')}. "
    lead = own * bool(card.ties_per_base) + _held(card, "The usable pieces hold")
    return Points(lead, tuple(_tie(card, one, say) for one in card.finder.ties if one.booked))


def _tie(card: CardResult, one: TieAtHand, say: Say) -> str:
    rated = UNKNOWN if one.rated is None else say.down(one.rated)
    said = f"{short(say.name(one.part), LONGEST_NAME)}: {one.usable} usable, rated {rated}"
    if not one.holds:
        return said
    on = f"{card.finder.fans[0].number} at {float(card.half_angles_deg[1]):g}°, level, hold a thrust of"
    pointed = {piece.part for piece in card.pieces if piece.pointed}
    beside = [(f"points of {say.name(base)}", holds) for base, holds in card.finder.points if base in pointed]
    beside += [(say.name(part), holds) for part, holds in card.finder.hardware if part in dict(one.needs)]
    if bare := [name for name, holds in beside if holds is None]:
        return f"{said}; {on} {UNKNOWN}: no limit of {listed(bare)}"
    least, by = min([(one.holds[0], ""), *((holds[0], f" ({name})") for name, holds in beside if holds)])
    return f"{said}; {on} {say.down(least)}{by}"


def helpers(helping: tuple[Helper, ...] | None) -> Iterator[Block]:
    """Other rigs, the one that helps most first."""
    if helping is None:
        yield "UNKNOWN: no other cache was given when this page was made."
        return
    for one in helping:
        scenes = ((short(here.title or here.scene, 44), here.served, _with(both)) for here, both in one.scenes)
        items = (f"{title}: {number} here, {then} with it" for title, number, then in scenes)
        here, both = ("NOT KNOWN" if n is None else n for n in (one.restrained_here, one.restrained_together))
        held = f"most restrained at once at any one length: {here} here, {both} with it"
        yield Points(f"{short(one.title, 40)} (counted {one.counted}):", (*items, held))
