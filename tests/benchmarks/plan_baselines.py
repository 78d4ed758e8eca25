"""Second opinions on lists and ready sets from OR-Tools CP-SAT.

Two kinds.  ``list_by_columns`` is given the product's own reduced model, for races.  ``list_by_struts`` and
``sets_by_pieces`` are formulated otherwise than the product, for checks: one variable for each strut that is
wanted and each way to stand it up; one for each piece of a ready set and each place in a strut that it may take.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

from benchmarks.baselines import UnprovenError
from cache_check.planning.buying.shop import Shop
from cache_check.planning.solving.programme import Programme

Uses = tuple[tuple[int, int], ...]


class _Solved:
    """A CP-SAT model whose goals are met one after the other, each proven and then held."""

    def __init__(self, *, workers: int = 1, limit_s: float = 60) -> None:
        from ortools.sat.python import cp_model

        self.cp = cp_model
        self.model: Any = cp_model.CpModel()  # one of its calls has no types
        self._workers, self._limit_s = workers, limit_s
        self._last: Any = None

    def sum(self, terms: Iterable[tuple[Any, int]]) -> Any:
        """A weighted sum."""
        pairs = list(terms)
        return self.cp.LinearExpr.weighted_sum([x for x, _ in pairs], [n for _, n in pairs])

    def least(self, goal: Any) -> int:
        """The least of a goal, which is held from then on.

        Raises:
            UnprovenError: the limit was reached.
        """
        self.model.minimize(goal)
        solver = self.cp.CpSolver()
        solver.parameters.num_workers = self._workers
        solver.parameters.max_time_in_seconds = self._limit_s
        status = solver.solve(self.model)
        if status != self.cp.OPTIMAL:
            found = round(solver.objective_value) if status == self.cp.FEASIBLE else 0
            raise UnprovenError(found, round(solver.best_objective_bound))
        self.model.add(goal <= round(solver.objective_value))
        self._last = solver
        self.model.clear_hints()
        for place in range(len(self.model.proto.variables)):
            variable = self.model.get_int_var_from_proto_index(place)
            self.model.add_hint(variable, solver.value(variable))
        return round(solver.objective_value)

    def value(self, variable: Any) -> int:
        """What a variable is in the answer that met the last goal."""
        return int(self._last.value(variable))


def _packs(model: Any, shop: Shop) -> tuple[dict[int, Any], list[tuple[Any, int]], list[tuple[Any, int]]]:
    """A variable for the packs of each offer, the terms of cost, and those of pieces."""
    packs, cost, pieces = {}, [], []
    for o, offer in enumerate(shop.offers):
        most = shop.most_packs(o)
        q = packs[o] = model.new_int_var(0, most, f"q{o}")
        cost.append((q, offer.price))
        pieces.append((q, offer.pack))
        if offer.fixed or offer.least_packs > 1:
            z = model.new_bool_var(f"z{o}")
            model.add(q <= most * z)
            model.add(q >= offer.least_packs * z)
            cost.append((z, offer.fixed))
    return packs, cost, pieces


def _bought(shop: Shop, packs: dict[int, Any], row: int) -> list[tuple[Any, int]]:
    return [(q, shop.offers[o].pack) for o, q in packs.items() if row in shop.adds(shop.offers[o])]


def list_by_columns(
    shop: Shop, settled: Literal["weighted", "one by one"] | None = None, *,
    reduced: bool = True, most: bool = False, workers: int = 1, limit_s: float = 60,
) -> tuple[int, tuple[tuple[int, int], ...]]:  # fmt: skip
    """The least cost of a list that meets every scene, on the product's reduced columns and rows; and a list.

    If not ``reduced`` each need has all the ways that serve it, with all that each takes.
    If ``most`` it is of one that serves the most struts of all scenes, for any money, where none meets them all.

    If ``settled`` the list is the one among those of equal cost that has fewest pieces, then least of the last
    offer, of the one before, and so on; else it is any of them.  Offers are taken several to a goal, weighted, or
    one by one, which leaves out those of which the last answer has none: the first is quicker on small rigs, the
    second on medium catalogues.
    """
    solved = _Solved(workers=workers, limit_s=limit_s)
    model = solved.model
    packs, cost, pieces = _packs(model, shop)
    every = []
    whole = {key: {i: shop.wide.columns.all[i].uses for i in ways} for key, ways in shop.ways.items()}
    for s, scene in enumerate(shop.scenes):
        taken: dict[int, list[tuple[Any, int]]] = {}
        for n, need in enumerate(scene.needs):
            struts: list[Any] = []
            for i, uses in (shop.needed if reduced else whole)[s, n].items():
                x = model.new_int_var(0, need.count, f"x{s} {n} {i}")
                struts.append(x)
                for row, number in uses:
                    taken.setdefault(row, []).append((x, number))
            model.add_linear_constraint(solved.cp.LinearExpr.sum(struts), 0 if most else need.count, need.count)
            every += struts
        for row, terms in taken.items():
            bought = [(q, -number) for q, number in _bought(shop, packs, row)]
            model.add(solved.sum([*terms, *bought]) <= shop.have[row])
    if most:
        solved.least(-solved.cp.LinearExpr.sum(every))
    least = solved.least(solved.sum(cost))
    if settled:
        solved.least(solved.sum(pieces))
        _settle(shop, solved, packs, one_by_one=settled == "one by one")
    return least, tuple((o, number) for o, q in packs.items() if (number := solved.value(q)))


def _settle(shop: Shop, solved: _Solved, packs: dict[int, Any], *, one_by_one: bool) -> None:
    """Take least of the last offer, of the one before, and so on."""
    if not one_by_one:
        for weights in _last_first(shop):
            solved.least(solved.sum([(packs[o], weight) for o, weight in weights]))
        return
    for q in reversed(packs.values()):
        if solved.value(q):
            solved.least(solved.sum([(q, 1)]))
        else:
            solved.model.add(q == 0)


def _last_first(shop: Shop) -> list[list[tuple[int, int]]]:
    """Goals that make least of the last offer, then of the one before: as weights, in few goals of moderate size."""
    goals: list[list[tuple[int, int]]] = [[]]
    size = 1
    for o in range(len(shop.offers)):
        options = 1 + shop.most_packs(o)
        if size * options > 1_000_000:
            goals.append([])
            size = 1
        goals[-1].append((o, size))
        size *= options
    return [*reversed(goals)]


@dataclass(frozen=True)
class ByStruts:
    """What a list can do and costs, goal by goal."""

    capability: int
    cost: int
    pieces: int


def list_by_struts(
    shop: Shop, ways: Mapping[tuple[int, int], Sequence[Uses]], *, budget: int | None = None, limit_s: float = 60
) -> ByStruts:
    """The most capability within a budget, its least cost, and then the fewest pieces.

    ``ways`` are all ways to serve each need, unreduced: each wanted strut is a place that takes one of them or none.
    """
    solved = _Solved(workers=2, limit_s=limit_s)
    model = solved.model
    packs, cost, pieces = _packs(model, shop)
    if budget is not None:
        model.add(solved.sum(cost) <= budget)
    step = 1 + sum(scene.weight * need.count for scene in shop.scenes for need in scene.needs)
    worth: list[tuple[Any, int]] = []
    for s, scene in enumerate(shop.scenes):
        taken: dict[int, list[tuple[Any, int]]] = {}
        places = []
        for n, need in enumerate(scene.needs):
            before = None
            for place in range(need.count):
                stands = model.new_bool_var(f"stands {s} {n} {place}")
                chosen = []
                for w, uses in enumerate(ways[s, n]):
                    x = model.new_bool_var(f"way {s} {n} {place} {w}")
                    chosen.append(x)
                    for row, number in uses:
                        taken.setdefault(row, []).append((x, number))
                model.add(sum(chosen) == stands)
                if before is not None:
                    model.add_implication(stands, before)
                before = stands
                places.append(stands)
        for row, terms in taken.items():
            model.add(solved.sum(terms) <= shop.have[row] + sum(number * q for q, number in _bought(shop, packs, row)))
        met = model.new_bool_var(f"met {s}")
        model.add(sum(places) == len(places)).only_enforce_if(met)
        worth += [(met, step * scene.weight), *((one, scene.weight) for one in places)]
    capability = -solved.least(-solved.sum(worth))
    return ByStruts(capability, solved.least(solved.sum(cost)), solved.least(solved.sum(pieces)))


@dataclass(frozen=True)
class Strut:
    """One assembly that serves a need: parts ground to load, what its base takes by row, and its margin (nm)."""

    need: int
    parts: tuple[str, ...]
    held: Uses
    margin: int


@dataclass(frozen=True)
class Played:
    """A scene for ``sets_by_pieces``: its weight, how many struts of each need at most and of all exactly, and ways."""

    weight: int
    counts: tuple[int, ...]
    served: int
    struts: tuple[Strut, ...]


def sets_by_pieces(
    candidates: Sequence[tuple[tuple[str, ...], int]],
    scenes: Sequence[Played],
    stock: Mapping[str, int],
    held: Mapping[int, int],
    most: int,
    *,
    limit_s: float = 120,
) -> tuple[int, int, int, list[int], int]:
    """Weighted joints, least margin, heaviest set, joints by scene and pieces, each the best after those before it.

    Pieces of sets are assigned to places in struts.  Joints are made the fewest scene by scene, from the one that takes
    the most of them, weighted, where there is no set.

    ``candidates`` are (parts, weight in whole grains).  Pins must be aplenty.  Each of ``most`` sets is one
    candidate or none; each strut of a scene is one of its ways; each place in a strut is filled by a piece of a
    set, which leaves its own place then, or by a loose piece.  A joint between two pieces that keep together in
    a set and stay neighbours in one strut is kept; a joint of a set of which neither piece is taken stays made.
    """
    loose = [_Pieces(candidates, [one], stock, held, 0, limit_s).solve([])[0] for one in scenes] if most else []
    longest = sorted(range(len(loose)), key=lambda s: -loose[s])
    return _Pieces(candidates, scenes, stock, held, most, limit_s).solve(longest)


class _Pieces:
    """The model of ``sets_by_pieces``."""

    def __init__(
        self,
        candidates: Sequence[tuple[tuple[str, ...], int]],
        scenes: Sequence[Played],
        stock: Mapping[str, int],
        held: Mapping[int, int],
        most: int,
        limit_s: float,
    ) -> None:
        self.solved = _Solved(workers=2, limit_s=limit_s)
        self.model = self.solved.model
        self.candidates, self.stock, self.held = candidates, stock, held
        self.places = range(max((len(parts) for parts, _ in candidates), default=0))
        self.sets = [self._set(k) for k in range(most)]
        for one, two in pairwise(self.sets):
            # Sets are alike, so they may stand in order.
            self.model.add(self._rank(two) <= self._rank(one))
        for part, number in stock.items():
            self.model.add(sum(self.at(k, p, part) for k in range(most) for p in self.places) <= number)
        self.weights = [scene.weight for scene in scenes]
        self.joints: list[list[Any]] = [[] for _ in scenes]
        self.margins: list[tuple[Any, int]] = []
        for s, scene in enumerate(scenes):
            self._scene(s, scene)

    def _set(self, k: int) -> list[Any]:
        chosen = [self.model.new_bool_var(f"set {k} {c}") for c in range(len(self.candidates))]
        self.model.add(sum(chosen) <= 1)
        return chosen

    def _rank(self, chosen: list[Any]) -> Any:
        return sum(rank * x for rank, x in enumerate(chosen, 1))

    def at(self, k: int, p: int, part: str) -> Any:
        """Whether a set has a part in a place."""
        return sum(
            x for x, (parts, _) in zip(self.sets[k], self.candidates, strict=True) if parts[p : p + 1] == (part,)
        )

    def _scene(self, s: int, scene: Played) -> None:
        model = self.model
        chosen = []
        for j in range(scene.served):
            ways = [model.new_bool_var(f"strut {s} {j} {w}") for w in range(len(scene.struts))]
            model.add(sum(ways) == 1)
            chosen.append(ways)
        each = [(x, strut) for ways in chosen for x, strut in zip(ways, scene.struts, strict=True)]
        self.margins += [(x, strut.margin) for x, strut in each]
        for n, count in enumerate(scene.counts):
            model.add(sum(x for x, strut in each if strut.need == n) <= count)
        for row, number in self.held.items():
            model.add(sum(dict(strut.held).get(row, 0) * x for x, strut in each) <= number)
        self._assign(s, scene, chosen)

    def _assign(self, s: int, scene: Played, chosen: list[list[Any]]) -> None:
        """Which piece of which set goes to which place of which strut."""
        tall = range(max((len(strut.parts) for strut in scene.struts), default=0))
        grid = [
            (k, p, j, q) for k in range(len(self.sets)) for p in self.places for j in range(len(chosen)) for q in tall
        ]
        moved: dict[tuple[int, int, int, int], list[Any]] = {key: [] for key in grid}
        for part, number in self.stock.items():
            to = {
                (j, q): sum(x for x, one in zip(ways, scene.struts, strict=True) if one.parts[q : q + 1] == (part,))
                for j, ways in enumerate(chosen)
                for q in tall
            }
            taken = []
            for k, p, j, q in grid:
                move = self.model.new_bool_var(f"move {s} {part} {k} {p} {j} {q}")
                self.model.add(move <= self.at(k, p, part))
                self.model.add(move <= to[j, q])
                moved[k, p, j, q].append(move)
                taken.append(move)
            in_sets = sum(self.at(k, p, part) for k in range(len(self.sets)) for p in self.places)
            self.model.add(sum(to.values()) - sum(taken) + in_sets <= number)
        self._once(moved, len(chosen), tall)
        self._joints(s, scene, chosen, {key: sum(moves) for key, moves in moved.items()}, tall)

    def _once(self, moved: dict[tuple[int, int, int, int], list[Any]], struts: int, tall: range) -> None:
        """A piece goes to one place, and one piece to a place."""
        for k in range(len(self.sets)):
            for p in self.places:
                self.model.add_at_most_one(x for j in range(struts) for q in tall for x in moved[k, p, j, q])
        for j in range(struts):
            for q in tall:
                self.model.add_at_most_one(
                    x for k in range(len(self.sets)) for p in self.places for x in moved[k, p, j, q]
                )

    def _joints(
        self, s: int, scene: Played, chosen: list[list[Any]], moved: dict[tuple[int, int, int, int], Any], tall: range
    ) -> None:
        """Joints of struts that no set brings, and joints of sets of which a piece is taken without the other."""
        model = self.model
        kept: dict[tuple[int, int], list[Any]] = {}
        for k, p, j, q in moved:
            if p + 1 in self.places and q + 1 in tall:
                both = model.new_bool_var(f"kept {s} {k} {p} {j} {q}")
                model.add(both <= moved[k, p, j, q])
                model.add(both <= moved[k, p + 1, j, q + 1])
                kept.setdefault((k, p), []).append(both)
        wanted = [(len(strut.parts) - 1) * x for ways in chosen for x, strut in zip(ways, scene.struts, strict=True)]
        made = sum(wanted) - sum(x for one in kept.values() for x in one)
        self.joints[s].append(made)
        for k, one in enumerate(self.sets):
            for p in self.places:
                there = sum(x for x, (parts, _) in zip(one, self.candidates, strict=True) if len(parts) > p + 1)
                broken = model.new_bool_var(f"broken {s} {k} {p}")
                for place in (p, p + 1):
                    taken = sum(move for (a, b, _, _), move in moved.items() if (a, b) == (k, place))
                    model.add(broken >= taken - sum(kept.get((k, p), [])) - 1 + there)
                self.joints[s].append(broken)

    def solve(self, order: Sequence[int]) -> tuple[int, int, int, list[int], int]:
        """Each goal in turn, joints by scene in this order."""
        model = self.model
        each = [sum(terms) for terms in self.joints]
        joints = self.solved.least(sum(weight * one for weight, one in zip(self.weights, each, strict=True)))
        top = max((number for _, number in self.margins), default=0)
        margin = model.new_int_var(0, top, "margin")
        for x, number in self.margins:
            model.add(margin <= number).only_enforce_if(x)
        widest = -self.solved.least(-margin)
        heaviest = model.new_int_var(0, max((grains for _, grains in self.candidates), default=0), "heaviest")
        for one in self.sets:
            for x, (_, grains) in zip(one, self.candidates, strict=True):
                model.add(heaviest >= grains).only_enforce_if(x)
        weight = self.solved.least(heaviest)
        pieces = sum(len(parts) * x for one in self.sets for x, (parts, _) in zip(one, self.candidates, strict=True))
        by_scene = {s: self.solved.least(each[s]) for s in order}
        return joints, widest, weight, [by_scene[s] for s in sorted(by_scene)], self.solved.least(pieces)


def least_of(programme: Programme, costs: Mapping[int, int], under: int, limit_s: float) -> tuple[int, int]:
    """From how little to how much a programme costs at least; ``under`` where no choice of it costs less.

    Every column has a most, and none costs less than nothing.
    """
    from ortools.sat.python import cp_model

    model: Any = cp_model.CpModel()
    bounds = zip(programme.lows, programme.highs, strict=True)
    columns = [model.new_int_var(low, high, "") for low, high in bounds]
    total = cp_model.LinearExpr.weighted_sum
    for row in programme.rows:
        of = total([columns[x] for x, _ in row.terms], [number for _, number in row.terms])
        low, high = cp_model.INT_MIN if row.low is None else row.low, cp_model.INT_MAX if row.high is None else row.high
        model.add_linear_constraint(of, low, high)
    cost = total([columns[x] for x in costs], list(costs.values()))
    model.add(cost < under)
    model.minimize(cost)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.max_time_in_seconds = 1, limit_s
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return under, under
    found = under if status == cp_model.UNKNOWN else round(solver.objective_value)
    return found if status == cp_model.OPTIMAL else max(0, round(solver.best_objective_bound)), found
