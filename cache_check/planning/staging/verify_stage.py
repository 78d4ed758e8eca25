"""An independent look at every choice of ready sets: it plays each scene through, joint by joint.

It knows nothing of runs or programmes: sets and loose pieces are stacks of parts; each step breaks or makes one
joint; in the end the stacks must be the struts that were promised, and those must do what was asked.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from cache_check.joining.seats import families_of
from cache_check.joining.stock import counted, least
from cache_check.model.assembly import Assembly
from cache_check.model.counting import Packing
from cache_check.model.need import Scene
from cache_check.model.staging import ReadySetPlan, SceneStaged, Staging, StrutOnScene
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.verify import FalsePlanError, is_made_of_its_parts, wrong_points
from cache_check.planning.packing.verify import verify as verify_packing
from cache_check.planning.scenes import ask_of

Joined = tuple[tuple[str, int] | None, bool, bool]  # the loose pins; whether the part below, and that above, is turned
Jointed = tuple[str, Joined | None]  # a part, and the joint above it
Stack = list[Jointed]
Named = tuple[str, Assembly]  # a set that lies built, by its name


def verify(muster: Muster, scenes: tuple[Scene, ...], most_sets: int, staging: Staging) -> None:
    """Refuse a staging that cannot be built, does not fit, or fails its word on scene (FalsePlanError: every fault)."""
    wrong = [*_wrong_sets(muster, most_sets, staging.sets), *_wrong_loose(muster, staging)]
    wrong += _wrong_scenes(muster, scenes, [(one.name, one.assembly) for one in staging.sets], staging.scenes)
    joints = sum(scene.weight * len(one.steps) for scene, one in zip(scenes, staging.scenes, strict=True))
    if joints != staging.weighted_joints:
        wrong.append(f"{staging.weighted_joints} weighted joints are claimed, {joints} are made or broken")
    if wrong:
        raise FalsePlanError("a choice of ready sets failed its own verification: " + "; ".join(wrong))


def verify_scenes(
    muster: Muster, scenes: tuple[Scene, ...], sets: Sequence[Named], staged: tuple[SceneStaged, ...]
) -> None:
    """Refuse scenes that cannot be played with these sets, or do not do what they say (FalsePlanError: every fault)."""
    wrong = [*_wrong_pieces(muster, sets, Counter()), *_wrong_scenes(muster, scenes, sets, staged)]
    if wrong:
        raise FalsePlanError("scenes failed their own verification: " + "; ".join(wrong))


def _wrong_scenes(
    muster: Muster, scenes: tuple[Scene, ...], sets: Sequence[Named], staged: tuple[SceneStaged, ...]
) -> Iterator[str]:
    for scene, one in zip(scenes, staged, strict=True):
        yield from _played(muster, sets, one)
        yield from _wrong_service(muster, scene, one)


def _wrong_sets(muster: Muster, most_sets: int, sets: tuple[ReadySetPlan, ...]) -> Iterator[str]:
    if len(sets) > most_sets:
        yield f"{len(sets)} sets are left built, {most_sets} asked"
    ties = sum((Counter(dict(one.ties)) for one in sets), Counter[str]())
    yield from _wrong_pieces(muster, [(one.name, one.assembly) for one in sets], ties)
    yield from _wrong_stowing(muster, sets)


def _wrong_pieces(muster: Muster, sets: Sequence[Named], taken: Counter[str]) -> Iterator[str]:
    for name, assembly in sets:
        taken.update(assembly.pieces)
        if not is_made_of_its_parts(muster, assembly):
            yield f"set {name} is not what its parts make"
    for part, number in taken.items():
        if number > muster.usable.counts.get(part, 0):
            yield f"{number} {part} are in sets, {muster.usable.counts.get(part, 0)} usable"


def _wrong_loose(muster: Muster, staging: Staging) -> Iterator[str]:
    """Nothing is called loose, of all or on the rigs of a pool, that is in a set or allotted to hold one."""
    left = Counter(muster.usable.counts)
    for one in staging.sets:
        left.subtract(one.assembly.pieces)
        for tie, number in one.ties:
            left.subtract({tie: number})
            for hardware, each in getattr(muster.cache.catalogue.by_id[tie], "hardware", {}).items():
                left.subtract({hardware: each * number})
    on_rigs = sum((Counter(dict(on.pieces)) for on in staging.loose_on), Counter())
    for part, number in [*staging.loose, *on_rigs.items()]:
        if number > left[part]:
            yield f"{number} {part} are called loose, {left[part]} are in no set and hold none"


def _wrong_stowing(muster: Muster, sets: tuple[ReadySetPlan, ...]) -> Iterator[str]:
    for place in muster.cache.compartments:
        here = [one for one in sets if (one.stowed.compartment, one.stowed.rig) == (place.id, place.rig)]
        if place.carries is not None:
            masses = [one.assembly.mass for one in here]
            if None in masses or sum(mass or 0 for mass in masses) > place.carries:
                yield f"the sets in {place.id} are too heavy for it"
        if len(here) > 1 and any(one.stowed.diagonal for one in here):
            yield f"a set lies across {place.id} and is not alone in it"
        for one in here:
            long = one.assembly.closed + place.clearance
            across = place.diagonal and one.stowed.diagonal and place.width is not None
            fits = long**2 <= place.length**2 + (place.width or 0) ** 2 if across else long <= place.length
            if not fits and muster.book.in_force("stowed_length"):
                yield f"set {one.name} does not fit {place.id}"
    if muster.cache.compartments and any(not one.stowed.compartment for one in sets):
        yield "a set lies in no compartment"


def _played(muster: Muster, sets: Sequence[Named], staged: SceneStaged) -> Iterator[str]:
    """Plays a scene: break the joints, then make them from what lies about, and see the struts."""
    about: list[Stack] = [_stack(muster, assembly) for _, assembly in sets]
    owner = {name: i for i, (name, _) in enumerate(sets)}
    pieces: dict[int, list[Stack]] = {i: [stack] for i, stack in enumerate(about)}
    loose = Counter(muster.usable.counts)
    for _, assembly in sets:
        loose.subtract(assembly.parts)
    for step in staged.steps:
        if step.does == "break" and not (step.of in owner and _break(pieces[owner[step.of]], step.lower, step.upper)):
            yield f"{staged.served.scene}: {step.of} has no joint of {step.lower} and {step.upper} to break"
    lying = Counter(tuple(stack) for stacks in pieces.values() for stack in stacks)
    for strut in staged.struts:
        # A strut takes what lies about only if that sits as the strut wants it, so that its joints have the strut's
        # pins and its ends those that meet what is next.
        for run in _runs(muster, staged, strut):
            parts = tuple(part for part, _ in run)
            if len(run) == 1 and parts[0] in strut.loose and loose[parts[0]] > 0:
                loose[parts[0]] -= 1
            elif lying[run] > 0:
                lying[run] -= 1
            else:
                yield f"{staged.served.scene}: {strut.name} wants {' + '.join(parts)}, which does not lie about"
    yield from _wrong_pins(muster, lying, staged)
    yield from _wrong_alone(muster, [stacks[0] for stacks in pieces.values()], staged)


def _stack(muster: Muster, assembly: Assembly) -> Stack:
    """The parts of an assembly, each with the joint above it."""
    parts = [muster.cache.catalogue.by_id[part] for part in assembly.parts]
    pins, turned = muster.joined.joints.sitting(parts, assembly.pins)
    joints = ((pin, *two) for pin, two in zip(pins, pairwise(turned), strict=True))
    return list(zip(assembly.parts, (*joints, None), strict=True))


def _break(stacks: list[Stack], lower: str, upper: str) -> bool:
    for stack in stacks:
        for i in range(len(stack) - 1):
            if (stack[i][0], stack[i + 1][0]) == (lower, upper):
                stacks.append(stack[i + 1 :])
                stack[i:] = [(lower, None)]
                return True
    return False


def _runs(muster: Muster, staged: SceneStaged, strut: StrutOnScene) -> list[tuple[Jointed, ...]]:
    """A strut's parts in the runs between the joints made, which are told in order from the ground."""
    wanted = [(step.lower, step.upper) for step in staged.steps if step.does == "make" and step.of == strut.name]
    stack = _stack(muster, strut.assembly)
    runs: list[Stack] = [[stack[0]]]
    for (lower, _), (upper, joint) in pairwise(stack):
        if wanted and wanted[0] == (lower, upper):
            wanted.pop(0)
            runs[-1][-1] = (lower, None)
            runs.append([(upper, joint)])
        else:
            runs[-1].append((upper, joint))
    return [tuple(run) for run in runs]


