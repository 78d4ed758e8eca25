"""The finder on the screen against ``load`` in Python: the same questions, the same answers."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from cli.running import SAMPLES
from laws.strategies import THOROUGH

import cache_check as api
from cache_check import units
from cache_check.api.base import WhatIf, muster_of
from cache_check.files.cache import read_cache
from cache_check.files.pool import pool
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.load import Carrier, LoadResult, TieWay
from cache_check.model.part import Hardware, Tie
from cache_check.model.rule import RuleBook
from cache_check.model.situation import Situation
from cache_check.planning.packing.muster import Muster
from pages import rig_r
from pages.asking import Answer, Asker, asker
from pages.conftest import Opened, page_of

CASES = 8 if THOROUGH else 4
SEED = 20261125
STRICT = ("WLL-1.pretension=0.7 kN", "STR-1.min=3", "ANG-1.max=80 deg", "LAT-1.share=60%")
RIGS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "rescue-41": (("rescue-41.yaml",), ()),
    "rescue-44 in SI": (("rescue-44.yaml",), ("--units", "si")),
    "truck-9": (("truck-9.yaml",), ()),
    "pooled": (("rescue-41.yaml", "truck-9.yaml"), ("--pool",)),
    "rescue-41, one strap ruled": (("rescue-41.yaml",), ("--set", "STR-1.min=1")),
    "rescue-41, none ruled": (("rescue-41.yaml",), ("--set", "STR-1=off")),
    "rig R": (("rig-r.yaml",), ()),
    "rig R, stricter": (("rig-r.yaml",), tuple(word for said in STRICT for word in ("--set", said))),
}


@dataclass(frozen=True)
class Rig:
    """A cache, its rules, and its muster; ``system`` is the unit system that its page shows."""

    cache: Cache
    book: RuleBook
    system: units.System
    muster: Muster

    def suppose(self, outs: dict[str, int]) -> WhatIf:
        """What is supposed with some parts out, by short name."""
        ids = {short: part for part, short in self.names.items()}
        return WhatIf(without=tuple((ids[name], n) for name, n in outs.items()), on=self.muster.on, units=self.system)

    @property
    def names(self) -> dict[str, str]:
        """Short names by part id."""
        return dict(self.cache.catalogue.said)


@dataclass(frozen=True)
class Case:
    """One question: lengths as typed in the page's unit; load and factor as typed, "" unknown."""

    height: str
    known: str
    value: str
    load: str
    way: str
    factor: str
    tie: int
    outs: dict[str, int]

    @property
    def fields(self) -> dict[str, str]:
        """What to fill in."""
        return {
            "height": self.height, "known": self.known, "value": self.value, "load": self.load, "way": self.way,
            "factor": "other", "typed": self.factor, "tie": str(self.tie),
        }  # fmt: skip


def rig_of(folder: Path, name: str) -> tuple[Rig, list[str | Path]]:
    """A rig, and the arguments that make its page."""
    from datetime import date

    rig_r.write(folder)
    files, options = RIGS[name]
    paths = [folder / one if one == "rig-r.yaml" else SAMPLES / one for one in files]
    said = [one for one in options if one not in ("--set", "--pool", "--units", "si")]
    book = read_rules(said=said)
    caches = [read_cache(path, book) for path in paths]
    cache = pool(caches) if "--pool" in options else caches[0]
    system: units.System = "si" if "si" in options else cache.units
    muster = muster_of(cache, book, WhatIf(on=date(2026, 11, 25)))
    return Rig(cache, book, system, muster), [*paths, *options]


