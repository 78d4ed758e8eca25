"""Inputs by number: the same number always makes the same files and the same command."""

from __future__ import annotations

import copy
import io
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
FILES = frozenset((*(one.name for one in SAMPLES.glob("*.*")), "rig.xlsx"))
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


@dataclass(frozen=True)
class Input:
    """The arguments of one run, its files being written."""

    arguments: tuple[str, ...]
    changed: tuple[str, ...]


@cache
def _tree(name: str) -> Any:
    return yaml.safe_load((SAMPLES / name).read_text(encoding="utf-8"))


@cache
def workbook() -> bytes:
    """A workbook that says what Rescue 41 says."""
    from cache_check.cli.guard import guarded

    with tempfile.TemporaryDirectory() as folder:
        whole = Path(folder) / "county"
        shutil.copytree(SAMPLES, whole, ignore=shutil.ignore_patterns("pictures"))
        assert guarded(["convert", str(whole / RIGS[0]), str(whole / "rig.xlsx")]) == 0
        return (whole / "rig.xlsx").read_bytes()


def _damaged(name: str, draw: Random) -> bytes:
    """A sample file, changed."""
    data = (SAMPLES / name).read_bytes()
    if draw.random() < 0.12:
        return mutants.raw(data, draw)
    if name.endswith(".csv"):
        return mutants.table(data.decode(), draw).encode("utf-8", "surrogatepass")
    made = yaml.dump(mutants.tree(copy.deepcopy(_tree(name)), draw), sort_keys=False, allow_unicode=True)
    return str(made).encode("utf-8", "surrogatepass")


def _damaged_workbook(draw: Random) -> bytes:
    if draw.random() < 0.3:
        return mutants.raw(workbook(), draw)
    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import IllegalCharacterError

    book = load_workbook(io.BytesIO(workbook()))
    for _ in range(draw.choice((1, 2, 5))):
        sheet = draw.choice(book.worksheets)
        cell = sheet.cell(draw.randint(1, sheet.max_row + 1), draw.randint(1, sheet.max_column + 1))
        try:
            cell.value = (
                str(mutants.value(draw)) if draw.random() < 0.7 else draw.choice((0, -1, 0.5, 1e300, True, None))
            )
        except (IllegalCharacterError, AttributeError):
            continue
    made = io.BytesIO()
    book.save(made)
    return made.getvalue()


def made(number: int, seed: int, folder: Path) -> Input:
    """The input of a number, with its files in a folder that holds the samples."""
    draw = Random(f"{seed} {number}")
    command = draw.choice(list(_COMMANDS))
    arguments = [command, *_COMMANDS[command](draw)]
    if command in ("check", "reach", "stage", "load", "buy", "build") and draw.random() < 0.3:
        arguments += _supposed(draw)
    if draw.random() < 0.25 and command in ("check", "reach", "stage", "load", "buy", "build", "audit"):
        arguments += ["--format", draw.choice(("json", "csv", "markdown"))]
    elif draw.random() < 0.15 and command in ("check", "reach", "stage", "load", "buy", "audit"):
        arguments += ["--show", "all"]
    read = [one for one in dict.fromkeys(arguments) if one in FILES]
    changed = []
    beside = ["family-p.yaml", "family-q.yaml", "rig.xlsx", "county.yaml"]
    for name in draw.sample(read, min(len(read), 1)) + [one for one in beside if draw.random() < 0.12]:
        data = _damaged_workbook(draw) if name == "rig.xlsx" else _damaged(name, draw)
        if name == "rig.xlsx" and "rig.xlsx" not in arguments:
            continue
        (folder / name).write_bytes(data)
        changed.append(name)
    return Input(tuple(str(one) for one in arguments), tuple(changed))


def _rig(draw: Random) -> str:
    return draw.choice((*RIGS, *RIGS, "rig.xlsx"))


def _rigs(draw: Random) -> list[str]:
    if draw.random() < 0.1:
        return []  # the county's
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
    only = draw.choice(("door", "count", "load"))
    return [_rig(draw), "--only", only, *(("--load", SITUATIONS[0]) if only == "load" else ()), "-o", "-", *SHORT, *ON]


_COMMANDS: dict[str, Callable[[Random], list[str]]] = {
    "check": lambda draw: [*_rigs(draw), "--needs", "needs.yaml", *ON],
    "reach": lambda draw: [*_rigs(draw), *draw.choice(([], ["--at", _odd(draw)], ["--at", "60"])), *ON],
    "stage": lambda draw: [*_rigs(draw), "--needs", "needs.yaml", *SHORT, *ON],
    "load": lambda draw: [*_load(draw), *ON],
    "buy": lambda draw: [_rig(draw), "--needs", "needs.yaml", "--prices", "prices.yaml", *SHORT, *ON],
    "audit": lambda draw: ["rescue-41.yaml", "rescue-41-count.csv", *ON],
    "build": _build,
    "graph": lambda draw: [_rig(draw), "--format", draw.choice(("graphml", "dot", "json")), "-o", "-"],
    "rules": lambda draw: ["--rules", "policy-example.yaml", *draw.choice(([], ["EXT-2"], [_odd(draw)]))],
    "exercise": lambda draw: [_rig(draw), "--count", "3", *ON],
    "convert": _convert,
    "report": _report,
}
