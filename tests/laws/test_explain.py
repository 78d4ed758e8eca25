"""Explaining a stack: legal or not, and the nearest legal build."""

from __future__ import annotations

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from cache_check.joining.assemblies import Joinery
from cache_check.joining.explain import explain
from cache_check.model.part import LINEAR, Part
from laws import oracles
from laws import strategies as drawn


def _legal(cache: drawn.Drawn) -> list[tuple[str, ...]]:
    found = oracles.assemblies(cache.catalogue, cache.counts, cache.book)
    return sorted(order for one in found for order in one.orders)


@st.composite
def stacks(draw: st.DrawFn, cache: drawn.Drawn) -> list[Part]:
    """Parts in an order that looks like a strut, or a legal assembly with up to two parts changed."""
    linear = [part for part in cache.catalogue.parts if part.kind in LINEAR]
    legal = _legal(cache)
    near: bool = draw(st.booleans())
    if legal and near:
        stack = [cache.catalogue.by_id[part] for part in draw(st.sampled_from(legal))]
        for _ in range(draw(st.integers(0, 2))):
            stack[draw(st.integers(0, len(stack) - 1))] = draw(st.sampled_from(linear))
        return stack
    of = {kind: [part for part in linear if part.kind == kind] for kind in LINEAR}
    pieces = st.lists(st.sampled_from(of["extension"] + of["adapter"] or of["body"]), max_size=2)
    fittings = st.sampled_from(of["fitting"])
    return [draw(fittings), *draw(pieces), draw(st.sampled_from(of["body"])), *draw(pieces), draw(fittings)]


def _is_a_strut(stack: list[Part]) -> bool:
    kinds = [part.kind for part in stack]
    inner = kinds[1:-1]
    return kinds[0] == kinds[-1] == "fitting" and inner.count("body") == 1 and "fitting" not in inner


@drawn.SETTINGS
@given(drawn.caches(), st.data())
def test_legal_is_what_the_definition_says(cache: drawn.Drawn, data: st.DataObject) -> None:
    """A stack is legal exactly when the definition accepts it; an illegal one names at least one rule."""
    stack = data.draw(stacks(cache))
    ids = [part.id for part in stack]

    verdict = explain(stack, Joinery(cache.catalogue, cache.counts, cache.book))

    expected = _is_a_strut(stack) and oracles.stack_is_legal(
        cache.catalogue, cache.book, ids, [part.kind for part in stack].index("body")
    )
    assert verdict.legal == expected
    assert verdict.legal == (not any(broken.severity == "stop" for broken in verdict.broken))


@drawn.SETTINGS
@given(drawn.caches(), st.data())
def test_nearest_build_changes_the_fewest_parts(cache: drawn.Drawn, data: st.DataObject) -> None:
    """No legal build from usable parts changes fewer parts, or as few with fewer pieces."""
    stack = data.draw(stacks(cache))
    ids = [part.id for part in stack]
    best = oracles.nearest(oracles.assemblies(cache.catalogue, cache.counts, cache.book), ids)

    verdict = explain(stack, Joinery(cache.catalogue, cache.counts, cache.book))

    if best is None:
        assert verdict.nearest is None
        return
    changes, pieces, among = best
    assert verdict.nearest is not None
    assert (verdict.changes, len(verdict.nearest.parts)) == (changes, pieces)
    assert verdict.nearest.identity in among
    assert oracles.changes(Counter(ids), Counter(verdict.nearest.parts)) == changes


@drawn.SETTINGS
@given(drawn.caches(), st.data())
def test_a_legal_stack_says_what_the_cache_is_short_of(cache: drawn.Drawn, data: st.DataObject) -> None:
    """Parts of which the stack takes more than there are usable are named with both figures, pins too."""
    legal = _legal(cache)
    if not legal:
        return
    fewer = cache.counts | {part: data.draw(st.integers(0, 2)) for part in data.draw(st.sampled_from(legal))}
    fewer |= {part.id: data.draw(st.integers(0, 4)) for part in cache.catalogue.parts if part.kind == "pin"}
    stack = [cache.catalogue.by_id[part] for part in data.draw(st.sampled_from(legal))]

    verdict = explain(stack, Joinery(cache.catalogue, fewer, cache.book))

    assert verdict.legal
    assert verdict.assembly is not None
    taken = Counter(part.id for part in stack) + Counter(dict(verdict.assembly.pins))
    assert set(verdict.short_of) == {(part, n, fewer[part]) for part, n in taken.items() if n > fewer[part]}
