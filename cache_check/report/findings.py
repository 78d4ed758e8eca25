"""Findings, gravest first, gaps in figures, parts, and what the loss of each costs with one piece gone and with all."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence

from cache_check.errors import grouped
from cache_check.model.counting import Losses
from cache_check.model.finding import Finding
from cache_check.model.result import CheckResult, Gap, PartLine
from cache_check.model.rule import SEVERITIES, Severity
from cache_check.report.page import Block, Cell, Points, Rows, short, table
from cache_check.report.say import UNKNOWN, Say, counted, listed

MEANS: dict[Severity, str] = {
    "stop": "do not build or use", "short": "a need is not met", "watch": "look at it", "note": "good to know",
}  # fmt: skip
GAPS = "what|#have|#want|#short|binds|rule"
FOUND = "severity|rule|found on|part|serial|place|what|do"
LOSS = "What each part's loss costs"
LOSSES = "part|#usable|scene|#struts wanted|#served|#served with one piece lost|#served with all lost"
PARTS = "part|id|kind|#on the book|#usable|#not usable|why"


def gaps(result: CheckResult, say: Say) -> Iterator[Block]:
    """What there is too little of, in figures; also what there is enough of."""
    rows = [(say.name(one.what), one.have, one.want, _ends(one), one.says, one.rule) for one in result.gaps]
    yield say.table("what|#have|#want|short|in words|rule", rows, "No rule in force counts what goes with a strut.")


def _ends(one: Gap) -> str:
    if one.short:
        return f"SHORT {one.short}"
    return "not known" if one.unknown else "binds" if one.binds else "enough" if one.want else "none wanted"


def together(found: Iterable[Finding], beside: Callable[[Finding], str] = lambda _: "") -> Iterator[Block]:
    """Findings that one rule has and one thing mends together, gravest first; ``beside`` says more of one."""
    ordered = sorted(found, key=lambda one: one.order)
    alike = grouped(((one.severity, one.rule, one.remedy), one) for one in ordered)
    means = "; ".join(f"{one.upper()}: {MEANS[one]}" for one in MEANS if any(one == each.severity for each in ordered))
    told = f"{means}. `cache-check rules ID` says why a rule is there; figures are in --format json."
    yield told if ordered else "None."
    rigs = len({one.rig for one in ordered}) > 1
    yield from (_alike(group, rigs, beside) for group in alike.values())


def _alike(together: Sequence[Finding], rigs: bool, beside: Callable[[Finding], str]) -> Points:
    """Findings alike: one in a line with what to do, more of them under it; an effect that all have is said once."""
    first = together[0]
    lead = f"{first.severity.upper()} {first.rule} {first.title}"
    shared = len(together) > 1 and len({one.effect for one in together}) == 1
    said = []
    for one in together:
        where = f" ({one.where})" if one.where else ""
        said.append(f"{f'{one.rig}: ' * rigs}{one.what}{where}{f'; {one.effect}' * (not shared)}{beside(one)}")
    if len(together) > 1:
        return Points(f"{lead}: {first.remedy}" + f" (each: {first.effect})" * shared, tuple(said))
    return Points(f"{lead}: {said[0]}. Do: {first.remedy}")


def rows(found: Iterable[Finding], say: Say) -> Rows:
    """Findings as data, under ``FOUND``."""
    for one in sorted(found, key=lambda one: one.order):
        part = say.name(one.part) if one.part else None
        yield one.severity, one.rule, one.rig, part, one.serial, one.where, one.what, one.remedy


def by_severity(found: Iterable[Finding], *, none: bool = True) -> str:
    """How many findings of each severity; not ``none``: without those of which there are none."""
    counts = Counter(one.severity for one in found)
    return ", ".join(f"{counts[severity]} {severity}" for severity in SEVERITIES if counts[severity] or none)


def parts(result: CheckResult, say: Say) -> Iterator[Block]:
    """Every part type: on the book, usable, and why the rest is not."""
    heads = "part|id|kind|#on the book|#usable|not usable, and why"
    why = [", ".join(f"{count} {why}" for why, count in one.out) or "none" for one in result.parts]
    rows = [(*_part(one, UNKNOWN), out) for one, out in zip(result.parts, why, strict=True)]
    yield say.table(heads, rows, "No part is on the book.")


def part_rows(result: CheckResult, _: Say) -> Rows:
    """A row for each part, and for each reason for which pieces of it do not count, under ``PARTS``."""
    for one in result.parts:
        yield from ((*_part(one, None), number, why) for why, number in one.out or (("", 0),))


def _part(one: PartLine, unknown: Cell) -> tuple[Cell, ...]:
    on_book = unknown if one.on_book is None else one.on_book
    return one.title or one.part.rpartition("/")[2], one.part, one.kind, on_book, one.usable


def all_losses(result: CheckResult, say: Say) -> Iterator[Block]:
    """All of it, each part and scene."""
    if result.losses is None:
        yield "Nothing is asked to be met; name a needs file."
        return
    steps = {one.label: one.asked_step for one in result.tallies}
    asked = [(one.scene, f"{one.scene}: {need}") for one in result.scenes for need, _, _ in one.by_need]
    yield from lost(result.losses, [(scene, steps[need]) for scene, need in asked if need in steps], say)
    beside = ((one, one.missing.why) for one in result.scenes if one.missing and one.missing.why.startswith("pads:"))
    if pads := tuple(f"{one.title or one.scene}: {why}" for one, why in beside):
        yield Points("One pad lost, which costs no strut, and with which these are not met:", pads)


def loss_rows(result: CheckResult, say: Say) -> Rows:
    """A row for each part and scene, under ``LOSSES``."""
    if (losses := result.losses) is None:
        return
    for one in losses.parts:
        figures = zip(losses.wanted, losses.served, one.one, one.none, strict=True)
        for (scene, title, _), of in zip(losses.scenes, figures, strict=True):
            yield say.name(one.part), one.usable, title or scene, *of


def lost(losses: Losses, steps: Iterable[tuple[str, str]], say: Say, every: bool = True) -> Iterator[Block]:
    """The worst loss, then parts as rows: ``every``, or those that cost a strut; ``steps`` are of scenes' needs."""
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
    rows = [("none lost", "", *(f"{n} of {w}" for n, w in zip(losses.served, losses.wanted, strict=True)), "")]
    shown = [one for one in losses.parts if every or any(losses.cost(one.one))]
    for one in shown:
        left = (f"{left} (all: {none})" for left, none in zip(one.one, one.none, strict=True))
        rows.append((say.name(one.part), str(one.usable), *left, _in_all(losses, one.one)))
    yield table(heads, rows)
    if len(shown) < len(losses.parts):
        rest = (say.name(one.part) for one in losses.parts if one not in shown)
        yield f"One piece lost costs no strut of: {listed(rest, 'and')}."