def _wrong_alone(muster: Muster, grounds: Sequence[Stack], staged: SceneStaged) -> Iterator[str]:
    """Bases that were taken singly and are held, where those with points may be in what is left of the sets.

    ``grounds`` is what the ground end of each set is part of: nobody says on which of its bases a set is built.
    """
    built, by_id = Counter(stack[0][0] for stack in grounds if len(stack) > 1), muster.cache.catalogue.by_id
    wanted: dict[str, list[tuple[int, bool]]] = {}
    for strut in (strut for strut in staged.struts if strut.restrained):
        points = least(muster.book, families_of(tuple(by_id[part] for part in strut.assembly.parts)))
        alone = len(_runs(muster, staged, strut)[0]) == 1
        wanted.setdefault(strut.assembly.ground, []).append((points, alone))
    for base, each in wanted.items():
        own = muster.usable.least_points[base]
        for points in {points for points, alone in each if alone or points > own}:
            number = sum(alone and other >= points for other, alone in each)
            have = muster.usable.pointed[base if points <= own else counted(base, points)]
            if number + built[base] > have:
                beside = f"{number} loose {base} are restrained beside {built[base]} in sets, {have} have the points"
                yield f"{staged.served.scene}: {beside}"


def _wrong_pins(muster: Muster, lying: Counter[tuple[Jointed, ...]], staged: SceneStaged) -> Iterator[str]:
    """The loose pins in all joints at the end: of struts, and of what is left of the sets."""
    pins = sum((Counter(dict(strut.assembly.pins)) for strut in staged.struts), Counter[str]())
    for run in lying.elements():
        for pin in (joint[0] for _, joint in run if joint):
            if pin is not None:
                pins[pin[0]] += pin[1]
    for pin_id, number in pins.items():
        if number > muster.usable.counts[pin_id]:
            yield f"{staged.served.scene}: {number} {pin_id} are wanted, {muster.usable.counts[pin_id]} usable"


