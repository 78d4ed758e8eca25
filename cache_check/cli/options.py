"""Options that several commands share, how their values are read, and how a command is told of them."""

import os
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import reduce
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from cache_check.cli.output import view
from cache_check.errors import AskError
from cache_check.frozen import dataclass
from cache_check.report.page import View as View
from cache_check.units import YEARS, System

if TYPE_CHECKING:
    from cache_check.api.base import WhatIf
    from cache_check.model.rule import RuleBook

Decorated = TypeVar("Decorated", bound=Callable[..., Any])
LONGEST_NAME = 255


class _File(click.Path):
    """The name of a file, which a message, a page and a record can show."""

    def convert(self, value: str | os.PathLike[str], param: click.Parameter | None, ctx: click.Context | None) -> Any:
        name = os.fspath(value)
        if any(0xDC80 <= ord(one) <= 0xDCFF for one in name):
            raise AskError(f"{os.fsencode(name)!r} is no name in UTF-8; give the file another name")
        if any(len(part.encode()) > LONGEST_NAME for part in Path(name).parts):
            raise AskError(f"{name[:40]}... is no file name: one holds at most {LONGEST_NAME} bytes")
        return super().convert(value, param, ctx)


FILE = _File(path_type=Path)
FILE.name = "file"  # so that help says FILE


def day(value: str) -> date:
    """A day as year-month-day."""
    try:
        found = date.fromisoformat(value)
    except ValueError:
        raise click.BadParameter(f"{value!r} is not a day; write it as 2026-11-25") from None
    if not YEARS[0] <= found.year <= YEARS[1]:
        raise click.BadParameter(f"{value} is no day to judge by; check the year: {YEARS[0]} to {YEARS[1]}")
    return found


def number(value: str, unit: str, most: int, wrong: str) -> Fraction:
    """A plain number from 1 to ``most``, its unit left out.  Raises BadParameter: it is none, and what is ``wrong``."""
    found = value.strip().removesuffix(unit).strip()
    if not (found.isascii() and found.replace(".", "", 1).isdecimal()) or not 1 <= Fraction(found) <= most:
        raise click.BadParameter(f"{value!r} is {wrong}")
    return Fraction(found)


def _ratio(value: str) -> Fraction:
    """A design factor, 4 or "4:1", as an exact number."""
    from cache_check.model.quantities import HIGHEST_FACTOR as MOST

    return number(value, ":1", MOST, f"not a design factor; write a number of 1 or more, at most {MOST}, as 4:1")


def pieces(value: str, form: str = "PART=N") -> tuple[str, int]:
    """A part and how many pieces of it: "strap=2"."""
    part, _, many = value.rpartition("=")
    if not part.strip() or not (many.isascii() and many.isdecimal()) or not 1 <= int(many[:9]) <= 10_000:
        raise click.BadParameter(f"{value!r}: write {form} with a whole number from 1 to 10000, as strap=2")
    return part.strip(), int(many)


def _pieces_or_all(value: str) -> tuple[str, int | None]:
    """A part and how many pieces of it; without a number all of them, which None stands for."""
    return pieces(value, "PART or PART=N") if "=" in value or not value.strip() else (value.strip(), None)


def _move(value: str) -> tuple[str, int, str, str]:
    """Pieces that go from one rig to another: "strap=2:rescue-41:rescue-44"."""
    words = [one.strip() for one in value.rsplit(":", 2)]
    if len(words) != 3 or not all(words):
        raise click.BadParameter(f"{value!r}: write PART=N:FROM:TO, as strap=2:rescue-41:rescue-44")
    part, many = pieces(words[0], "PART=N:FROM:TO") if "=" in words[0] else (words[0], 1)
    return part, many, words[1], words[2]


def into(_: click.Context, __: click.Parameter, value: Path | None) -> Path | None:
    """A file to be written, refused before anything is worked out where its folder is not there."""
    if value is not None and not value.parent.is_dir():
        raise click.BadParameter(f"{str(value)!r} cannot be written: there is no folder {str(value.parent)!r}")
    return value


