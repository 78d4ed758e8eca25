"""The options that say a situation: the same words as in a situation file, dashes for underscores."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

Decorated = TypeVar("Decorated", bound=Callable[..., Any])
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


def situating(command: Decorated) -> Decorated:
    """Options that say a situation."""
    for name, (choices, text) in reversed(_CHOICES.items()):
        command = click.option(_dashed(name), name, type=click.Choice(choices), help=text)(command)
    command = click.option(
        "--anchors", "anchors", multiple=True, metavar="X,Y,Z",
        help="Where a strap meets the vehicle, from the pivot: toward the base, up, left. Once for each strap.",
    )(command)  # fmt: skip
    command = click.option(
        "--one-end-pivots", "one_end_pivots", is_flag=True, help="One end rests on the ground: the trade takes half."
    )(command)
    for name, (metavar, text) in reversed(_HELP.items()):
        command = click.option(_dashed(name), name, metavar=metavar, help=text)(command)
    return command


def _dashed(name: str) -> str:
    return f"--{name.replace('_', '-')}"


def given_of(options: dict[str, Any]) -> dict[str, Any]:
    """The options that were given, as a situation file would have them."""
    from cache_check.model.situation import LISTED

    given = {name: value for name, value in options.items() if value not in (None, (), False)}
    for name in LISTED:
        if name in given:
            given[name] = [part.strip() for part in given[name].split(",")]
    if "anchors" in given:
        given["anchors"] = [[part.strip() for part in place.split(",")] for place in given["anchors"]]
    for name in ("on_this_side", "on_the_other_side"):
        number = given.get(name)
        if isinstance(number, str) and number.strip().isdecimal() and len(number) < 10:
            given[name] = int(number)
    return given
