"""What to leave built: the ready sets that serve every scene with the fewest joints made or broken on scene."""

from collections import Counter

from cache_check.api.base import WhatIf, head_of, muster_of
from cache_check.errors import AskError
from cache_check.model.cache import Cache
from cache_check.model.need import Needs, Scene
from cache_check.model.result import MatchedSet
from cache_check.model.rule import RuleBook
from cache_check.model.staging import ReadySetPlan, StageResult, Staging
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.profile import matched_sets, profile
from cache_check.planning.solving.programme import Progress, silent
from cache_check.planning.staging import ready_sets
from cache_check.planning.staging.played import loose_of, on_scene
from cache_check.planning.staging.rigs import set_aside
from cache_check.planning.staging.stage import choose
from cache_check.planning.staging.staging import Stager
from cache_check.planning.staging.stowing import Lie, carry_limits, lies
from cache_check.planning.staging.verify_stage import verify

SETS = 4  # ready sets that are left built at most, unless asked otherwise


def stage(
    cache: Cache, book: RuleBook, *, needs: Needs | None = None, sets: int = SETS, suppose: WhatIf | None = None,
    seconds: float = 60.0, progress: Progress = silent,
) -> StageResult:  # fmt: skip
    """The ready sets of one cache or pool, no more than ``sets``; without needs the matched sets.

    Raises AskError: no set is asked, or something supposed cannot be; NoPlanError: not even one plan could be worked
    out in time; a plan that is not proven the best says so.
    """
    if sets < 1:
        raise AskError(f"{sets} ready sets is none; ask for one at least")
    muster = muster_of(cache, book, suppose, needs=needs)
    scenes = needs.scenes if needs else ()
    staging = _staging(muster, scenes, sets, seconds, progress) if scenes else None
    restrained_first = () if scenes else reversed(muster.steps[1:])  # else assembled
    matched = next(filter(None, (matched_sets(muster, profile(muster, step)) for step in restrained_first)), ())
    one, two = carry_limits(muster.book)
    return StageResult(
        *head_of(muster, suppose, asked=True, scenes=scenes), most_sets=sets, one_person=one, two_persons=two,
        staging=staging, matched=matched, stowed=_stowed(muster, matched),
    )  # fmt: skip


def _staging(muster: Muster, scenes: tuple[Scene, ...], most: int, seconds: float, progress: Progress) -> Staging:
    stager = Stager(muster, scenes, most)
    chosen = choose(stager, seconds=seconds, progress=progress)
    staged = on_scene(stager, chosen)
    lying = [(candidate.assembly, lie) for candidate, lie in chosen.sets]
    sets = ready_sets.told(muster, lying, loose_of(stager, chosen))
    known = muster.cache.catalogue
    aside = [(set_aside(known, one.assembly.parts, one.assembly, one.ties), one.stowed.rig) for one in sets]
    loose = Counter(muster.usable.counts) - sum((pieces for pieces, _ in aside), Counter())
    found = Staging(
        sets=sets, scenes=staged, weighted_joints=sum(scene.served.weight * scene.joints for scene in staged),
        bound=chosen.bound, unproven=chosen.unproven, unweighed=stager.unweighed,
        least_margin=min((strut.margin for scene in staged for strut in scene.struts), default=None),
        loose=tuple(loose.items()), holes=ready_sets.holes(muster, [assembly for assembly, _ in lying]),
        loose_on=stager.rigs.left(aside),
    )  # fmt: skip
    verify(muster, scenes, most, found)
    return found


def _stowed(muster: Muster, matched: tuple[MatchedSet, ...]) -> tuple[ReadySetPlan, ...]:
    if (packing := next((one.packing for one in reversed(matched) if one.packing is not None), None)) is None:
        return ()
    nowhere = Lie(None, None, 0, unchecked=("it fits no compartment",))
    assemblies = [assembly for assembly, number in packing.assemblies for _ in range(number)]
    places, catalogue = muster.cache.compartments, muster.cache.catalogue
    placed = [(one, next(iter(lies(one, catalogue, places, muster.book)), nowhere)) for one in assemblies]
    return ready_sets.told(muster, placed, {})
