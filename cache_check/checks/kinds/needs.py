"""Needs and scenes are met on the step that they ask for, with one piece missing too, and rated for their load."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings
from cache_check.model.counting import Binding, SceneAnswer, Step, Tally
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule
from cache_check.model.verdict import Link, alike, broken
from cache_check.planning.scenes import ask_of

if TYPE_CHECKING:
    from cache_check.model.need import Need


def check_needs_met(facts: Facts, rule: Rule) -> Findings:
    """A finding for each need that is not met, or not known to be, and for each such scene of several needs."""
    for need, tally in facts.asked():
        if tally.verdict == "not known":
            yield _unknown(facts, rule, tally.label, tally.links)
        elif not tally.met:
            yield _need(facts, rule, need, tally)
    for answer in facts.answers:
        if len(answer.by_need) > 1 or not facts.tallies:
            if answer.verdict == "not known":
                yield _unknown(facts, rule, f"scene {answer.scene}", answer.links)
            elif not answer.met:
                yield _scene(facts, rule, answer)


def _unknown(facts: Facts, rule: Rule, label: str, links: tuple[Link, ...]) -> Finding:
    unknown = [link for link in broken(links) if link.state == "unknown"]
    each = (f"{link.name}: {link.why}" for link in alike(unknown))
    what = "; ".join([f"{label}: not known whether it is met", *each])
    steps = dict.fromkeys(step for link in unknown for step in link.ask.split("; ") if step)  # what many pieces want
    remedy = "; ".join(steps) or "find out what is not known"
    effect, figures = "nobody can count on it until this is known", (("unknown_count", len(unknown)),)
    return facts.finding(rule, what, effect, figures=figures, remedy=remedy, asked=label)


def _need(facts: Facts, rule: Rule, need: Need, tally: Tally) -> Finding:
    wanted, step = need.count, tally.asked_step
    there, carrying = tally.count(step) or 0, ""
    if tally.load is not None and tally.factor is not None:
        carrying = f" for {facts.force(tally.load, 'up')} at {say.ratio(tally.factor)}"
    reasons = [f"{at}: {why}" for at, why in tally.why_zero if need.restrained or at != "restrained"]
    asks = f"{say.several(wanted, 'strut')} wanted {step}{carrying} {facts.over(tally.shortest, tally.longest)}"
    figures = (
        ("want_count", wanted), ("have_count", there), ("short_count", max(0, wanted - there)),
        ("shortest_nm", tally.shortest), ("longest_nm", tally.longest), ("step", step),
    )  # fmt: skip
    what = f"{tally.label}: {asks}, {there} there" + f": {wanted - there} short" * (there < wanted)
    more = [link for link in tally.links if link.state == "does not hold" and link.ask]
    wanting = [f"{link.name}: {link.why}" for link in more] or [facts.binds(tally.binding)]
    remedy = "; ".join(link.ask for link in more) or _remedy(tally.binding)
    return facts.finding(rule, what, "; ".join([*reasons, *wanting]), figures=figures, remedy=remedy, asked=tally.label)


def _scene(facts: Facts, rule: Rule, answer: SceneAnswer) -> Finding:
    """The needs of a scene draw on one stock, so each can be met alone and the scene not."""
    most = "" if answer.served == answer.bound else f", at most {answer.bound} (not proven)"
    shares = say.listed(f"{need}: {served} of {wanted}" for need, wanted, served in answer.by_need)
    wanted, served, label = answer.wanted, answer.served, f"scene {answer.scene}"
    what = f"{label}: {served} of {say.several(wanted, 'strut')} at once{most} ({shares})"
    figures = (("want_count", wanted), ("have_count", served), ("short_count", wanted - served))
    remedy = _remedy(answer.binding)
    return facts.finding(rule, what, facts.binds(answer.binding), figures=figures, remedy=remedy, asked=label)


def _remedy(binding: Binding) -> str:
    """What to do where no piece more would help; else the rule's own remedy, to bring back or add what binds."""
    return "" if binding.untold or binding.more({}) else "put right what stands in the way, or plan for a second rig"


def check_loss_of_one(facts: Facts, rule: Rule) -> Findings:
    """A finding for each need, and for each scene of several needs, that is met, and not with one piece missing."""
    for need, tally in facts.asked():
        if tally.missing is not None and tally.missing.state != "holds":
            yield _short(facts, rule, tally.label, tally.missing, need.count, tally.count("one missing"), tally.lost)
    for one in facts.answers:
        if one.missing is not None and one.missing.state != "holds" and len(one.by_need) > 1:
            yield _short(facts, rule, f"scene {one.scene}", one.missing, one.wanted, one.left, one.lost)


def _short(
    facts: Facts, rule: Rule, label: str, missing: Link, wanted: int, left: int | None, lost: tuple[str, ...]
) -> Finding:
    sure = "not known to be met" if missing.state == "unknown" else "not met"
    piece = say.listed((facts.name(part) for part in lost), last="or") if lost else "piece"
    what, part = f"{label}: {sure} with one {piece} missing", lost[0] if len(lost) == 1 else ""
    figures = (("want_count", wanted), *(() if left is None else (("left_count", min(left, wanted)),)))
    return facts.finding(rule, what, missing.why, figures=figures, part=part, asked=label)


def check_load_check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each need that enough struts stand for, though too few of them are rated for its load."""
    for need, tally in facts.asked():
        rated = tally.count("rated")
        below: Step = "restrained" if need.restrained else "assembled at once"
        there = tally.count(below) or 0
        if rated is None or tally.load is None or tally.factor is None or not rated < need.count <= there:
            continue
        if tally.verdict == "not known":
            continue  # no other build helps: what is not known is to be found out, and the need says so
        bare = replace(ask_of(need), restrained=False, place=None, angle=None)
        if facts.muster.most(bare, "rated").count >= need.count:
            continue  # charts rate enough of them: what holds their bases does not, or their angle
        why, short = dict(tally.why_zero).get("rated"), need.count - rated
        stand = f"{say.several(there, 'strut')} {below} {facts.over(tally.shortest, tally.longest)}"
        load = f"{facts.force(tally.load, 'up')} each at {say.ratio(tally.factor)}"
        what = f"{tally.label}: {stand}, {rated} rated for {load}"
        missing = f"{short} of {say.several(need.count, 'wanted strut')} {say.verb(short, 'is', 'are')} missing"
        effect = f"{missing} for want of rating" + (f": {why}" if why else "")
        figures = (
            ("want_count", need.count), ("have_count", rated), (f"{below}_count", there), ("load_n", tally.load),
            ("longest_nm", tally.longest),
        )  # fmt: skip
        yield facts.finding(rule, what, effect, figures=figures, asked=tally.label)
