"""Starter files, with comments that explain each entry to the person who will fill them in.

All numbers in them are invented; each file passes reading as it stands.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date

WRITTEN = date(2026, 3, 1)
"""The day on which the texts below were written; ``starter`` writes them as of another."""

CACHE = """\
# A cache: the counted parts of one rig.  Every number here is invented; put your own in their place.
# Take lengths, loads and limits from the maker's current sheet, and counts from the floor, not from memory.

cache: my-rig            # a short name of your own, used in tables
title: My rig            # what people call it
units: us                # us: bare numbers are inches, pounds, pounds-force.  si: mm, kg, kN.
                         # Any value may carry its own unit instead: 62 in, 1.2 m, 5 kN
book_date: 2026-03-01    # the day of the count, year-month-day

# Said once, of every piece below that does not say otherwise.  What is not known of a piece keeps it from counting.
inspected: 2026-03-01    # the day on which all was looked at
label: legible
made: 2024-05-03         # of the oldest webbing

joint_pin: pin           # the loose pin in every joint, one of the types below; or captive, if none is loose

# Part types: each design of part once, however many you have.
# A length is what the part adds to the strut between its two seats, not its length over all.
types:
  body:
    kind: body           # the adjustable piece; every strut has exactly one
    closed: 30           # shortest setting
    open: 48             # longest setting that keeps the minimum insertion
    pull_apart: 52       # where the inner tube leaves, if you know it
    lock: collar         # collar, holes, pin only, or unknown
    mass: 15
  extension:
    kind: extension
    length: 12
    mass: 5
  base:
    kind: fitting        # what touches the ground or the load
    serves: base         # base, head, or [base, head] if it may be either
    adds: 3              # its height between strut and ground
    points: [{wll: 3000}, {wll: 3000}]   # attachment points for straps or chain; 2 where no limit is marked
    mass: 6
  head:
    kind: fitting
    serves: head
    adds: 2
    mass: 3
  pin:
    kind: pin
    mass: 0.3
  strap:
    kind: strap
    wll: 3000            # the working load limit on its label
    length: 20 ft
    mass: 3

# What is on the rig.  A number is a count.  Write unknown where nobody counted: blank is never taken as fine.
parts:
  body:
    count: 4
    where: drawer 1
    out: {repair: 1}     # pieces without serials that are not in service, by status
  extension: 2
  base:
    count: 3
    items:               # pieces with serials, if you keep them; they are among the count
      - {serial: B-1, status: in service, inspected: 2026-01-10, points_usable: 2, label: legible}
  head: 3
  pin: 12
  strap: 6

# Where ready sets lie.  Clearance is what the latch and your hands need.
compartments:
  tray: {length: 62, clearance: 1}

# Assemblies left built on the rig: their parts, from the ground to the load.
ready_sets:
  A: {parts: [base, body, head], where: tray}

# Changes to rules on this rig, with the reason.  Switch a rule off with "STR-4: off".
rules:
  EXT-1: {max: 1, why: the sheet of these struts}

# The load chart, as the maker's current sheet prints it: up to each length, the load with 0, 1 ... extensions.
# Leave the chart out if you have none: then nothing is rated.  null is unrated.
charts:
  - id: chart
    states: failure load # or rated load, and then "factor: 4" if the sheet states the factor
    edition: invented
    rows:
      - {length: 48, loads: [20000, 18000]}
      - {length: 60, loads: [16000, 14000]}
      - {length: 72, loads: [null, 11000]}
"""

FAMILY = """\
# A family: part types whose ends mate without an adapter.  Several caches may name this file.
# Every number here is invented; put the maker's in their place.

family: F                # a short name; the ends of its parts are called by it too
title: My family of struts
units: us                # us: inches, pounds, pounds-force.  si: mm, kg, kN.
joint_pin: pin           # the loose pin in every joint, one of the parts below; or captive, if none is loose
sheet: name and date of the maker's sheet

