"""What loads are asked at, against mark and policy; what the straps and the margin of a situation show."""

from collections.abc import Iterable
from fractions import Fraction

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings, LoadFacts, Mustered
from cache_check.loads.chart import DesignFactor
from cache_check.model.part import Fitting
from cache_check.model.rule import Rule
from cache_check.planning.packing.muster import Ask
from cache_check.planning.packing.ratings import factors_set
from cache_check.planning.scenes import ask_of


def check_above_mark(facts: Facts, rule: Rule) -> Findings:
    """A finding for each chart or part whose marked load is raised by a factor that a need or a rule setting asks."""
    needs = [need for scene in facts.scenes for need in scene.needs if need.loaded]
    yield from _raised(facts, rule, [facts.muster.factor(ask_of(need)) for need in needs] or [facts.muster.factor()])


def load_above_mark(facts: LoadFacts, rule: Rule) -> Findings:
    """The same for a situation."""
    yield from _raised(facts, rule, [facts.muster.factor(Ask(1, 1, factor=facts.result.situation.factor))])


def _raised(facts: Mustered, rule: Rule, asked: Iterable[DesignFactor]) -> Findings:
    said = [factor.k for factor in asked if factor.said]
    for name, stated in facts.muster.above_mark(least := min(said)) if said else ():
        what = f"{name} is rated at {say.ratio(stated)} and asked at {say.ratio(least)}: above the maker's mark"
        yield facts.finding(rule, what, f"its loads count for {float(stated / least):.4g} times what is marked")


def check_factor_asked(facts: Facts, rule: Rule) -> Findings:
    """A finding for each need that asks less than is used, and for each policy that was lowered."""
    yield from _lowered(facts, rule)
    for scene in facts.scenes:
        for need in (need for need in scene.needs if need.loaded):
            yield from _asked(facts, rule, f"{scene.id}: {need.id}", need.factor)


def load_factor_asked(facts: LoadFacts, rule: Rule) -> Findings:
    """The same for a situation."""
    yield from _lowered(facts, rule)
    yield from _asked(facts, rule, facts.result.situation.title or "this situation", facts.result.situation.factor)


def _asked(facts: Mustered, rule: Rule, who: str, factor: Fraction | None) -> Findings:
    if factor is not None and factor < (used := facts.muster.factor().k):
        what = f"{who} asks {say.ratio(factor)}: asked below policy, which asks {say.ratio(used)}"
        yield facts.finding(rule, what, f"{say.ratio(used)} is used, the stricter of the two")


def _lowered(facts: Mustered, rule: Rule) -> Findings:
    """Where a setting replaced a higher factor, of the rules or of an earlier setting: used all the same."""
    book, used = facts.muster.book, facts.muster.factor().k
    voices = [(one.by, Fraction(one.values["factor"])) for one in factors_set(book)]
    voices += [(one.id, Fraction(one.parameters["factor"].value)) for one in book.of_kind("load_check")]
    if higher := [(who, factor) for who, factor in voices if factor > used]:
        by = next((who for who, factor in reversed(voices[: len(factors_set(book))]) if factor == used), "a setting")
        asked = say.listed(f"{who} asks {say.ratio(factor)}" for who, factor in higher)
        effect = f"{say.ratio(used)} is used, and every rated count and load here is asked below policy"
        yield facts.finding(rule, f"{by} sets {say.ratio(used)}: asked below policy, {asked}", effect)


def load_assumed_loads(facts: LoadFacts, rule: Rule) -> Findings:
    """One finding for each figure that is stated below the policy's: it is used, and it is told."""
    one, value = facts.result.situation, facts.muster.book.value
    figures = (
        ("dynamic allowance", one.dynamic_allowance, Fraction(value(rule.id, "allowance"))),
        ("sideways share", one.sideways_share, Fraction(value(rule.id, "sideways"))),
    )
    effect = "asked below policy: every force here is less than policy would take"
    for what, stated, policy in figures:
        if stated is not None and stated < policy:
            yield facts.finding(rule, f"{what} of {float(stated):g} stated, policy says {float(policy):g}", effect)


def load_least_sideways(facts: LoadFacts, rule: Rule) -> Findings:
    """A word when the least force governs what the straps must hold."""
    forces, share = facts.result.forces, facts.value(rule, "share")
    if forces is not None and forces.governs_thrust == "least sideways":
        taken = f"{float(share):.0%} of the vertical, {facts.force(forces.thrust_checked, 'up')}, is taken"
        what = f"statics puts {facts.force(forces.thrust, 'up')} along the ground; {taken}"
        yield facts.finding(rule, what, "the straps are counted for that")


def load_strap_narrow(facts: LoadFacts, rule: Rule) -> Findings:
    """One finding when a strap runs nearly along the strut's line."""
    least = facts.value(rule, "min")
    if narrow := [line.plan_angle_deg for line in facts.result.lines if abs(line.plan_angle_deg) < least]:
        runs = f"{say.several(len(narrow), 'strap')} {say.verb(len(narrow), 'runs', 'run')}"
        off = f"{float(min(map(abs, narrow))):.4g} deg from the strut's line, under {float(least):g} deg"
        effect = "they hold the thrust, and little stops the base from going sideways"
        yield facts.finding(rule, f"{runs} {off}", effect)


def load_thin_margin(facts: LoadFacts, rule: Rule) -> Findings:
    """One finding when the best assembly that carries, or one that must stand with it, has less than the least."""
    one, least = facts.result.thinnest, facts.value(rule, "least")
    if one is None or not one.carries or one.margin is None or one.margin >= least:
        return
    thin = sum(each.carries and each.margin is not None and each.margin < least for each in facts.result.carriers)
    which = "the best assembly here" if one is facts.best else "the worst of those that stand at once"
    spare = f"{which} has {float(one.margin):.1%} to spare, under {float(least):.0%}"
    some = f"{say.several(thin, 'assembly', 'assemblies')} with so thin a margin {say.verb(thin, 'carries', 'carry')}"
    yield facts.finding(rule, f"{spare}; {one.governing.link} governs", f"{some} only if every figure is right")


def load_ties_per_point(facts: LoadFacts, rule: Rule) -> Findings:
    """One finding when more hold a base than its points can take one each."""
    # Without a situation none of it is wanted, and these files are read for every check.
    from cache_check.planning.loading.holding import fit_points, heaped

    best = facts.best
    if best is None or best.way is None:
        return
    base = facts.muster.cache.catalogue.by_id[best.assembly.ground]
    assert isinstance(base, Fitting)
    points, most = fit_points(facts.muster)[base.id], facts.value(rule, "max")
    if points and best.way.per_base > most * points:
        has = say.several(points, "point") + " fit for use" * (points < len(base.points))
        what = f"{best.way.per_base} on {facts.name(base.id)}, which has {has}"
        effect = f"{heaped(best.way, points)} hang on one point, and it takes the pull of them all"
        yield facts.finding(rule, what, effect, part=base.id)