def cases(rig: Rig, seed: int) -> Iterator[Case]:
    """Questions: some at a limit exactly (a 3-4-5 triangle), the rest anywhere in the reach and a little beyond."""
    rng = random.Random(seed)
    reach = sorted(rig.muster.joined.assemblies(), key=lambda one: one.order)
    ties = ties_of(rig)
    stock = {rig.names[part]: n for part, n in rig.muster.usable.counts.items() if n}
    for _ in range(CASES):
        one = rng.choice(reach)
        if rng.random() < (0.5 if one.spans[0][0] < one.spans[0][1] else 0.9):
            length = rng.choice([end for span in one.spans for end in span])
            height, known, value = typed(Fraction(length) * 4 / 5, rig), "offset", typed(Fraction(length) * 3 / 5, rig)
        else:
            length = rng.randint(one.closed * 19 // 20, one.open * 21 // 20)
            angle = rng.choice([45, 50, 60, round(rng.uniform(42, 73), 1)])
            height, known, value = f"{float(in_unit(length * 4 // 5, rig)):.1f}", "angle", f"{angle:g}"
        factor = rng.choice(["2", "2", "2.5", "3", "4", "6"])
        names = rng.sample(sorted(stock), rng.choice([0, 0, 1, 3]))
        yield Case(
            height, known, value, load_of(rig, rng, one, length, factor), rng.choice(["along", "upright"]), factor,
            rng.randrange(len(ties)), {name: rng.randint(1, stock[name]) for name in names},
        )  # fmt: skip


def in_unit(length: int | Fraction, rig: Rig) -> Fraction:
    """A length in the page's unit."""
    return Fraction(length) / units.length_nm(f"1 {units.shown_unit('length', rig.system)}")


def typed(length: Fraction, rig: Rig) -> str:
    """A length as one types it to the last digit: a decimal, or in inches a fraction where that is short."""
    said = in_unit(length, rig)
    for digits in range(7):
        if said * 10**digits % 1 == 0:
            return f"{float(said):.{digits}f}"
    raise AssertionError(f"{said} takes more digits than a person types")


def load_of(rig: Rig, rng: random.Random, one: Any, length: int, factor: str) -> str:
    """A load: none, exactly what an assembly is rated for, that with a little more, or any."""
    from cache_check.loads.chart import DesignFactor

    unit = units.force_n(f"1 {units.shown_unit('force', rig.system)}")
    rated = rig.muster.capacity.rated(one, length, length, DesignFactor(Fraction(factor), said=True))
    drawn = rng.random()
    if drawn < 0.15:
        return ""
    if rated is not None and drawn < 0.5:
        exact = rated / unit * rng.choice([Fraction(1), Fraction(4, 5)]) + rng.choice([0, 0, 1]) * Fraction(1, 1000)
        if exact * 1000 % 1 == 0:
            return f"{float(exact):.3f}"
    return f"{rng.uniform(500, 14000):.0f}" if rig.system == "us" else f"{rng.uniform(2, 45):.2f}"


def ties_of(rig: Rig) -> list[Tie]:
    """Straps and chains in the order of the page: those that are there first."""
    ties = [part for part in rig.cache.catalogue.parts if isinstance(part, Tie)]
    return sorted(ties, key=lambda tie: rig.muster.usable.counts[tie.id] == 0)


def python_says(rig: Rig, case: Case, tie: Tie) -> LoadResult:
    """The answer of ``load`` to the same question: nothing more said, and no other tie of its kind there."""
    unit = units.shown_unit("length", rig.system)
    given: dict[str, Any] = {
        "contact_height": units.length_nm(f"{case.height} {unit}"),
        "ties": f"{tie.kind}s",  # type: ignore[attr-defined]
        "factor": Fraction(case.factor),
        "angle" if case.known == "angle" else "base_offset": Fraction(case.value)
        if case.known == "angle"
        else units.length_nm(f"{case.value} {unit}"),
    }
    if case.load:
        load = units.force_n(f"{case.load} {units.shown_unit('force', rig.system)}")
        given["axial" if case.way == "along" else "vertical"] = load
    else:
        given["unknown"] = ("vertical",)
    counts = rig.muster.usable.counts
    others = {rig.names[one.id]: counts[one.id] for one in ties_of(rig) if one != tie and counts[one.id]}
    return api.load(rig.cache, rig.book, Situation(**given), suppose=rig.suppose({**case.outs, **others}))


def way_of(rig: Rig, result: LoadResult, tie: Tie) -> TieWay:
    """The fewest of a tie of which it and its hardware hold; else it alone; else as many as are ruled."""
    ways = [one for one in result.ties if one.part == tie.id]
    limits = [part.wll for name in tie.hardware if isinstance(part := rig.cache.catalogue.by_id.get(name), Hardware)]
    strong = [one for one in ways if one.rated is None or one.rated >= one.tension]
    whole = [one for one in strong if all(limit is None or limit >= one.tension for limit in limits)]
    return (whole or strong or ways)[0]


def short_of(rig: Rig, one: Carrier, outs: dict[str, int]) -> bool:
    """Whether too few ties, or pieces of their hardware, are left for one base."""
    if one.way is None:
        return True
    left = muster_of(rig.cache, rig.book, rig.suppose(outs)).usable.counts
    tie, number = rig.cache.catalogue.by_id[one.way.part], one.way.per_base
    assert isinstance(tie, Tie)
    return left[tie.id] < number or any(left[name] < n * number for name, n in tie.hardware.items())


SAYS = {
    "head": "what the head stands against",
    "ground": "the ground",
    "pre-tension": "what pre-tension would move",
    "points": "limit of points of its base",
}


def unknown_of(one: Carrier) -> set[str]:
    """In the finder's words what ``load`` finds not known of a strut; a load that is not known is said once."""
    said = {SAYS[link.of] for link in one.links if link.state == "unknown" and link.of in SAYS and link.rated is None}
    loose = {link.link.partition(" of ")[0] for link in one.links if link.of == "ties" and link.state == "unknown"}
    said |= {"whether the straps reach"} if "reach" in loose else set()
    said |= {"what their far ends hold"} if "far anchors" in loose else set()
    return said | ({"the load"} if any(link.loaded and link.demand is None for link in one.links) else set())


def compare(rig: Rig, case: Case, answer: Answer) -> str:
    """Hold an answer against Python's, and say what sort of case it was."""
    tie = ties_of(rig)[case.tie]
    result = python_says(rig, case, tie)
    flat, steep = (Fraction(rig.muster.book.value("ANG-1", end)) for end in ("min", "max"))
    if not flat <= result.geometry.angle_deg <= steep:
        assert answer.said.startswith("NOT MET: ")
        assert result.verdict == "not met"
        assert f"{float(flat if result.geometry.angle_deg < flat else steep):g}°" in answer.said
        assert (answer.sets, answer.loose, answer.apart) == ((), (), ())
        return "refused"
    show = {what: units.show(nm, "length", rig.system, "nearest") for what, nm in
            (("length", result.geometry.length), ("offset", result.geometry.offset))}  # fmt: skip
    assert answer.big.startswith(f"Strut {show['length']}, base {show['offset']} out")
    way = way_of(rig, result, tie)
    assert answer.straps in (None, way.per_base)
    if result.forces is not None:
        forces = (result.forces.axial_checked + way.own, result.forces.thrust_checked)
        axial, thrust = (units.show(force, "force", rig.system, "up") for force in forces)
        assert f"Along the strut {axial}; its base pushes out with {thrust}." in answer.said
    shown = {one.stack: one for one in (*answer.loose, *answer.apart)}
    stacks = {tuple(rig.names[part] for part in one.assembly.parts): one for one in result.carriers}
    assert set(shown) == set(stacks)
    assert len(shown) == len(answer.loose) + len(answer.apart)
    for stack, one in stacks.items():
        found = shown[stack]
        assert found.word == ("not met" if short_of(rig, one, case.outs) else one.verdict).upper()
        rated = "none known" if one.rated is None else f"rated {units.show(one.rated, 'force', rig.system, 'down')} at "
        assert rated in found.said
        assert {said for said in unknown_of(one) if said not in found.verdict} == set()
    for built in answer.sets:
        if built.stack in stacks and built.word != "DO NOT USE":
            assert built.verdict == shown[built.stack].verdict
    return "answered" if stacks else "nothing reaches"


@pytest.mark.browser
@pytest.mark.usefixtures("undrawn")
@pytest.mark.parametrize("name", RIGS)
def test_finder_agrees_with_load(opened: Opened, tmp_path: Path, name: str) -> None:
    """The same question asked on the screen and of ``load`` has the same length, builds, verdicts and straps."""
    rig, arguments = rig_of(tmp_path, name)
    screen: Asker = asker(opened, page_of(tmp_path, *arguments, "--only", "crew"))

    sorts = []
    for case in cases(rig, SEED + len(name)):
        answer = screen.ask(case.fields, case.outs)
        assert answer.wrong == (), case
        try:
            sorts.append(compare(rig, case, answer))
        except AssertionError as error:
            raise AssertionError(f"{case}: {answer.said[:1500]}") from error

    assert sorts.count("answered") >= CASES // 4
    assert opened.said == []
