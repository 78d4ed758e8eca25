"""The openings of ready sets that the relaxation of their programme is given: those of the best candidates first.

Most openings of most sets are in no optimum.  So the relaxation begins with none, and is given those of the candidates
that would lower the cost most at its dual prices, until none would.  What the rest would be worth in each scene is then
the price of their class, with which the optimum is one of all openings.
"""

from collections.abc import Collection
from typing import TYPE_CHECKING

import numpy as np

from cache_check.planning.staging.staging import Plan

if TYPE_CHECKING:
    from cache_check.planning.solving.relaxation import Array

_MANY = 100  # candidates whose openings are given at a time
_NEAR = 1e-7


class Sifted:
    """The openings of a plan by class, and the classes that each candidate is in; those of a ``few`` given at once."""

    def __init__(self, plan: Plan, few: Collection[int] = ()) -> None:
        number, wanted = {key: n for n, key in enumerate(plan.alike)}, frozenset(few)
        given = {key for key, members in plan.alike.items() if not wanted.isdisjoint(members)}
        self._opened = np.asarray([x for x, _ in plan.opened.values()], dtype=np.int64)
        self.columns = np.asarray([x for key, (x, _) in plan.opened.items() if key[:2] not in given], dtype=np.int64)
        self._classes = np.asarray([number[key[:2]] for key in plan.opened], dtype=np.int64)
        pairs = [(number[key], c) for key, members in plan.alike.items() for c in members]
        self._of, self._member = np.asarray(pairs, dtype=np.int64).reshape(-1, 2).T
        self._left = [(x, c) for (c, _), x in plan.left.items()]  # each of them in some class
        self._rows = np.asarray(list(plan.rows.values()), dtype=np.int64)

    def worth(self, reduced: "Array") -> "tuple[Array, Array]":
        """The rows of classes, and the price of each that gives no opening a reduced cost below nothing."""
        prices = np.zeros(len(self._rows))
        np.minimum.at(prices, self._classes, reduced[self._opened])
        return self._rows, prices

    def better(self, reduced: "Array") -> "Array":
        """The openings of the candidates that would lower the cost most; none where none would."""
        _, prices = self.worth(reduced)
        gains = np.bincount(self._member, weights=prices[self._of])
        own = np.full(len(gains), np.inf)
        for x, c in self._left:
            own[c] = min(own[c], reduced[x])
        order = np.argsort(own + gains, kind="stable")[:_MANY]
        best = np.zeros(len(gains), dtype=bool)
        best[order[(own + gains)[order] < -_NEAR]] = True
        given = np.zeros(len(self._rows), dtype=bool)
        given[self._of[best[self._member]]] = True
        return self._opened[given[self._classes]]
