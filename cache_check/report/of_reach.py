"""The answer of ``reach``: the asked length first; assemblies, union, blind spots, how many at once."""

from collections.abc import Iterator

from cache_check.model.assembly import Assembly
from cache_check.model.counting import Tally
from cache_check.model.result import Profile, Reach, ReachResult
from cache_check.report import cells, lengths, shortly, tally
from cache_check.report.answer import ENDING, LENGTHS, REACH, Told, Topic
from cache_check.report.lengths import shown_stretches
from cache_check.report.page import Block, Line, Part, Short
from cache_check.report.say import Say

TABLE = "lengths"
SECTIONS: dict[str, Topic] = {
    "at": Topic("Struts on each step", lambda one, say: tally.tally((one.at,) if one.at else (), say), cells.TALLIES,
                lambda one, say: cells.tallies((one.at,) if one.at else (), say)),
    "reach": REACH,
    "lengths": LENGTHS,
    "assemblies": Topic("Assemblies", lambda one, say: _assemblies(one.reach, say),
                        f"{cells.STACK}|#settings, none where any",
                        lambda one, say: ((*cells.stack(each, say), _settings(each)) for each in one.reach.assemblies),
                        untold=lambda one: _unlisted(one.reach)),
    **ENDING,
}  # fmt: skip


def short(result: ReachResult, _: Told) -> Short:
    """The asked length and nothing else; without one, what is reached and how many at most at once."""
    say = Say.of(result)
    head = shortly.head(result.title, result.basis)
    if result.at is not None:
        return (head, _at(result.at, say), shortly.worst_loss((result.at,), say), shortly.unknown(result.basis.unknown))
    spots = lengths.blind_spots(result.reach, say)
    why = f"; {result.reach.why}" * bool(result.reach.why)
    lengths_said = say.reachable(result.reach.union) + why
    reached = Line("Reach", f"{result.reach.count:,} assemblies, one at a time: {lengths_said}")
    blind = Line("Blind spots", "; ".join(spots) or "none")
    most = tuple(_most(one, say) for one in result.profiles)
    unknown = shortly.unknown([*result.basis.unknown, *map(": ".join, result.untold)])
    return (head, Part((reached, blind), "reach"), Part(most, "lengths"), unknown)


def _at(one: Tally, say: Say) -> Part:
    label = f"{say.asked(one.shortest, one.longest)} {say.length_unit}"
    steps = ", ".join(
        tally.UNRULED if step == "restrained" and count is None else f"{count} {step}"
        for step, count in one.counts
        if step == "restrained" or (count is not None and step != "one missing")
    )
    zero = f": {one.why_zero[-1][1]}" if one.why_zero and not one.best.count else ""
    asked = "" if one.load is None else f", {tally.lead(one, say).partition(', ')[2]}"
    asked += f"; {tally.UNRULED}" * (one.load is not None and one.count("restrained") is None)
    lines = [(label, f"{one.best.count} {one.asked_step}{asked}{zero}"), ("Steps", steps)]
    lines += [] if zero else [("Next strut", say.wants(one.binding, 3).removeprefix("the next "))]
    lines += [("One way", way)] if (way := say.way(one.best)) else []
    return Part(tuple(Line(*line) for line in lines))


def _most(one: Profile, say: Say) -> Line:
    if not any(step.count for step in one.stretches):
        return Line("At most", f"0 {one.step}, at any length")
    where, best = max(shown_stretches(one.stretches, say), key=lambda shown: int(shown[1]))
    where = where.removeprefix("at ").removesuffix(", nothing between them")
    return Line("At most", f"{best} {one.step}, as at {where} {say.length_unit}")


def _unlisted(reach: Reach) -> str | None:
    return f"--limit {reach.count} lists them" if reach.count and not reach.assemblies else None


def _settings(one: Assembly) -> int | None:
    """How many lengths it can be set to; none where that is any in its span."""
    return None if len(one.spans) == 1 and one.closed < one.open else len(one.spans)


def _assemblies(reach: Reach, say: Say) -> Iterator[Block]:
    if not reach.assemblies:
        how = _unlisted(reach)
        yield f"{reach.count:,} legal, not listed; {how}." if how else "None."
        return
    yield "Weight is with loose pins, without straps or chains. Each line may be built by itself, not all at once."
    rows = (
        (*cells.stack(one, say)[:3], _settings(one) or "any", one.extensions, say.bare_mass(one.mass))
        for one in reach.assemblies
    )
    yield say.table("assembly, ground to load|" + cells.ENDS + "|settings|#extensions|#weight, {mass}", rows)
