"""What the usable parts build, as checks look at it: kept factored, so that a large cache costs little."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks.facts import Facts, Mustered
from cache_check.joining.assemblies import Block
from cache_check.joining.explain import broken_rules
from cache_check.joining.groups import ends
from cache_check.joining.settings import added_length, merged, settable
from cache_check.model.assembly import Assembly, Span
from cache_check.model.cache import ReadySet
from cache_check.model.counting import Tally
from cache_check.model.family import Chart
from cache_check.model.need import Need
from cache_check.model.part import Body


def asked(facts: Facts) -> Iterator[tuple[Need, Tally]]:
    """Every need of every scene with its tally; none where no needs were given, or no tallies worked out."""
    needs = [need for scene in facts.scenes for need in scene.needs]
    if needs and facts.tallies:
        yield from zip(needs, facts.tallies, strict=True)


def built_sets(facts: Facts) -> Iterator[tuple[ReadySet, Assembly]]:
    """The ready sets with what they are built as; those that are no legal strut have findings of their own."""
    muster = facts.muster
    for ready in muster.cache.ready_sets:
        parts = [muster.cache.catalogue.by_id[part] for part in ready.parts]
        if not any(broken.severity == "stop" for broken in broken_rules(parts, muster.joined.joints)):
            yield ready, muster.joined.assembly_of(parts)


def charts_on_book(facts: Mustered) -> Iterator[Chart]:
    """The charts of families of which the cache lists a strut body, counted or not, in the order of the files."""
    cache = facts.muster.cache
    listed = {line.part for line in cache.stock if line.count != 0}
    for family in dict.fromkeys(p.family for p in cache.catalogue.parts if p.kind == "body" and p.id in listed):
        record = cache.catalogue.family.get(family)
        yield from record.charts if record else ()


def usable_bodies(facts: Facts) -> dict[str, int]:
    """Usable strut bodies by part id."""
    counts = facts.muster.usable.counts
    parts = facts.muster.cache.catalogue.parts
    return {part.id: counts[part.id] for part in parts if part.kind == "body" and counts[part.id]}


def fixed_lengths(block: Block) -> Iterator[tuple[int, int]]:
    """(extensions, length besides the body's own, nm) of every build of a block."""
    fittings = {added_length(ground) + added_length(load) for ground, load in ends(block.ground, block.load)}
    for stack in block.stacks:
        extensions = sum(1 for piece in stack.pieces if piece.kind == "extension")
        for adds in fittings:
            yield extensions, adds + stack.length


def spans_by_build(facts: Facts) -> dict[tuple[str, int], tuple[Span, ...]]:
    """The lengths (nm) that builds of one family cover, by body and number of extensions."""
    found: dict[tuple[str, int], set[Span]] = {}
    for block in facts.muster.joined.blocks:
        if len(block.shape.families) > 1:
            continue
        for extensions, fixed in fixed_lengths(block):
            for body in block.body.parts:
                assert isinstance(body, Body)
                spans = found.setdefault((body.id, extensions), set())
                spans.update((low + fixed, high + fixed) for low, high in settable(body))
    return {build: merged(spans) for build, spans in sorted(found.items())}
