"""Inputs by number: the same number always makes the same files and the same command."""

from __future__ import annotations

import copy
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import yaml
from cli.running import SAMPLES

from fuzz import mutants

ON = ("--on", "2026-11-25")
RECORD = "audits.db"
MADE = ("rig.xlsx", RECORD)
FILES = frozenset((*(one.name for one in SAMPLES.glob("*.*")), *MADE))
RIGS = ("rescue-41.yaml", "rescue-44.yaml", "truck-9.yaml")
SITUATIONS = ("car-on-side.yaml", "leaning-van.yaml", "trailer-one-end.yaml")
RULES = (
    "EXT-2.max",
    "CAP-1.factor",
    "STR-1.min",
    "PTS-1.min",
    "EXT-1.max",
    "ADP-1.max",
    "OVL-1.min",
    "WLL-1.pretension",
)
SHORT = ("--seconds", "2")
BESIDE = ("family-p.yaml", "family-q.yaml", "county.yaml")
"""Files that are read though nobody names them."""
WHOLE = 0.02
"""Of all inputs those that are asked of the county as it is, each command as often: the others cost a tenth."""
KEPT = ("short-body", "hinged-base", "edge-head", "extension-10", "strap", "joint-pin", "body-34", "plate-base")
OFTEN = {
    "rules": 10, "build": 10, "reach": 10, "graph": 8, "load": 8, "history": 6, "check": 5, "new": 4, "convert": 3,
    "audit": 2, "report": 1, "open": 0.6, "stage": 0.6, "buy": 0.4, "exercise": 0.4, "schema": 0.1,
}  # fmt: skip
"""How often each command is asked of a county cut down, by what it costs."""
_SUPPOSING = ("check", "reach", "stage", "load", "buy", "report")


@dataclass(frozen=True)
class Input:
    """The arguments of one run, its files being written."""

    arguments: tuple[str, ...]
    changed: tuple[str, ...]


def _less(one: dict[str, Any]) -> dict[str, Any]:
    """A file of the county with a few parts, one scene and two rows of its chart: what is left is read in a trice."""
    few: dict[str, Callable[[Any], Any]] = {
        "parts": lambda parts: {key: one for key, one in parts.items() if key.rpartition("/")[2] in KEPT},
        "scenes": lambda scenes: dict(list(scenes.items())[:1]),
        "ready_sets": lambda sets: {"B": sets["B"]},
        "charts": lambda charts: [chart | {"rows": chart["rows"][:2]} for chart in charts],
    }
    return {key: few[key](value) if key in few else value for key, value in one.items()}


_DUMPER: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)


@cache
def _tree(name: str, whole: bool) -> Any:
    tree = yaml.safe_load((SAMPLES / name).read_text(encoding="utf-8"))
    return tree if whole else _less(tree)


def _yaml(tree: Any) -> bytes:
    made = yaml.dump(tree, sort_keys=False, allow_unicode=True, Dumper=_DUMPER)
    return str(made).encode("utf-8", "surrogatepass")


@cache
def originals(whole: bool) -> dict[str, bytes]:
    """Every file of a county, whole or cut down: rigs, a workbook that says what Rescue 41 says, a record of audits."""
    from cache_check.cli.output import guarded

    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "county"
        shutil.copytree(SAMPLES, place, ignore=shutil.ignore_patterns("pictures"))
        rig, count = str(place / RIGS[0]), str(place / "rescue-41-count.csv")
        if not whole:
            for one in place.glob("*.yaml"):
                one.write_bytes(_yaml(_tree(one.name, whole)))
            Path(count).unlink()
            assert guarded(["audit", rig, "--sheet", count]) == 0
        assert guarded(["convert", rig, str(place / MADE[0])]) == 0
        for day in ("2026-08-01", "2026-11-25"):
            assert guarded(["audit", rig, count, "--on", day, "--record", str(place / RECORD)]) in (0, 1)
        return {name: (place / name).read_bytes() for name in FILES}


