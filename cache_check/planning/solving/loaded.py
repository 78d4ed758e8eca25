"""A programme kept loaded while it is searched: fractions allowed, cuts added, bounds changed case by case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from math import inf

import numpy as np

from cache_check.planning.solving.cuts import Cutter
from cache_check.planning.solving.highs import Relaxation
from cache_check.planning.solving.programme import Programme, Row
from cache_check.planning.solving.tables import bounds, dense

_CUTS = 30
"""So many cuts are added at a time, of as many broken columns."""

Held = dict[int, tuple[int, float]]
"""Columns whose bounds are changed in a case."""


class Loaded:
    """A programme, its relaxation, and what was added to that; it stands at the bounds of one case."""

    def __init__(self, programme: Programme) -> None:
        self.programme = programme
        self._case: Held = {}

    @cached_property
    def relaxation(self) -> Relaxation:
        """The programme with fractions allowed, and the cuts."""
        return Relaxation(self.programme)

    @cached_property
    def cutter(self) -> Cutter:
        """The rows as a table."""
        return Cutter(self.programme)

    def hold(self, row: Row) -> None:
        """Keep one more row from now on."""
        if len(row.terms) == 1 and row.terms[0][1] == 1 and row.low == row.high is not None:
            self._fix(row.terms[0][0], row.high)
            return
        if self.programme.costs:
            self.relaxation.add(dense([row], len(self.programme.costs)), *bounds([row]))
            if "cutter" in self.__dict__:
                self.cutter.add([row])
        self.programme = replace(self.programme, rows=(*self.programme.rows, row))

    def _fix(self, column: int, value: int) -> None:
        lows, highs = list(self.programme.lows), list(self.programme.highs)
        lows[column] = highs[column] = value
        self.programme = replace(self.programme, lows=tuple(lows), highs=tuple(highs))
        self.relaxation.hold(column, value, value)
        if "cutter" in self.__dict__:
            self.cutter.fix(column, value)

    def cut(self, broken: Sequence[int]) -> bool:
        """Add cuts that shut out the optimum with fractions, of which these columns are broken; whether there are any.

        The relaxation must stand at the programme's own bounds, as the rows that are found are to hold everywhere.
        """
        relaxation = self.relaxation
        counts = relaxation.counts(broken[:_CUTS])
        table, limits = self.cutter.cuts(relaxation.values, relaxation.totals, counts, _CUTS)
        if len(limits):
            relaxation.add(table, np.full(len(limits), -inf), limits)
        return bool(len(limits))

    def slim(self) -> bool:
        """Take out the cuts that the optimum with fractions does not touch; whether there were any."""
        if "cutter" not in self.__dict__:
            return False
        loose = self.cutter.drop(self.relaxation.totals)
        if len(loose):
            self.relaxation.drop(loose)
        return bool(len(loose))

    def turn(self, case: Held) -> None:
        """Change the bounds from those of the case at hand to those of another."""
        for column in self._case.keys() - case.keys():
            high = self.programme.highs[column]
            self.relaxation.hold(column, self.programme.lows[column], inf if high is None else high)
        for column, held in case.items():
            if self._case.get(column) != held:
                self.relaxation.hold(column, *held)
        self._case = case
