"""Every equation says what it means, where its axes are written down, and what goes in and out."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from typing import Any

import pytest

from cache_check.loads import (
    carry,
    chart,
    column,
    demand,
    geometry,
    ground,
    practice,
    pretension,
    rating,
    restraint,
    share,
    sharing,
    slip,
    triangle,
)

MODULES = (
    carry,
    chart,
    column,
    demand,
    geometry,
    ground,
    practice,
    pretension,
    rating,
    restraint,
    share,
    sharing,
    slip,
    triangle,
)


def _equations() -> list[Callable[..., Any]]:
    found: list[Callable[..., Any]] = []
    for module in MODULES:
        for name, member in inspect.getmembers(module, inspect.isfunction):
            if not name.startswith("_") and member.__module__ == module.__name__:
                found.append(member)
    return found


EQUATIONS = _equations()


def test_there_are_equations() -> None:
    """The listing below is not empty by mistake."""
    assert len(EQUATIONS) >= 50


@pytest.mark.parametrize("equation", EQUATIONS, ids=lambda equation: equation.__name__)
def test_docstring(equation: Callable[..., Any]) -> None:
    """Each points to the page of axes and signs, and says what returns; arguments all described or referred to."""
    text = " ".join((inspect.getdoc(equation) or "").split())

    assert "``loads/conventions.py``" in text
    assert "Returns:" in text
    names = list(inspect.signature(equation).parameters)
    assert all(f"{name}:" in text for name in names) or "arguments as ``" in text
