"""Dumb second opinions on purchases and ready sets: try every list, every choice of sets, every way to open them.

They share the oracle's reading of the rules and no code with the product's planning.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations_with_replacement, pairwise, product

from cache_check.model.need import Need, Scene
from laws import oracles
from laws.oracles import Question, Rig, Take

Capability = tuple[int, int]
"""Weighted scenes met whole, and weighted struts served."""


@dataclass(frozen=True)
class Ware:
    """Packs of a part: price of each, pieces in each, fewest and most packs, what is paid once, and who sells them."""

    part: str
    price: int
    pack: int
    least: int
    most: int
    fixed: int
    vendor: int = 0


def question(need: Need) -> Question:
    """What a need asks, for the oracle."""
    return Question(need.shortest, need.longest, need.restrained, need.load, need.factor)


class Market:
    """A rig with all that could be bought, so that its assemblies are listed once."""

    def __init__(
        self,
        rig: Rig,
        counts: Mapping[str, int],
        damaged: Mapping[str, int],
        scenes: Sequence[Scene],
        wares: Sequence[Ware],
        terms: Sequence[tuple[int, int]] = ((0, 0),),
    ) -> None:
        self.terms = terms  # of each vendor its freight, and the least that it charges for goods
        self._most: dict[tuple[int, frozenset[tuple[str, int]]], int] = {}
        self.catalogue, self.damaged, self.counts = rig.catalogue, damaged, counts
        self.scenes, self.wares = scenes, wares
        more = Counter(counts)
        for ware in wares:
            more[ware.part] += ware.pack * ware.most
        wide = Rig(rig.catalogue, more, rig.book, damaged)
        self.ways = [self._ways(wide, scene) for scene in scenes]

    def _ways(self, wide: Rig, scene: Scene) -> set[Take]:
        ways: set[Take] = set()
        for n, need in enumerate(scene.needs):
            asked = question(need)
            for one in wide.answering(asked):
                for take in oracles.takes(wide.catalogue, wide.book, one, restrained=asked.restrained):
                    ways.add(take | {(f"need {n}", 1)})
        return ways

    def stock(self, packs: Sequence[int], lost: str | None = None) -> Counter[str]:
        """Pieces by resource with a list added, one piece of a part lost (a base with its points)."""
        counts = Counter(self.counts)
        for ware, number in zip(self.wares, packs, strict=True):
            counts[ware.part] += ware.pack * number
        whole = Counter(oracles.held_pieces(self.catalogue, counts, self.damaged))
        if lost is not None:
            for name in [lost, *(name for name in whole if name.startswith(f"{lost} with "))]:
                (counts if name == lost else whole)[name] -= 1 if (counts if name == lost else whole)[name] else 0
        return counts + whole

    def served(self, packs: Sequence[int], s: int, lost: str | None = None) -> int:
        """The most struts of a scene."""
        stock = self.stock(packs, lost)
        stock.update({f"need {n}": need.count for n, need in enumerate(self.scenes[s].needs)})
        key = s, frozenset(stock.items())
        if key not in self._most:
            self._most[key] = oracles.most_at_once(self.ways[s], stock)
        return self._most[key]

    def capability(self, packs: Sequence[int]) -> Capability:
        """What a list makes of all scenes."""
        met = struts = 0
        for s, scene in enumerate(self.scenes):
            served = self.served(packs, s)
            struts += scene.weight * served
            met += scene.weight * (served == sum(need.count for need in scene.needs))
        return met, struts

    def cost(self, packs: Sequence[int]) -> int:
        """What a list costs."""
        bought = [(ware, number) for ware, number in zip(self.wares, packs, strict=True) if number]
        total = sum(ware.fixed for ware, _ in bought)
        for vendor in {ware.vendor for ware, _ in bought}:
            freight, least = self.terms[vendor]
            total += freight + max(least, sum(ware.price * n for ware, n in bought if ware.vendor == vendor))
        return total

    def lists(self) -> Iterator[tuple[int, ...]]:
        """Every list that the offers allow."""
        ranges = [[0, *range(ware.least, ware.most + 1)] for ware in self.wares]
        yield from product(*ranges)

    def best(self, budget: int | None = None) -> tuple[Capability, int, int]:
        """The most capability within a budget, the least cost of it, and then the fewest pieces."""
        found = [
            (-met, -struts, cost, sum(w.pack * n for w, n in zip(self.wares, packs, strict=True)))
            for packs in self.lists()
            for cost in (self.cost(packs),)
            if budget is None or cost <= budget
            for met, struts in (self.capability(packs),)
        ]
        met, struts, cost, pieces = min(found)
        return (-met, -struts), cost, pieces

    def cheapest_standing_losses(self) -> int | None:
        """The least cost of a list with which every scene is met after any one piece is lost; None: no list."""
        costs = [self.cost(packs) for packs in self.lists() if self._stands(packs)]
        return min(costs, default=None)

    def _stands(self, packs: Sequence[int]) -> bool:
        losses: Iterable[str | None] = [None, *(part.id for part in self.catalogue.parts)]
        return all(
            self.served(packs, s, lost) == sum(need.count for need in scene.needs)
            for s, scene in enumerate(self.scenes)
            for lost in losses
        )


# Ready sets

Stack = tuple[str, ...]
State = tuple[Stack, ...]
"""Stacks of two or more parts that lie about, sorted; all other pieces are loose."""


@dataclass(frozen=True)
class Service:
    """One way to serve a scene: its struts as stacks, and the least margin (nm) of any."""

    struts: tuple[Stack, ...]
    margin: int


class Yard:
    """A rig on which sets are left built, and scenes are played joint by joint.

    ``listed`` are its assemblies' parts in the order in which they are built, by identity.
    """

    def __init__(self, rig: Rig, counts: Mapping[str, int], listed: Mapping[oracles.Identity, Stack]) -> None:
        self.rig, self.counts, self.listed = rig, counts, listed
        self._found = {one.identity: one for one in rig.found}

    def services(self, scene: Scene, split: Sequence[int]) -> list[Service]:
        """Every way to serve so many of each need, which must be as many of its struts as can be served at once."""
        most = 0
        found: dict[tuple[Stack, ...], int] = {}
        for chosen in self._choices(scene):
            if len(chosen) >= most and self._together(chosen, scene):
                most = len(chosen)
                if [sum(n == need for n, _ in chosen) for need in range(len(split))] != list(split):
                    continue
                margins = [self._margin(identity, scene.needs[n]) for n, identity in chosen]
                struts = tuple(sorted(self.listed[identity] for _, identity in chosen))
                found[struts] = max(found.get(struts, 0), min(margins, default=0))
        assert most == sum(split)
        return [Service(struts, margin) for struts, margin in found.items()]

    def _choices(self, scene: Scene) -> Iterator[tuple[tuple[int, oracles.Identity], ...]]:
        each = []
        for n, need in enumerate(scene.needs):
            answering = sorted(one.identity for one in self.rig.answering(question(need)))
            numbers = range(need.count + 1)
            each.append(
                [
                    tuple((n, one) for one in chosen)
                    for k in numbers
                    for chosen in combinations_with_replacement(answering, k)
                ]
            )
        for parts in product(*each):
            yield tuple(one for part in parts for one in part)

    def _together(self, chosen: Sequence[tuple[int, oracles.Identity]], scene: Scene) -> bool:
        """Whether these struts stand at once, each held where its need asks."""
        ways: set[Take] = set()
        stock = Counter(self.rig.stock)
        for j, (n, identity) in enumerate(chosen):
            held = question(scene.needs[n]).restrained
            takes = oracles.takes(self.rig.catalogue, self.rig.book, self._found[identity], restrained=held)
            ways |= {take | {(f"strut {j}", 1)} for take in takes}
            stock[f"strut {j}"] = 1
        return not chosen or oracles.most_at_once(ways, stock, drop_worse=False) == len(chosen)

    def _margin(self, identity: oracles.Identity, need: Need) -> int:
        spans = self._found[identity].spans
        return max(
            min(need.shortest - low, high - need.longest)
            for low, high in spans
            if low <= need.shortest and need.longest <= high
        )

    def pins(self, stacks: Iterable[Stack]) -> Counter[str]:
        """Loose pins in the joints of stacks of one family, each joint taking one as its connector says."""
        taken: Counter[str] = Counter()
        for stack in stacks:
            for lower, upper in pairwise(stack):
                taken.update(dict(self.pin(lower, upper)))
        return taken

    def pin(self, lower: str, upper: str) -> Take:
        """The pins of one joint: those by which an assembly with it differs from its parts alone."""
        catalogue, book = self.rig.catalogue, self.rig.book
        for one in oracles.sittings(catalogue.by_id[lower], "ground"):
            for other in oracles.sittings(catalogue.by_id[upper], "load"):
                if one.up and other.down and oracles.mates(catalogue, one.up, other.down):
                    return oracles.pins_of(catalogue, book, (one, other))
        raise AssertionError((lower, upper))

    def fewest_joints(self, sets: Sequence[Stack], services: Sequence[Service]) -> tuple[int, int]:
        """The fewest joints broken and made from these sets to some service, and the best margin at that many.

        All ways of breaking and making are tried, breadth first: a joint is broken anywhere, or made where what
        it makes is part of a strut that is wanted.
        """
        struts = {strut for one in services for strut in one.struts}
        wanted = {strut[a:b] for strut in struts for a in range(len(strut)) for b in range(a + 2, len(strut) + 1)}
        level: set[State] = {tuple(sorted(sets))}
        seen = set(level)
        for joints in range(60):
            margins = [one.margin for state in level for one in services if not Counter(one.struts) - Counter(state)]
            if margins:
                return joints, max(margins)
            level = {after for state in level for after in self._moves(state, wanted)} - seen
            seen |= level
        raise AssertionError

    def _moves(self, state: State, wanted: set[Stack]) -> Iterator[State]:
        loose = Counter(self.counts)
        for stack in state:
            loose.subtract(stack)
        for i, stack in enumerate(state):
            rest = [*state[:i], *state[i + 1 :]]
            for cut in range(1, len(stack)):
                yield _state([*rest, stack[:cut], stack[cut:]])
        lying = [(stack, i) for i, stack in enumerate(state)]
        lying += [((part,), -1) for part, number in loose.items() if number > 0]
        for (lower, i), (upper, j) in product(lying, lying):
            if lower + upper in wanted and (i != j or i == -1) and (lower != upper or i != -1 or loose[lower[0]] > 1):
                made = _state([*(s for k, s in enumerate(state) if k not in (i, j)), lower + upper])
                if all(n <= self.counts.get(pin, 0) for pin, n in self.pins(made).items()):
                    yield made

    def best_sets(
        self,
        scenes: Sequence[Scene],
        splits: Sequence[Sequence[int]],
        candidates: Sequence[Stack],
        most: int,
        masses: Mapping[Stack, Fraction],
    ) -> tuple[int, int, Fraction, list[int], int]:
        """Over every choice of sets: weighted joints, least margin, heaviest set, joints by scene, and pieces.

        The best in that order, the scenes compared in that of the weighted joints that each takes with no sets, most
        first.
        """
        services = [self.services(scene, split) for scene, split in zip(scenes, splits, strict=True)]
        loose = [-scene.weight * self.fewest_joints((), ways)[0] for scene, ways in zip(scenes, services, strict=True)]
        longest = sorted(range(len(scenes)), key=loose.__getitem__)
        found = []
        for k in range(most + 1):
            for sets in combinations_with_replacement(candidates, k):
                taken = Counter(part for stack in sets for part in stack) + self.pins(sets)
                if any(n > self.counts.get(part, 0) for part, n in taken.items()):
                    continue
                played = [self.fewest_joints(sets, ways) for ways in services]
                joints = sum(scene.weight * n for scene, (n, _) in zip(scenes, played, strict=True))
                margins = [margin for (_, margin), ways in zip(played, services, strict=True) if ways[0].struts]
                heaviest = max((masses[stack] for stack in sets), default=Fraction(0))
                each = [n for n, _ in played]
                best = joints, -min(margins, default=0), heaviest, [each[s] for s in longest], sum(map(len, sets))
                found.append((best, each))
        (joints, margin, heaviest, _, pieces), each = min(found)
        return joints, -margin, heaviest, each, pieces


def _state(stacks: Iterable[Stack]) -> State:
    return tuple(sorted(stack for stack in stacks if len(stack) > 1))
