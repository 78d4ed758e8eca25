"""Seeded shops: caches that are to do more than they can, with every part on offer."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from random import Random

from builders import SOUND_LOT

from cache_check.joining.assemblies import Joinery
from cache_check.model.cache import Cache, Stock
from cache_check.model.need import Need, Scene
from cache_check.planning.buying.offers import Offer, minima
from cache_check.planning.buying.shop import Shop
from cache_check.planning.packing.muster import Muster
from laws import generators

TODAY = date(2026, 11, 25)


def shop_of(
    seed: int, flavour: str, make: Callable[[int, str], generators.Instance] = generators.small, share: int = 2
) -> Shop:
    """A seeded cache, one piece in ``share`` of it there, that is to do more than it can; every part is on offer."""
    instance = make(seed, flavour)
    draw = Random(f"shop {seed} {flavour}")
    shared = {part: count // share for part, count in instance.counts.items()}
    stock = tuple(Stock(part=part, rig="rig", count=count, **SOUND_LOT) for part, count in shared.items())
    cache = Cache(id="rig", title="Rig", units="us", catalogue=instance.catalogue, stock=stock, rigs=("rig",))
    muster = Muster(cache, instance.book, TODAY)
    joined = Joinery(instance.catalogue, instance.counts, instance.book)
    spans = [span for one in joined.assemblies() for span in one.spans]
    scenes = []
    for s in range(2):
        needs = []
        for n in range(2):
            low, high = draw.choice(spans)
            at = draw.randint(low // generators.INCH, high // generators.INCH) * generators.INCH
            needs.append(Need(id=f"{n}", count=draw.randint(2, 4), shortest=at, longest=at, restrained=s == 0))
        scenes.append(Scene(id=f"{s}", needs=tuple(needs), weight=draw.randint(1, 3)))
    offers = tuple(
        Offer(
            part.id, "quote", draw.randint(1, 40) * 2_500, draw.choice([1, 1, 4]), draw.choice([1, 1, 2]),
            draw.choice([0, 0, 5_000]), pointed=bool(minima(muster, part.id)),
        )
        for part in instance.catalogue.parts
    )  # fmt: skip
    return Shop(muster, tuple(scenes), offers)