def _plot(value: str) -> Path:
    kinds = (".svg", ".png", ".pdf")
    if Path(value).suffix.lower() not in kinds:
        raise click.BadParameter(f"{value!r} ends in none of {', '.join(kinds)}; name a file that does")
    return Path(value)


@dataclass(frozen=True)
class Request:
    """What most commands are told: of which files, by which rules to judge, what to suppose, how long to search."""

    caches: tuple[Path, ...] = ()
    needs: Path | None = None
    skip: tuple[str, ...] = ()
    prices: tuple[Path, ...] = ()
    others: tuple[Path, ...] = ()  # caches of other rigs; what for is the command's to say
    pool: bool = False
    jobs: int | None = None  # each rig by itself, so many at a time
    seconds: float = 60.0
    fail_on: str = "short"
    policies: tuple[Path, ...] = ()
    said: tuple[str, ...] = ()
    factors: tuple[Fraction, ...] = ()
    on: date | None = None
    units: System | None = None
    without: tuple[tuple[str, int | None], ...] = ()
    extra: tuple[tuple[str, int], ...] = ()
    moves: tuple[tuple[str, int, str, str], ...] = ()

    def each(self) -> "tuple[Request, ...]":
        """The same at each design factor that is asked, the strictest first."""
        return tuple(replace(self, factors=(one,)) for one in self.factors) or (self,)

    def book(self) -> "RuleBook":
        """The rules, with the policies and what was said.  Raises AskError: several factors; InputError: mistakes."""
        if len(self.factors) > 1:
            raise AskError("one --factor at a time here; check, reach and stage lay several side by side (no --jobs)")
        from cache_check.files.rules import read_rules

        return read_rules(self.policies, said=self.said)

    @property
    def suppose(self) -> "WhatIf":
        """What is supposed."""
        from cache_check.api.base import WhatIf

        return WhatIf(
            without=self.without, extra=self.extra, factor=next(iter(self.factors), None), on=self.on,
            units=self.units, skipped=self.skip,
        )  # fmt: skip


class _Command(click.Command):
    """A command that is told what is asked as one, and how to show it as a view."""

    def invoke(self, ctx: click.Context) -> Any:
        ctx.params = gathered(ctx.params, self.name or "")
        return super().invoke(ctx)


def gathered(params: dict[str, Any], command: str) -> dict[str, Any]:
    """Values by name, ``Request``'s as ``asked``, how to show it as ``view``.  Raises AskError: no such section."""
    own = {name: params[name] for name in Request.__dataclass_fields__ if name in params}
    rest = {name: value for name, value in params.items() if name not in own}
    rest |= {"asked": Request(**own)} if own else {}
    if "show" in rest:
        from cache_check.report.answer import sections

        rest["view"] = view(rest.pop("form"), rest.pop("show"), rest.pop("color"))
        sections(command, rest["view"])  # before anything is worked out
    return rest


def called(name: str, *examples: str) -> Callable[[Callable[..., Any]], click.Command]:
    """Make a function the command of this name, with examples of how to call it below its help."""
    lines = "".join(f"\n  cache-check {one}" for one in examples)
    return click.command(name, cls=_Command, epilog=f"\b\nExample{'s'[: len(examples) - 1]}:{lines}")


def repeated(*names: str, help: str, **more: Any) -> Callable[[Decorated], Decorated]:
    """An option that may be repeated, and says so."""
    return click.option(*names, multiple=True, help=f"{help} May be repeated.", **more)


def options(names: str) -> Callable[[Decorated], Decorated]:
    """The shared options of these names, parted by spaces, in their order."""
    return stacked([_OPTIONS[name] for name in names.split()])


def stacked(made: Sequence[Callable[[Any], Any]]) -> Callable[[Decorated], Decorated]:
    """All of these options, in their order."""
    return lambda command: reduce(lambda inner, option: option(inner), reversed(made), command)


