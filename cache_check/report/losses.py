"""What the loss of each part costs the scenes, with one piece gone and with all, for pages, terminal and data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from cache_check.model.counting import Losses
from cache_check.model.result import CheckResult
from cache_check.report.page import Block, Points, Rows, short, table
from cache_check.report.say import Say, counted, listed

LOSS = "What each part's loss costs"
HEADS = "part|#usable|scene|#struts wanted|#served|#served with one piece lost|#served with all lost"


def of_check(result: CheckResult, say: Say) -> Iterator[Block]:
    """All of it, each part and scene."""
    if result.losses is None:
        yield "Nothing is asked to be met; name a needs file."
        return
    steps = {one.label: one.asked_step for one in result.tallies}
    asked = [(one.scene, f"{one.scene}: {need}") for one in result.scenes for need, _, _ in one.by_need]
    yield from told(result.losses, [(scene, steps[need]) for scene, need in asked if need in steps], say)


def rows(result: CheckResult, say: Say) -> Rows:
    """A row for each part and scene, under ``HEADS``."""
    losses = result.losses
    for one in losses.parts if losses else ():
        assert losses is not None
        figures = zip(losses.wanted, losses.served, one.one, one.none, strict=True)
        for (scene, title, _), of in zip(losses.scenes, figures, strict=True):
            yield say.name(one.part), one.usable, title or scene, *of


def told(losses: Losses, steps: Iterable[tuple[str, str]], say: Say, every: bool = True) -> Iterator[Block]:
    """The worst loss, then every part as a row; not ``every``: those of which one piece lost costs a strut.

    ``steps`` are (scene, step that one of its needs is counted on).
    """
    if not losses.parts:
        yield "No usable piece of any part that a strut takes: there is nothing to lose."
        return
    yield Points(*_worst(losses, say))
    yield (
        "Today, without anything bought. In each cell: struts served, on the step in the head, all needs of the scene "
        "at once, with one usable piece gone (and with all of them gone). Costliest first. Of a base, one with enough "
        "attachment points is lost first."
    )
    steps = tuple(steps)
    scenes = []
    for scene, title, _ in losses.scenes:
        asked = dict.fromkeys(step for of, step in steps if of == scene)
        said = short(title or scene, 40) + f", {listed(asked, 'and')}" * bool(asked)
        scenes.append(f"#{said}".replace("|", "/"))
    heads = "|".join(["part lost", "#usable", *scenes, "one lost costs in all"])
    today = ("none lost", "", *(f"{n} of {w}" for n, w in zip(losses.served, losses.wanted, strict=True)), "")
    shown = [one for one in losses.parts if every or any(losses.cost(one.one))]
    rows = [today]
    for one in shown:
        left = (f"{left} (all: {none})" for left, none in zip(one.one, one.none, strict=True))
        rows.append((say.name(one.part), str(one.usable), *left, _in_all(losses, one.one)))
    yield table(heads, rows)
    if len(shown) < len(losses.parts):
        rest = (say.name(one.part) for one in losses.parts if one not in shown)
        yield f"One piece lost costs no strut of: {listed(rest, 'and')}."


def _worst(losses: Losses, say: Say) -> tuple[str, tuple[str, ...]]:
    """The loss of one piece that costs most; several where they cost the same."""
    worst = losses.cost(losses.parts[0].one)
    if not any(worst):
        served = "no strut can be lost: none is served" if not any(losses.served) else "no loss of one piece costs any"
        return f"One piece lost: {served} scene a strut.", ()
    same = [one for one in losses.parts if losses.cost(one.one) == worst]
    return "One piece whose loss costs most:", tuple(
        f"{say.name(one.part)} ({one.usable} usable): {_cost(losses, one.one)}" for one in same
    )


def _cost(losses: Losses, left: tuple[int, ...]) -> str:
    """The scenes that serve fewer struts, and those that are then no longer met."""
    said = []
    for (scene, title, _), wanted, now, then in zip(losses.scenes, losses.wanted, losses.served, left, strict=True):
        if then < now:
            fails = ", no longer met" if now >= wanted else ""
            said.append(f"{short(title or scene, 60)} {now} to {then}{fails}")
    return "; ".join(said) or "nothing"


def _in_all(losses: Losses, left: tuple[int, ...]) -> str:
    """How many struts fewer in all scenes, and how many scenes are no longer met."""
    struts = sum(losses.served) - sum(left)
    failed = sum(now >= wanted > then for wanted, now, then in zip(losses.wanted, losses.served, left, strict=True))
    fails = f"; {counted(failed, 'scene')} no longer met" if failed else ""
    return f"{counted(struts, 'strut')}{fails}" if struts else "nothing"