def _worst(losses: Losses, say: Say) -> tuple[str, tuple[str, ...]]:
    worst = losses.cost(losses.parts[0].one)
    if not any(worst):
        none = "no strut is there to lose" if not any(losses.served) else "no loss of one piece costs any scene a strut"
        return f"One piece lost: {none}.", ()
    same = [one for one in losses.parts if losses.cost(one.one) == worst]
    said = (f"{say.name(one.part)} ({one.usable} usable): {_cost(losses, one.one)}" for one in same)
    return "One piece whose loss costs most:", tuple(said)


def _cost(losses: Losses, left: tuple[int, ...]) -> str:
    said = []
    for (scene, title, _), wanted, now, then in zip(losses.scenes, losses.wanted, losses.served, left, strict=True):
        if then < now:
            said.append(f"{short(title or scene, 60)} {now} to {then}" + ", no longer all served" * (now >= wanted))
    return "; ".join(said) or "nothing"


def _in_all(losses: Losses, left: tuple[int, ...]) -> str:
    struts = sum(losses.served) - sum(left)
    failed = sum(now >= wanted > then for wanted, now, then in zip(losses.wanted, losses.served, left, strict=True))
    fails = f"; {counted(failed, 'scene')} no longer all served" if failed else ""
    return f"{counted(struts, 'strut')}{fails}" if struts else "nothing"