RULING = "policies said units"  # by which rules to judge, by what else, and what to suppose with that
JUDGING = f"factors on {RULING}"
SUPPOSING = f"moves without extra {JUDGING}"
SHOWN = "form show color"  # how the answer is shown

_OPTIONS: dict[str, Callable[[Any], Any]] = {
    "caches": click.argument("caches", type=FILE, nargs=-1, metavar="[CACHE|RIG]..."),
    "needs": click.option("--needs", type=FILE, help="A needs file: the struts that each scene wants at once."),
    "skip": repeated("--skip", metavar="SCENE", help="Leave a scene of the needs file out; the answer says so."),
    "prices": click.option("--prices", type=FILE, multiple=True,
                           help="A quote, with which to answer what to buy. May be repeated: each is answered by "
                           "itself, and all together."),
    "pool": click.option("--pool", is_flag=True,
                         help="Take all the caches as one; where their rules differ the stricter wins."),
    "jobs": click.option("--jobs", type=click.IntRange(1, 256), metavar="N",
                         help="Take many rigs each by itself, N at a time: a line each, and past a file that cannot be "
                         "read."),
    "seconds": click.option("--seconds", type=click.FloatRange(0.1), default=60.0, show_default=True, metavar="S",
                            help="How long to search. What is not proven by then is said to be so."),
    "moves": repeated("--move", "moves", type=_move, metavar="PART=N|SERIAL:FROM:TO",
                      help="Suppose N usable pieces of a part, or one piece, moved between two of the rigs named."),
    "without": repeated("--without", type=_pieces_or_all, metavar="PART[=N]|SERIAL",
                        help="Suppose N usable pieces of a part gone, all of them if no N; or one piece, by its "
                        "serial."),
    "extra": repeated("--with", "extra", type=pieces, metavar="PART=N", help="Suppose N more pieces of a part."),
    "factors": click.option("--factor", "factors", type=_ratio, multiple=True, metavar="RATIO",
                            callback=lambda _ctx, _param, ratios: tuple(sorted(set(ratios), reverse=True)),
                            help="Another design factor, as 4:1. check, reach and stage take several, side by side."),
    "on": click.option("--on", type=day, metavar="DATE",
                       help="The day to judge dates by, as 2026-11-25; today unless given."),
    "policies": click.option("--rules", "policies", type=FILE, multiple=True,
                             help="A policy file that changes rules. May be repeated; later ones win."),
    "said": repeated("--set", "said", metavar="RULE.ENTRY=VALUE",
                     help='Change a rule for this answer, as "EXT-2.max=40 in" or EXT-3=off.'),
    "units": click.option("--units", type=click.Choice(("us", "si")),
                          help="Units to show; the cache's own unless given."),
    "form": click.option("--format", "form", type=click.Choice(("table", "json", "csv", "markdown")), default="table",
                         show_default=True, help="How to show it; csv and markdown are tables of data."),
    "show": repeated("--show", metavar="SECTION",
                     help='A section of the whole answer, or "all"; the short answer names them.'),
    "color": click.option("--color/--no-color", default=None,
                          help="Colours on or off; unless said, on where a person looks and NO_COLOR is not set."),
    "sets": click.option("--sets", type=click.IntRange(1, 100), default=4, show_default=True, metavar="N",
                         help="The most ready sets to leave built, or to propose."),
    "plot": click.option("--plot", type=_plot, callback=into, metavar="FILE.svg|png|pdf",
                         help="Draw the answer into this file too; an earlier one of that name is replaced."),
    "fail_on": click.option("--fail-on", type=click.Choice(("stop", "short", "watch", "note", "never")),
                            default="short", show_default=True,
                            help="Exit with status 1 at findings this grave or graver. stop: do not build or use; "
                            "short: a need is unmet; watch; note."),
}  # fmt: skip
