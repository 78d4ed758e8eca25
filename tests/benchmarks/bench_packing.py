"""Packing with proof, the profile, and one lost."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from functools import partial
from random import Random
from time import perf_counter
from typing import Any

from builders import SOUND_LOT
from laws import generators
from laws.oracles import Question

from benchmarks import baselines
from benchmarks.timing import Benchmark, Suite
from cache_check.joining.assemblies import Joinery
from cache_check.model.cache import Cache, Stock
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.packing import Packer
from cache_check.planning.packing.profile import profile
from cache_check.planning.packing.rows import bits
from cache_check.planning.packing.verdicts import one_lost

TODAY = date(2026, 3, 1)
FLAVOURS = ("", "tight", "scarce")
SEEDS = range(4)
CACHES, NAIVE_CACHES = 1_000, 25
LIMIT_S = 20.0
"""CP-SAT on pieces is stopped after so long; its time then counts as this long."""


def _cache(instance: generators.Instance) -> Cache:
    stock = tuple(Stock(part=part, rig="rig", count=count, **SOUND_LOT) for part, count in instance.counts.items())
    return Cache(id="rig", title="Rig", units="us", catalogue=instance.catalogue, stock=stock, rigs=("rig",))


def _ask(instance: generators.Instance) -> Ask:
    """A restrained strut at the length in the middle of all ends of reaches."""
    joined = Joinery(instance.catalogue, instance.counts, instance.book)
    ends = sorted({end for assembly in joined.assemblies() for span in assembly.spans for end in span})
    return Ask(ends[len(ends) // 2], ends[len(ends) // 2])


def _packed(cache: Cache, instance: generators.Instance, ask: Ask) -> int:
    packed = Muster(cache, instance.book, TODAY).most(ask, "restrained")
    assert packed.count == packed.most
    return packed.count


def _on_pieces(instance: generators.Instance, ask: Ask, workers: int) -> int | None:
    question = Question(ask.shortest, ask.longest, restrained=True)
    try:
        return baselines.cpsat_pieces(
            instance.catalogue, instance.counts, instance.book, question, workers=workers, limit_s=LIMIT_S
        )
    except baselines.UnprovenError:
        return None


def _quicker(tries: list[Callable[[], Any]]) -> Callable[[], Any]:
    """Of several ways of running a baseline, the one that is quickest here."""

    def taken(work: Callable[[], Any]) -> float:
        start = perf_counter()
        work()
        return perf_counter() - start

    return min(tries, key=taken)


def _small(seed: int, flavour: str) -> Benchmark:
    instance = generators.small(seed, flavour)
    cache, ask = _cache(instance), _ask(instance)
    return Benchmark(
        instance.name, "from cache and rules to a proven most at one length, restrained",
        product=partial(_packed, cache, instance, ask),
        baseline=_quicker([partial(_on_pieces, instance, ask, workers) for workers in (1, 2)]),
        faster=8, runs=5, baseline_runs=3, same=lambda one, two: two is None or one == two,
    )  # fmt: skip


def _medium(seed: int, flavour: str) -> Benchmark:
    instance = generators.medium(seed, flavour)
    muster = Muster(_cache(instance), instance.book, TODAY)
    ask = Ask(72 * generators.INCH, 72 * generators.INCH)
    columns = tuple(muster.columns.all[i] for i in bits(muster.mask(ask, "restrained")))
    stock, rows = muster.stock, len(muster.columns.rows)

    def product() -> int:
        packed = Packer(columns, rows).most(stock, (1 << len(columns)) - 1)
        assert packed.count == packed.most
        return packed.count

    def baseline(workers: int) -> int:
        uses = [column.uses for column in columns]
        return baselines.cpsat_columns(uses, dict(enumerate(stock)), workers=workers)

    return Benchmark(
        instance.name, "from the same columns and stock to a proven most, model building on both sides",
        product=product, baseline=_quicker([partial(baseline, workers) for workers in (1, 2)]),
        faster=3, runs=5,
    )  # fmt: skip


def _profile(seed: int, flavour: str) -> Benchmark:
    instance = generators.small(seed, flavour)
    cache = _cache(instance)
    parts = (instance.catalogue, instance.counts, instance.book)

    def product() -> list[int]:
        found = profile(Muster(cache, instance.book, TODAY), "restrained")
        assert found.proven
        return [step.count for step in found.stretches]

    def baseline() -> list[int]:
        columns, stock = baselines.restrained_columns(*parts, Joinery(*parts).assemblies())
        counts = baselines.profile_by_mips(columns, stock)
        return [count for i, count in enumerate(counts) if i == 0 or count != counts[i - 1]]

    return Benchmark(
        instance.name, "from cache and rules to every step, restrained; baseline one HiGHS programme a length",
        product=product, baseline=baseline, faster=50, runs=5, baseline_runs=3, same=_alike,
    )  # fmt: skip


def _alike(steps: list[int], counts: list[int]) -> bool:
    """The same counts in the same order; the product's profile also has the lengths that only unheld bases reach."""
    return [count for count in steps if count] == [count for count in counts if count]