def _damaged(name: str, draw: Random, folder: Path, whole: bool) -> bytes:
    """A file of the county, changed."""
    data = originals(whole)[name]
    if draw.random() < (0.3 if name in MADE else 0.12):
        return mutants.raw(data, draw)
    if name.endswith(".xlsx"):
        return mutants.workbook(data, draw)
    if name.endswith(".db"):
        return mutants.record(data, draw, folder / f"{name}.part")
    if name.endswith(".csv"):
        return mutants.table(data.decode(), draw).encode("utf-8", "surrogatepass")
    changed = draw.choice((mutants.tree, mutants.gentle, mutants.gentle))
    return _yaml(changed(copy.deepcopy(_tree(name, whole)), draw))


def whole(number: int, seed: int) -> bool:
    """Whether the input of a number is asked of the county as it is."""
    return Random(f"{seed} {number} whole").random() < WHOLE


def made(number: int, seed: int, folder: Path) -> Input:
    """The input of a number, with its files in a folder that holds the samples."""
    draw, every = Random(f"{seed} {number}"), whole(number, seed)
    command = draw.choice(list(_COMMANDS)) if every else draw.choices(list(OFTEN), list(OFTEN.values()))[0]
    arguments = [command, *_COMMANDS[command](draw)]
    if command in _SUPPOSING and draw.random() < 0.3:
        arguments += _supposed(draw)
    if draw.random() < 0.25 and command in (*_SUPPOSING, "build", "audit", "history"):
        arguments += ["--format", draw.choice(("json", "csv", "markdown"))]
    elif draw.random() < 0.15 and command in (*_SUPPOSING, "audit", "history"):
        arguments += ["--show", "all"]
    read = [one for one in dict.fromkeys(arguments) if one in FILES]
    named = draw.sample(read, min(len(read), 1))
    beside = [one for one in BESIDE if draw.random() < (0.7 if one == "county.yaml" and not read else 0.12)]
    for name in dict.fromkeys((*named, *beside)):
        (folder / name).unlink()
        (folder / name).write_bytes(_damaged(name, draw, folder, every))
    return Input(tuple(str(one) for one in arguments), tuple(dict.fromkeys((*named, *beside))))


def _rig(draw: Random) -> str:
    return draw.choices((*RIGS, "rig.xlsx"), (8, 8, 8, 1))[0]


def _rigs(draw: Random) -> list[str]:
    if draw.random() < 0.2:
        return draw.choice(([], [], ["rescue-41"], [_odd(draw)]))  # the county's
    return [*draw.sample(RIGS, 2), "--pool"] if draw.random() < 0.1 else [_rig(draw)]


def _supposed(draw: Random) -> list[str]:
    odd = _odd(draw, 300)
    return draw.choice((
        ["--set", f"{draw.choice(RULES)}={odd}"], ["--set", odd], ["--factor", odd], ["--without", f"strap={odd}"],
        ["--with", f"strap={odd}"], ["--without", odd], ["--units", "si"], ["--rules", "policy-example.yaml"],
        ["--set", f"{draw.choice(RULES)}={draw.choice(('0', '1', '3', '40 in', 'off', '0.5', '10 %'))}"],
    ))  # fmt: skip


def _load(draw: Random) -> list[str]:
    odd = _odd(draw, 300)
    more = draw.choice((
        "--soil", "--strut-limit", "--half-angles", "--rise", "--weight", "--angle", "--contact-height", "--anchors",
        "--pretension", "--face", "--pad", "--far-anchors", "--friction", "--strut-places", "--on-this-side",
    ))  # fmt: skip
    return [*_rigs(draw), draw.choice(SITUATIONS), *([more, odd] if draw.random() < 0.5 else [])]


def _odd(draw: Random, longest: int = 99) -> str:
    return str(mutants.value(draw)).replace("\x00", "")[:longest]


def _build(draw: Random) -> list[str]:
    known = ("P/hinged-base", "short-body", "edge-head", "extension-10", "strap", _odd(draw))
    return [_rig(draw), *draw.choices(known, k=draw.randint(1, 5)), *ON]


def _convert(draw: Random) -> list[str]:
    kind, name = draw.choice((
        ("cache", _rig(draw)), ("needs", "needs.yaml"), ("prices", "prices.yaml"), ("situation", "car-on-side.yaml"),
    ))  # fmt: skip
    return [name, f"made{draw.choice(('', '.xlsx', '.yaml'))}", "--kind", kind]


