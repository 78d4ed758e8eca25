"""The joint graph, for networkx: every way a part may sit, every legal joint, and the rule that allows it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from cache_check.joining.joints import Joints
from cache_check.joining.seats import PLACES, Place, Seat, families_of, seats
from cache_check.model.family import Catalogue
from cache_check.model.rule import RuleBook

if TYPE_CHECKING:
    import networkx as nx

_FOLLOWS: dict[Place, tuple[Place, ...]] = {
    "ground": ("below", "body"),
    "below": ("below", "body"),
    "body": ("above", "load"),
    "above": ("above", "load"),
    "load": (),
}


def node(seat: Seat) -> str:
    """The name of a seat's node: place, part, and "turned" where it sits the other way up."""
    return f"{seat.place}: {seat.part.id}" + (" turned" if seat.turned else "")


def join_graph(catalogue: Catalogue, counts: dict[str, int], book: RuleBook) -> nx.DiGraph[str]:
    """The joint graph of the parts of which there is at least one usable piece.

    Nodes carry part, kind, family, place, turned, pieces; edges carry rule (id), pin (part id or "") and pins.
    A legal assembly is a walk from a "ground" node to a "load" node that the counting rules accept too; a node
    may be passed as often as it has pieces.  Node and edge data are plain text and numbers, so that every open
    graph format can hold them.
    """
    import networkx as nx

    joints = Joints(catalogue, book)
    graph: nx.DiGraph[str] = nx.DiGraph(rules=book.version)
    present: dict[Place, list[Seat]] = {place: [] for place in PLACES}
    for part in catalogue.parts:
        for place in PLACES:
            for seat in seats(part, place):
                if counts.get(part.id, 0) > 0 and joints.may_sit(seat):
                    present[place].append(seat)
                    graph.add_node(
                        node(seat), part=part.id, kind=part.kind, family=part.family, place=place,
                        turned=seat.turned, pieces=counts[part.id],
                    )  # fmt: skip
    for place, follow in _FOLLOWS.items():
        for lower in present[place]:
            for upper in (seat for after in follow for seat in present[after]):
                if joints.may_join(lower, upper):
                    pin = joints.pin(lower, upper)
                    number = joints.pins_each(families_of((lower.part, upper.part))) if pin else 0
                    pin = pin if number else ""
                    rule = joints.allowed_by(lower, upper)
                    graph.add_edge(node(lower), node(upper), rule=rule, pin=pin, pins=number)
    return graph
