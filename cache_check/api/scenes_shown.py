"""The scenes of a crew page: each served with the sets that the page shows, and how far out the bases then stand."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from cache_check.errors import NoPlanError
from cache_check.model.card import SceneShown, SetShown
from cache_check.model.need import Needs, Scene
from cache_check.model.staging import SceneStaged, StageResult
from cache_check.planning.loading.aiming import outs
from cache_check.planning.scenes import asked
from cache_check.planning.staging import on_scene
from cache_check.planning.staging.stage import as_they_lie
from cache_check.planning.staging.staging import Stager
from cache_check.planning.staging.verify_stage import verify_scenes

if TYPE_CHECKING:
    from cache_check.planning.packing.muster import Muster


def shown(
    muster: Muster,
    needs: Needs,
    sets: Sequence[SetShown],
    proposed: StageResult | None,
    angles: Sequence[Fraction],
    seconds: float,
) -> tuple[tuple[SceneShown, ...], str]:
    """Each scene with the sets shown; where there is none, why not.

    ``proposed`` is what the sets are from, where none lies built; ``angles`` (degrees) are for needs that state none.
    """
    try:
        served = proposed.staging.scenes if proposed and proposed.staging else ()
        staged = _of_book(muster, needs, sets, seconds) if proposed is None else served
        return tuple(_shown(muster, *each, angles) for each in zip(needs.scenes, staged, strict=bool(staged))), ""
    except NoPlanError as error:
        return (), str(error)


def _shown(muster: Muster, wanted: Scene, staged: SceneStaged, angles: Sequence[Fraction]) -> SceneShown:
    asks = asked(muster, wanted)
    return SceneShown(staged, asks, tuple(outs(ask, angles) for ask in asks))


def _of_book(muster: Muster, needs: Needs, sets: Sequence[SetShown], seconds: float) -> tuple[SceneStaged, ...]:
    lying = [(_called(one, sets), one.assembly) for one in sets if one.usable and one.assembly is not None]
    stager = Stager(muster, needs.scenes, len(lying), tuple(assembly for _, assembly in lying))
    staged = on_scene.scenes(stager, as_they_lie(stager, seconds), [name for name, _ in lying])
    verify_scenes(muster, needs.scenes, lying, staged)
    return staged


def _called(one: SetShown, sets: Sequence[SetShown]) -> str:
    """The name of a set, with its rig where two rigs have one of that name."""
    return one.name if sum(other.name == one.name for other in sets) == 1 else f"{one.name} of {one.rig}"
