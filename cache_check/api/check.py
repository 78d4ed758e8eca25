"""The main job: what a cache can build, at once, and what it lacks; its reach and joints; whether one stack may be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from cache_check.api.base import LIST_AT_MOST, SECONDS, WhatIf, head_of, muster_of, part_id, tried
from cache_check.checks.facts import Facts
from cache_check.checks.run import findings, lacks
from cache_check.errors import AskError
from cache_check.joining.assemblies import Joinery
from cache_check.joining.explain import explain
from cache_check.joining.joints import join_graph
from cache_check.loads.capacity import lowest
from cache_check.model.assembly import Assembly, Span, merged
from cache_check.model.cache import Cache
from cache_check.model.part import LINEAR
from cache_check.model.result import BuildResult, Carries, CheckResult, MatchedSet, Profile, ReachResult
from cache_check.model.rule import RuleBook
from cache_check.model.verdict import Link
from cache_check.planning.packing.choice import settled
from cache_check.planning.packing.columns import MOST_ASSEMBLIES
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.profile import matched, profiles
from cache_check.planning.packing.rows import unmarked
from cache_check.planning.packing.tally import reach_of, tally
from cache_check.planning.packing.verdicts import facts as facts_of
from cache_check.planning.packing.verdicts import hoped_stock, one_more, unruled
from cache_check.planning.scenes import ask_of, pads_of, scene
from cache_check.units import NM_PER_INCH, NM_PER_MM, System, as_asked, show

if TYPE_CHECKING:
    import networkx as nx

    from cache_check.model.need import Needs, Scene

LENGTHS, SETS, LOSSES = "how many at once, by length", "matched sets", "what each part's loss costs"
"""Parts that may be untold, as a page's sections call them."""


def check(
    cache: Cache, book: RuleBook, *, needs: Needs | None = None, suppose: WhatIf | None = None, whole: bool = True,
    losses: bool = False, seconds: float = SECONDS,
) -> CheckResult:  # fmt: skip
    """The main job: the tally at the needs, reach, matched sets, gaps and findings of one cache or pool.

    What is not ``whole`` has no profiles and no matched sets, which take as long as all the rest; what each part's loss
    costs the scenes is worked out where ``losses`` are asked for.  Where ``seconds`` are not enough for them, for what
    binds or for the worst loss, these are said to be untold.

    Raises AskError: something supposed cannot be (an unknown part, more pieces gone than there are); NoPlanError: an
    optimum could not be proven in time.
    """
    muster = muster_of(cache, book, suppose, seconds, needs=needs)
    reached = reach_of(muster, LIST_AT_MOST)
    scenes = needs.scenes if needs else ()
    asks = () if muster.large else asks_of(scenes, [reached.union], muster.cache.units)
    tallies = tuple(tally(muster, ask, label, wanted) for label, ask, wanted in asks)
    answers = tuple(scene(muster, wanted) for wanted in scenes)
    if len(cache.rigs) > 1 and answers:
        from cache_check.planning.staging.rigs import Rigs

        rigs = Rigs(muster)
        brought = (rigs.bring(one.packing, pads=pads_of(muster, of)) for one, of in zip(answers, scenes, strict=True))
        answers = tuple(replace(one, brings=own) for one, own in zip(answers, brought, strict=True))
    facts = Facts(muster, scenes, tallies, answers, reached)
    lacking = lacks(facts)
    # Of a store too large to list these are not worked out; its scenes and its reach are.
    why = f"limit reached: {muster.laid.assemblies:,} assemblies are more than the {MOST_ASSEMBLIES:,} that are listed"
    parts = ("struts on each step", LENGTHS, SETS, *["what binds in a scene"] * bool(scenes))
    untold = tuple((part, why) for part in parts) if muster.large else ()
    by_length: tuple[Profile, ...] = ()
    sets: tuple[MatchedSet, ...] = ()
    if whole and not muster.large:
        by_length, late = profiles(muster)
        sets, later = ((), late) if late else matched(muster, by_length[1:])
        untold += tuple((part, why) for part, why in ((LENGTHS, late), (SETS, later)) if why)
    lost = None
    if losses and scenes:
        from cache_check.planning.buying.worth import part_losses

        lost, unlost = tried(lambda: part_losses(muster, scenes))
        untold += ((LOSSES, unlost),) if unlost else ()
    return CheckResult(
        *head_of(muster, suppose, scenes=scenes),
        parts=muster.usable.lines, tallies=tallies, scenes=answers, reach=reached, profiles=by_length, matched=sets,
        gaps=tuple(gap for _, gap, _ in lacking), findings=findings(facts, lacking), untold=untold, losses=lost,
    )  # fmt: skip


def asks_of(
    scenes: Sequence[Scene], unions: Iterable[Sequence[Span]], units: System
) -> Iterator[tuple[str, Ask, int | None]]:
    """What is asked, by what it is called, and how many are wanted: every need, else round lengths of the reaches."""
    for one in scenes:
        yield from ((f"{one.id}: {need.id}", ask_of(need), need.count) for need in one.needs)
    if not scenes:
        for length in _round_lengths(merged(span for union in unions for span in union), units):
            yield show(length, "length", units, "nearest"), Ask(length, length), None


