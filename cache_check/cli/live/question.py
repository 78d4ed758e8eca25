"""A question as the address holds it, and as the same words for the terminal.

The address is the whole question, so that it can be kept and sent.  It names rigs of the opened company, never files.
What it supposes is given to the commands' own reader of options: there is one meaning of each, theirs.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Mapping
from urllib.parse import urlencode

from cache_check.frozen import dataclass

KEYS = ("rig", "pool", "factor", "without", "with", "set", "skip", "units")
CHANGE = "change:"
"""Before a part's name: how many more (or, below zero, fewer) of it, as the page's own fields send it."""


@dataclass(frozen=True)
class Opened:
    """What was opened: rigs by name with their files, what goes with them, and the day if one was fixed."""

    rigs: tuple[tuple[str, str], ...]
    needs: str = ""
    prices: tuple[str, ...] = ()
    policies: tuple[str, ...] = ()
    on: str = ""
    folder: str = "."

    @property
    def files(self) -> tuple[str, ...]:
        """Every file that is named."""
        named = (*(path for _, path in self.rigs), self.needs, *self.prices, *self.policies)
        return tuple(dict.fromkeys(path for path in named if path))


@dataclass(frozen=True)
class Question:
    """Which rigs, and what to suppose of them; every value as it was typed."""

    rigs: tuple[str, ...] = ()
    pool: bool = False
    factor: str = ""
    without: tuple[str, ...] = ()
    extra: tuple[str, ...] = ()
    settings: tuple[str, ...] = ()
    skip: tuple[str, ...] = ()
    units: str = ""

    @classmethod
    def of(cls, pairs: Iterable[tuple[str, str]]) -> Question:
        """The question of an address: its names and values in order.  Names that are not ours are passed over."""
        said: dict[str, list[str]] = {key: [] for key in KEYS}
        for name, value in pairs:
            if name in said and value.strip():
                said[name].append(value.strip())
            elif name.startswith(CHANGE) and value.strip().lstrip("+-").strip("0"):
                number = value.strip()
                said["without" if number.startswith("-") else "with"].append(
                    f"{name.removeprefix(CHANGE)}={number.lstrip('+-')}"
                )
        return cls(
            rigs=tuple(dict.fromkeys(said["rig"])),
            pool=bool(said["pool"]),
            factor=next(iter(said["factor"]), ""),
            without=tuple(said["without"]),
            extra=tuple(said["with"]),
            settings=tuple(said["set"]),
            skip=tuple(dict.fromkeys(said["skip"])),
            units=next(iter(said["units"]), ""),
        )

    @property
    def address(self) -> str:
        """The address that holds this question."""
        values = (self.rigs, ("yes",) * self.pool, (self.factor,), self.without, self.extra, self.settings, self.skip)
        pairs = [(key, one) for key, of in zip(KEYS, (*values, (self.units,)), strict=True) for one in of if one]
        return f"/ask?{urlencode(pairs)}" if pairs else "/ask"

    def named(self, opened: Opened) -> tuple[str, ...]:
        """The files of the rigs asked about; the first rig's where none that is known was named."""
        files = dict(opened.rigs)
        known = tuple(files[rig] for rig in self.rigs if rig in files)
        return known or tuple(path for _, path in opened.rigs[:1])

    def supposed(self, opened: Opened) -> tuple[str, ...]:
        """The options that every command takes: what is supposed, by which rules, on which day."""
        return (
            *_each("--rules", opened.policies),
            *_each("--set", self.settings),
            *_each("--without", self.without),
            *_each("--with", self.extra),
            *(("--factor", self.factor) if self.factor else ()),
            *(("--units", self.units) if self.units else ()),
            *(("--on", opened.on) if opened.on else ()),
        )

    def check(self, opened: Opened) -> tuple[str, ...]:
        """The arguments of ``check`` that ask the same."""
        files = self.named(opened)
        return (
            *files,
            *(("--needs", opened.needs) if opened.needs else ()),
            *_each("--skip", self.skip),
            *(("--pool",) if self.pool and len(files) > 1 else ()),
            *self.supposed(opened),
        )


def command(arguments: Iterable[str]) -> str:
    """Arguments as a person types them."""
    return shlex.join(("cache-check", *arguments))


def _each(option: str, values: Iterable[str]) -> tuple[str, ...]:
    return tuple(word for value in values for word in (option, value))


def changes(without: Iterable[str], extra: Iterable[str]) -> Mapping[str, int]:
    """By part name, how many more or fewer are supposed; serials are left out."""
    found: dict[str, int] = {}
    for sign, values in ((-1, without), (1, extra)):
        for value in values:
            part, _, number = value.rpartition("=")
            if part and number.isdecimal():
                found[part] = found.get(part, 0) + sign * int(number)
    return found
