"""The verbs: from caches to answers.  The commands use these and nothing deeper.

Each verb takes what was read and returns a typed result (``cache_check.model.result``) in base units.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from fractions import Fraction
from typing import TYPE_CHECKING

from cache_check.errors import AskError
from cache_check.model.assembly import Span
from cache_check.model.cache import Cache, Stock
from cache_check.model.need import Needs, Scene
from cache_check.model.result import (
    Basis,
    BuildResult,
    CheckResult,
    Ladder,
    ReachResult,
    RulesResult,
    Rung,
)
from cache_check.model.rule import RuleBook, Setting
from cache_check.units import NM_PER_INCH, NM_PER_MM, System, show

if TYPE_CHECKING:
    import networkx as nx

    from cache_check.planning.muster import Muster

LIST_AT_MOST = 2_000
"""More assemblies than this are counted, not listed, unless asked for."""


@dataclass(frozen=True)
class WhatIf:
    """What to suppose: pieces gone, pieces there, a design factor, a day, a unit system to show.

    ``without`` and ``extra`` are (part name or id, how many); how many None means all of them.
    """

    without: tuple[tuple[str, int | None], ...] = ()
    extra: tuple[tuple[str, int], ...] = ()
    factor: Fraction | None = None
    on: date | None = None
    units: System | None = None
    settings: tuple[Setting, ...] = ()


def check(cache: Cache, book: RuleBook, *, needs: Needs | None = None, suppose: WhatIf | None = None) -> CheckResult:
    """The main job: the ladder at the needs, reach, matched sets, gaps and findings of one cache or pool.

    Raises:
        AskError: something supposed cannot be (an unknown part, more pieces gone than there are).
        NoPlanError: an optimum could not be proven in time.
    """
    from cache_check.checks.facts import Facts
    from cache_check.checks.run import findings, gaps
    from cache_check.joining.reach import reach_of
    from cache_check.planning.profile import matched_sets, profile
    from cache_check.planning.scenes import scene

    muster = _muster(cache, book, suppose)
    reached = reach_of(muster.joined, LIST_AT_MOST)
    scenes = _scenes(needs, suppose)
    ladders = tuple(_ladders(muster, scenes, reached.union))
    answers = tuple(scene(muster, wanted) for wanted in scenes)
    facts = Facts(muster, scenes, ladders, answers, reached)
    rungs: tuple[Rung, ...] = ("buildable", "standing", "restrained")
    profiles = tuple(profile(muster, rung) for rung in rungs)
    return CheckResult(
        name=cache.id,
        title=cache.title,
        basis=_basis(muster, suppose, asked=any(ladder.load is not None for ladder in ladders)),
        names=_names(muster),
        parts=muster.usable.lines,
        ladders=ladders,
        scenes=answers,
        reach=reached,
        profiles=profiles,
        matched=tuple(matched for of in profiles[1:] for matched in matched_sets(muster, of)),
        gaps=gaps(facts),
        findings=findings(facts),
    )


def reach(
    cache: Cache,
    book: RuleBook,
    *,
    suppose: WhatIf | None = None,
    load: Fraction | None = None,
    at: int | None = None,
    list_at_most: int = LIST_AT_MOST,
) -> ReachResult:
    """Assemblies, union, blind spots and profiles; with ``at`` (nm) the ladder at that length.

    ``load`` (N) adds the rung rated to the profiles and the ladder.

    Raises:
        AskError: something supposed cannot be.
        NoPlanError: an optimum could not be proven in time.
    """
    from cache_check.joining.reach import reach_of
    from cache_check.planning.ladder import ladder
    from cache_check.planning.muster import Ask
    from cache_check.planning.profile import profile

    muster = _muster(cache, book, suppose)
    rungs: tuple[Rung, ...] = ("buildable", "standing", "restrained")
    profiles = [profile(muster, rung) for rung in rungs]
    if load is not None:
        profiles.append(profile(muster, "rated", load, muster.factor()))
    label = "" if at is None else show(at, "length", _units(cache, suppose), "nearest")
    return ReachResult(
        name=cache.id,
        title=cache.title,
        basis=_basis(muster, suppose, asked=load is not None),
        names=_names(muster),
        reach=reach_of(muster.joined, list_at_most),
        profiles=tuple(profiles),
        at=None if at is None else ladder(muster, Ask(at, at, load, muster.factor()), label),
    )


def build(cache: Cache, book: RuleBook, parts: Sequence[str], *, suppose: WhatIf | None = None) -> BuildResult:
    """Whether parts, named ground to load, may be built, and the nearest legal build of what is usable.

    Raises:
        AskError: a part that the catalogue does not know, or one that is no piece of a stack.
    """
    from cache_check.joining.explain import explain
    from cache_check.model.part import LINEAR

    muster = _muster(cache, book, suppose)
    named = [cache.catalogue.by_id[part_id(cache, name)] for name in parts]
    for part in named:
        if part.kind not in LINEAR:
            raise AskError(
                f"{part.name} is a {part.kind}; name bases, extensions, adapters, bodies and heads only: "
                "pins and straps are counted for you"
            )
    return BuildResult(
        name=cache.id,
        title=cache.title,
        basis=_basis(muster, suppose, asked=False),
        names=_names(muster),
        verdict=explain(named, muster.joined),
    )


def graph(cache: Cache, book: RuleBook, *, suppose: WhatIf | None = None) -> nx.DiGraph[str]:
    """The joint graph of the usable parts; see ``cache_check.joining.graph`` for what nodes and edges carry."""
    from cache_check.joining.graph import join_graph

    muster = _muster(cache, book, suppose)
    return join_graph(cache.catalogue, muster.usable.counts, muster.book)


def rules(book: RuleBook, cache: Cache | None = None) -> RulesResult:
    """The rules, with the settings that change them on a cache."""
    settled = book if cache is None else _in_force(cache, book, None)
    return RulesResult(settled.version, settled.rules, settled.settings)


def part_id(cache: Cache, name: str) -> str:
    """The id of a part named by its id or, where that is enough, its short name.

    Raises:
        AskError: no part, or several, have the name; the sentence says which come near.
    """
    if name in cache.catalogue.by_id:
        return name
    found = [part.id for part in cache.catalogue.parts if part.name == name]
    if len(found) == 1:
        return found[0]
    if found:
        raise AskError(f"{name!r} is ambiguous here: write {' or '.join(found)}")
    names = sorted(cache.catalogue.short_names.values())
    near = get_close_matches(name, names, n=1)
    hint = f"did you mean {near[0]!r}?" if near else f"parts here: {', '.join(names)}"
    raise AskError(f"{name!r} is not a part of {cache.title}; {hint}")


def _muster(cache: Cache, book: RuleBook, suppose: WhatIf | None) -> Muster:
    from cache_check.joining.stock import usable
    from cache_check.planning.muster import Muster

    suppose = suppose or WhatIf()
    in_force = _in_force(cache, book, suppose)
    on = suppose.on or date.today()
    extra = tuple(
        Stock(part=part_id(cache, name), rig=cache.rigs[0], count=number, where="supposed")
        for name, number in suppose.extra
    )
    supposed = cache.model_copy(update={"stock": (*cache.stock, *extra)}) if extra else cache
    gone: dict[str, int] = {}
    if suppose.without:
        counts = usable(supposed, in_force, on).counts
        for name, number in suppose.without:
            part = part_id(cache, name)
            gone[part] = counts[part] if number is None else gone.get(part, 0) + number
            if gone[part] > counts[part]:
                raise AskError(f"{gone[part]} {name} are supposed gone, {counts[part]} usable")
    return Muster(supposed, in_force, on, gone)


def _in_force(cache: Cache, book: RuleBook, suppose: WhatIf | None) -> RuleBook:
    settings = [*cache.settings, *book.settings, *(suppose.settings if suppose else ())]
    if suppose is not None and suppose.factor is not None:
        settings += [
            Setting(rule=rule.id, values={"factor": suppose.factor}, by="this command", why="another design factor")
            for rule in book.of_kind("load_check")
        ]
    return book.model_copy(update={"settings": tuple(settings), "rigs": cache.rigs})


def _units(cache: Cache, suppose: WhatIf | None) -> System:
    return (suppose.units if suppose else None) or cache.units


def _scenes(needs: Needs | None, suppose: WhatIf | None) -> tuple[Scene, ...]:
    """The scenes asked about; a supposed design factor replaces the needs' own."""
    scenes = needs.scenes if needs else ()
    if suppose is None or suppose.factor is None:
        return scenes
    again = {"factor": suppose.factor}
    return tuple(
        scene.model_copy(update={"needs": tuple(need.model_copy(update=again) for need in scene.needs)})
        for scene in scenes
    )


