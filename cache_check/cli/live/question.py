"""A question as the address holds it, and as the same words for the terminal.

The address is the whole question, so that it can be kept and sent.  It names rigs of the opened company, never files.
What it supposes is given to the commands' own reader of options: there is one meaning of each, theirs.
"""

import shlex
from collections.abc import Iterable, Mapping
from typing import Self
from urllib.parse import urlencode

from cache_check.errors import AskError
from cache_check.frozen import dataclass

KEYS = {  # the names that an address may hold, and the field of each
    "rig": "rigs", "pool": "pool", "factor": "factor", "without": "without", "with": "extra", "set": "settings",
    "skip": "skip", "units": "units",
}  # fmt: skip
CHANGE = "change:"  # before a part's name: how many more (below zero, fewer) of it, as the page's own fields send it


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
    def of(cls, pairs: Iterable[tuple[str, str]]) -> Self:
        """The question of an address: its names and values in order.  Names that are not ours are passed over."""
        said: dict[str, list[str]] = {field: [] for field in KEYS.values()}
        for name, typed in pairs:
            value = typed.strip()
            if name in KEYS and value:
                said[KEYS[name]].append(value)
            elif name.startswith(CHANGE) and value.lstrip("+-").strip("0"):
                changed = said["without" if value.startswith("-") else "extra"]
                changed.append(f"{name.removeprefix(CHANGE)}={value.lstrip('+-')}")
        first = {name: next(iter(said[name]), "") for name in ("factor", "units")}
        once = {name: tuple(dict.fromkeys(said[name])) for name in ("rigs", "skip")}
        every = {name: tuple(said[name]) for name in ("without", "extra", "settings")}
        return cls(pool=bool(said["pool"]), **first, **once, **every)  # type: ignore[arg-type]

    @property
    def address(self) -> str:
        """The address that holds this question."""
        said = ((key, getattr(self, field)) for key, field in KEYS.items())
        pairs = [(key, "yes" if value is True else value) for key, value in said if value]
        return f"/ask?{urlencode(pairs, doseq=True)}" if pairs else "/ask"

    def named(self, opened: Opened) -> tuple[str, ...]:
        """The files of the rigs asked about, the first rig's where none is named.  Raises AskError: one is not open."""
        files = dict(opened.rigs)
        for rig in self.rigs:
            if rig not in files:
                raise AskError(f"no rig {rig!r} is open here; open it too, or tick another")
        return tuple(files[rig] for rig in self.rigs) or tuple(path for _, path in opened.rigs[:1])

    def words(self, opened: Opened, files: Iterable[str] = (), *, prices: bool = False) -> tuple[str, ...]:
        """The arguments that every command takes: files (none: of the rigs asked about), needs, what is supposed."""
        said = {
            "--needs": (opened.needs,), "--prices": opened.prices if prices else (), "--rules": opened.policies,
            "--set": self.settings, "--without": self.without, "--with": self.extra, "--factor": (self.factor,),
            "--units": (self.units,), "--on": (opened.on,), "--skip": self.skip,
        }  # fmt: skip
        told = (word for option, values in said.items() for value in values if value for word in (option, value))
        pool = ("--pool",) if self.pool and len(self.named(opened)) > 1 else ()
        return (*(tuple(files) or self.named(opened)), *told, *pool)


@dataclass(frozen=True)
class Task:
    """One question and what of its answer is wanted: the page ("ask") or a part, of the scene that it is ``about``."""

    kind: str
    opened: Opened
    question: Question
    about: str = ""  # the number of the rig in the answer and the scene's id: "1.car-on-side"


@dataclass(frozen=True)
class Reply:
    """HTML, whether it is an answer (else what is wrong), its title, the files read, the form for a new page."""

    ok: bool
    html: str
    files: tuple[str, ...] = ()
    title: str = ""
    form: str = ""


def command(arguments: Iterable[str]) -> str:
    """Arguments as a person types them."""
    return shlex.join(("cache-check", *arguments))


def changes(without: Iterable[str], extra: Iterable[str]) -> Mapping[str, int]:
    """By part name, how many more or fewer are supposed; serials are left out."""
    found: dict[str, int] = {}
    for sign, values in ((-1, without), (1, extra)):
        for value in values:
            part, _, number = value.rpartition("=")
            if part and number.isdecimal():
                found[part] = found.get(part, 0) + sign * int(number)
    return found