def _report(draw: Random) -> list[str]:
    only = draw.choice(("door", "door", "crew", "load", "office", "audit", "count", "count", "county"))
    more = {
        "load": ("--load", draw.choice(SITUATIONS)), "audit": ("--audit", "rescue-41-count.csv"),
        "office": ("--needs", "needs.yaml", "--prices", "prices.yaml"),
    }  # fmt: skip
    named = RIGS[:1] if only == "audit" else RIGS if only == "county" else (_rig(draw),)
    odd = draw.choice(((), (), ("--angle", _odd(draw)), ("--sets", "2"), ("--only", _odd(draw))))
    return [*named, "--only", only, *more.get(only, ()), *odd, "-o", "-", *SHORT, *ON]


def _history(draw: Random) -> list[str]:
    odd = draw.choice((
        (), (), ("--rig", "rescue-41"), ("--rig", _odd(draw)), ("--receipt", _odd(draw)),
        ("--entry", draw.choice("123")), ("--entry", _odd(draw)),
        ("--correct", draw.choice("1239"), "--says", _odd(draw), "--by", _odd(draw)),
    ))  # fmt: skip
    return [RECORD, *odd]


def _audit(draw: Random) -> list[str]:
    more = draw.choice((
        (), (), ("--record", RECORD), ("--needs", "needs.yaml"), ("--ahead", "12 months"), ("--ahead", _odd(draw)),
        ("--other", "rescue-44.yaml"), ("--sheet", draw.choice(("made.xlsx", "made.csv", "made.txt", "made.md"))),
    ))  # fmt: skip
    rig = draw.choices((RIGS[0], "rig.xlsx", RIGS[2]), (6, 1, 3))[0]
    return [rig, *(() if "--sheet" in more else draw.choice((("rescue-41-count.csv",),) * 3 + ((),))), *more, *ON]


def _new(draw: Random) -> list[str]:
    kind = draw.choice(("cache", "county", "family", "needs", "policy", "prices", "situation", _odd(draw)))
    named = draw.choice(([], ["made.yaml"], ["-"], [_odd(draw)], ["rescue-41.yaml"], ["no/such/made.yaml"]))
    made = draw.choice((["--county"], ["--workbook", "made.xlsx"], ["--workbook", _odd(draw)]))
    return draw.choice(([*named, "--kind", kind], [*named, "--kind", kind], made))


def _open(draw: Random) -> list[str]:
    """What the page of ``open`` is asked: a kind of answer, then names and values as an address holds them."""
    kind = draw.choice(("ask", "ask", "ask", "why", "chart", "sets", "finder", "buy", "door", _odd(draw)))
    asked = [
        f"{draw.choice(('rig', 'pool', 'factor', 'without', 'with', 'set', 'skip', 'units', 'change:strap'))}="
        f"{draw.choice((_odd(draw), _odd(draw), 'rescue-44', '-1', '4:1', 'SB-01', 'strap=1', 'EXT-2.max=9', 'si'))}"
        for _ in range(draw.choice((0, 1, 1, 2)))
    ]
    return [kind, draw.choice(("1.car-on-side", _odd(draw))), *asked]


_COMMANDS: dict[str, Callable[[Random], list[str]]] = {
    "check": lambda draw: [*_rigs(draw), "--needs", "needs.yaml", *_skipped(draw), *ON],
    "reach": lambda draw: [*_rigs(draw), *draw.choice(([], ["--at", _odd(draw)], ["--at", "60"])), *ON],
    "stage": lambda draw: [*_rigs(draw), "--needs", "needs.yaml", *SHORT, *ON],
    "load": lambda draw: [*_load(draw), *ON],
    "buy": lambda draw: [_rig(draw), "--needs", "needs.yaml", "--prices", "prices.yaml", *SHORT, *ON],
    "audit": _audit,
    "history": _history,
    "build": _build,
    "graph": lambda draw: [_rig(draw), "--format", draw.choice(("graphml", "dot", "json")), "-o", "-"],
    "rules": lambda draw: ["--rules", "policy-example.yaml", *draw.choice(([], ["EXT-2"], [_odd(draw)]))],
    "exercise": lambda draw: [_rig(draw), "--count", "3", *ON],
    "convert": _convert,
    "report": _report,
    "new": _new,
    "schema": lambda draw: [draw.choice(("cache", "check-answer", _odd(draw)))],
    "open": _open,
}


def _skipped(draw: Random) -> list[str]:
    return ["--skip", _odd(draw)] if draw.random() < 0.1 else []