def _wrong_service(muster: Muster, scene: Scene, staged: SceneStaged) -> Iterator[str]:
    """Each need's struts do what it asks."""
    for need, (name, _, served) in zip(scene.needs, staged.served.needs, strict=True):
        struts = [strut for strut in staged.struts if strut.need == name]
        if len(struts) != served or served > need.count:
            yield f"{scene.id}: {len(struts)} struts for {name}, {served} claimed of {need.count}"
        ask = ask_of(need)
        ties = sum((Counter(dict(strut.ties)) for strut in struts), Counter[str]())
        packing = Packing(served, need.count, tuple((strut.assembly, 1) for strut in struts), tuple(ties.items()))
        try:
            verify_packing(muster, ask, ask.top, packing)
        except FalsePlanError as error:
            yield f"{scene.id}: {error}"
    yield from _wrong_restraint(muster, scene, staged)


def _wrong_restraint(muster: Muster, scene: Scene, staged: SceneStaged) -> Iterator[str]:
    """All struts of a scene together take no more bases, straps and chains than there are."""
    held = [(strut.assembly, 1) for strut in staged.struts if strut.restrained]
    yield from (f"{scene.id}: {wrong}" for wrong in wrong_points(muster, held))
    taken = sum((Counter(dict(strut.ties)) for strut in staged.struts), Counter[str]())
    if taken != Counter(dict(staged.ties)):
        yield f"{scene.id}: the straps or chains of its struts are not those of the scene"
    for part, number in taken.items():
        if number > muster.usable.counts[part]:
            yield f"{scene.id}: {number} {part} are in use, {muster.usable.counts[part]} usable"
