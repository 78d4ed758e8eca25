"""Whatever bytes arrive, a file is read or refused in words; nothing else leaves the files layer."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cache_check.errors import InputError
from cache_check.files import text
from cache_check.files.cache import read_cache
from cache_check.files.needs import read_needs
from cache_check.files.prices import read_prices
from cache_check.files.rules import read_rules, starter_text

READERS: dict[str, Any] = {
    "cache": read_cache,
    "needs": read_needs,
    "policy": lambda path: read_rules([path]),
    "prices": read_prices,
}
SETTINGS = settings(suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**6), 10**20),
    st.sampled_from(["on", "off", "unknown", "captive", "26,5", "1e3", "010", "12:30", "5 kg", "1/0 in", "2026-02-30"]),
    st.sampled_from(["body", "base", "pin", "strap", "P/short-body", "9" * 5000, "1/" + "9" * 5000, "٣", "-5", "½ in"]),
    st.text(max_size=8),
)
ANYTHING = st.recursive(
    SCALARS,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)),
    max_leaves=8,
)


def refused_or_read(path: Path, kind: str) -> None:
    """Read a file; an InputError must have words for every mistake."""
    refused: list[InputError] = []
    try:
        READERS[kind](path)
    except InputError as error:
        refused.append(error)
    for one in refused:
        assert one.mistakes
        assert all(mistake.what and mistake.file for mistake in one.mistakes)
        assert "cannot be read here" not in str(one)


def places(data: Any) -> list[tuple[Any, Any]]:
    """Every (holder, key) of a tree of mappings and lists."""
    found: list[tuple[Any, Any]] = []
    if isinstance(data, dict | list):
        for key in list(data) if isinstance(data, dict) else range(len(data)):
            found.append((data, key))
            found.extend(places(data[key]))
    return found


@pytest.mark.parametrize("kind", sorted(READERS))
@SETTINGS
@given(raw=st.binary(max_size=200))
def test_any_bytes_are_refused_in_words(kind: str, raw: bytes, tmp_path: Path) -> None:
    """Random bytes end in an InputError, never in a traceback."""
    path = tmp_path / "file.yaml"
    path.write_bytes(raw)

    with pytest.raises(InputError):
        READERS[kind](path)


@pytest.mark.parametrize("kind", sorted(READERS))
@SETTINGS
@given(written=st.text(alphabet="abc:-[]{}&*!|>%@`'\"\t\n #,?0159.~<", max_size=60))
def test_any_punctuation_is_refused_in_words(kind: str, written: str, tmp_path: Path) -> None:
    """Any mix of YAML's own characters after a good first line is read or refused."""
    path = tmp_path / "file.yaml"
    path.write_text(f"{kind}: x\n{written}", encoding="utf-8")

    refused_or_read(path, kind)


@pytest.mark.parametrize("kind", sorted(READERS))
@SETTINGS
@given(data=st.data())
def test_any_wrong_value_is_refused_in_words(kind: str, data: st.DataObject, tmp_path: Path) -> None:
    """Whatever stands in place of a good entry, and under whatever key, the reader has words for it."""
    whole, _ = text.parse(starter_text(kind), "starter")
    for _ in range(data.draw(st.integers(1, 3))):
        holder, key = data.draw(st.sampled_from(places(whole)))
        if isinstance(holder, dict) and data.draw(st.booleans()):
            holder[data.draw(st.sampled_from(["id", "family", "rig", "on", "needs", "kind", "x", ""]))] = data.draw(
                SCALARS
            )
        else:
            holder[key] = data.draw(ANYTHING)
    path = tmp_path / "file.yaml"
    path.write_text(yaml.safe_dump(whole, allow_unicode=True, sort_keys=False), encoding="utf-8")

    refused_or_read(path, kind)
