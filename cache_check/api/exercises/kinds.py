"""Exercises for those who train: the kinds, each a function that draws cards; nothing else lists them.

Each yields cards without end or until the rig gives no more; every key in them comes from a verb.
"""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import islice

from cache_check.api.audit import sheet
from cache_check.api.base import WhatIf, head_of
from cache_check.api.check import build
from cache_check.api.exercises.ground import FAULTS, Cards, Draw, Fault, Ground, card, found, said
from cache_check.errors import AskError
from cache_check.loads.geometry import length_at_angle, offset_at_angle
from cache_check.model.assembly import Assembly
from cache_check.model.cache import Cache
from cache_check.model.counting import Packing
from cache_check.model.exercise import LEVELS, Card, ExerciseResult, Level
from cache_check.model.need import Needs
from cache_check.model.rule import RuleBook
from cache_check.units import show

Draws = Callable[[Ground, Draw], Cards]
KINDS: list[tuple[Level, str, Draws]] = []
"""The level, the name that its draws are made under, and the function of each kind."""
YES = "yes, they may"
SHOWN = 6
ANGLES = (45, 50, 55, 60)


def exercise(
    cache: Cache, book: RuleBook, *, count: int = 10, seed: int = 1, level: Level | None = None,
    needs: Needs | None = None, suppose: WhatIf | None = None,
) -> ExerciseResult:  # fmt: skip
    """So many cards, the kinds in turn; each key was worked out by the verbs.  The same seed gives the same cards.

    Raises AskError: something supposed cannot be, the rig is too large to list, or it gives no question of that level;
    NoPlanError: an optimum could not be proven in time.
    """
    if (ground := Ground(cache, book, suppose or WhatIf(), needs)).muster.large:
        raise AskError(f"{cache.title} has too many assemblies to be listed; exercises are made from one rig")
    made = [draws(ground, Draw(seed, name)) for of, name, draws in KINDS if level in (None, of)]
    if not (cards := tuple(islice(_in_turn(made), count))):
        raise AskError(f"{cache.title} gives no question{f' of the level {level}' if level else ''}; see its reach")
    return ExerciseResult(
        *head_of(ground.muster, suppose, asked=False), seed=seed, wanted=count, cards=cards,
        short=f"this rig gives {len(cards)} different questions, {count} were asked for" if len(cards) < count else "",
    )  # fmt: skip


def _in_turn(made: list[Cards]) -> Cards:
    """One card of each kind, then another of each, for as long as any gives one; no question twice."""
    seen: set[str] = set()
    while made:
        for one in list(made):
            if (drawn := next(one, None)) is None:
                made.remove(one)
            elif drawn.question not in seen:
                seen.add(drawn.question)
                yield drawn


def kind(level: Level, title: str) -> Callable[[Draws], Draws]:
    """Keep a function as a kind of exercise, the easy ones first; its cards get kind and level."""

    def keep(ask: Draws) -> Draws:
        def cards(ground: Ground, draw: Draw) -> Cards:
            yield from (replace(one, kind=title, level=level) for one in ask(ground, draw))

        KINDS.append((level, f"{__name__}.{ask.__name__}", cards))
        KINDS.sort(key=lambda one: (LEVELS.index(one[0]), one[1]))
        return ask

    return keep


@kind("first", "may be joined")
def may_be_joined(ground: Ground, draw: Draw) -> Cards:
    """A legal stack, or one with a piece too many, taken away or put elsewhere."""
    rules = _rules(ground)
    for one in draw.all(ground.reached.assemblies):
        stack = _changed(one.parts, ground, draw)
        verdict = build(ground.cache, ground.book, stack, suppose=ground.suppose).verdict
        stops = [broken for broken in verdict.broken if broken.severity == "stop"]
        if len({broken.rule for broken in stops}) > 1:
            continue  # two right answers
        right = f"no: {stops[0].title} ({stops[0].rule})" if stops else YES
        yield from card(
            draw, f"From the ground up: {ground.stack(stack)}. May these parts be built?",
            right, [YES, *draw.some(rules, 4)],
            stops[0].says if stops else "Every joint mates, both ends are closed, and no rule that stops is broken.",
            stops[0].rule if stops else "every rule that stops",
            "cache-check build CACHE " + " ".join(ground.typed[part] for part in stack),
        )  # fmt: skip


def _changed(stack: tuple[str, ...], ground: Ground, draw: Draw) -> tuple[str, ...]:
    middle = [part.id for part in ground.cache.catalogue.parts if part.kind in ("extension", "adapter")]
    if (how := draw.below(5)) == 1 and middle:
        at = 1 + draw.below(len(stack) - 1)
        return (*stack[:at], *[draw.one(middle)] * (1 + draw.below(2)), *stack[at:])
    if how == 2:
        at = draw.below(len(stack))
        return (*stack[:at], *stack[at + 1 :]) if len(stack) > 2 else stack
    return (stack[-1], *stack[1:-1], stack[0]) if how >= 3 else stack


