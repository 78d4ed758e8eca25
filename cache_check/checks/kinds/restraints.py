"""What holds bases: attachment points, straps and chains with their hardware, and spares."""

from collections.abc import Collection, Iterator

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings, Inspection, Lacks
from cache_check.checks.restraint import Restraint, pointed_bases, serving, usable_bases
from cache_check.errors import grouped
from cache_check.model.part import TIES, Fitting, Tie
from cache_check.model.piece import Why
from cache_check.model.result import Gap
from cache_check.model.rule import Rule
from cache_check.planning.packing.rows import unmarked
from cache_check.planning.packing.verdicts import bare, of_hold

_UNHELD = "this base cannot be restrained; it is not counted on restrained or above"


def gaps_anchor_hardware(facts: Facts, rule: Rule) -> Lacks:
    """One gap for each piece of hardware that some usable strap or chain needs."""
    parts, counts = facts.muster.cache.catalogue.parts, facts.muster.usable.counts
    ties = [part for part in parts if isinstance(part, Tie) and counts[part.id]]
    found = grouped((hardware, (one.id, n)) for one in ties for hardware, n in one.hardware.items() if n)
    for hardware, users in found.items():
        want = sum(counts[tie] * each for tie, each in users)
        who = say.listed(facts.pieces(tie, counts[tie]) for tie, _ in users)
        each = say.listed((say.word(n) for n in sorted({n for _, n in users})), last="or")
        needs = f"{who} need {facts.pieces(hardware, want)} at {each} each"
        gap = facts.gap(rule, hardware, counts[hardware], want, [hardware], needs)
        idle = -(-gap.short // max(n for _, n in users))
        yield gap, f"at least {say.several(idle, 'strap or chain', 'straps or chains')} cannot be put to use"


def gaps_attachment_points(facts: Facts, rule: Rule) -> Lacks:
    """Usable bodies, each of which wants a base that can be restrained, against such bases."""
    want, pointed, by_id = sum(facts.usable_bodies().values()), pointed_bases(facts), facts.muster.cache.catalogue.by_id
    least = sorted({facts.muster.usable.least_points[part] for part in usable_bases(facts)})
    points = f"{say.listed(map(say.word, least), last='or')} usable attachment points" if least else "attachment points"
    bodies = f"{say.several(want, 'strut body', 'strut bodies')} {say.verb(want, 'wants', 'want')}"
    needs, what = f"{bodies} {say.several(want, 'base')} with {points}", "bases with enough attachment points"
    marked = sum(number for base, number in pointed.items() if not unmarked(by_id[base]))
    held = of_hold(facts.muster, pointed if marked < want else (), ())
    yield facts.gap(rule, what, sum(pointed.values()), want, serving(facts, "base"), needs, held=held), ""


def check_attachment_points(facts: Facts, rule: Rule) -> Findings:
    """A finding for each base that is damaged below the minimum, and for each type made with too few points."""
    muster = facts.muster
    for part, number in usable_bases(facts).items():
        least = muster.usable.least_points[part]
        designed = len(getattr(muster.cache.catalogue.by_id[part], "points", ()))
        items = (item for line in muster.cache.stock if line.part == part for item in line.items)
        told = ((item, item.points_usable) for item in items if facts.judged(item).usable)
        damaged = [(item, have) for item, have in told if isinstance(have, int) and have < least]
        for item, have in damaged:
            points = say.several(have, "usable attachment point")
            yield facts.finding(
                rule, f"{facts.name(part)} {item.serial} has {points}, {least} wanted, {designed} as made", _UNHELD,
                figures=(("usable_points_count", have), ("want_points_count", least)),
                part=part, where=item.where, rig=item.rig, serial=item.serial,
                remedy=Why.POINTS.remedy if have < designed else "",
            )  # fmt: skip
        if designed < least and (rest := number - muster.usable.pointed[part] - len(damaged)) > 0:
            what = f"{facts.pieces(part, rest)}: {say.several(designed, 'attachment point')} each, {least} wanted"
            effect = f"{say.several(rest, 'base')} cannot be restrained; not counted on restrained or above"
            figures = (("usable_points_count", designed), ("want_points_count", least), ("bases_count", rest))
            yield facts.finding(rule, what, effect, figures=figures, part=part)


def audit_damaged_points(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each piece with fewer usable attachment points than it was made with."""
    for item, where in inspection.items():
        part, fit = inspection.muster.cache.catalogue.by_id[item.part], item.points_usable
        if isinstance(part, Fitting) and isinstance(fit, int) and fit < (made := len(part.points)):
            says = f"{say.several(fit, 'usable attachment point')} of {made}"
            enough = fit >= inspection.muster.usable.least_points[part.id]
            effect = "the damaged point is not to be used; enough others are left" if enough else _UNHELD
            figures = (("usable_points_count", fit), ("made_points_count", made))
            yield inspection.of_piece(rule, item, where, says, effect, figures=figures)


def gaps_straps_per_base(facts: Facts, rule: Rule) -> Lacks:
    """The ties that usable bases with enough points want, by their rule or any usable tie's, against those of use."""
    book, by_id = facts.muster.book, facts.muster.cache.catalogue.by_id
    of_ties = {by_id[part].family for part, n in facts.muster.usable.counts.items() if n and by_id[part].kind in TIES}
    wants: list[int] = []
    for part, number in pointed_bases(facts).items():
        family = tuple(sorted({by_id[part].family, *of_ties}))
        if book.is_on(rule.id, family):
            wants += [int(book.value(rule.id, "min", family))] * number
    restraint = Restraint(facts, wants)
    gap = _gap(facts, rule, restraint)
    yield gap, f"no more than {restraint.held} of {len(wants)} bases can be restrained at once" if gap.short else ""


def _gap(facts: Facts, rule: Rule, restraint: Restraint) -> Gap:
    # What the cache restrains with: straps, chains, or either.
    kinds = {part.kind for part in facts.muster.cache.catalogue.parts} & set(TIES) or set(TIES)
    noun = " or ".join(f"{kind}s" for kind in TIES if kind in kinds)
    if not restraint.wants:
        says = f"no usable base has enough attachment points, so {noun} can restrain none"
        return Gap(noun, restraint.equipped, 0, says, rule.id)
    want, bases = restraint.want, restraint.wants.total()
    short = want - restraint.placed
    parts = [part for group in restraint.groups for part in group.parts]
    marked = sum(restraint.counts[part] for group in restraint.groups if group.rated for part in group.parts)
    unsure = of_hold(facts.muster, (), restraint.groups if marked < want else ())
    held = bare(facts.muster, restraint.unsaid) if short else unsure
    each = say.listed((say.word(number) for number in sorted(restraint.wants)), last="or")
    needs = f"{say.several(bases, 'base')} {say.verb(bases, 'needs', 'need')} {want} {noun} at {each} each"
    have = want - short if short else max(want, restraint.equipped)
    return facts.gap(rule, noun, have, want, parts, needs, _details(restraint), held)


def _details(restraint: Restraint) -> str:
    """What a plain subtraction of the figures would not show."""
    straps, chains = restraint.ties["strap"], restraint.ties["chain"]
    unsaid = sum(restraint.counts[part] for part in restraint.facts.muster.bare)
    idle = straps + chains - unsaid - restraint.equipped
    both = f"{say.several(straps, 'strap')} and {say.several(chains, 'chain')} usable" if straps and chains else ""
    apart = restraint.placed < min(restraint.want, restraint.equipped)
    unmixed = "web and chain are not mixed on one base" if apart else ""
    said = "; ".join(filter(None, (both, f"{idle} without hardware" if idle else "", unmixed)))
    return f" ({said})" if said else ""


def audit_spare_pieces(inspection: Inspection, rule: Rule) -> Findings:
    """A finding where the straps and chains, or the pads, are fewer than those in use and their spares."""
    per, facts = max(1, int(inspection.value(rule, "per"))), inspection.facts
    for what, kinds, use in _in_use(facts):
        spare, counts = -(-use // per), facts.muster.usable.counts
        parts = [part.id for part in facts.muster.cache.catalogue.parts if part.kind in kinds]
        needs = f"{use} {what} in use and {say.several(spare, 'spare')} make {use + spare}"
        gap = facts.gap(rule, what, sum(counts[part] for part in parts), use + spare, parts, needs)
        if use and gap.short:
            bare = "none to spare when one is cut or left on scene" if gap.have >= use else "short even with no spare"
            yield inspection.short_finding(rule, gap, bare)


def _in_use(facts: Facts) -> Iterator[tuple[str, Collection[str], int]]:
    muster, bodies = facts.muster, sum(facts.usable_bodies().values())
    each = int(muster.book.ruled("straps_per_base", "min", default=0))
    yield "straps or chains", TIES, each * min(bodies, sum(pointed_bases(facts).values()))
    if any(muster.cache.catalogue.by_id[line.part].kind == "pad" for line in muster.cache.stock):
        yield "pads", ("pad",), min(bodies, sum(usable_bases(facts).values()))