def _ladders(muster: Muster, scenes: tuple[Scene, ...], union: tuple[Span, ...]) -> Iterator[Ladder]:
    from cache_check.planning.ladder import ladder
    from cache_check.planning.muster import Ask
    from cache_check.planning.scenes import ask_of

    for scene in scenes:
        for need in scene.needs:
            yield ladder(muster, ask_of(need), f"{scene.id}: {need.id}", need.count)
    if not scenes:
        for length in round_lengths(union, muster.cache.units):
            yield ladder(muster, Ask(length, length), show(length, "length", muster.cache.units, "nearest"))


def round_lengths(union: tuple[Span, ...], units: System) -> tuple[int, ...]:
    """At most eight round lengths inside a reach: feet, or quarter metres, or multiples of them."""
    if not union:
        return ()
    low, high = union[0][0], union[-1][1]
    unit = 12 * NM_PER_INCH if units == "us" else 250 * NM_PER_MM
    step = unit
    while high // step - (low - 1) // step > 8:
        step += unit
    return tuple(range(-(-low // step) * step, high + 1, step))


def _names(muster: Muster) -> tuple[tuple[str, str], ...]:
    return tuple(muster.cache.catalogue.short_names.items())


def _basis(muster: Muster, suppose: WhatIf | None, *, asked: bool) -> Basis:
    cache, book = muster.cache, muster.book
    suppose = suppose or WhatIf()
    changes = [f"without {'all' if n is None else n} {name}" for name, n in suppose.without]
    changes += [f"with {number} more {name}" for name, number in suppose.extra]
    if suppose.factor is not None:
        changes.append(f"design factor {suppose.factor}:1")
    return Basis(
        rigs=cache.rigs,
        pooled=len(cache.rigs) > 1,
        units=_units(cache, suppose),
        book_dates=tuple((rig, cache.book_date) for rig in cache.rigs),
        on=muster.on,
        factor=muster.factor() if asked else None,
        rules_version=book.version,
        settings=book.settings,
        rules_off=tuple(rule.id for rule in book.rules if not rule.on),
        changes=tuple(changes),
        ignored=muster.usable.ignored,
        unknown=muster.usable.unknown,
        sources=cache.sources,
    )