def _round_lengths(union: tuple[Span, ...], units: System) -> tuple[int, ...]:
    """At most eight round lengths inside a reach: feet, or quarter metres, or multiples of them."""
    if not union:
        return ()
    low, high = union[0][0], union[-1][1]
    step = unit = 12 * NM_PER_INCH if units == "us" else 250 * NM_PER_MM
    while high // step - (low - 1) // step > 8:
        step += unit
    return tuple(range(-(-low // step) * step, high + 1, step))


def reach(
    cache: Cache, book: RuleBook, *, suppose: WhatIf | None = None, load: Fraction | None = None, at: int | None = None,
    list_at_most: int = LIST_AT_MOST, seconds: float = SECONDS,
) -> ReachResult:  # fmt: skip
    """Assemblies, union, blind spots and profiles; with ``at`` (nm) the tally at that length.

    ``load`` (N) adds the step rated to both.  Profiles that ``seconds`` are not enough for are untold.

    Raises AskError: something supposed cannot be; NoPlanError: an optimum could not be proven in time.
    """
    muster = muster_of(cache, book, suppose, seconds, load=load)
    label = "" if at is None else as_asked(at, muster.cache.units)
    at_length = None if at is None else tally(muster, Ask(at, at, load), label)
    by_length, late = profiles(muster, load)
    doubt = "" if at is not None else muster.doubts(Ask(0, 0, load))
    untold = tuple((part, why) for part, why in ((LENGTHS, late), ("struts rated", doubt)) if why)
    return ReachResult(
        *head_of(muster, suppose, asked=load is not None), reach=reach_of(muster, list_at_most),
        profiles=by_length, at=at_length, untold=untold,
    )  # fmt: skip


def graph(cache: Cache, book: RuleBook, *, suppose: WhatIf | None = None) -> nx.DiGraph[str]:
    """The joint graph of the usable parts; see ``cache_check.joining.joints`` for what nodes and edges carry."""
    muster = muster_of(cache, book, suppose)
    return join_graph(muster.cache.catalogue, muster.usable.counts, muster.book)


def build(cache: Cache, book: RuleBook, parts: Sequence[str], *, suppose: WhatIf | None = None) -> BuildResult:
    """Whether parts, named ground to load, may be built, and the nearest legal build of what is usable.

    Raises AskError: a part that the catalogue does not know, or one that is no piece of a stack.
    """
    muster = muster_of(cache, book, suppose)
    named = [cache.catalogue.by_id[part_id(cache, name)] for name in parts]
    for part in named:
        if part.kind not in LINEAR:
            only = "name bases, extensions, adapters, bodies and heads only: pins and straps are counted for you"
            raise AskError(f"{part.name} is a {part.kind}; {only}")
    verdict = explain(named, Joinery(muster.cache.catalogue, muster.usable.counts, muster.book))
    carries = None if verdict.assembly is None else _carries(muster, verdict.assembly, verdict.short_of)
    return BuildResult(*head_of(muster, suppose, asked=False), verdict=verdict, carries=carries)


def _carries(muster: Muster, assembly: Assembly, short: Sequence[tuple[str, int, int]]) -> Carries:
    factor, ends = muster.factor(), (assembly.closed, assembly.open)
    chains = [muster.capacity.links(assembly, *span, factor) for span in ((end, end) for end in ends)]
    closed, opened = map(lowest, chains)
    between = "" if closed is None or opened is None else "UNRATED between them: "  # a chart may have a gap
    chains += [muster.capacity.links(assembly, *ends, factor)] if between else []
    why = dict.fromkeys(f"{between}{one.name}: {one.why}" for chain in chains for one in chain if one.rated is None)
    marked = any(one.at is not None and one.at > factor.k for chain in chains for one in chain)
    return Carries(closed, opened, factor.k, tuple(why), _base(muster, assembly, short), marked)


def _base(muster: Muster, assembly: Assembly, short: Sequence[tuple[str, int, int]]) -> Link:
    """Whether the base can be held, whatever else the stack is short of; not known where only by what nobody knows."""
    name, ask = "base held", Ask(assembly.closed, assembly.closed)
    for off in unruled(muster, [ask]):
        return Link(name, off.state, off.why, off.ask)
    if muster.large:
        return Link(name, "unknown", "straps and chains are not worked out for a store of so many assemblies")
    columns = muster.columns
    mine = columns.where(lambda one: one.identity == assembly.identity)
    held = columns.restrained & mine
    lacking = {part: want - have for part, want, have in short if part != assembly.ground}
    stock = one_more(muster.stock, [row for part, n in lacking.items() for row in [*columns.changed(part)] * n], 1)
    if muster.packer.most(stock, held & columns.all_rated).count:
        return Link(name, "holds", "by straps or chains of its own")
    if muster.packer.most(stock, held).count:
        bare = unmarked(muster.cache.catalogue.by_id[assembly.ground])
        why = "its attachment points carry no limit" if bare else "its straps, chains or hardware carry no limit"
        return Link(name, "unknown", why, "ask the maker, or read it off")
    hoped = tuple(map(max, stock, hoped_stock(muster, muster.stock, 1)))
    _, plan, _ = settled(muster.packer, hoped, columns.tied & mine, 1)
    if plan:
        found = facts_of(muster, [(ask, *one) for one in plan], stock)
        asks = dict.fromkeys(one.ask for one in found)
        return Link(name, "unknown", "; ".join(f"{one.name}: {one.why}" for one in found), "; ".join(asks))
    why, do = "the usable pieces, straps or chains do not suffice", "see what is short"
    if not muster.usable.pointed.get(assembly.ground):
        why, do = "no usable one of it has enough attachment points", "use another base"
    return Link(name, "does not hold", why, do)
