"""The joint graph in open formats: GraphML, DOT by a small writer of our own, and node-link JSON."""

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from cache_check import __version__
from cache_check.report import shortly
from cache_check.report.as_text import as_lines
from cache_check.report.page import CAUTION, Line, Part, plain
from cache_check.report.say import counted, listed

if TYPE_CHECKING:
    import networkx as nx


def as_short(graph: "nx.DiGraph[str]", title: str, names: Mapping[str, str], width: int, colored: bool) -> str:
    """A line for the parts of each place that meet the same parts: how many pieces, and what they meet above them."""
    alike: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for node, data in graph.nodes(data=True):
        above = tuple(dict.fromkeys(names[graph.nodes[other]["part"]] for other in graph.successors(node)))
        alike.setdefault((data["place"], above), []).append(f"{data['pieces']} x {names[data['part']]}")
    lines = []
    order = ("ground", "below", "body", "above", "load")
    for (place, above), parts in sorted(alike.items(), key=lambda one: order.index(one[0][0])):
        meets = "touch the load" if place == "load" else f"meet {listed(above, 'and')}" if above else "meet nothing"
        lines.append(Line(place.capitalize(), f"{', '.join(dict.fromkeys(parts))}: {meets}"))
    edges = [data for _, _, data in graph.edges(data=True)]
    rules = listed(sorted({str(one["rule"]) for one in edges}), "and")
    pins = listed(sorted({f"{one['pins']} x {names[one['pin']]}" for one in edges if one["pins"]}))
    takes = f"; each that takes a loose pin takes {pins}" if pins != "none" else "; none takes a loose pin"
    head = Line("", f"{title}: which usable parts may meet, from the ground up", wide=True)
    count = Line("Joints", f"{counted(len(edges), 'legal joint')} by {rules}{takes}")
    more = Line("More", "--format dot, graphml or json; build says whether a whole strut is legal")
    foot = Part((count, Line("Caution", shortly.CAUTION), more))
    return as_lines((Part((head,)), Part(tuple(lines)), foot), width=width, colored=colored)


def as_dot(graph: "nx.DiGraph[str]") -> str:
    """The joint graph as DOT; every name and value quoted."""
    lines = ["digraph joints {", "  rankdir=BT;", f"  comment={_quoted(' '.join(CAUTION))};"]
    lines += [f"  {_quoted(node)}{_attributes(data)};" for node, data in graph.nodes(data=True)]
    lines += [f"  {_quoted(a)} -> {_quoted(b)}{_attributes(data)};" for a, b, data in graph.edges(data=True)]
    return "\n".join([*lines, "}"]) + "\n"


def _attributes(data: dict[str, Any]) -> str:
    said = ", ".join(f"{_quoted(key)}={_quoted(value)}" for key, value in data.items())
    return f" [{said}]" if said else ""


def _quoted(value: object) -> str:
    text = str(value).lower() if isinstance(value, bool) else str(value)
    return '"' + plain(text).replace("\\", "\\\\").replace('"', '\\"') + '"'


def as_node_link(graph: "nx.DiGraph[str]") -> str:
    """The joint graph as node-link JSON (keys "nodes" and "edges"), our envelope among the graph's own data."""
    about = {"schema": "cache-check/graph/1", "tool": {"name": "cache-check", "version": __version__},
             "caution": list(CAUTION), **graph.graph}  # fmt: skip
    nodes = [{"id": node, **data} for node, data in graph.nodes(data=True)]
    edges = [{"source": a, "target": b, **data} for a, b, data in graph.edges(data=True)]
    whole = {"directed": True, "multigraph": False, "graph": about, "nodes": nodes, "edges": edges}
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def as_graphml(graph: "nx.DiGraph[str]") -> str:
    """The joint graph as GraphML, the caution among the graph's own data."""
    import networkx as nx

    inert: nx.DiGraph[str] = nx.DiGraph(caution=" ".join(CAUTION), **_inert(graph.graph))
    inert.add_nodes_from((plain(node), _inert(data)) for node, data in graph.nodes(data=True))
    inert.add_edges_from((plain(a), plain(b), _inert(data)) for a, b, data in graph.edges(data=True))
    return "\n".join(nx.generate_graphml(inert)) + "\n"


def _inert(data: dict[str, Any]) -> dict[str, Any]:
    return {key: plain(value) if isinstance(value, str) else value for key, value in data.items()}
