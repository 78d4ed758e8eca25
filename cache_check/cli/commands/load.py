"""What each strut carries in one situation, and what holds its base."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from cache_check.cli import input as given
from cache_check.cli.options import FILE, SHOWN, SUPPOSING, Request, View, called, options, stacked
from cache_check.cli.output import leave, plotted, severities, tell
from cache_check.errors import AskError, InputError

if TYPE_CHECKING:
    from cache_check.model.situation import Situation
    from cache_check.units import System

_HELP: dict[str, tuple[str, str]] = {
    "contact_height": ("LENGTH", "Contact above the ground at the vehicle."),
    "ground_drop": ("LENGTH", "How much lower the ground lies at the base; negative where higher."),
    "angle": ("DEG", "The strut's angle from the horizontal."),
    "angle_from_vertical": ("DEG", "The same from the vertical."),
    "base_offset": ("LENGTH", "The base out from under the contact, instead of an angle."),
    "vertical": ("LOAD", "What the struts on this side lift upright together. May be unknown."),
    "weight": ("WEIGHT", "Weight of the vehicle, with where it lies or --one-end-pivots. May be unknown."),
    "weight_inside": ("LENGTH", "Centre of gravity inside the edge it would turn about: at rest."),
    "weight_outside": ("LENGTH", "Centre of gravity beyond that edge, toward the strut. May be unknown."),
    "edges_apart": ("LENGTH", "From that edge to the one on the other side."),
    "sideways_share": ("NUMBER", "At rest: what pushes to the side, as a share of the weight."),
    "push_height": ("LENGTH", "At which height; the contact's unless given."),
    "contact_x": ("LENGTH", "Contact from the pivot toward the base; 0 unless given."),
    "pivot_height": ("LENGTH", "Pivot above the ground at the vehicle; 0 unless given."),
    "axial": ("LOAD", "A plain force along one strut."),
    "dynamic_allowance": ("NUMBER", "The load times this, 1 to 10; policy's unless given."),
    "on_this_side": ("N", "How many struts share the load."),
    "on_the_other_side": ("N", "How many stand against them."),
    "strut_places": ("A,B", "Where two struts stand along the load."),
    "load_at": ("LENGTH", "Where the load lies along them."),
    "strut_limit": ("LOAD", "The most to lift upright with one strut, by policy."),
    "half_angles": ("DEG,...", 'Half-angles of the straps in plan: 30, or "30 left,25 right".'),
    "rise": ("DEG,...", "Rise of the straps from base to anchor; level unless given."),
    "anchor_distance": ("LENGTH", "From the base to the farthest anchor, where --anchors does not say it."),
    "far_anchors": ("LOAD", "What each far anchor holds; or structure: frame, axle or hub."),
    "pretension": ("LOAD,...", "Pre-tension of each strap; policy's unless given."),
    "friction": ("NUMBER", "A coefficient under the base, told beside what is needed; policy says what counts."),
    "face": ("DEG", "How far the face at the contact looks down: 0 upright, 90 level underside."),
    "contact": ("KIND", "The kind of contact, as edge, flat or hole."),
    "soil": ("PRESSURE,...", "Bearing value of the ground, as 2000psf, or of each base's. May be unknown."),
    "pad": ("SIDE[,SIDE]", "Sides of the pad under the base."),
}
_CHOICES = {
    "ties": (("straps", "chains", "either", "none"), "What may hold the base; either unless given."),
    "state": (("at rest", "leaning", "being lifted"), "How the vehicle stands."),
    "vehicle": (("car", "heavy"), "Class of vehicle, for the policy's number of struts."),
}

_SITUATING = [  # the same words as in a situation file, dashes for underscores
    *(click.option(f"--{name.replace('_', '-')}", metavar=metavar, help=text)
      for name, (metavar, text) in _HELP.items()),
    click.option("--one-end-pivots", is_flag=True, help="One end rests on the ground: the trade takes half."),
    click.option("--anchors", multiple=True, metavar="X,Y,Z",
                 help="Where a strap meets the vehicle, from the pivot: toward the base, up, left. Once for each "
                 "strap."),
    *(click.option(f"--{name}", type=click.Choice(of), help=text) for name, (of, text) in _CHOICES.items()),
]  # fmt: skip


@called("load", "load rescue-41.yaml --contact-height 52in --angle 60 --vertical 4000lbf")
@click.argument("files", type=FILE, nargs=-1, required=True, metavar="[CACHE|RIG]... [SITUATION]")
@options("pool")
@stacked(_SITUATING)
@options(f"seconds {SUPPOSING} {SHOWN} plot fail_on")
def command(files: tuple[Path, ...], asked: Request, view: View, plot: Path | None, **situated: Any) -> None:
    """What each strut carries in one situation, and what holds its base.

    The situation stands in a file, or in options of the same words, which replace the file's: length, angle and base;
    force along the strut and along the ground; straps or chain; which assemblies of CACHE carry it, best first; how
    many at once; the pad; and what still passes where something is unknown.
    """
    from cache_check.api.load import load
    from cache_check.report import of_load

    paths, written = _parted(files)
    asked, entries = replace(asked, caches=tuple(paths)), _entries(situated)
    situation = partial(_situation, written, entries) if written is not None or entries else None
    read = given.everything(asked, county_needs=False, situation=situation)
    if read.situation is None:  # told last: what is wrong with a file that is named is why
        raise AskError(
            "no situation is given; name a situation file after the cache, or write at least --contact-height and "
            "--angle (cache-check new --kind situation writes a starter)"
        )
    book, rigs = read.book, read.rigs
    if plot is not None and len(rigs) > 1:
        raise AskError(f"--plot draws one cache and {len(rigs)} are named; name one, or take them as one with --pool")
    beside = [*given.sources([written]), *read.beside]
    results = [load(one, book, read.situation, suppose=read.suppose, seconds=asked.seconds) for one in rigs]
    plotted(plot, lambda answers: answers.load(results[0]))
    counted = "; ".join(dict.fromkeys(of_load.counted(one) for one in results))
    tell("load", results, view, book, beside, counted=counted)
    leave(severities("load", results), asked.fail_on, unmet=any(result.verdict != "met" for result in results))


def _entries(options: dict[str, Any]) -> dict[str, Any]:
    from cache_check.model.situation import LISTED

    def parted(text: str) -> list[str]:
        return [part.strip() for part in text.split(",")]

    given = {name: value for name, value in options.items() if value not in (None, (), False)}
    given |= {name: parted(given[name]) for name in LISTED if name in given}
    if "anchors" in given:
        given["anchors"] = list(map(parted, given["anchors"]))
    for name in ("on_this_side", "on_the_other_side"):
        number = given.get(name, "")
        if number.strip().isdecimal() and len(number) < 10:
            given[name] = int(number)
    return given


def _parted(files: Sequence[Path]) -> tuple[list[Path], Path | None]:
    """The cache files among several, and the situation file if one is there.

    Raises AskError: there are two, or a file is neither.
    """
    from cache_check.files.reading import GIVEN, kind_of

    found = []
    for path in files:
        with suppress(InputError):  # what cannot be read is left to the reader of caches
            if (kind := kind_of(path, "situation")) == "situation":
                found.append(path)
            elif kind not in ("cache", ""):
                right = GIVEN.get(kind, "name caches and one situation file")
                raise AskError(f"{path} is a {kind} file, not a situation; {right}")
    if len(found) > 1:
        raise AskError(f"{found[0]} and {found[1]} are both situations; ask of one at a time")
    return [path for path in files if path not in found], next(iter(found), None)


def _situation(path: Path | None, entries: dict[str, Any], units: "System") -> "Situation":
    """A situation from a file, from options, or from both."""
    from cache_check.files.situation import read_situation, situation_of

    return situation_of(entries, units) if path is None else read_situation(path, entries, units)
