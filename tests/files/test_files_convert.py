"""Every sample of the county, turned into each form and back, says the same; what cannot be kept is not written."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from desk import SAMPLES

from cache_check.errors import AskError, InputError
from cache_check.files import text
from cache_check.files.cache import read_cache
from cache_check.files.convert import convert
from cache_check.files.reading import KINDS
from cache_check.files.rules import read_rules

FILES = sorted(path for path in SAMPLES.glob("*.yaml"))


def kind_of(path: Path) -> str:
    """Which kind of file a sample is."""
    data = text.load(path)[0]
    return next(kind for kind in KINDS if kind in data)


def test_a_county_has_one_form(tmp_path: Path) -> None:
    """A county file is refused in one line, and nothing is written."""
    with pytest.raises(AskError, match="no form but YAML"):
        convert(next(path for path in FILES if kind_of(path) == "county"), tmp_path / "a.xlsx", "county", read_rules())

    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("path", [one for one in FILES if one.stem != "county"], ids=lambda path: path.stem)
def test_samples_go_round(path: Path, tmp_path: Path) -> None:
    """YAML to workbook to CSV to YAML; each step is compared with the one before it when it is written."""
    for sample in FILES:
        shutil.copy(sample, tmp_path)
    kind, book = kind_of(path), read_rules()
    steps = [tmp_path / path.name, tmp_path / "a.xlsx", tmp_path / "b", tmp_path / "c.yaml"]
    for number, target in enumerate(steps[1:]):
        convert(steps[number], target, kind, book)

    assert sorted(one.name for one in tmp_path.iterdir() if one.name.startswith(".")) == []
    if kind == "cache":
        assert read_cache(steps[-1]).changed(sources=()) == read_cache(path).changed(sources=())


def test_families_are_found_from_the_new_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A cache turned into another folder names its families from there, where that was asked for."""
    (tmp_path / "book").mkdir()
    (tmp_path / "sheets").mkdir()
    for name in ("rescue-44.yaml", "family-p.yaml"):
        shutil.copy(SAMPLES / name, tmp_path / "book")
    source, target = tmp_path / "book" / "rescue-44.yaml", tmp_path / "sheets" / "rescue-44.xlsx"
    with pytest.raises(InputError, match=r"would name family-p\.yaml, which lies outside its folder"):
        convert(source, target, "cache", read_rules())
    assert list(target.parent.iterdir()) == []
    monkeypatch.setenv("CACHE_CHECK_FAMILIES", str(tmp_path))
    convert(source, target, "cache", read_rules())

    assert read_cache(target).changed(sources=()) == read_cache(source).changed(sources=())
    assert [Path(one.path).name for one in read_cache(target).sources] == ["rescue-44.xlsx", "family-p.yaml"]


@pytest.mark.parametrize(
    ("target", "says"),
    [
        ("rescue-44.yaml", "is there already; nothing was written"),
        ("x.pdf", ".pdf is not a form that is written here"),
        ("x.xls", ".xls is not a form that is written here"),
        ("no/such/folder.xlsx", "cannot be written: no such file or directory"),
    ],
)
def test_refusals(target: str, says: str, tmp_path: Path) -> None:
    """What cannot be written is refused in words, and nothing is left behind."""
    for name in ("rescue-44.yaml", "family-p.yaml"):
        shutil.copy(SAMPLES / name, tmp_path)
    before = sorted(tmp_path.iterdir())
    with pytest.raises(InputError, match=says) as refusal:
        convert(tmp_path / "rescue-44.yaml", tmp_path / target, "cache", read_rules())

    assert str(refusal.value).startswith(str(tmp_path / target))
    assert sorted(tmp_path.iterdir()) == before


def test_character_that_a_workbook_cannot_keep(tmp_path: Path) -> None:
    """A control character is not lost on the way: the workbook is refused, the other forms keep it."""
    source = tmp_path / "a.yaml"
    source.write_text('cache: rig\nunits: us\ntitle: "bell \\x07 rings"\nparts: {}\n', encoding="utf-8")
    convert(source, tmp_path / "b", "cache", read_rules())
    with pytest.raises(InputError, match="holds a character that a workbook cannot keep"):
        convert(source, tmp_path / "c.xlsx", "cache", read_rules())

    assert read_cache(tmp_path / "b").title == "bell \x07 rings"
