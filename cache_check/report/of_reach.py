"""The page of ``reach``: assemblies, union, blind spots, how many at once; and the tally at one length."""

from __future__ import annotations

from collections.abc import Sequence

from cache_check.model.assembly import Assembly
from cache_check.model.cache import Source
from cache_check.model.result import Reach, ReachResult
from cache_check.model.rule import RuleBook
from cache_check.report import basis, lengths, tally
from cache_check.report.caution import caution, reminder
from cache_check.report.page import Page, Paragraph, Section, Table, words
from cache_check.report.say import Say


def page(result: ReachResult, book: RuleBook, read: Sequence[Source] = ()) -> Page:
    """The page; the asked length, if any, comes first."""
    say = Say(result.basis.units, result.names)
    at = () if result.at is None else (tally.tally((result.at,), say),)
    return Page(
        f"{result.title}: what it reaches",
        (
            Section("In short", (reminder(), basis.head(result.basis))),
            *at,
            lengths.reach(result.reach, say),
            lengths.profiles(result.profiles, say),
            _assemblies(result.reach, say),
            basis.rests_on(result.basis, book, read),
            caution(),
        ),
    )


def _assemblies(reach: Reach, say: Say) -> Section:
    if not reach.assemblies:
        text = f"{reach.count:,} legal, not listed; --limit {reach.count} lists them." if reach.count else "None."
        return Section("Assemblies", (Paragraph(text),))
    heads = f"assembly, ground to load|#closed, {say.length_unit}|#open, {say.length_unit}|settings|#extensions"
    rows = tuple(_row(one, say) for one in reach.assemblies)
    note = "Weight is with loose pins, without straps or chains. Each line may be built by itself, not all at once."
    return Section("Assemblies", (Paragraph(note), Table(words(f"{heads}|#weight, {say.mass_unit}"), rows)))


def _row(one: Assembly, say: Say) -> tuple[str, ...]:
    return (
        say.stack(one.parts),
        say.bare_length(one.closed, "up"),
        say.bare_length(one.open, "down"),
        "any" if len(one.spans) == 1 and one.closed < one.open else str(len(one.spans)),
        str(one.extensions),
        say.bare_mass(one.mass),
    )
