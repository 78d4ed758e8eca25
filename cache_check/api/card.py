"""What the pages of one cache add: ready sets as they lie, where they reach, what is loose, who helps, the finder."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from cache_check.api.base import LIST_AT_MOST, WhatIf, head_of, in_force, judging_of, muster_of, tried
from cache_check.checks.facts import Facts
from cache_check.checks.kinds.ready_sets import check_ready_set_sound
from cache_check.checks.restraint import Restraint, pointed_bases
from cache_check.files.pool import pool
from cache_check.joining.explain import broken_rules
from cache_check.joining.joints import join_graph
from cache_check.joining.seats import added_length
from cache_check.loads.chart import DesignFactor
from cache_check.model.assembly import Assembly
from cache_check.model.cache import Cache, ReadySet
from cache_check.model.card import CardResult, ChartLine, Helper, JointMade, PartJoint, SceneShown, SetShown, SetsShown
from cache_check.model.counting import Packing
from cache_check.model.need import Needs, Scene
from cache_check.model.rule import RuleBook
from cache_check.model.staging import ReadySetPlan, SceneStaged, StageResult
from cache_check.model.verdict import State
from cache_check.planning.loading import at_hand
from cache_check.planning.loading.demand import half_angles_ruled
from cache_check.planning.loading.holding import ties_ruled
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.profile import profile
from cache_check.planning.packing.ratings import angles_ruled
from cache_check.planning.packing.tally import reach_of
from cache_check.planning.scenes import asked, pads_of, scene, told
from cache_check.planning.staging import ready_sets
from cache_check.planning.staging.played import as_they_lie, on_scene
from cache_check.planning.staging.rigs import Rigs, set_aside
from cache_check.planning.staging.staging import Stager
from cache_check.planning.staging.stowing import Lie
from cache_check.planning.staging.verify_stage import verify_scenes


def card(
    cache: Cache, book: RuleBook, *, needs: Needs | None = None, others: Sequence[Cache] = (),
    angles_deg: Sequence[Fraction] = (), proposed: StageResult | None = None, suppose: WhatIf | None = None,
    seconds: float | None = None,
) -> CardResult:  # fmt: skip
    """The door card and crew page of one cache; with ``seconds`` each scene is served with the sets shown, in that.

    ``proposed`` gives the sets where the book lists none; they are said to be proposed.  ``angles_deg`` empty takes
    the flattest and steepest that the rules allow.  ``others`` are rigs that could be called.

    Raises AskError: something supposed cannot be; NoPlanError: an optimum could not be proven in time.
    """
    muster = muster_of(cache, book, suppose, needs=needs)
    reached = reach_of(muster, LIST_AT_MOST)
    facts = Facts(muster, (), (), (), reached)
    sets, across = _sets(facts, proposed)
    angles = tuple(angles_deg) or tuple(dict.fromkeys(angles_ruled(muster.book)))
    catalogue, factor = cache.catalogue, muster.factor()
    marked = not factor.said and any(muster.above_mark(factor.k))
    per_base = ties_ruled(muster.book, {part.family for part in catalogue.parts if part.kind == "fitting"})
    bases = sum(pointed_bases(facts).values())
    lines = [_line(muster, one.assembly) if one.assembly else None for one in sets]
    staged, untold = tried(lambda: _staged(muster, needs, sets, proposed, seconds)) if needs and seconds else ((), "")
    scenes = zip(needs.scenes, staged, strict=True) if needs and staged else ()
    return CardResult(
        *head_of(muster, suppose, asked=True), factor=factor.k, factor_said=factor.said, marked=marked, sets=sets,
        across=across, angles_deg=angles, aims=at_hand.aims(sets, angles, muster.cache.units),
        half_angles_deg=half_angles_ruled(muster), ties_per_base=per_base,
        points_per_base=max(muster.usable.least_points.values(), default=0),
        bases_held=Restraint(facts, [per_base] * bases).held if bases and per_base else bases,
        loose=_loose(muster, sets), helpers=_helpers(cache, book, muster, needs, others, suppose) if others else None,
        pieces=tuple(at_hand.pieces(muster, sets)), reach=reached,
        profiles=tuple(profile(muster, step) for step in muster.steps), joins=_joins(muster),
        charts=tuple((of.id, one.edition or "edition not known") for of in catalogue.families for one in of.charts),
        lines=tuple(_line(muster, one) for one in reached.assemblies), finder=at_hand.facts(muster, lines, per_base),
        scenes_untold=untold, scenes=tuple(_scene_shown(muster, wanted, one, angles, sets) for wanted, one in scenes),
    )  # fmt: skip


def _staged(
    muster: Muster, needs: Needs, sets: Sequence[SetShown], proposed: StageResult | None, seconds: float
) -> tuple[SceneStaged, ...]:
    if proposed is not None:
        return proposed.staging.scenes if proposed.staging else ()
    lying = [(name, made) for name, _, made in _built(sets)]
    stager = Stager(muster, needs.scenes, len(lying), tuple(assembly for _, assembly in lying))
    staged = on_scene(stager, as_they_lie(stager, seconds), [name for name, _ in lying])
    verify_scenes(muster, needs.scenes, lying, staged)
    return staged


def _built(sets: Sequence[SetShown]) -> list[tuple[str, SetShown, Assembly]]:
    return [(one.name, one, one.assembly) for one in sets if one.usable and one.assembly is not None]


def _scene_shown(
    muster: Muster, wanted: Scene, staged: SceneStaged, angles: Sequence[Fraction], sets: Sequence[SetShown]
) -> SceneShown:
    asks = asked(muster, wanted)
    taken = {name for strut in staged.struts for name in strut.sets}
    lying = [(one.rig, it.pieces, name in taken) for name, one, it in _built(sets)]
    struts = tuple((strut.assembly, 1) for strut in staged.struts)
    brings = Rigs(muster).bring(Packing(len(struts), len(struts), struts, staged.ties), lying, pads_of(muster, wanted))
    return SceneShown(staged, asks, tuple(at_hand.outs(ask, angles) for ask in asks), brings)


def staged_sets(cache: Cache, book: RuleBook, staged: StageResult, *, suppose: WhatIf | None = None) -> SetsShown:
    """What ``stage`` proposes for a cache, as it is drawn.  Raises AskError: something supposed cannot be."""
    muster = muster_of(cache, book, suppose)
    sets = tuple(_proposed(muster, plan) for plan in staged.sets)
    return SetsShown(sets, tuple(at_hand.pieces(muster, sets)))


def packed_sets(cache: Cache, book: RuleBook, packing: Packing, *, suppose: WhatIf | None = None) -> SetsShown:
    """What a packing is built of, each kind of strut once, by its number.  Raises AskError as ``staged_sets`` does."""
    muster = muster_of(cache, book, suppose)
    sets = tuple(_shown(muster, f"{number} built so", one.parts, one, built=True) for one, number in packing.assemblies)
    return SetsShown(sets, tuple(at_hand.pieces(muster, sets)))


def _sets(facts: Facts, proposed: StageResult | None) -> tuple[tuple[SetShown, ...], tuple[str, ...]]:
    muster = facts.muster
    if not muster.cache.ready_sets:
        return tuple(_proposed(muster, plan) for plan in (proposed.sets if proposed else ())), ()
    found = [_on_book(facts, ready) for ready in muster.cache.ready_sets]
    legal = [(one.assembly, Lie(None, None, 0)) for one in found if one.assembly is not None]
    told = iter(ready_sets.told(muster, legal, {}))
    shown = tuple(_with_plan(one, next(told)) if one.assembly is not None else one for one in found)
    alone = {says for one in found for says in one.unfit}
    return shown, tuple(says for says in _unsound(facts) if says not in alone)


def _unsound(facts: Facts) -> list[str]:
    """What keeps sets from use; with the rule off, as with it on: what a piece is hangs on no finding."""
    book = facts.muster.book
    return [finding.what for rule in book.of_kind("ready_set_sound") for finding in check_ready_set_sound(facts, rule)]


def _on_book(facts: Facts, ready: ReadySet) -> SetShown:
    muster = facts.muster
    parts = [muster.cache.catalogue.by_id[part] for part in ready.parts]
    stops = any(one.severity == "stop" for one in broken_rules(parts, muster.joined.joints))
    alone = muster.changed(cache=muster.cache.changed(ready_sets=(ready,)))
    unseen = [why for one, why in muster.cache.unseen if one == ready.id]
    unfit = (*unseen, *_unsound(replace(facts, muster=alone)))
    lies = _shown(muster, ready.id, ready.parts, None if stops else muster.joined.assembly_of(parts), built=True)
    name = f"{ready.id} of {ready.rig}" if [one.id for one in muster.cache.ready_sets].count(ready.id) > 1 else ready.id
    return replace(lies, name=name, where=ready.where, rig=ready.rig, serials=ready.serials, unfit=unfit)


def _with_plan(one: SetShown, plan: ReadySetPlan) -> SetShown:
    return replace(one, carry=plan.carry, ties=plan.ties, ties_wanted=plan.ties_wanted, rated=plan.rated)


def _proposed(muster: Muster, plan: ReadySetPlan) -> SetShown:
    lies = _shown(muster, plan.name, plan.assembly.parts, plan.assembly, built=False)
    return _with_plan(replace(lies, where=plan.stowed.compartment, rig=plan.stowed.rig), plan)


def _shown(muster: Muster, name: str, parts: tuple[str, ...], made: Assembly | None, *, built: bool) -> SetShown:
    return SetShown(name, built, parts, made, _joints(muster, made) if made else ())


def _joints(muster: Muster, made: Assembly) -> tuple[JointMade, ...]:
    parts = [muster.cache.catalogue.by_id[part] for part in made.parts]
    met = zip(pairwise(made.parts), muster.joined.joints.sitting(parts, made.pins)[0], strict=True)
    return tuple(JointMade(*ends, *(pin or ("", 0))) for ends, pin in met)


def _joins(muster: Muster) -> tuple[PartJoint, ...]:
    graph = join_graph(muster.cache.catalogue, muster.usable.counts, muster.book)
    ends = {name: (node["place"], node["part"]) for name, node in graph.nodes(data=True)}
    joined = ((ends[a], ends[b], joint) for a, b, joint in graph.edges(data=True))
    return tuple({PartJoint(a[1], b[1], by["pin"], by["pins"], a[0], b[0]): None for a, b, by in joined})


def _loose(muster: Muster, sets: Sequence[SetShown]) -> tuple[tuple[str, int], ...]:
    """Usable pieces in no set; what is allotted to hold a set is counted with it, as ``stage`` counts it."""
    left = Counter(muster.usable.counts)
    for one in sets:
        left.subtract(set_aside(muster.cache.catalogue, one.parts, one.assembly, one.ties))
    return tuple((part, number) for part, number in left.items() if number > 0)


def _helpers(
    cache: Cache, book: RuleBook, muster: Muster, needs: Needs | None, others: Sequence[Cache], suppose: WhatIf | None
) -> tuple[Helper, ...]:
    here = [(one, scene(muster, one)) for one in (needs.scenes if needs else ())]
    most = _most_restrained(muster)
    short = [(one, own) for one, own in here if own.served < own.wanted]
    found = []
    for other in others:
        both = pooled([cache, other], book, suppose, needs)
        helped = tuple((told(own, one), told(scene(both, one), one)) for one, own in short)
        day = other.book_date.isoformat() if other.book_date else "unknown"
        found.append(Helper(other.title, ", ".join(other.rigs), day, helped, most, _most_restrained(both)))
    gained = {one: sum(both.served - own.served for own, both in one.scenes) for one in found}
    return tuple(sorted(found, key=lambda one: (-gained[one], -(one.restrained_together or 0))))


def pooled(caches: Sequence[Cache], book: RuleBook, suppose: WhatIf | None, needs: Needs | None) -> Muster:
    """Several caches as one, with what is supposed of each.  Raises InputError: they cannot be taken as one."""
    musters = [muster_of(cache, book, suppose, needs=needs) for cache in caches]
    whole = pool([muster.cache for muster in musters])
    gone = sum((Counter(muster.gone) for muster in musters), Counter[str]())
    return Muster(whole, in_force(whole, book, suppose), musters[0].on, dict(gone), judging=judging_of(needs))


def _most_restrained(muster: Muster) -> int | None:
    """The most struts restrained at once at any one length; None where no rule says what that is."""
    stretches = profile(muster, "restrained").stretches if muster.restraint_ruled else None
    return None if stretches is None else max((stretch.count for stretch in stretches), default=0)


def _line(muster: Muster, one: Assembly) -> ChartLine:
    added = sum(added_length(muster.cache.catalogue.by_id[part]) for part in one.parts if part != one.body)
    ends = [*(edge for edge in muster.ratings.edges if one.closed <= edge < one.open), one.open]
    rated: list[tuple[int, State, Fraction | None, Fraction | None]] = []
    for end in ends:
        asked, marked = (muster.capacity.links(one, end, end, DesignFactor(Fraction(1), said=s)) for s in (True, False))
        blank = [link.unknown for link in asked if link.rated is None]
        state: State = ("unknown" if all(blank) else "does not hold") if blank or not asked else "holds"
        known = [min((one.rated for one in links if one.rated is not None), default=None) for links in (asked, marked)]
        if rated and rated[-1][1:] == (state, *known):
            rated.pop()
        rated.append((end, state, known[0], known[1]))
    return ChartLine(one, added, tuple(rated))
