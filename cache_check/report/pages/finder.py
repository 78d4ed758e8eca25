"""The finder: from a contact height and a load to the ready sets and loose builds that do it, on a screen, offline.

Whatever takes physics was worked out before; the script beside the template looks it up.  Forces go to it as whole
numbers of grains, a millionth of the last digit shown, rounded to the safe side; lengths as whole nanometres.
"""

import math
from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cached_property
from typing import Any

from cache_check import units
from cache_check.frozen import dataclass
from cache_check.model.card import CardResult, ChartLine, PartShown, SetShown, TieAtHand
from cache_check.report.page import short
from cache_check.report.pages.shell import Part, Widget
from cache_check.report.say import UNKNOWN, Say, ratio
from cache_check.units import Rounding

FINER = 6  # a grain of force has so many digits more than are shown
LONGEST_NAME = 60
LONGEST_SAID = 200
FACTORS = tuple(map(Fraction, (2, 3, 4, 5)))


def part(card: CardResult, say: Say, key: str = "finder") -> Part:
    """The finder of one cache; ``key`` begins the ids of its fields."""
    return Part("Find a strut", (Widget("finder.html.j2", "finder.js", key, _Facts(card, say).data()),))


@dataclass(frozen=True)
class _Facts:
    card: CardResult
    say: Say

    def data(self) -> dict[str, Any]:
        facts, say, count = self.card.finder, self.say, self.card.reach.count
        last, policy = self.card.profiles[-1], self.card.factor  # the last step that was worked out
        factors = [{"value": _exact(policy), "label": f"{ratio(policy)}, the policy of this page"}]
        factors += [{"value": _exact(one), "label": ratio(one)} for one in FACTORS if one > policy]
        stretches = [[s.low, s.low_included, s.high, s.high_included, s.count] for s in last.stretches if s.count]
        return {
            "units": {"length": self._unit("length", nm=str(units.length_nm(f"1 {say.length_unit}"))),
                      "force": self._unit("force", finer=FINER)},
            "angles": {"rules": " and ".join(facts.angle_rules), "flattest": math.ceil(facts.flattest_deg * 10**6),
                       "steepest": math.floor(facts.steepest_deg * 10**6)},
            "half_angles": [f"{float(one):g}°" for one in self.card.half_angles_deg],
            "least_ties": self.card.ties_per_base,
            "fans": [[one.number, one.each_side, one.on_the_line, float(one.pull)] for one in facts.fans],
            "allowance": _exact(facts.allowance),
            "least_sideways": float(facts.least_sideways),
            "sideways_at_45": float(facts.sideways_at_45_deg),
            "pretension": self._grains(facts.pretension, "up"),
            "push_share": None if facts.push_share is None else _exact(facts.push_share),
            "head_asked": facts.head_asked, "by_friction": facts.by_friction, "unstated": facts.unstated,
            "factor": _exact(policy), "factor_said": self.card.factor_said, "factors": factors,
            "contacts": sorted({contact for one in self._parts for contact in one.contacts}),
            "at_once": {"step": last.step, "stretches": stretches},
            "parts": [self._part(one) for one in self._parts],
            "ties": [self._tie(one) for one in sorted(facts.ties, key=lambda one: not one.usable)],
            "points": self._by_index(facts.points), "hardware": self._by_index(facts.hardware),
            "sets": [self._set(one, line) for one, line in zip(self.card.sets, facts.built, strict=True) if one.built],
            "lines": [self._line(one) for one in self.card.lines],
            "unlisted": f"{count:,} assemblies" if count > len(self.card.lines) else "",
        }  # fmt: skip

    def _unit(self, dimension: units.Dimension, **more: Any) -> dict[str, Any]:
        system = self.say.system
        return {"name": units.shown_unit(dimension, system), "digits": units.shown_digits(dimension, system), **more}

    def _by_index(self, holds: Iterable[tuple[str, Sequence[Fraction] | None]]) -> dict[int, list[str] | None]:
        return {self._index[part]: self._thrusts(held) for part, held in holds if part in self._index}

    @cached_property
    def _parts(self) -> tuple[PartShown, ...]:
        """Every part that is named: those at hand, then those that are only in a set, or are wanted and not there."""
        at_hand = [one for one in self.card.pieces if one.usable]
        named = [part for one in self.card.sets for part in one.parts]
        named += [part for tie in self.card.finder.ties for part in (tie.part, *dict(tie.needs))]
        named += [pin for line in self.card.finder.built if line for pin, _ in line.assembly.pins]
        there = {one.part for one in at_hand}
        return (*at_hand, *(PartShown(part) for part in dict.fromkeys(named) if part not in there))

    @cached_property
    def _index(self) -> dict[str, int]:
        return {one.part: n for n, one in enumerate(self._parts)}

    def _grains(self, newtons: Fraction, rounding: Rounding) -> str:
        grain = 10 ** (units.shown_digits("force", self.say.system) + FINER)
        return str(int(units.in_shown_unit(newtons, "force", self.say.system, rounding, finer=FINER) * grain))

    def _thrusts(self, holds: Sequence[Fraction] | None) -> list[str] | None:
        return None if holds is None else [self._grains(one, "down") for one in holds]

    def _name(self, part: str) -> str:
        return short(self.say.name(part), LONGEST_NAME)

    def _part(self, one: PartShown) -> dict[str, Any]:
        return {"name": self._name(one.part), "kind": one.kind, "usable": one.usable, "loose": one.loose,
                "pointed": one.pointed, "contacts": short(", ".join(one.contacts), LONGEST_NAME),
                "fits": list(one.contacts)}  # fmt: skip

    def _tie(self, one: TieAtHand) -> dict[str, Any]:
        return {"part": self._index[one.part],
                "label": f"{self._name(one.part)}: {one.usable} usable, rated {self.say.down(one.rated)}",
                "holds": self._thrusts(one.holds), "needs": self._counts(one.needs)}  # fmt: skip

    def _set(self, one: SetShown, line: ChartLine | None) -> dict[str, Any]:
        illegal = [] if line else ["it is no legal strut"]
        return {"name": short(one.name, LONGEST_NAME), "where": short(one.where, LONGEST_NAME) or UNKNOWN,
                "parts": [self._index[part] for part in one.parts],
                "pins": self._counts(line.assembly.pins if line else ()),
                "unfit": [short(says, LONGEST_SAID) for says in one.unfit] or illegal,
                "line": self._line(line) if line else None}  # fmt: skip

    def _counts(self, counts: Iterable[tuple[str, int]]) -> list[list[int]]:
        return [[self._index[part], number] for part, number in counts]

    def _line(self, one: ChartLine) -> dict[str, Any]:
        """One assembly; ``rated`` is a state, and what is known at factor 1 and as marked, at or under each length."""
        of = one.assembly
        rated = [
            [end, state, *(None if load is None else self._grains(load, "down") for load in loads)]
            for end, state, *loads in one.rated
        ]
        return {
            "parts": [self._index[part] for part in of.parts], "pins": self._counts(of.pins), "spans": of.spans,
            "fixed": one.fixed, "rated": rated, "joints": of.joints, "weight": self.say.weight(of.mass),
        }  # fmt: skip


def _exact(value: Fraction) -> str:
    return f"{value.numerator}/{value.denominator}"
