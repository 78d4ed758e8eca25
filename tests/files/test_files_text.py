"""Plain scalars mean what the person meant, or are refused with their place."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from cache_check.errors import InputError
from cache_check.files import mistakes, text


def data_of(written: str) -> Any:
    """The plain data of a text."""
    return text.parse(written, "x.yaml")[0]


def refusal(written: str | bytes, tmp_path: Path) -> str:
    """What is said of a file that cannot be loaded."""
    path = tmp_path / "x.yaml"
    path.write_bytes(written if isinstance(written, bytes) else written.encode())
    with pytest.raises(InputError) as refused:
        text.load(path)
    return str(refused.value).replace(f"{tmp_path}/", "")


@pytest.mark.parametrize(
    ("scalar", "value"),
    [
        ("4", 4), ("-4", -4), ("0", 0), ("010", "010"), ("0o10", "0o10"), ("0x1F", "0x1F"), ("1_000", "1_000"),
        ("+5", "+5"), ("-0", "-0"), ("12:30", "12:30"), ("1e3", "1e3"), ("26.5", "26.5"), ("26,5", "26,5"),
        (".inf", ".inf"),
        ("no", "no"), ("yes", "yes"), ("on", "on"), ("off", "off"), ("y", "y"), ("true", True), ("False", False),
        ("2026-03-01", "2026-03-01"), ("~", None), ("null", None), ("", None), ('"4"', "4"), ("'null'", "null"),
        ("9" * 30, "9" * 30), ("=", "="), ("a: b"[:1], "a"),
    ],
)  # fmt: skip
def test_plain_scalars_are_never_something_else(scalar: str, value: object) -> None:
    """Only whole numbers, true, false and blank are more than the text that was written."""
    read = data_of(f"key: {scalar}")["key"]

    assert read == value
    assert type(read) is type(value)


@pytest.mark.parametrize("key", ["no", "on", "010", "41", "12:30", "null", "true"])
def test_keys_stay_as_they_are_written(key: str) -> None:
    """A key is always its own text."""
    assert data_of(f"{key}: 1") == {key: 1}


def test_a_byte_order_mark_is_passed_over(tmp_path: Path) -> None:
    """A file saved with a byte order mark reads like one without, and the hash is of its bytes."""
    path = tmp_path / "x.yaml"
    path.write_bytes(b"\xef\xbb\xbfcache: x\r\nunits: us\r\n")

    data, page = text.load(path)

    assert data == {"cache": "x", "units": "us"}
    assert page.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("", "x.yaml: is empty"),
        ("# only a comment\n", "x.yaml: is empty"),
        (b"title: caf\xe9\n", "x.yaml:1: is not UTF-8 text; save the file as UTF-8 in your editor"),
        ("a: 1\n".encode("utf-16"), "x.yaml:1: is not UTF-8 text; save the file as UTF-8 in your editor"),
        ("a: 1\nb: \0\n", "x.yaml:2: holds a NUL byte, so it is not a text file"),
        ("a: \x07\n", "x.yaml: holds a character that may not stand in a text file; save it again as plain text"),
        (
            "a:\n\tb: 1\n",
            "x.yaml:2:1: a tab stands where spaces belong; indent with spaces\n  2 |  b: 1\n    | ^",
        ),
        (
            "a: &all 1\nb: *all\n",
            "x.yaml:1:4: anchors (&) and aliases (*) are not read here; write the value out, or put a text in quotes\n"
            "  1 | a: &all 1\n    |    ^",
        ),
        (
            "b: *all\n",
            "x.yaml:1:4: anchors (&) and aliases (*) are not read here; write the value out, or put a text in quotes\n"
            "  1 | b: *all\n    |    ^",
        ),
        (
            "<<: {a: 1}\n",
            "x.yaml:1:1: merge keys (<<) are not read here; write the entries out\n  1 | <<: {a: 1}\n    | ^",
        ),
        (
            "a: !!python/object:os.system 1\n",
            "x.yaml:1:4: tags (!) are not read here; take the tag out, or put the text in quotes\n"
            "  1 | a: !!python/object:os.system 1\n    |    ^",
        ),
        (
            "a: 1\n---\nb: 2\n",
            "x.yaml:2:1: a second document begins here; keep one document to a file\n  2 | ---\n    | ^",
        ),
        ("? [a]\n: 1\n", "x.yaml:1:3: a key must be plain text; put a name before the colon\n  1 | ? [a]\n    |   ^"),
        (
            "a: [1, 2\nb: 3\n",
            "x.yaml:1:4: a bracket is not closed, or a comma is missing; close it\n  1 | a: [1, 2\n    |    ^",
        ),
        (
            'a: "open\n',
            'x.yaml:1:4: the file ends inside quotes or brackets; close them\n  1 | a: "open\n    |    ^',
        ),
        (
            "a: b: c\n",
            "x.yaml:1:5: a second colon, or a wrong indent; put text with a colon in quotes\n"
            "  1 | a: b: c\n    |     ^",
        ),
        (
            "a: @b\n",
            "x.yaml:1:4: a character stands here that YAML keeps for itself; put the text in quotes\n"
            "  1 | a: @b\n    |    ^",
        ),
        (
            "a:\n  b: 1\n c: 2\n",
            "x.yaml:3:2: this line is not indented like the ones above, or has no key; indent it alike\n"
            "  3 |  c: 2\n    |  ^",
        ),
        (
            "a: 1\nlost\n",
            "x.yaml:2:1: a key without its colon; write \"key: value\"\n  2 | lost\n    | ^",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_loaded_says_so_in_one_line(
    written: str | bytes, says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each way in which a file is no plain YAML has one clear line, with its place where there is one.

    The line itself is shown of a file that people write for us, and of no other.
    """
    assert refusal(written, tmp_path) == says.partition("\n")[0]
    monkeypatch.setattr(mistakes, "_OURS", re.compile(""))
    assert refusal(written, tmp_path) == says


