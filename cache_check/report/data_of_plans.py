"""Tables of data of plans: ready sets, purchases, and a strut in its place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from math import floor
from typing import Any

from cache_check.model.counting import FromRig
from cache_check.model.load import Carrier, LoadResult
from cache_check.model.purchase import BuyResult, County, Order, Purchase
from cache_check.model.staging import ReadySetPlan, StageResult
from cache_check.report import bought
from cache_check.report.data import (
    ASKED,
    BASIS,
    CHECK,
    ENDS,
    MATCHED,
    STACK,
    TALLIES,
    Cell,
    Data,
    Rows,
    asked,
    down,
    missing,
    number,
    said,
    span,
    stack,
    tallies,
    up,
    yes,
)  # fmt: skip
from cache_check.report.load_forces import on_one
from cache_check.report.say import Say


def _where(sets: Iterable[ReadySetPlan], say: Say) -> Rows:
    for one in sets:
        lies, loads = one.stowed, [load for _, load in one.rated]
        loads += [loads[-1]] * (3 - len(loads))
        place = (lies.compartment, lies.rig, yes(lies.diagonal)) if lies.compartment else (None, None, None)
        spare = say.bare_length(lies.spare_length, "down") if lies.compartment else None
        ties = " + ".join(say.name(part) for part, _ in one.ties), sum(number for _, number in one.ties)
        yield one.name, *place, spare, one.carry, *ties, one.ties_wanted, *(down(load, say) for load in loads)


def _staged(result: StageResult) -> Rows:
    for scene in result.staging.scenes if result.staging else ():
        one, built = scene.served, sum(strut.as_built for strut in scene.struts)
        counts = (one.weight, one.wanted, one.served, built, scene.joints)
        yield one.title or one.scene, *counts, said(one.verdict), missing(one.missing)


def _loose(result: StageResult, say: Say) -> Rows:
    one = result.staging
    rigs = (one.loose_on or (FromRig(result.basis.rigs[0], one.loose),)) if one else ()
    return ((on.rig, say.name(part), number) for on in rigs for part, number in on.pieces)


def _turns(sets: Iterable[ReadySetPlan], say: Say) -> Rows:
    for one in sets:
        for other, broken, made in one.turns_into:
            ends = span((other.closed, other.open), say)
            yield one.name, say.stack(other.parts), *ends, broken, made


def _of_lists(rows: Callable[[BuyResult, Purchase, Say], Rows]) -> Callable[[BuyResult, Say, Any], Rows]:
    """The rows of each list, each with where the list is from."""
    return lambda result, say, _: (
        (bought.whence(result, one), *row) for one in result.purchases for row in rows(result, one, say)
    )


def _paid(result: BuyResult, *hundredths: int) -> tuple[Cell, ...]:
    """Amounts, and their currency before them; nothing where no price is known."""
    if not result.currency:
        return (None,) * (len(hundredths) + 1)
    return (result.currency, *(f"{each // 100}.{each % 100:02d}" for each in hundredths))


def _lines(result: BuyResult, one: Purchase, say: Say) -> Rows:
    for line in one.lines:
        sold = (line.packs, line.pack, line.minimum, line.pieces)
        paid = _paid(result, line.price, line.fixed, line.cost)
        whose = (line.source, yes(line.moved), line.number)
        yield say.name(line.part), *whose, *sold, *paid, len(line.opens)


def _orders(result: BuyResult, one: Purchase, _: Say) -> Rows:
    """What a list comes to in all, and vendor by vendor where there are several."""
    whole = (sum(s.met for s in one.after), len(one.after), sum(s.served for s in one.after))

    def paid(vendor: str, orders: Iterable[Order]) -> tuple[Cell, ...]:
        sums = [sum(each) for each in zip(*((o.goods, o.once, o.small, o.cost) for o in orders), strict=True)]
        return vendor, *_paid(result, *(sums or [0] * 4))

    yield *paid(one.orders[0].source if len(one.orders) == 1 else "all", one.orders), one.pieces, *whole
    for order in one.orders if len(one.orders) > 1 else ():
        yield *paid(order.source, [order]), order.pieces, None, None, None


def _free(_: BuyResult, one: Purchase, say: Say) -> Rows:
    for each in one.free:
        yield say.name(each.part), each.serial, each.rig, each.where, each.pieces, each.why, each.way


def _before_after(result: BuyResult, one: Purchase, _: Say) -> Rows:
    steps = {(ask.scene, ask.need): ask.step for ask in result.asks}
    for before, after in zip(one.before, one.after, strict=True):
        both = (said(before.verdict), said(after.verdict), missing(before.missing), missing(after.missing))
        for (need, wanted, now), (_need, _wanted, then) in zip(before.needs, after.needs, strict=True):
            yield after.title or after.scene, need, wanted, steps[after.scene, need], now, then, *both


def _frontier(result: BuyResult, one: Purchase, say: Say) -> Rows:
    """A row for each part that a step buys."""
    for n, point in enumerate(one.frontier):
        step = (n, *_paid(result, point.cost), len(point.met), point.struts)
        yield from ((*step, say.name(part), source, number) for part, source, number in point.pieces or (("", "", 0),))


def _dead(_: BuyResult, one: Purchase, say: Say) -> Rows:
    for d in one.dead:
        yield say.name(d.part), d.usable_today, d.idle_today, d.usable_after, d.idle_after


def _dead_untold(result: BuyResult) -> str | None:
    return next((one.dead_untold for one in result.purchases if one.dead_untold), None)


def _asks(result: BuyResult, say: Say) -> Rows:
    for one in result.asks:
        yield one.title or one.scene, one.need, *asked(one, say), one.step, one.weight


def _county(result: BuyResult, _: Say, told: Any) -> Rows:
    """A row for each need of a rig of several: what it serves by itself, on which step."""
    one: County | None = told.more.get("county")
    if one is None:
        return
    steps = {(scene, need): step for scene, need, step in one.steps}
    otherwise = {(rig, scene, need): step for rig, scene, need, step in one.otherwise}
    for (_rig, title), scenes in zip(one.rigs, one.served, strict=True):
        for scene in scenes if title == result.title else ():
            for need, wanted, served in scene.needs:
                step = otherwise.get((title, scene.scene, need), steps[scene.scene, need])
                yield scene.title or scene.scene, need, wanted, step, served, said(scene.verdict)


def _carriers(carriers: Iterable[Carrier], say: Say) -> Rows:
    for one in carriers:
        row = None if one.chart_row is None else say.bare_length(one.chart_row[1], "nearest")
        spare = None if one.margin is None else floor(one.margin * 100)
        broken = ", ".join(dict.fromkeys(link.of for link in one.broken))
        rated = (down(one.rated, say), number(one.rated_at), row, one.governing.link, spare)
        yield *stack(one.assembly, say), *rated, said(one.verdict), broken


def _straps(result: LoadResult, say: Say) -> Rows:
    thrust = None if result.forces is None else result.forces.thrust_checked
    for nth, line in enumerate(result.lines, 1):
        far = line.length or result.situation.anchor_distance
        most = (None, None) if thrust is None else (thrust * line.unit, thrust * line.worst)
        yield (
            nth, f"{float(line.plan_angle_deg):.1f}", f"{float(line.rise_deg):.1f}",
            None if far is None else say.bare_length(far, "up"), up(line.pretension, say),
            *(None if each is None else up(each + line.pretension, say) for each in most),
        )  # fmt: skip


def _ready(result: StageResult) -> tuple[ReadySetPlan, ...]:
    return result.staging.sets if result.staging else result.stowed


STAGE: Mapping[str, Data] = {
    "sets": Data(f"set|{STACK}", lambda one, say, _: ((s.name, *stack(s.assembly, say)) for s in _ready(one))),
    "where": Data(
        "set|lies in|of rig|on the diagonal|#to spare, {length}|carried by|straps or chains|#of them|#of them wanted"
        "|#rated closed, {force}|#rated mid, {force}|#rated open, {force}",
        lambda one, say, _: _where(_ready(one), say),
    ),
    "scenes": Data(
        "scene|#weight|#wanted|#served|#as built|#joints on scene|verdict|verdict with one missing",
        lambda one, _, __: _staged(one),
    ),
    "loose": Data(
        "on|part|#loose",
        lambda one, say, _: _loose(one, say),
    ),
    "turns": Data(
        f"set|turns into|{ENDS}|#joints broken|#joints made",
        lambda one, say, _: _turns(one.staging.sets if one.staging else (), say),
    ),
    "holes": Data(
        "#over, {length}|#under, {length}",
        lambda one, say, _: (
            (say.bare_length(low, "down"), say.bare_length(high, "up"))
            for low, high in (one.staging.holes if one.staging else ())
        ),
    ),
    "matched": MATCHED,
    "basis": BASIS,
}
BUY: Mapping[str, Data] = {
    "list": Data(
        "list from|part|from|moved|number|#packs|#in a pack|#at least|#pieces|currency|#a pack|#once|#cost"
        "|#scenes that lose struts without it",
        _of_lists(_lines),
    ),
    "quotes": Data(
        "list from|vendor|currency|#goods|#once|#small order|#in all|#pieces|#scenes met|#scenes|#struts served",
        _of_lists(_orders),
    ),
    "free": Data("list from|part|serial|of rig|place|#pieces|why|do", _of_lists(_free)),
    "scenes": Data(
        "list from|scene|need|#wanted|step|#today|#with the list|verdict of the scene today"
        "|verdict of the scene with the list|verdict today with one missing|verdict with the list and one missing",
        _of_lists(_before_after),
    ),
    "steps": Data("list from|#step|currency|#cost|#scenes met|#struts served|part|from|#pieces", _of_lists(_frontier)),
    "dead": Data("list from|part|#usable today|#idle today|#usable then|#idle then", _of_lists(_dead), _dead_untold),
    "asked": Data(f"scene|need|{ASKED}|step|#weight", lambda one, say, _: _asks(one, say)),
    "county": Data("scene|need|#wanted|step|#served|verdict of the scene", _county),
    "basis": BASIS,
}
LOAD: Mapping[str, Data] = {
    "builds": Data(
        f"{STACK}|" + "#rated, {force}|#at factor|#row to, {length}|governs|#to spare, %|verdict|not held or not known",
        lambda one, say, _: _carriers(one.carriers, say),
    ),
    "forces": Data("on one strut|#{force}", lambda one, say, _: (row[:2] for row in on_one(one, say))),
    "straps": Data(
        "#strap|#in plan and left of the line, deg|#rise, deg|#to anchor, {length}|#pre-tension, {force}"
        "|#tension, {force}|#most, {force}",
        lambda one, say, _: _straps(one, say),
    ),
    "steps": Data(TALLIES, lambda one, say, _: tallies((one.tally,), say)),
    "thumb": Data(
        "what|#by practice, {force}|#by statics, {force}|#statics along the strut, {force}",
        lambda one, say, _: (
            (each.what, *(up(force, say) for force in (each.practice, each.statics, each.along_strut)))
            for each in one.comparisons
        ),
    ),
    "findings": CHECK["findings"],
    "basis": BASIS,
}
