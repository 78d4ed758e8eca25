"""The joint graph: its paths are the assemblies, its edges say which rule allows them."""

from __future__ import annotations

import io

import networkx as nx
from builders import rescue_41
from hypothesis import given
from laws import books, oracles
from laws import strategies as drawn

from cache_check.joining.assemblies import Joinery
from cache_check.joining.joints import join_graph
from cache_check.model.part import Body, Fitting
from cache_check.model.rule import RuleBook


@drawn.some(80)
@given(drawn.caches())
def test_paths_that_the_counting_rules_accept_are_the_assemblies(cache: drawn.Drawn) -> None:
    """With one piece of each part, the walks from ground to load that no counting rule refuses are those listed."""
    if any(setting.family for setting in cache.book.settings):
        return
    singles = {part: min(1, number) for part, number in cache.counts.items()}
    singles |= {part.id: 50 for part in cache.catalogue.parts if part.kind == "pin"}
    graph = join_graph(cache.catalogue, singles, cache.book)
    ends = {place: [n for n in graph if graph.nodes[n]["place"] == place] for place in ("ground", "load")}

    walks = set()
    for ground in ends["ground"]:
        for path in nx.all_simple_paths(graph, ground, set(ends["load"])):
            identity = _accepted(cache, [graph.nodes[node]["part"] for node in path])
            if identity:
                walks.add(identity)

    assert walks == {one.identity for one in Joinery(cache.catalogue, singles, cache.book).assemblies()}


def _accepted(cache: drawn.Drawn, ids: list[str]) -> oracles.Identity | None:
    if len(set(ids)) < len(ids):
        return None
    parts = [cache.catalogue.by_id[part] for part in ids]
    at = next(i for i, part in enumerate(parts) if part.kind == "body")
    ground, body, load = parts[0], parts[at], parts[-1]
    assert isinstance(ground, Fitting)
    assert isinstance(body, Body)
    assert isinstance(load, Fitting)
    below, above = parts[1:at], parts[at + 1 : -1]
    if oracles.whole_breaks(cache.book, ground, [*below, *above], body, load):
        return None
    if oracles.order_breaks(cache.book, oracles.families_of(parts), below, above):
        return None
    return (ground.id, load.id, body.id, tuple(sorted(part.id for part in [*below, *above])))


def test_edges_name_their_rule_and_pin() -> None:
    """In Rescue 41 every joint is allowed by MAT-1 and takes one joint pin."""
    cache = rescue_41()
    graph = join_graph(cache.catalogue, cache.counted, books.book(cache.settings))

    assert {(rule, pin, pins) for _, _, (rule, pin, pins) in _edges(graph)} == {("MAT-1", "P/joint-pin", 1)}


def test_edges_that_no_rule_is_about_name_none() -> None:
    """In a book without the rule on ends that mate an edge names no rule."""
    cache, delivered = rescue_41(), books.book()
    book = RuleBook(version="drill", rules=tuple(rule for rule in delivered.rules if rule.kind != "ends_mate"))

    assert {rule for _, _, (rule, _, _) in _edges(join_graph(cache.catalogue, cache.counted, book))} == {""}


def _edges(graph: nx.DiGraph[str] | nx.Graph[str]) -> list[tuple[str, str, tuple[str, str, int]]]:
    return [(one, two, (data["rule"], data["pin"], data["pins"])) for one, two, data in graph.edges(data=True)]


def test_heads_are_no_bases_in_the_graph() -> None:
    """A fitting sits only where it serves: an edge head has no node at the ground, a hinged base none at the load."""
    cache = rescue_41()
    graph = join_graph(cache.catalogue, cache.counted, books.book(cache.settings))

    assert graph.has_node("load: P/edge-head")
    assert not graph.has_node("ground: P/edge-head")
    assert not graph.has_node("load: P/hinged-base")
    assert graph.has_node("ground: P/flat-fitting")
    assert graph.has_node("load: P/flat-fitting")


def test_the_graph_is_kept_by_graphml() -> None:
    """Written as GraphML and read again it is the same graph."""
    cache = rescue_41()
    graph = join_graph(cache.catalogue, cache.counted, books.book(cache.settings))
    kept = io.BytesIO()
    nx.write_graphml(graph, kept)
    kept.seek(0)

    again = nx.read_graphml(kept)
    assert sorted(again.nodes(data=True), key=str) == sorted(graph.nodes(data=True), key=str)
    assert sorted(_edges(again)) == sorted(_edges(graph))
