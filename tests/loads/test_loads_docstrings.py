"""Every equation says what it means, where its axes are written down, and what goes in and out."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable
from types import ModuleType
from typing import Any

import pytest

from cache_check.loads import chart, conventions, demand, geometry, restraint, triangle

MODULES = (chart, demand, geometry, restraint, triangle)

COMMON = set(re.findall(r"``([a-z_]+)``", (conventions.__doc__ or "").partition("Arguments")[2]))
"""What ``conventions`` tells of arguments, once for all equations."""


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
    assert len(EQUATIONS) >= 30


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__.rpartition(".")[2])
def test_module_says_where_axes_and_units_stand(module: ModuleType) -> None:
    """A reader of any module is sent to the page of axes, signs, units and ranges."""
    assert "conventions.py" in (module.__doc__ or "")


@pytest.mark.parametrize("equation", EQUATIONS, ids=lambda equation: equation.__name__)
def test_docstring(equation: Callable[..., Any]) -> None:
    """Each says what it gives; every argument is told by it, or is one of those that mean the same everywhere."""
    own = inspect.getdoc(equation) or ""
    names = set(inspect.signature(equation).parameters)

    assert own
    assert {name for name in names if f"``{name}``" not in own} <= COMMON
