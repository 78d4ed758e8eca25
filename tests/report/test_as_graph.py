"""The joint graph in open formats, whatever its names are."""

from __future__ import annotations

import json

import networkx as nx
import pytest

from cache_check.report.as_graph import as_dot, as_graphml, as_node_link

ODD = ['say "hi"', "back\\slash", "a -> b; }", "<b>&amp;", "قاطرة", "🚒", "ctrl\x01", "x" * 10_000]


def graph(name: str) -> nx.DiGraph[str]:
    """Two nodes and a joint, one name odd."""
    made: nx.DiGraph[str] = nx.DiGraph(rules="7")
    made.add_node(name, part=name, turned=True, pieces=2)
    made.add_node("body", part="P/body", turned=False, pieces=1)
    made.add_edge(name, "body", rule="MAT-1", pin=name, pins=1)
    return made


def dot_strings(text: str) -> list[str]:
    """The quoted strings of a DOT text, read by DOT's own rule: a quote ends it unless a backslash stands before."""
    found, at = [], 0
    while (at := text.find('"', at)) >= 0:
        end = at + 1
        while text[end] != '"':
            end += 2 if text[end] == "\\" else 1
        found.append(text[at + 1 : end].replace('\\"', '"').replace("\\\\", "\\"))
        at = end + 1
    return found


@pytest.mark.parametrize("name", ODD)
def test_dot_quotes_every_name(name: str) -> None:
    """Names come back out of the quotes as they went in."""
    strings = dot_strings(as_dot(graph(name)))
    shown = name.replace("\x01", "<U+0001>")

    assert strings.count(shown) == 4  # the node, its part, the joint's lower end, its pin


@pytest.mark.parametrize("name", ODD)
def test_graphml_reads_back(name: str) -> None:
    """Networkx reads the same nodes, joints, numbers and switches."""
    back = nx.parse_graphml(as_graphml(graph(name)))
    shown = name.replace("\x01", "<U+0001>")

    assert set(back.nodes) == {shown, "body"}
    assert back.nodes[shown] == {"part": shown, "turned": True, "pieces": 2}
    assert back.edges[shown, "body"]["rule"] == "MAT-1"
    assert "planning aid" in back.graph["caution"]


@pytest.mark.parametrize("name", ODD)
def test_node_link_reads_back(name: str) -> None:
    """Networkx reads the very same graph."""
    back = nx.node_link_graph(json.loads(as_node_link(graph(name))), edges="edges")

    assert list(back.nodes(data=True)) == list(graph(name).nodes(data=True))
    assert list(back.edges(data=True)) == list(graph(name).edges(data=True))
    assert back.graph["rules"] == "7"
