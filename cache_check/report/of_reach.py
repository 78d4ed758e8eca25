"""The answer of ``reach``: the asked length first; assemblies, union, blind spots, how many at once."""

from __future__ import annotations

from cache_check.model.assembly import Assembly
from cache_check.model.counting import Tally
from cache_check.model.result import Profile, Reach, ReachResult
from cache_check.report import data, lengths, shortly, tally
from cache_check.report.answer import ENDING, Maker, Told, untold
from cache_check.report.lengths import shown_stretches
from cache_check.report.page import Line, Part, Section, Short, Table, words
from cache_check.report.say import Say

TABLES = data.REACHED
SECTIONS: dict[str, Maker] = {
    "at": lambda one, _: tally.tally((one.at,) if one.at else (), Say.of(one)),
    "reach": lambda one, _: lengths.reach(one.reach, Say.of(one)),
    "lengths": untold("how many at once, by length", lambda one, _: lengths.profiles(one.profiles, Say.of(one))),
    "assemblies": lambda one, _: _assemblies(one.reach, Say.of(one)),
    **ENDING,
}


def title(result: ReachResult) -> str:
    """The head of the whole page."""
    return f"{result.title}: what it reaches"


def short(result: ReachResult, _: Told) -> Short:
    """The asked length and nothing else; without one, what is reached and how many at most at once."""
    say = Say.of(result)
    head = shortly.head(result.title, result.basis)
    if result.at is not None:
        return (head, _at(result.at, say), shortly.worst_loss((result.at,), say), shortly.unknown(result.basis.unknown))
    spots = lengths.blind_spots(result.reach, say)
    reached = Line("Reach", f"{result.reach.count:,} assemblies, one at a time: {say.reachable(result.reach.union)}")
    blind = Line("Blind spots", "; ".join(spots) or "none")
    most = tuple(_most(one, say) for one in result.profiles)
    unknown = shortly.unknown([*result.basis.unknown, *shortly.untold(result.untold)])
    return (head, Part((reached, blind), "reach"), Part(most, "lengths"), unknown)


def _at(one: Tally, say: Say) -> Part:
    """One length: how many on the step asked, the steps on the way there, what would allow one more, one way."""
    label = f"{say.asked(one.shortest, one.longest)} {say.length_unit}"
    steps = ", ".join(f"{count} {step}" for step, count in one.counts if count is not None and step != "one missing")
    zero = f": {one.why_zero[-1][1]}" if one.why_zero and not one.best.count else ""
    asked = "" if one.load is None else f", {tally.lead(one, say).partition(', ')[2]}"
    lines = [
        Line(label, f"{one.best.count} {one.asked_step}{asked}{zero}"),
        Line("Steps", steps),
        Line("Next strut", say.wants(one.binding, 3).removeprefix("the next ")),
    ]
    way = say.way(one.best)
    lines += [Line("One way", way)] if way else []
    return Part(tuple(lines))


def _most(one: Profile, say: Say) -> Line:
    """The most at once on a step, and the first lengths where."""
    if not any(step.count for step in one.stretches):
        return Line("At most", f"0 {one.step}, at any length")
    where, best = max(shown_stretches(one.stretches, say), key=lambda shown: int(shown[1]))
    where = where.removeprefix("at ").removesuffix(", nothing between")
    return Line("At most", f"{best} {one.step}, as at {where} {say.length_unit}")


def _assemblies(reach: Reach, say: Say) -> Section:
    if not reach.assemblies:
        text = f"{reach.count:,} legal, not listed; --limit {reach.count} lists them." if reach.count else "None."
        return Section("Assemblies", (text,))
    note = "Weight is with loose pins, without straps or chains. Each line may be built by itself, not all at once."
    heads = f"assembly, ground to load|#closed, {say.length_unit}|#open, {say.length_unit}|settings|#extensions"
    table = Table(words(f"{heads}|#weight, {say.mass_unit}"), tuple(_row(one, say) for one in reach.assemblies))
    return Section("Assemblies", (note, table))


def _row(one: Assembly, say: Say) -> tuple[str, ...]:
    return (
        say.stack(one.parts),
        say.bare_length(one.closed, "up"),
        say.bare_length(one.open, "down"),
        "any" if len(one.spans) == 1 and one.closed < one.open else str(len(one.spans)),
        str(one.extensions),
        say.bare_mass(one.mass),
    )