class _Fleet:
    """Many small caches of one catalogue, each with counts of its own."""

    def __init__(self) -> None:
        instance = generators.small(0)
        draw = Random("a fleet of small caches")
        self.counts = [
            {part: draw.randint(max(0, n // 2), n + n // 4) for part, n in instance.counts.items()}
            for _ in range(CACHES)
        ]
        most = {part: max(counts[part] for counts in self.counts) for part in instance.counts}
        self.ask = _ask(instance)
        whole = generators.Instance("fleet", instance.catalogue, most, instance.book)
        self.columns = Muster(_cache(whole), instance.book, TODAY).columns
        self.parts = tuple(
            part.id
            for part in instance.catalogue.parts
            if {row for column in self.columns.all for row, _ in column.uses} & set(self.columns.changed(part.id))
        )
        self.mask = self.columns.covering(self.ask.shortest, self.ask.longest) & self.columns.restrained

    def stock(self, counts: dict[str, int]) -> tuple[int, ...]:
        """The rows of one cache; a base has its points unless its design has not."""
        return self.columns.stock(counts, {part: counts[part] for part in self.columns.pointed})

    def packer(self) -> Packer:
        """A packer that knows nothing yet."""
        return Packer(self.columns.all, len(self.columns.rows))

    def single(self) -> list[int]:
        """The most at once in each cache."""
        packer = self.packer()
        found = []
        for counts in self.counts:
            stock = self.stock(counts)
            found.append(packer.most(stock, self.mask & self.columns.within(stock)).count)
        return found

    def lost(self, number: int = CACHES) -> list[int | None]:
        """The most at once in each cache after the worst single loss."""
        packer = self.packer()
        found = []
        for counts in self.counts[:number]:
            stock = self.stock(counts)
            active = self.mask & self.columns.within(stock)
            most = packer.most(stock, active).count
            found.append(one_lost(packer, stock, active, most, self.parts, self.columns.changed)[0])
        return found

    def naive(self, number: int) -> list[int]:
        """The same by building and solving a programme for each loss anew."""
        found = []
        for counts in self.counts[:number]:
            stock = self.stock(counts)
            active = bits(self.mask & self.columns.within(stock))
            ways = [self.columns.all[i].uses for i in active]
            left = [dict(enumerate(stock))]
            for part in self.parts:
                rows = self.columns.changed(part)
                if counts[part]:
                    left.append({row: max(0, n - (row in rows)) for row, n in enumerate(stock)})
            found.append(min(baselines.highspy_columns(ways, one) for one in left))
        return found


def _one_lost() -> Iterator[Benchmark]:
    fleet = _Fleet()
    counted = f"{CACHES:,} caches of one catalogue and other counts, columns there on both sides"
    yield Benchmark(
        "one lost against one check", counted,
        product=fleet.lost, baseline=fleet.single, within=4, runs=5,
        same=lambda lost, single: all(one <= two for one, two in zip(lost, single, strict=True)),
    )  # fmt: skip
    yield Benchmark(
        "one lost against solving again", f"{counted}; HiGHS built and solved for each loss",
        product=fleet.lost, baseline=partial(fleet.naive, NAIVE_CACHES), faster=25, runs=5, baseline_runs=1,
        baseline_share=NAIVE_CACHES / CACHES, same=lambda lost, naive: lost[:NAIVE_CACHES] == naive,
    )  # fmt: skip


def benchmarks() -> Iterator[Suite | Benchmark]:
    """Small and medium packing on every seed, the profile, and one lost."""
    every = [(seed, flavour) for flavour in FLAVOURS for seed in SEEDS]
    yield Suite("packing small against pieces", [partial(_small, *which) for which in every], every=True)
    yield Suite("packing medium against CP-SAT", [partial(_medium, *which) for which in every])
    yield Suite("profile against a MIP a length", [partial(_profile, *which) for which in every])
    yield from _one_lost()
