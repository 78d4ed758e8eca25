"""Lists to buy and sets to leave built, in the shape of the JSON."""

from __future__ import annotations

from fractions import Fraction

from cache_check.model.purchase import BuyResult, County, Purchase
from cache_check.model.rule import RuleBook
from cache_check.model.served import SceneServed
from cache_check.model.staging import ReadySetPlan, SceneStaged, StageResult, Staging, StrutOnScene
from cache_check.report import answer_plans as to
from cache_check.report.records import NeedServed
from cache_check.report.shapes import assembly, basis, matched_set, piece_counts, scene, span_shapes
from cache_check.units import NM_PER_MM


def buy(result: BuyResult, book: RuleBook) -> to.BuyShape:
    """The answer of ``buy``."""
    return to.BuyShape(
        name=result.name,
        title=result.title,
        basis=basis(result.basis, book),
        currency=result.currency,
        must_leave=list(result.policy),
        steps=[to.StepAsked(scene=one.scene, need=one.need, step=one.step) for one in result.asks],
        purchases=[_purchase(one) for one in result.purchases],
    )


def county(one: County) -> to.CountyShape:
    """Several rigs, each by itself."""
    return to.CountyShape(
        rigs=[
            to.RigServed(rig=rig, title=title, scenes=[_served(scene) for scene in scenes])
            for (rig, title), scenes in zip(one.rigs, one.served, strict=True)
        ],
        steps=[to.StepAsked(scene=scene, need=need, step=step) for scene, need, step in one.steps],
        moves=[
            to.MoveShape(
                pieces=[to.MovedPiece(part=part, giver=giver) for part, giver in move.pieces],
                taker=move.taker,
                scene=move.scene,
                struts_before=move.served_before,
                struts_after=move.served_after,
            )
            for move in one.moves
        ],
    )


def _purchase(one: Purchase) -> to.PurchaseShape:
    return to.PurchaseShape(
        quotes=[
            to.QuoteShape(
                title=quote.title,
                currency=quote.currency,
                dated=quote.dated.isoformat() if quote.dated else None,
                not_parts_here=list(quote.strange),
                parts_without_a_price=list(quote.unpriced),
            )
            for quote in one.quotes
        ],
        budget_hundredths=one.budget,
        meets_every_scene=one.whole,
        cost_hundredths=one.cost,
        pieces=one.pieces,
        lines=_lines(one),
        before=[_served(scene) for scene in one.before],
        after=[_served(scene) for scene in one.after],
        scenes=[scene(answer) for answer in one.answers],
        frontier=_frontier(one),
        frontier_complete=one.frontier_whole,
        dead_stock=[
            to.DeadShape(
                part=dead.part,
                usable_today=dead.usable_today,
                idle_today=dead.idle_today,
                usable_then=dead.usable_after,
                idle_then=dead.idle_after,
            )
            for dead in one.dead
        ],
        giving=_giving(one),
        out_of_reach=[
            to.OutOfReachShape(
                scene=o.scene, need=o.need, wanted=o.wanted, attainable=o.attainable, says=o.says,
                forbidden_by=list(o.rules),
            )
            for o in one.out_of_reach
        ],
    )  # fmt: skip


def _lines(one: Purchase) -> list[to.BuyLineShape]:
    return [
        to.BuyLineShape(
            part=line.part,
            source=line.source,
            moved=line.moved,
            packs=line.packs,
            pieces_in_a_pack=line.pack,
            pieces=line.pieces,
            pack_price_hundredths=line.price,
            once_per_order_hundredths=line.fixed,
            cost_hundredths=line.cost,
            opens=[to.OpensShape(scene=s, struts=full, struts_without_this_line=less) for s, full, less in line.opens],
        )
        for line in one.lines
    ]


def _frontier(one: Purchase) -> list[to.FrontierShape]:
    return [
        to.FrontierShape(
            cost_hundredths=point.cost,
            scenes_met=list(point.met),
            struts_served=point.struts,
            buys=[to.SourcedPieces(part=part, source=source, count=n) for part, source, n in point.pieces],
        )
        for point in one.frontier
    ]


def _giving(one: Purchase) -> list[to.GivingShape]:
    return [
        to.GivingShape(
            title=giving.title,
            scenes=[to.GivingScene(scene=s, struts_before=a, struts_after=b) for s, a, b in giving.scenes],
        )
        for giving in one.giving
    ]


def _served(one: SceneServed) -> to.ServedShape:
    return to.ServedShape(
        scene=one.scene,
        title=one.title,
        weight=one.weight,
        met=one.met,
        needs=[NeedServed(need=need, wanted=wanted, served=served) for need, wanted, served in one.needs],
    )


def stage(result: StageResult, book: RuleBook) -> to.StageShape:
    """The answer of ``stage``."""
    return to.StageShape(
        name=result.name,
        title=result.title,
        basis=basis(result.basis, book),
        most_sets=result.most_sets,
        one_person_kg=_number(result.one_person),
        two_persons_kg=_number(result.two_persons),
        staging=None if result.staging is None else _staging(result.staging),
        matched_sets=[matched_set(one) for one in result.matched],
        largest_matched_set=[_ready(one) for one in result.stowed],
    )


def _staging(one: Staging) -> to.StagingShape:
    return to.StagingShape(
        weighted_joints=one.weighted_joints,
        least_margin_mm=None if one.least_margin is None else one.least_margin / NM_PER_MM,
        sets=[_ready(ready) for ready in one.sets],
        scenes=[_scene(staged) for staged in one.scenes],
        loose=piece_counts(one.loose),
        holes=span_shapes(one.holes),
    )


def _ready(one: ReadySetPlan) -> to.ReadySetShape:
    return to.ReadySetShape(
        name=one.name,
        assembly=assembly(one.assembly),
        carried_by=one.carry,
        stowed=to.StowedShape(
            compartment=one.stowed.compartment,
            rig=one.stowed.rig,
            spare_length_mm=one.stowed.spare_length / NM_PER_MM,
            diagonal=one.stowed.diagonal,
            not_checked=list(one.stowed.unchecked),
        ),
        ties=piece_counts(one.ties),
        ties_wanted=one.ties_wanted,
        rated=[to.RatedAt(length_mm=length / NM_PER_MM, load_n=_number(load)) for length, load in one.rated],
        turns_into=[
            to.TurnsInto(assembly=assembly(other), joints_broken=broken, joints_made=made)
            for other, broken, made in one.turns_into
        ],
    )


def _scene(one: SceneStaged) -> to.SceneStagedShape:
    return to.SceneStagedShape(
        served=_served(one.served),
        joints=one.joints,
        struts=[_strut(strut) for strut in one.struts],
        steps=[
            to.StepOnSceneShape(does=step.does, lower=step.lower, upper=step.upper, of=step.of) for step in one.steps
        ],
        ties=piece_counts(one.ties),
    )


def _strut(one: StrutOnScene) -> to.StrutShape:
    return to.StrutShape(
        name=one.name,
        need=one.need,
        assembly=assembly(one.assembly),
        restrained=one.restrained,
        as_built=one.as_built,
        sets=list(one.sets),
        loose=list(one.loose),
        joints_made=one.made,
        margin_mm=one.margin / NM_PER_MM,
        ties=piece_counts(one.ties),
    )


def _number(value: Fraction | None) -> float | None:
    return None if value is None else float(value)
