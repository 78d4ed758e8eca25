"""May these parts be joined, and if not, which rule says no?"""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.api.exercises.draw import Draw
from cache_check.api.exercises.ground import Ground, card
from cache_check.model.exercise import Card, Level

LEVEL: Level = "first"
YES = "yes, they may"


def cards(ground: Ground, draw: Draw) -> Iterator[Card]:
    """A legal stack, or one with a piece too many, taken away or put elsewhere."""
    from cache_check.api.build import build

    stacks = [one.parts for one in ground.assemblies]
    rules = _rules(ground)
    while stacks:
        stack = _changed(stacks.pop(draw.below(len(stacks))), ground, draw)
        verdict = build(ground.cache, ground.book, stack, suppose=ground.suppose).verdict
        stops = [one for one in verdict.broken if one.severity == "stop"]
        if len({one.rule for one in stops}) > 1:
            continue  # two right answers
        right = f"no: {stops[0].title} ({stops[0].rule})" if stops else YES
        drawn = card(
            draw, "may be joined", LEVEL, f"From the ground up: {ground.stack(stack)}. May these parts be built?",
            right, [YES, *draw.some(rules, 4)],
            stops[0].says if stops else "Every joint mates, both ends are closed, and no rule that stops is broken.",
            stops[0].rule if stops else "every rule that stops",
            "cache-check build CACHE " + " ".join(ground.names[part] for part in stack),
        )  # fmt: skip
        if drawn is not None:
            yield drawn


def _changed(stack: tuple[str, ...], ground: Ground, draw: Draw) -> tuple[str, ...]:
    """A stack as it is, with a piece too many, without one, or with its ends changed over."""
    middle = [part.id for part in ground.cache.catalogue.parts if part.kind in ("extension", "adapter")]
    how = draw.below(5)
    if how == 1 and middle:
        at = 1 + draw.below(len(stack) - 1)
        return (*stack[:at], *[draw.one(middle)] * (1 + draw.below(2)), *stack[at:])
    if how == 2:
        at = draw.below(len(stack))
        return (*stack[:at], *stack[at + 1 :]) if len(stack) > 2 else stack
    return (stack[-1], *stack[1:-1], stack[0]) if how >= 3 else stack


def _rules(ground: Ground) -> list[str]:
    """The rules that can stop a build, as a wrong answer names them; rules about single pieces cannot."""
    from cache_check.joining.kind import Kind

    kinds = ground.muster.joined.joints.kinds
    hooks = ("seat", "joint", "inward", "stack", "limit")
    return [
        f"no: {kind.rule.title} ({kind.rule.id})"
        for kind in kinds
        if kind.stops and any(getattr(type(kind), hook) is not getattr(Kind, hook) for hook in hooks)
    ]