def test_an_anchor_bomb_is_refused_at_its_first_anchor(tmp_path: Path) -> None:
    """A file that would grow without bound is refused before it grows."""
    bomb = "a: &a [x,x]\n" + "".join(f"b{n}: &b{n} [*a, *a]\n" for n in range(1000))

    assert refusal(bomb, tmp_path).startswith("x.yaml:1:4: anchors (&) and aliases (*) are not read here")


@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
def test_nesting_without_end_is_refused(opening: str, tmp_path: Path) -> None:
    """Depth is bounded, so that a hostile file cannot exhaust the reader."""
    says = refusal("a:\n  " + opening * 50_000, tmp_path)

    assert "more than 40 levels inside one another; write it flatter" in says


def test_a_file_over_the_limit_is_not_read(tmp_path: Path) -> None:
    """A file larger than 5 MB is refused by its size."""
    says = refusal(b"#" * 5_000_001, tmp_path)

    assert says == "x.yaml: is larger than 5 MB; split it, or check that it is the right file"


def test_a_repeated_key_is_told_with_both_lines() -> None:
    """The second of two like keys is a mistake that names the first; the first is kept."""
    data, page = text.parse("cache: 1\nb: 2\ncache: 3\n", "x.yaml")

    assert data == {"cache": 1, "b": 2}
    assert [str(m) for m in page.mistakes] == [
        "x.yaml:3:1: 'cache' is written twice, first on line 1; keep one of them\n  3 | cache: 3\n    | ^"
    ]


@pytest.mark.parametrize("written", ["a: [24,500]", "a: {closed: 26,5}", "a: [1,2]"])
def test_a_comma_inside_a_number_is_not_split_in_silence(written: str) -> None:
    """YAML makes two numbers of 24,500 in a list; the reader says so."""
    page = text.parse(written, "x.yaml")[1]

    assert [m.what for m in page.mistakes] == [
        "a comma between digits reads here as the end of one number and the start of the next"
    ]


@pytest.mark.parametrize("written", ["a: [24, 500]", "a: [x,5]", "a: b,5", 'a: ["1","2"]', "a: 1,500"])
def test_commas_that_divide_entries_are_left_alone(written: str) -> None:
    """A comma with a space after it, beside text, or in block style is no mistake of the loader's."""
    assert text.parse(written, "x.yaml")[1].mistakes == {}


def test_what_is_no_file_is_said_in_words(tmp_path: Path) -> None:
    """A missing file, a folder and an impossible name each have one line."""
    (tmp_path / "rescue-41.yaml").write_text("cache: x")

    def says(path: str) -> str:
        with pytest.raises(InputError) as refused:
            text.load(path)
        return str(refused.value).replace(f"{tmp_path}/", "")

    assert says(f"{tmp_path}/rescue-14.yaml") == (
        "rescue-14.yaml: there is no such file; did you mean 'rescue-41.yaml'?"
    )
    assert says(f"{tmp_path}/") == f"{tmp_path}/: is a folder, not a file".replace(f"{tmp_path}/", "")
    assert says("a\0b").endswith("cannot be read: that is not the name of a file")
    assert says("/no/such/folder/x.yaml") == "/no/such/folder/x.yaml: there is no such file"


def test_both_loaders_of_the_library_read_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the C loader is absent, the pure one gives the same data and places."""
    written = "a: [1, {b: no}]\nc:\n  - d: 010\n    e: |\n      text\n"
    fast = text.parse(written, "x.yaml")
    monkeypatch.setattr(text, "_Loader", yaml.SafeLoader)
    slow = text.parse(written, "x.yaml")

    assert slow[0] == fast[0]
    assert slow[1].spots == fast[1].spots


TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Cn", "Co"]), max_size=10)
KEYS = st.text("abc -0", min_size=1, max_size=4)
PLAIN = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(-(10**17), 10**17), TEXTS),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(KEYS, inner, max_size=3)),
    max_leaves=10,
)


@given(data=st.dictionaries(st.text("abc", min_size=1, max_size=4), PLAIN, min_size=1, max_size=3))
def test_what_is_written_out_reads_back(data: dict[str, Any]) -> None:
    """Data written by another writer of YAML, text in quotes, reads back as it was."""
    written = yaml.safe_dump(data, allow_unicode=True, default_style=None, sort_keys=False)

    read, page = text.parse(written, "x.yaml")

    assert page.mistakes == {}
    assert read == data
