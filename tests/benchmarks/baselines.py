"""Second opinions from general-purpose tools, formulated as one would who has the tool and no more time.

Enumeration: networkx path search, and clingo.  Packing: OR-Tools CP-SAT on pieces, on places in a stack, and
on columns; HiGHS (through scipy) on columns.  Solvers are imported where they are used: tests and benchmarks
need them, the product does not.

``Take`` and ``Question`` are the oracle's.  The clingo encoding and the model on pieces ask for plain
catalogues (``generators``): one connector per family, no gender, at most one adapter.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import pairwise, product
from typing import Any

import networkx as nx
import numpy as np
from laws import oracles

from cache_check.model.assembly import Assembly
from cache_check.model.family import CAPTIVE, Catalogue
from cache_check.model.part import Adapter, Body, Extension, Fitting, Part
from cache_check.model.rule import RuleBook

Counts = Mapping[str, int]
Ways = Sequence[Collection[tuple[Any, int]]]
"""For each column, what it takes: (resource, pieces), resources as in the stock."""
Key = tuple[str, str, int, int]
"""Place in the stack, part id, copy, and which way up."""


class UnprovenError(Exception):
    """A baseline hit its time limit; ``found`` and ``bound`` are what it had."""

    def __init__(self, found: int, bound: int) -> None:
        self.found = found
        self.bound = bound
        super().__init__(f"{found} found, no more than {bound} possible")


# Enumeration


def path_search(catalogue: Catalogue, counts: Counts, book: RuleBook) -> set[oracles.Identity]:
    """All simple paths of a graph of sittings, one node a copy, then the whole-stack rules, then duplicates out.

    The rules must hold for all families alike.
    """
    graph: nx.DiGraph[Any] = nx.DiGraph()
    every = _numbered_sittings(catalogue, counts, book)
    for key in every:
        if key[0] == "ground":
            graph.add_edge("start", key)
        if key[0] == "load":
            graph.add_edge(key, "end")
    for (key, one), (other_key, other) in product(every.items(), every.items()):
        follows = key != other_key and _comes_after(key[0], other_key[0])
        if follows and not oracles.joint_breaks(catalogue, book, (), one, other):
            graph.add_edge(key, other_key)
    if "start" not in graph or "end" not in graph:
        return set()
    found = set()
    most = _most_middles(catalogue, counts, book)
    for path in nx.all_simple_paths(graph, "start", "end", cutoff=most + 4):
        parts = [every[key].part for key in path[1:-1]]
        identity = _accepted(catalogue, counts, book, parts, [key[0] for key in path[1:-1]])
        if identity:
            found.add(identity)
    return found


def _numbered_sittings(
    catalogue: Catalogue, counts: Counts, book: RuleBook
) -> dict[tuple[str, str, int, int], oracles.Sitting]:
    most = _most_middles(catalogue, counts, book)
    every = {}
    for part in catalogue.parts:
        if part.kind not in ("body", "extension", "adapter", "fitting"):
            continue
        places = {"body": ("body",), "fitting": ("ground", "load")}.get(part.kind, ("below", "above"))
        copies = min(counts.get(part.id, 0), most if places == ("below", "above") else 1)
        for place, copy in product(places, range(copies)):
            for way, one in enumerate(oracles.sittings(part, place)):
                if place == "body" or oracles.in_stop(book, "MAT-4", ()) is False or _in_role(part, place):
                    every[(place, part.id, copy, way)] = one
    return every


def _in_role(part: Part, place: str) -> bool:
    return not isinstance(part, Fitting) or {"ground": "base", "load": "head"}[place] in part.serves


def _most_middles(catalogue: Catalogue, counts: Counts, book: RuleBook) -> int:
    """The most pieces between the fittings, the body left out."""
    most = 0
    for kind, rule in (("extension", "EXT-1"), ("adapter", "ADP-1")):
        pieces = sum(counts.get(part.id, 0) for part in catalogue.parts if part.kind == kind)
        most += min(pieces, book.value(rule, "max")) if oracles.in_stop(book, rule, ()) else pieces
    return most


def _accepted(
    catalogue: Catalogue, counts: Counts, book: RuleBook, parts: Sequence[Part], places: Sequence[str]
) -> oracles.Identity | None:
    pieces = Counter(part.id for part in parts)
    if any(counts.get(part, 0) < number for part, number in pieces.items()):
        return None
    at = places.index("body")
    ground, body, load = parts[0], parts[at], parts[-1]
    below, above = parts[1:at], parts[at + 1 : -1]
    assert isinstance(ground, Fitting)
    assert isinstance(body, Body)
    assert isinstance(load, Fitting)
    if oracles.whole_breaks(book, ground, [*below, *above], body, load):
        return None
    if oracles.order_breaks(book, (), below, above):
        return None
    return (ground.id, load.id, body.id, tuple(sorted(part.id for part in [*below, *above])))


def plain_path_search(catalogue: Catalogue, counts: Counts, book: RuleBook) -> int:
    """How many assemblies a plain catalogue has, by simple paths in a graph that has one order for each.

    Extensions stand below the body, sorted, their copies in order; those of another family beyond the adapter.
    So no duplicates arise, and what the paths leave is the whole-stack rules, checked path by path.
    """
    graph, parts = _sorted_graph(catalogue, counts, book.value("EXT-1", "max"))
    if "start" not in graph or "end" not in graph:
        return 0
    most, most_length = book.value("EXT-1", "max"), book.value("EXT-2", "max")
    found = 0
    for path in nx.all_simple_paths(graph, "start", "end", cutoff=most + 5):
        pieces = [parts[key] for key in path[1:-1]]
        lengths = [part.length for part in pieces if isinstance(part, Extension)]
        if len(lengths) > most or sum(lengths) > most_length:
            continue
        found += pieces[0].id != pieces[-1].id or counts[pieces[0].id] > 1
    return found


def _sorted_graph(catalogue: Catalogue, counts: Counts, most: int) -> tuple[Any, dict[Any, Part]]:
    """Nodes are (layer, part, copy); the layers are ground, near, body, adapter, far and load, as far as used.

    "near" extensions are of the base's family, "far" ones of the other end's; the body stands before the
    adapter ("body") or after it ("late body").
    """
    graph: nx.DiGraph[Any] = nx.DiGraph()
    parts: dict[Any, Part] = {}
    there = [part for part in catalogue.parts if counts.get(part.id, 0)]
    for part in there:
        for layer, family, after, onward in _layers(part):
            copies = min(counts[part.id], most) if isinstance(part, Extension) else 1
            for copy in range(copies):
                key = (layer, part.id, copy, family, onward)
                parts[key] = part
                graph.add_node(key, layer=layer, family=family, after=after, onward=onward)
    order = {part.id: number for number, part in enumerate(there)}
    for one, two in product(list(graph), list(graph)):
        if _follows(graph.nodes[one], graph.nodes[two], one, two, order):
            graph.add_edge(one, two)
    for key in list(parts):
        if key[0] == "ground":
            graph.add_edge("start", key)
        elif key[0] == "load":
            graph.add_edge(key, "end")
    return graph, parts


_BEFORE: dict[str, tuple[str, ...]] = {
    "ground": (),
    "near": ("ground", "near"),
    "body": ("ground", "near"),
    "adapter": ("ground", "near"),
    "adapter after": ("body",),
    "far": ("adapter", "far"),
    "far after": ("adapter after", "far after"),
    "late body": ("adapter", "far"),
    "load": ("body", "late body", "adapter after", "far after"),
}


def _layers(part: Part) -> list[tuple[str, str, tuple[str, ...], str]]:
    """Where a part may stand: layer, family of the end that looks down, layers before it, family looking up."""
    if isinstance(part, Fitting):
        layers = [layer for layer, role in (("ground", "base"), ("load", "head")) if role in part.serves]
        ways = [(part.family, part.family)]
    elif isinstance(part, Adapter):
        layers = ["adapter", "adapter after"]
        ways = [(part.lower.name, part.upper.name)]
        ways += [ways[0][::-1]] if part.either_way_up else []
    elif isinstance(part, Body | Extension):
        layers = ["near", "far", "far after"] if isinstance(part, Extension) else ["body", "late body"]
        ways = [(part.family, part.family)]
    else:
        return []
    return [(layer, down, _BEFORE[layer], up) for layer in layers for down, up in ways]


def _follows(lower: Any, upper: Any, one: Any, two: Any, order: dict[str, int]) -> bool:
    if lower["layer"] not in upper["after"] or lower["onward"] != upper["family"]:
        return False
    if lower["layer"] != upper["layer"]:
        return bool(two[2] == 0)
    if one[1] == two[1]:
        return bool(two[2] == one[2] + 1)
    return bool(two[2] == 0 and order[one[1]] < order[two[1]])


_ENCODING = """
1 { ground(G) : fitting(G, F, base, N) } 1.
1 { load(L) : fitting(L, F, head, N) } 1.
1 { body(B) : body(B, F) } 1.
{ adapter(A) : adapter(A, F, G, N) } 1.
1 { number(E, N) : N = 0..M } 1 :- extension(E, F, L, M).
bottom(F) :- ground(G), fitting(G, F, _, _).
top(F) :- load(L), fitting(L, F, _, _).
joined(F) :- bottom(F).
joined(F) :- top(F).
:- body(B), body(B, F), not joined(F).
:- number(E, N), N > 0, extension(E, F, _, _), not joined(F).
:- bottom(F), top(H), F != H, not adapter(_).
:- adapter(A), not spans(A).
spans(A) :- adapter(A), bottom(F), top(H), adapter(A, F, H).
:- #sum { N, E : number(E, N) } > most.
:- #sum { N * L, E : number(E, N), extension(E, _, L, _) } > length.
:- ground(P), load(P), fitting(P, _, base, 1).
#show ground/1. #show load/1. #show body/1. #show adapter/1. #show number/2.
"""


def clingo_program(catalogue: Catalogue, counts: Counts, book: RuleBook) -> str:
    """The answer-set program whose models are the legal assemblies of a plain catalogue.

    Pins must not be short for a single strut.
    """
    most, length = book.value("EXT-1", "max"), book.value("EXT-2", "max")
    # Lengths that agree with the limit to the finest step in use: clingo's numbers have 32 bits.
    step = int(np.gcd.reduce([p.length for p in catalogue.parts if isinstance(p, Extension)] + [length]))
    lines = [f"#const most = {most}.", f"#const length = {length // step}."]
    name = {part.id: f"p{number}" for number, part in enumerate(catalogue.parts)}
    for part in catalogue.parts:
        pieces = counts.get(part.id, 0)
        if pieces == 0:
            continue
        if isinstance(part, Fitting):
            lines += [f'fitting({name[part.id]}, "{part.family}", {role}, {pieces}).' for role in part.serves]
        elif isinstance(part, Body):
            lines.append(f'body({name[part.id]}, "{part.family}").')
        elif isinstance(part, Extension):
            lines.append(f'extension({name[part.id]}, "{part.family}", {part.length // step}, {min(pieces, most)}).')
        elif isinstance(part, Adapter):
            ways = [(part.lower.name, part.upper.name)]
            ways += [ways[0][::-1]] if part.either_way_up else []
            lines += [f'adapter({name[part.id]}, "{one}", "{two}").' for one, two in ways]
            lines.append(f'adapter({name[part.id]}, "{ways[0][0]}", "{ways[0][1]}", {pieces}).')
    return "\n".join(lines) + _ENCODING


def clingo_count(program: str) -> int:
    """How many models a program has; they are counted only, their symbols never read."""
    import clingo

    control = clingo.Control(["0", "--warn=none"])
    control.add("base", [], program)
    control.ground([("base", [])])
    number = 0
    with control.solve(yield_=True) as handle:
        for _ in handle:
            number += 1
    return number


# Packing on columns


def cpsat_columns(ways: Ways, stock: Mapping[Any, int], *, workers: int = 1, limit_s: float = 60) -> int:
    """The most at once: one integer column for each way, one row for each resource."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    rows: dict[str, list[Any]] = {}
    columns = []
    for number, way in enumerate(ways):
        most = min((stock.get(resource, 0) // pieces for resource, pieces in way), default=0)
        column = model.new_int_var(0, most, f"x{number}")
        columns.append(column)
        for resource, pieces in way:
            rows.setdefault(resource, []).append((column, pieces))
    for resource, used in rows.items():
        terms, weights = zip(*used, strict=True)
        model.add(cp_model.LinearExpr.weighted_sum(terms, weights) <= stock.get(resource, 0))
    model.maximize(cp_model.LinearExpr.sum(columns))
    return _solved(model, workers, limit_s)


def _solved(model: Any, workers: int, limit_s: float) -> int:
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.max_time_in_seconds = limit_s
    status = solver.solve(model)
    if status != cp_model.OPTIMAL:
        found = round(solver.objective_value) if status == cp_model.FEASIBLE else 0
        raise UnprovenError(found, int(solver.best_objective_bound))
    return round(solver.objective_value)


def highs_columns(ways: Ways, stock: Mapping[Any, int]) -> int:
    """The most at once by scipy's HiGHS: built and solved anew, as one would for each question."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    if not ways:
        return 0
    names = sorted({resource for way in ways for resource, _ in way})
    row_of = {resource: row for row, resource in enumerate(names)}
    entries = [(row_of[resource], column, pieces) for column, way in enumerate(ways) for resource, pieces in way]
    rows, columns, values = zip(*entries, strict=True)
    matrix = csr_array((values, (rows, columns)), shape=(len(names), len(ways)))
    result = milp(
        -np.ones(len(ways)),
        constraints=LinearConstraint(matrix, ub=np.array([stock.get(name, 0) for name in names])),
        integrality=np.ones(len(ways)),
        bounds=Bounds(0, np.inf),
        options={"mip_rel_gap": 0.0},
    )
    assert result.success, result.message
    return round(float(-result.fun))


def highspy_columns(ways: Ways, stock: Mapping[Any, int]) -> int:
    """The same by HiGHS's own interface, which has less to do for each small model."""
    if not ways:
        return 0
    import highspy

    names = sorted({resource for way in ways for resource, _ in way})
    row_of = {resource: row for row, resource in enumerate(names)}
    solver: Any = highspy.Highs()  # type: ignore[no-untyped-call]  # ships no types
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("mip_abs_gap", 0.999)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(ways), len(names)
    model.sense_ = highspy.ObjSense.kMaximize
    model.col_cost_ = np.ones(len(ways))
    model.col_lower_ = np.zeros(len(ways))
    model.col_upper_ = np.full(len(ways), float(sum(stock.values())))
    model.row_lower_ = np.full(len(names), -np.inf)
    model.row_upper_ = np.array([stock.get(name, 0) for name in names], dtype=np.float64)
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = np.cumsum([0, *(len(way) for way in ways)], dtype=np.int32)
    model.a_matrix_.index_ = np.array([row_of[resource] for way in ways for resource, _ in way], dtype=np.int32)
    model.a_matrix_.value_ = np.array([pieces for way in ways for _, pieces in way], dtype=np.float64)
    model.integrality_ = [highspy.HighsVarType.kInteger] * len(ways)
    solver.passModel(model)
    solver.run()
    assert solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return round(float(solver.getInfo().objective_function_value))


def takes_at(rig: oracles.Rig, question: oracles.Question) -> list[oracles.Take]:
    """Every way in which an assembly that answers may be built from a rig's stock."""
    return [
        take
        for one in rig.answering(question)
        for take in sorted(oracles.takes(rig.catalogue, rig.book, one, restrained=question.restrained), key=sorted)
    ]


def restrained_columns(
    catalogue: Catalogue, counts: Counts, book: RuleBook, listed: Iterable[Assembly]
) -> tuple[list[tuple[Assembly, oracles.Take]], dict[str, int]]:
    """What each listed assembly takes when restrained, and the stock; for caches with one kind of strap alone."""
    strap = next(part.id for part in catalogue.parts if part.kind == "strap")
    least, ties = book.value("PTS-1", "min"), book.value("STR-1", "min")
    stock = dict(counts)
    columns = []
    for assembly in listed:
        ground = catalogue.by_id[assembly.ground]
        assert isinstance(ground, Fitting)
        if len(ground.points) < least:
            continue
        taken = Counter(assembly.parts)
        taken.update(dict(assembly.pins))
        taken[strap] += ties
        columns.append((assembly, frozenset(taken.items())))
    return columns, stock


def profile_by_mips(columns: Sequence[tuple[Assembly, oracles.Take]], stock: Counts) -> list[int]:
    """How many at once at every breakpoint and between, one integer programme built and solved for each."""
    ends = sorted({end for assembly, _ in columns for span in assembly.spans for end in span})
    counts = []
    for low, high in zip(ends, [*ends[1:], None], strict=True):
        for at in (low,) if high is None else (low, low + 1):
            counts.append(highspy_columns([take for assembly, take in columns if assembly.covers(at, at)], stock))
    return counts


# Packing on pieces: plain catalogues, continuous or hole-locked bodies


def cpsat_pieces(
    catalogue: Catalogue,
    counts: Counts,
    book: RuleBook,
    question: oracles.Question,
    *,
    workers: int = 1,
    limit_s: float = 60,
) -> int:
    """The most at once: a boolean for each piece and strut, no assembly known beforehand.

    One strut a body at most; the struts in use come first.  Each strut has a family at its bottom and at its
    top, one adapter if they differ.
    """
    model = _PieceModel(catalogue, counts, book, question)
    return _solved(model.model, workers, limit_s)


class _PieceModel:
    def __init__(self, catalogue: Catalogue, counts: Counts, book: RuleBook, question: oracles.Question) -> None:
        from ortools.sat.python import cp_model

        self.model = cp_model.CpModel()
        self.catalogue, self.counts, self.book, self.question = catalogue, counts, book, question
        self.families = [family.id for family in catalogue.families]
        slots = range(sum(n for i, n in counts.items() if catalogue.by_id[i].kind == "body"))
        self.roles: dict[tuple[str, str, int], list[Any]] = {}
        uses = [self._strut(slot) for slot in slots]
        for one, two in pairwise(uses):
            self.model.add_implication(two, one)
        self._each_piece_once(list(slots))
        self._pins(list(slots))
        if question.restrained:
            self._ties(uses)
        self.model.maximize(sum(uses))

    def _pieces(self, kind: type) -> list[Any]:
        return [part for part in self.catalogue.parts if isinstance(part, kind) and self.counts.get(part.id, 0)]

    def _new(self, role: str, part: str, slot: int) -> list[Any]:
        made = [self.model.new_bool_var(f"{role} {part} {n} {slot}") for n in range(self.counts[part])]
        self.roles[(role, part, slot)] = made
        return made

    def _strut(self, slot: int) -> Any:
        model, book = self.model, self.book
        used = model.new_bool_var(f"used {slot}")
        bottom = {f: model.new_bool_var(f"bottom {f} {slot}") for f in self.families}
        top = {f: model.new_bool_var(f"top {f} {slot}") for f in self.families}
        model.add(sum(bottom.values()) == used)
        model.add(sum(top.values()) == used)
        length: list[Any] = []
        for role, end, word in (("ground", bottom, "base"), ("load", top, "head")):
            chosen = []
            for part in self._pieces(Fitting):
                if word not in part.serves or (role == "ground" and not self._enough_points(part)):
                    continue
                made = self._new(role, part.id, slot)
                chosen += made
                length += [part.adds * x for x in made]
                for x in made:
                    model.add_implication(x, end[part.family])
            model.add(sum(chosen) == used)
        extensions, total = [], []
        for part in self._pieces(Extension):
            made = self._new("extension", part.id, slot)
            extensions += made
            total += [part.length * x for x in made]
            for x in made:
                model.add(bottom[part.family] + top[part.family] >= x)
        model.add(sum(extensions) <= book.value("EXT-1", "max"))
        model.add(sum(total) <= book.value("EXT-2", "max"))
        adapters = self._adapters(slot, bottom, top, length)
        model.add(sum(extensions) + sum(adapters) <= used * (book.value("EXT-1", "max") + 1))
        self._body(slot, used, bottom, top, sum(length) + sum(total))
        return used

    def _enough_points(self, part: Fitting) -> bool:
        least = self.book.value("PTS-1", "min", (part.family,))
        return not self.question.restrained or len(part.points) >= least

    def _adapters(self, slot: int, bottom: Any, top: Any, length: list[Any]) -> list[Any]:
        chosen = []
        for part in self._pieces(Adapter):
            made = self._new("adapter", part.id, slot)
            chosen += made
            length += [part.length * x for x in made]
            one, two = part.lower.name, part.upper.name
            for x in made:
                if part.either_way_up:
                    self.model.add(bottom[one] + bottom[two] >= x)
                    self.model.add(top[one] + top[two] >= x)
                else:
                    self.model.add_implication(x, bottom[one])
                    self.model.add_implication(x, top[two])
        for family in self.families:
            # Unlike families at the two ends take one adapter, like ones none.
            self.model.add(bottom[family] - top[family] <= sum(chosen))
            self.model.add(bottom[family] + top[family] + sum(chosen) <= 2)
        return chosen

    def _body(self, slot: int, used: Any, bottom: Any, top: Any, more: Any) -> None:
        chosen = []
        for part in self._pieces(Body):
            made = self._new("body", part.id, slot)
            chosen += made
            for x in made:
                self.model.add(bottom[part.family] + top[part.family] >= x)
            spans = oracles.body_spans(part)
            at = [self.model.new_bool_var(f"span {part.id} {n} {slot}") for n in range(len(spans))]
            self.model.add(sum(at) == sum(made))
            for (low, high), here in zip(spans, at, strict=True):
                self.model.add(more + low <= self.question.shortest).only_enforce_if(here)
                self.model.add(more + high >= self.question.longest).only_enforce_if(here)
        self.model.add(sum(chosen) == used)

    def _each_piece_once(self, slots: list[int]) -> None:
        for part in self.catalogue.parts:
            for piece in range(self.counts.get(part.id, 0)):
                uses = [
                    self.roles[key][piece]
                    for role, slot in product(("ground", "load", "body", "extension", "adapter"), slots)
                    if (key := (role, part.id, slot)) in self.roles
                ]
                if uses:
                    self.model.add_at_most_one(uses)

    def _pins(self, slots: list[int]) -> None:
        """Every joint joins two ends of one connector, so a family's joints are half its ends in use."""
        each = self.book.value("PIN-1", "per_joint")
        halves: dict[str, list[Any]] = {}
        for (_, part, _), made in self.roles.items():
            record = self.catalogue.by_id[part]
            assert isinstance(record, Fitting | Body | Extension | Adapter)
            ends = [record.end] if isinstance(record, Fitting) else [record.lower, record.upper]
            for end in ends:
                halves.setdefault(self.catalogue.pin_of[end.name], []).extend(made)
        for pin, ends_in_use in halves.items():
            if pin != CAPTIVE:
                self.model.add(each * sum(ends_in_use) <= 2 * self.counts.get(pin, 0))

    def _ties(self, uses: list[Any]) -> None:
        straps = sum(self.counts.get(part.id, 0) for part in self.catalogue.parts if part.kind == "strap")
        self.model.add(self.book.value("STR-1", "min") * sum(uses) <= straps)


# Packing on places: any catalogue, rules the same for all families


def cpsat_places(rig: oracles.Rig, counts: Counts, question: oracles.Question, *, limit_s: float = 60) -> int:
    """The most at once: for each strut and place from the ground, which part sits there and which way up.

    Knows joints from the oracle's ``joint_breaks``, and pins as half the ends in use; so no mates may be listed.
    """
    return _solved(_PlaceModel(rig, counts, question).model, 1, limit_s)


class _PlaceModel:
    def __init__(self, rig: oracles.Rig, counts: Counts, question: oracles.Question) -> None:
        from ortools.sat.python import cp_model

        assert not any(family.mates for family in rig.catalogue.families)
        self.model = cp_model.CpModel()
        self.rig, self.counts, self.question = rig, counts, question
        self.catalogue, self.book = rig.catalogue, rig.book
        self.every = _numbered_sittings(self.catalogue, {i: min(n, 1) for i, n in counts.items()}, self.book)
        self.follows = {
            key: [
                other
                for other in self.every
                if _comes_after(key[0], other[0])
                and not oracles.joint_breaks(self.catalogue, self.book, (), self.every[key], self.every[other])
            ]
            for key in self.every
        }
        bodies = sum(n for i, n in counts.items() if self.catalogue.by_id[i].kind == "body")
        self.places = range(_most_middles(self.catalogue, counts, self.book) + 3)
        self.seats = [self._strut(slot) for slot in range(bodies)]
        self._stock()
        self.model.maximize(sum(self._of(seats, "ground") for seats in self.seats))

    def _of(self, seats: dict[Any, Any], *places: str, part: str | None = None) -> Any:
        return sum(x for (_, key), x in seats.items() if key[0] in places and (part is None or key[1] == part))

    def _strut(self, slot: int) -> dict[Any, Any]:
        model = self.model
        seats = {
            (at, key): model.new_bool_var(f"{slot} {at} {key}")
            for at, key in product(self.places, self.every)
            if (key[0] == "ground") == (at == 0)
        }
        for at in self.places:
            model.add_at_most_one(x for (place, _), x in seats.items() if place == at)
        for (at, key), x in seats.items():
            if key[0] != "load":
                model.add_bool_or([seats[(at + 1, nxt)] for nxt in self.follows[key] if (at + 1, nxt) in seats] + [~x])
            if at > 0:
                model.add_bool_or(
                    [y for (place, other), y in seats.items() if place == at - 1 and key in self.follows[other]] + [~x]
                )
        model.add(self._of(seats, "body") == self._of(seats, "ground"))
        self._whole_rules(seats)
        self._lengths(slot, seats)
        return seats

    def _whole_rules(self, seats: dict[Any, Any]) -> None:
        book = self.book
        pieces = [(self.catalogue.by_id[key[1]], x) for (_, key), x in seats.items()]
        extensions = [(part, x) for part, x in pieces if isinstance(part, Extension)]
        if oracles.in_stop(book, "EXT-1", ()):
            self.model.add(sum(x for _, x in extensions) <= book.value("EXT-1", "max"))
        if oracles.in_stop(book, "EXT-2", ()):
            self.model.add(sum(part.length * x for part, x in extensions) <= book.value("EXT-2", "max"))
        if oracles.in_stop(book, "ADP-1", ()):
            self.model.add(sum(x for part, x in pieces if part.kind == "adapter") <= book.value("ADP-1", "max"))
        for part, x in pieces:
            if isinstance(part, Body) and self._forbidden(part):
                self.model.add(x == 0)

    def _forbidden(self, body: Body) -> bool:
        book = self.book
        locks, least = book.value("COL-1", "locks"), book.value("OVL-1", "min")
        free = oracles.in_stop(book, "COL-1", ()) and body.lock not in locks
        short = body.pull_apart is not None and body.open + least > body.pull_apart
        return free or (short and oracles.in_stop(book, "OVL-1", ()))

    def _lengths(self, slot: int, seats: dict[Any, Any]) -> None:
        more = sum(oracles.added_length([self.catalogue.by_id[key[1]]]) * x for (_, key), x in seats.items())
        for part in self.catalogue.parts:
            if not isinstance(part, Body):
                continue
            spans = oracles.body_spans(part)
            at = [self.model.new_bool_var(f"span {part.id} {n} {slot}") for n in range(len(spans))]
            self.model.add(sum(at) == self._of(seats, "body", part=part.id))
            for (low, high), here in zip(spans, at, strict=True):
                self.model.add(more + low <= self.question.shortest).only_enforce_if(here)
                self.model.add(more + high >= self.question.longest).only_enforce_if(here)

    def _stock(self) -> None:
        ends: dict[str, list[Any]] = {}
        for part in self.catalogue.parts:
            uses = [x for seats in self.seats for (_, key), x in seats.items() if key[1] == part.id]
            self.model.add(sum(uses) <= self.counts.get(part.id, 0))
            if isinstance(part, Fitting):
                for x in uses:
                    ends.setdefault(part.end.name, []).append(x)
            elif isinstance(part, Body | Extension | Adapter):
                for end, x in product((part.lower, part.upper), uses):
                    ends.setdefault(end.name, []).append(x)
        self._pins(ends)
        if self.question.restrained:
            self._restrained()

    def _pins(self, ends: dict[str, list[Any]]) -> None:
        if not self.book.is_on("PIN-1"):
            return
        halves: dict[str, list[Any]] = {}
        for name, uses in ends.items():
            halves.setdefault(self.catalogue.pin_of.get(name, CAPTIVE), []).extend(uses)
        each = self.book.value("PIN-1", "per_joint")
        for pin, uses in halves.items():
            if pin != CAPTIVE:
                self.model.add(each * sum(uses) <= 2 * self.counts.get(pin, 0))

    def _restrained(self) -> None:
        for part in self.catalogue.parts:
            if isinstance(part, Fitting):
                bases = sum(self._of(seats, "ground", part=part.id) for seats in self.seats)
                least = self.book.value("PTS-1", "min") if self.book.is_on("PTS-1") else 0
                if least:
                    self.model.add(bases <= self.rig.stock[oracles.held(part.id, least)])
        choices = sorted(oracles.tie_choices(self.catalogue, self.book, ()), key=sorted)
        used: dict[str, list[Any]] = {}
        for slot, seats in enumerate(self.seats):
            chosen = [self.model.new_bool_var(f"ties {slot} {n}") for n in range(len(choices))]
            self.model.add(sum(chosen) == self._of(seats, "ground"))
            for choice, x in zip(choices, chosen, strict=True):
                for tie, pieces in choice:
                    used.setdefault(tie, []).append(pieces * x)
        for tie, terms in used.items():
            self.model.add(sum(terms) <= self.counts.get(tie, 0))


def _comes_after(place: str, other: str) -> bool:
    allowed = {
        "ground": ("below", "body"),
        "below": ("below", "body"),
        "body": ("above", "load"),
        "above": ("above", "load"),
        "load": (),
    }
    return other in allowed[place]


def columns_of(found: Iterable[oracles.Found]) -> list[oracles.Take]:
    """What each assembly takes, ties left out."""
    return [frozenset((one.parts + Counter(dict(min(one.pins, key=sorted)))).items()) for one in found]