rules:
  EXT-2: {max: 32 in, why: the maker's sheet}

parts:
  body: {kind: body, closed: 30, open: 48, lock: collar, mass: 15}
  extension: {kind: extension, length: 12, mass: 5}
  base: {kind: fitting, serves: base, adds: 3, points: 2, mass: 6}
  head: {kind: fitting, serves: head, adds: 2, mass: 3}
  pin: {kind: pin, mass: 0.3}

charts:
  - id: chart
    states: failure load
    rows:
      - {length: 48, loads: [20000, 18000]}
      - {length: 60, loads: [16000, 14000]}
"""

NEEDS = """\
# Needs: the struts that a scene wants at once.  Scenes are alternatives.
needs: My scenes
units: us

scenes:
  car-on-side:
    title: Car on its side
    weight: 3            # how often it is met, beside the others
    needs:
      - {id: roof side, count: 2, from: 41, to: 50, load: 3000}  # each strut covers 41 to 50 in without rebuilding
      - {id: floor side, count: 1, length: 36}
"""

POLICY = """\
# A policy: rules changed everywhere, with the reason.  Give it with --rules.
policy: my policy
units: us

set:
  CAP-1: {factor: 4, why: we train at 4 to 1}
  EXT-3: off
"""

PRICES = """\
# Prices: what each part costs.  A bare amount is for one piece; with pack it is for the pack.
prices: my quote
currency: USD
dated: 2026-03-01

parts:
  body: 1500.00
  strap: {price: 60.00, minimum: 2}
  pin: {price: 48.00, pack: 4}
"""

SITUATION = """\
# A situation: where the strut meets the vehicle, what it carries, what holds its base.
# Every number here is invented.  The same words are options of the command: --contact-height, --angle ...
situation: Car on its side
units: us                # us: inches, pounds, pounds-force, psf.  si: mm, kg, kN, kPa.

contact_height: 48       # contact above the ground at the vehicle
ground_drop: 4           # how much lower the ground lies at the base; negative where higher
angle: 60                # from the horizontal; or angle_from_vertical, or base_offset: 30 in

# The load, one way of saying it: vertical (what the struts lift upright together), axial (along one strut), or weight
# with where it lies from the edge that the vehicle would turn about, toward the struts: weight_inside where it stands
# by itself, weight_outside where it leans on the struts.  Write unknown for what nobody knows.
state: at rest           # at rest, leaning or being lifted
weight: 3400             # lb or kg, lbf or kN
weight_inside: 20        # its centre of gravity, from that edge
edges_apart: 54          # from that edge to the one on the other side
sideways_share: 0.5      # at rest: what pushes to the side, as a share of the weight
contact_x: 6             # contact from that edge toward the base
dynamic_allowance: 1.25  # for what moves
on_this_side: 2          # how many share the load
on_the_other_side: 1     # how many stand against them
vehicle: car             # car or heavy: the policy's number of struts

ties: straps             # straps, chains, either or none
half_angles: [30 left, 25 right]   # in plan, seen from the base toward the vehicle; 30 alone is both sides
rise: 5                  # from base to anchor; or in place of both, anchors: [[-10, 6, 24], [-10, 6, -24]]
anchor_distance: 60      # from the base to the farthest anchor, where anchors does not say it
far_anchors: structure   # what the straps are hooked to: structure (frame, axle, hub), or what each holds
pretension: 50           # of each strap

contact: edge            # edge, flat, hole ...: which heads may be used; flat takes face, how far it looks down
soil: 2000 psf           # presumptive bearing value, yours to pick, one for all or each base's; or unknown
factor: 2                # design factor, if not the policy's
"""

COUNTY = """\
# A county, or any company: its rigs, and what all of them are asked by.  Every name is a file's, from this folder.
# Commands find this file in the folder where you stand, or above it, and then take rig names:
#   cache-check check            cache-check check "My rig"            cache-check buy
# Options on the command line win; a rig that you name by its file stands for itself, without the rest of this file.
county: My county
rigs:
  - my-rig.yaml
needs: needs.yaml
prices: [prices.yaml]
# policies: [policy.yaml]      # rules changed for every rig
# record: audits.db            # what cache-check history shows; audit --record audits.db keeps audits there
"""

TEMPLATES: Mapping[str, str] = {
    "cache": CACHE,
    "county": COUNTY,
    "family": FAMILY,
    "needs": NEEDS,
    "policy": POLICY,
    "prices": PRICES,
    "situation": SITUATION,
}
"""The starter text of each kind of file."""


def starter(kind: str, today: date) -> str:
    """The starter text of a kind of file, its days as if it had been written today: none is overdue yet."""

    def moved(day: re.Match[str]) -> str:
        return (date.fromisoformat(day[0]) + (today - WRITTEN)).isoformat()

    return re.sub(r"\b\d{4}-\d{2}-\d{2}\b", moved, TEMPLATES[kind])
