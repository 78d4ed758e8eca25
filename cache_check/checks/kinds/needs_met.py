"""Every need is met on the step it asks for, and every scene is served whole."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings
from cache_check.model.counting import SceneAnswer, Tally
from cache_check.model.finding import Finding
from cache_check.model.need import Need
from cache_check.model.rule import Rule
from cache_check.model.verdict import Link, broken


def check(facts: Facts, rule: Rule) -> Findings:
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
    """Neither a yes nor a no: everything that is not known, and who could tell."""
    unknown = [link for link in broken(links) if link.state == "unknown"]
    return facts.finding(
        rule,
        what=f"{label}: not known whether it is met; "
        + "; ".join(f"{link.name}: {link.why}" for link in unknown),
        effect="nobody can count on it until this is known", figures=(("unknown_count", len(unknown)),),
        remedy="; ".join(dict.fromkeys(link.ask for link in unknown if link.ask)) or "find out what is not known",
    )  # fmt: skip


def _need(facts: Facts, rule: Rule, need: Need, tally: Tally) -> Finding:
    wanted, step = need.count, tally.asked_step
    there = tally.count(step) or 0
    carrying = ""
    if tally.load is not None and tally.factor is not None:
        carrying = f" for {facts.force(tally.load, 'up')} at {say.ratio(tally.factor)}"
    reasons = [f"{at}: {why}" for at, why in tally.why_zero if need.restrained or at != "restrained"]
    return facts.finding(
        rule,
        what=f"{tally.label}: {say.several(wanted, 'strut')} wanted {step}{carrying} "
        f"{facts.over(tally.shortest, tally.longest)}, {there} there: {wanted - there} short",
        effect="; ".join([*reasons, facts.binds(tally.binding)]),
        figures=(
            ("want_count", wanted), ("have_count", there), ("short_count", wanted - there),
            ("shortest_nm", tally.shortest), ("longest_nm", tally.longest), ("step", step),
        ),
    )  # fmt: skip


def _scene(facts: Facts, rule: Rule, answer: SceneAnswer) -> Finding:
    """The needs of a scene draw on one stock, so each can be met alone and the scene not."""
    most = "" if answer.served == answer.bound else f", at most {answer.bound} (not proven)"
    shares = say.listed(f"{need}: {served} of {wanted}" for need, wanted, served in answer.by_need)
    return facts.finding(
        rule,
        what=f"scene {answer.scene}: {answer.served} of {say.several(answer.wanted, 'strut')} at once{most} ({shares})",
        effect=facts.binds(answer.binding),
        figures=(
            ("want_count", answer.wanted), ("have_count", answer.served),
            ("short_count", answer.wanted - answer.served),
        ),
    )  # fmt: skip
