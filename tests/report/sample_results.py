"""Small answers made by hand, so that a page can be tested without working anything out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

from cache_check.model.assembly import Assembly, Broken, Legality
from cache_check.model.cache import Source
from cache_check.model.counting import STEPS, Binding, Packing, SceneAnswer, Tally
from cache_check.model.finding import Finding
from cache_check.model.piece import Idle, Reason, Why
from cache_check.model.result import (
    Basis,
    BuildResult,
    CheckResult,
    Gap,
    MatchedSet,
    PartLine,
    Profile,
    Reach,
    ReachResult,
    RulesResult,
    Stretch,
)
from cache_check.model.rule import Parameter, Rule, RuleBook, Setting
from cache_check.model.verdict import Link, State
from cache_check.units import System

INCH = 25_400_000
NAMES = (("P/base", "base"), ("P/body", "body"), ("P/head", "head"), ("P/strap", "strap"), ("P/pin", "pin"))
SETTING = Setting(rule="EXT-2", values={"max": 32 * INCH}, by="family P", why="the sheet", family="P")
RULE = Rule(
    id="EXT-2", title="Total extension length", why="slender", severity="stop", source="common practice",
    kind="extension_length", remedy="use a longer body", since="1",
    parameters={"max": Parameter(type="length", value=36 * INCH, stricter="lower", about="most extension length")},
)  # fmt: skip
BOOK = RuleBook(version="7", rules=(RULE,))


def basis(**changed: Any) -> Basis:
    """What a sample answer rests on."""
    units: System = "us"
    one = Basis(
        rigs=("rig-1",), pooled=False, units=units, book_dates=(("rig-1", None),), on=date(2026, 11, 25),
        factor=Fraction(2), rules_version="7", settings=(SETTING,), stated=(), rules_off=("EXT-3",),
        changes=("without 1 strap",), ignored=("2 pads",), unknown=("strap: nobody counted",),
        sources=(Source(path="a.yaml", sha256="ab" * 32),),
    )  # fmt: skip
    return replace(one, **changed)


def assembly(closed: int = 48 * INCH, opened: int = 71 * INCH, mass: Fraction | None = None) -> Assembly:
    """A base, a body and a head."""
    return Assembly(
        ground="P/base", below=(), body="P/body", above=(), load="P/head", spans=((closed, opened),),
        extensions=0, joints=2, pins=(("P/pin", 2),), mass=mass,
    )  # fmt: skip


def packing(count: int = 3, bound: int | None = None) -> Packing:
    """So many of the one assembly, with two straps each."""
    made = ((assembly(), count),) if count else ()
    ties = (("P/strap", 2 * count),) if count else ()
    return Packing(count, count if bound is None else bound, made, ties)


def links(state: State) -> tuple[Link, ...]:
    """The one link of a verdict."""
    return (Link("rated", state, "3 of 4"),)


def tally(counts: tuple[int | None, ...] = (7, 7, 6, 4, 3, 3, 2), **changed: Any) -> Tally:
    """Four struts wanted at 50 in for 6,000 lbf; ``counts`` by step."""
    one = Tally(
        label="roof side", shortest=50 * INCH, longest=50 * INCH, wanted=4,
        load=Fraction("26689.3292956"), factor=Fraction(2), counts=tuple(zip(STEPS, counts, strict=True)),
        why_zero=(), asked_step="rated", lost=("P/strap",), best=packing(counts[5] or 0),
        binding=Binding(("P/strap",), (), 5), links=links("does not hold"),
    )  # fmt: skip
    return replace(one, **changed)


def finding(**changed: Any) -> Finding:
    """A finding that is short of three straps."""
    one = Finding(
        rule="STR-1", title="Straps per base", severity="short", rig="Rig 1", what="5 bases need 10 straps: 3 short",
        effect="no more than 3 restrained", remedy="add straps", source="common practice",
        figures=(("have_count", 7), ("longest_nm", 50 * INCH)), part="P/strap", where="strap bag",
    )  # fmt: skip
    return replace(one, **changed)


def stretches(*told: tuple[int, int, int]) -> tuple[Stretch, ...]:
    """Steps of (low, high, count), both ends included."""
    return tuple(Stretch(low, high, True, True, count) for low, high, count in told)


def _idle(why: Why) -> Idle:
    reason = Reason(why, "OOS-1", why.text)
    return Idle("P/body", "rig-1", "drawer 1", "", 1, "in service", (reason,))


def check_result(**changed: Any) -> CheckResult:
    """A check of one rig with a need that is not met."""
    reached = Reach(
        count=1, assemblies=(assembly(),), union=((48 * INCH, 71 * INCH), (80 * INCH, 90 * INCH)),
        blind_spots=((71 * INCH, 80 * INCH),), by_fitting=(("head", "P/head", ((48 * INCH, 71 * INCH),)),),
    )  # fmt: skip
    scene = SceneAnswer(
        "car", "Car on its side", 4, 3, 3, (("roof side", 4, 3),), packing(), tally().binding, links("does not hold")
    )
    one = CheckResult(
        name="rig-1", title="Rig 1", basis=basis(), names=NAMES,
        parts=(
            PartLine("P/strap", "strap", "Strap", None, 0, ()),
            PartLine("P/body", "body", "Body", 7, 5, (_idle(Why.REPAIR), _idle(Why.OVERDUE))),
        ),
        tallies=(tally(),), scenes=(scene,), reach=reached,
        profiles=(Profile("assembled at once", stretches((48 * INCH, 71 * INCH, 3)), True),),
        matched=(MatchedSet(3, "assembled at once", ((48 * INCH, 71 * INCH),), (48 * INCH, 71 * INCH), packing()),),
        gaps=(Gap("straps", 7, 10, "5 bases need 10 straps at two each: 3 short", "STR-1"),),
        findings=(finding(), finding(severity="stop", rule="MAT-1", figures=())),
    )  # fmt: skip
    return replace(one, **changed)


def reach_result(**changed: Any) -> ReachResult:
    """A reach with one assembly, asked at 50 in."""
    whole = check_result()
    one = ReachResult("rig-1", "Rig 1", basis(), NAMES, whole.reach, whole.profiles, tally(wanted=None))
    return replace(one, **changed)


def build_result(*, legal: bool = False) -> BuildResult:
    """Base, body, head: legal but short of a pin, or else one rule broken and a nearest build."""
    broken = Broken(
        "EXT-2", "Total extension length", "stop", "44 in, at most 32 in", "common practice", "a longer body"
    )
    verdict = Legality(
        parts=("P/base", "P/body", "P/head"), legal=legal, broken=() if legal else (broken,),
        assembly=assembly() if legal else None, short_of=(("P/pin", 2, 1),) if legal else (),
        nearest=assembly(), changes=0 if legal else 1,
    )  # fmt: skip
    return BuildResult("rig-1", "Rig 1", basis(factor=None), NAMES, verdict)


def rules_result() -> RulesResult:
    """One rule, changed for one family."""
    return RulesResult("7", (RULE,), (SETTING,))