def _rules(ground: Ground) -> list[str]:
    """The rules that can stop a build, as a wrong answer names them; rules about single pieces cannot."""
    kinds = ground.muster.joined.joints.kinds
    return [f"no: {kind.rule.title} ({kind.rule.id})" for kind in kinds if kind.stops and kind.forbids]


@kind("first", "which reaches")
def which_reaches(ground: Ground, draw: Draw) -> Cards:
    """One build that reaches, and builds whose reach ends just short of the length or begins just beyond it."""
    built = [one for one in ground.reached.assemblies if len(one.spans) == 1]
    heights = [at for low, high in ground.reached.union for at in ground.lengths([(low * 7 // 10, high)])]
    for height in draw.all(heights):
        angle = draw.one(ANGLES)
        length = round(length_at_angle(height, angle))
        # Half a grain to either side, so that a length reckoned by hand and rounded has the same answer.
        near, far = length - ground.grain // 2, length + ground.grain // 2
        reaching = [one for one in built if one.closed <= near and far <= one.open]
        if not reaching or not (missing := [one for one in built if one.open < near or far < one.closed]):
            continue
        missing.sort(key=lambda one: min(abs(one.closed - length), abs(one.open - length)))
        yield from card(
            draw,
            f"The contact is {ground.length(height)} above the base's seat, the strut is to stand at {angle} degrees "
            "from the horizontal. Which of these reaches?",
            _build(ground, draw.one(reaching)), [_build(ground, one) for one in missing[:8]],
            f"The strut must be {show(length, 'length', ground.cache.units, 'nearest')} long (height over the sine), "
            f"its base {show(round(offset_at_angle(height, angle)), 'length', ground.cache.units, 'nearest')} out "
            "(height over the tangent).",
            "step: buildable", f"cache-check load CACHE --contact-height '{ground.length(height)}' --angle {angle}",
        )  # fmt: skip


def _build(ground: Ground, one: Assembly) -> str:
    units = ground.cache.units
    low = show(one.closed, "length", units, "up", unit=False)
    return f"{ground.stack(one.parts)} ({low} to {show(one.open, 'length', units, 'down')})"


@kind("usual", "at once")
def at_once(ground: Ground, draw: Draw) -> Cards:
    """One or two struts of the proven most are set up; what can still be restrained is asked of what is left."""
    for at in draw.all(ground.asked):
        most = ground.at(at)
        if not (most.count("restrained") or 0) > 1:
            continue
        assembly, number = most.best.assemblies[0]
        up = 1 + draw.below(min(number, 2))
        taken = Counter(assembly.parts * up)
        taken.update({part: up * n for part, n in assembly.pins})
        for part, n in most.best.ties:
            taken[part] += n * up // most.best.count
        pieces = ", ".join(f"{n} x {ground.names[part]}" for part, n in taken.items())
        left = ground.at(at, tuple(taken.items()))
        more = left.count("restrained") or 0
        all_of_them = left.count("assembled at once") or 0
        yield from card(
            draw,
            f"{up} x {ground.stack(assembly.parts)} are set up, each restrained. How many more can be restrained "
            f"at {ground.length(at)} at the same time?",
            str(more), [str(n) for n in (all_of_them, most.best.count, more + 1, max(0, more - 1), more + 2)],
            f"Their pieces are gone ({pieces}); what is left makes {all_of_them} at once, {more} of them restrained.",
            "step: restrained", f"cache-check reach CACHE --at '{ground.length(at)}' "
            + " ".join(f"--without {ground.typed[part]}={n}" for part, n in taken.items()),
        )  # fmt: skip


@kind("usual", "what it carries")
def what_it_carries(ground: Ground, draw: Draw) -> Cards:
    """The rated load along one strut; wrong are the rows beside, another column, and the factor taken twice or not."""
    muster, factor = ground.muster, ground.muster.factor()
    for one in draw.all(ground.reached.assemblies):
        lengths = ground.lengths(one.spans)
        at = draw.one(lengths) if lengths else 0
        if (rated := muster.capacity.rated(one, at, at, factor) if lengths else None) is None:
            continue
        yield from card(
            draw,
            f"{ground.stack(one.parts)}, set to {ground.length(at)}. What is it rated for along the strut at "
            f"{float(factor.k):g}:1, by its chart?",
            _load(ground, rated), [_load(ground, load) for load in _near(ground, one, at, rated)],
            f"The row at or above {ground.length(at)}, the column for {one.extensions} extensions, at "
            f"{float(factor.k):g}:1; never between rows, never the row below.",
            "CAP-1", f"cache-check reach CACHE --at '{ground.length(at)}' --load '{_load(ground, rated)}'",
        )  # fmt: skip


def _near(ground: Ground, one: Assembly, at: int, rated: Fraction) -> list[Fraction]:
    """What is read where the wrong row or column is taken, or the factor is taken twice or not at all."""
    factor = ground.muster.factor()
    alike = (other for other in ground.reached.assemblies if other.body == one.body)
    columns = ((other, at) for other in alike if other.extensions != one.extensions)
    wrong = ((one, one.closed), (one, one.open), *columns)
    read = (ground.muster.capacity.rated(other, there, there, factor) for other, there in wrong)
    return [*filter(None, read), rated / factor.k, rated * factor.k]


def _load(ground: Ground, newtons: Fraction) -> str:
    return show(newtons, "force", ground.cache.units, "down")


@kind("hard", "two faults")
def two_faults(ground: Ground, draw: Draw) -> Cards:
    """A count in which two lines are wrong; the audit must find more of these two than of the count as it should be."""
    lines = [(n, line) for n, line in enumerate(sheet(ground.cache).lines) if line.part and line.book]
    right = found(ground)

    @cache
    def more(number: int, fault: Fault) -> frozenset[tuple[str, str]]:
        """What the audit finds for one fault alone; the same few are drawn again and again."""
        return found(ground, number, fault) - right

    for _ in range(50):
        if len(shown := draw.some(lines, SHOWN)) < 3:
            return
        wrong: dict[int, Fault] = {}
        for at, (_, line) in enumerate(shown):
            fitting = [fault for fault in FAULTS if fault.fits(line)]
            if fitting and len(wrong) < 2:
                wrong[at] = draw.one(fitting)
        if len(wrong) < 2 or not all(more(shown[at][0], fault) for at, fault in wrong.items()):
            continue
        order = draw.some(range(len(shown)), len(shown))
        choices = tuple(said(ground, shown[at][1], wrong.get(at)) for at in order)
        if len(set(choices)) == len(choices):
            broken = {rule for at, fault in wrong.items() for rule, _ in more(shown[at][0], fault)}
            yield Card(
                "", "hard", "Two lines of this count differ from the book, or may not stay so: which?",
                choices, tuple(sorted(order.index(at) for at in wrong)),
                "The audit finds these two and nothing in the others.", ", ".join(sorted(broken)),
                "cache-check audit CACHE count.csv",
            )  # fmt: skip


@kind("hard", "what stops the next")
def what_stops(ground: Ground, draw: Draw) -> Cards:
    """At a length where some can be restrained, the one part of which one more allows the next; others do not."""
    for at in draw.all(ground.asked):
        most = ground.at(at)
        if not most.count("restrained") or len(most.binding.singles) != 1:
            continue  # where no rule says what restrained is, best is of struts assembled at once
        (part,) = most.binding.singles
        used = _used(most.best) | {pin for built, _ in most.best.assemblies for pin, _ in built.pins}
        yield from card(
            draw,
            f"{most.best.count} struts can be restrained at {ground.length(at)} at the same time. One more of which "
            "part would allow the next?",
            ground.names[part], [ground.names[one] for one in sorted(used) if one != part],
            f"With one more {ground.names[part]} there are {most.best.count + 1}; with one more of any other single "
            "part there are not.",
            "step: restrained", f"cache-check reach CACHE --at '{ground.length(at)}'",
        )  # fmt: skip


def _used(packing: Packing) -> set[str]:
    return {one for built, _ in packing.assemblies for one in built.parts} | {one for one, _ in packing.ties}


@kind("hard", "what hurts most")
def worst_loss(ground: Ground, draw: Draw) -> Cards:
    """At a length where the loss of one kind of part alone costs a strut, which; parts of the same struts do not."""
    for at in draw.all(ground.asked):
        most = ground.at(at)
        if len(most.lost) != 1:
            continue
        (part,) = most.lost
        yield from card(
            draw,
            f"At {ground.length(at)} the rig has {most.best.count} struts {most.asked_step} at once. One piece of "
            "which part, if it is missing, costs a strut?",
            ground.names[part], [ground.names[one] for one in sorted(_used(most.best)) if one != part],
            f"Without one {ground.names[part]} {most.count('one missing')} are left; any other single piece may be "
            "missing and none is lost.",
            "step: one missing", f"cache-check reach CACHE --at '{ground.length(at)}'",
        )  # fmt: skip
