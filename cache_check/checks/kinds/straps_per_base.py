"""Every base has its own straps or chains: what the bases on the rig take, against what is there."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Facts, Lacks
from cache_check.checks.restraint import Restraint, pointed_bases
from cache_check.model.part import TIES
from cache_check.model.result import Gap
from cache_check.model.rule import Rule


def gaps(facts: Facts, rule: Rule) -> Lacks:
    """All usable bases that can be restrained, against the straps and chains that can be put to use on them."""
    restraint = _restraint(facts, rule)
    gap, bases = _gap(facts, rule, restraint), restraint.wants.total()
    yield gap, f"no more than {restraint.held} of {bases} bases can be restrained at once" if gap.short else ""


def _restraint(facts: Facts, rule: Rule) -> Restraint:
    """Every base with enough points, wanting as many ties as its family's rule says, or that of any usable tie."""
    book, by_id = facts.muster.book, facts.muster.cache.catalogue.by_id
    of_ties = {by_id[part].family for part, n in facts.muster.usable.counts.items() if n and by_id[part].kind in TIES}
    wants: list[int] = []
    for part, number in pointed_bases(facts).items():
        family = tuple(sorted({by_id[part].family, *of_ties}))
        if book.is_on(rule.id, family):
            wants += [int(book.value(rule.id, "min", family))] * number
    return Restraint(facts, wants)


def _gap(facts: Facts, rule: Rule, restraint: Restraint) -> Gap:
    noun = _noun(facts)
    if not restraint.wants:
        says = f"no usable base has enough attachment points, so {noun} can restrain none"
        return Gap(noun, restraint.equipped, 0, says, rule.id)
    want, bases = restraint.want, restraint.wants.total()
    short = want - restraint.placed
    binds = facts.bound_by(part for group in restraint.groups for part in group.parts)
    each = say.listed((say.word(number) for number in sorted(restraint.wants)), "or")
    says = (
        f"{say.several(bases, 'base')} {say.verb(bases, 'needs', 'need')} {want} {noun} at {each} each: "
        f"{say.outcome(short, binds)}{_details(restraint)}"
    )
    return Gap(noun, want - short if short else max(want, restraint.equipped), want, says, rule.id, binds)


def _noun(facts: Facts) -> str:
    """What the cache restrains with: straps, chains, or either."""
    kinds = {part.kind for part in facts.muster.cache.catalogue.parts if part.kind in ("strap", "chain")}
    return " or ".join(f"{kind}s" for kind in ("strap", "chain") if kind in (kinds or {"strap", "chain"}))


def _details(restraint: Restraint) -> str:
    """What a plain subtraction of the figures would not show."""
    straps, chains = restraint.ties["strap"], restraint.ties["chain"]
    idle = straps + chains - restraint.equipped
    said = []
    if straps and chains:
        said.append(f"{say.several(straps, 'strap')} and {say.several(chains, 'chain')} usable")
    if idle:
        said.append(f"{idle} without hardware")
    if restraint.placed < min(restraint.want, restraint.equipped):
        said.append("web and chain are not mixed on one base")
    return f" ({'; '.join(said)})" if said else ""
