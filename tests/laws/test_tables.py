"""YAML, workbook and CSV say the same: whichever way a file is turned, nothing of it is lost."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import Phase, given
from hypothesis import strategies as st

from cache_check.errors import InputError
from cache_check.files.cache import read_cache
from cache_check.files.convert import as_yaml
from cache_check.files.needs import read_needs
from cache_check.files.prices import read_prices
from cache_check.files.rules import read_rules
from laws import written
from laws.strategies import some

# Without shrinking: turning a whole cache round takes a quarter of a second, and shrinking it takes minutes.
FEW = some(20, phases=[Phase.explicit, Phase.reuse, Phase.generate])
READERS: dict[str, Any] = {"cache": read_cache, "needs": read_needs, "prices": read_prices}
ROUNDS = st.sampled_from([("a.yaml", "b.xlsx", "c", "d.yaml"), ("a.yaml", "b", "c.xlsx", "d.yaml")])
"""Every form is turned into every other in one of the two."""


def _says(path: Path, kind: str) -> Any:
    found = READERS[kind](path)
    told: dict[str, Any] = {"sources": ()} if kind == "cache" else {"path": ""}
    return found.changed(**told, **({"places": ()} if kind == "prices" else {}))


def _goes_round(data: dict[str, Any], forms: tuple[str, ...], kind: str) -> None:
    from cache_check.files.convert import convert

    with TemporaryDirectory() as folder:
        paths = [Path(folder) / form for form in forms]
        paths[0].write_text(as_yaml(data, "a.yaml"), encoding="utf-8")
        try:
            said = _says(paths[0], kind)
        except InputError as error:
            pytest.fail(f"the drawn file is refused: {error}")
        for source, target in pairwise(paths):
            convert(source, target, kind, read_rules())
            assert _says(target, kind) == said, target.name


@given(written.caches(), ROUNDS)
@FEW
def test_a_cache_goes_round(data: dict[str, Any], forms: tuple[str, ...]) -> None:
    """A cache says the same as YAML, workbook and CSV, whichever was made of which."""
    _goes_round(data, forms, "cache")


@given(written.needs(), ROUNDS)
@FEW
def test_needs_go_round(data: dict[str, Any], forms: tuple[str, ...]) -> None:
    """Needs say the same as YAML, workbook and CSV."""
    _goes_round(data, forms, "needs")


@given(written.prices(), ROUNDS)
@FEW
def test_prices_go_round(data: dict[str, Any], forms: tuple[str, ...]) -> None:
    """Prices say the same as YAML, workbook and CSV."""
    _goes_round(data, forms, "prices")
