"""What starting up must not load, and that every command is on the front page."""

from __future__ import annotations

import ast
import dataclasses
import subprocess
import sys
from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from pkgutil import walk_packages
from typing import Any

import pytest

import cache_check
from cache_check import frozen
from cache_check.cli.main import COMMANDS
from cache_check.cli.spared import SPARED

ROOT = Path(__file__).parent.parent.parent
HEAVY = ("networkx", "numpy", "highspy", "pydantic", "yaml", "tabulate")
ASK = "import sys; loaded = [m for m in {heavy} if m in sys.modules]; print(loaded, file=sys.stderr)"


def loaded_by(code: str) -> tuple[str, subprocess.CompletedProcess[str]]:
    """Which of the heavy packages a process has loaded when it ends."""
    whole = f"import atexit\natexit.register(lambda: exec({ASK.format(heavy=HEAVY)!r}))\n{code}"
    run = subprocess.run(
        [sys.executable, "-c", whole], cwd=ROOT, capture_output=True, text=True, timeout=60, check=False
    )  # fmt: skip
    return run.stderr.splitlines()[-1], run


def running(*arguments: str) -> str:
    """Code that runs the command with arguments."""
    return f"import sys; sys.argv = ['cache-check', *{arguments!r}]\nfrom cache_check.cli.main import run\nrun()"


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], *([name, "--help"] for name in COMMANDS)])
def test_help_loads_nothing_heavy(arguments: list[str]) -> None:
    """Help waits for no graph, no solver and no reader of files."""
    loaded, run = loaded_by(running(*arguments))

    assert loaded == "[]"
    assert run.returncode == 0
    assert run.stdout


def test_check_does_load_what_help_does_not() -> None:
    """The test above would see a heavy package if there were one."""
    loaded, _ = loaded_by(running("check", "sample_caches/quillfen/rescue-41.yaml"))

    assert "pydantic" in loaded
    assert "networkx" not in loaded


def test_check_loads_nothing_of_audits_prices_and_plug_ins() -> None:
    """What only other commands ask for is loaded by them: audits, counts, quotes; and nobody looks for plug-ins."""
    others = ("checks.counted", "model.audit", "model.count", "files.prices", "model.purchase")
    names = ("importlib.metadata", *(f"cache_check.{name}" for name in others))
    whole = f"import atexit, sys\natexit.register(lambda: print([m for m in {names} if m in sys.modules]))\n"

    _, check = loaded_by(whole + running("check", "sample_caches/quillfen/rescue-41.yaml"))
    _, audit = loaded_by(whole + running("audit", "sample_caches/quillfen/rescue-41.yaml"))

    assert check.stdout.splitlines()[-1] == "[]"
    assert "cache_check.checks.counted" in audit.stdout.splitlines()[-1]


def test_check_loads_nothing_of_situations() -> None:
    """Rule kinds that also judge a situation load what that takes only when there is one."""
    ask = "print([m for m in ('cache_check.model.load', 'cache_check.planning.loading.loading') if m in sys.modules])"
    whole = f"import atexit, sys\natexit.register(lambda: exec({ask!r}, {{'sys': sys}}))\n"
    rig, van = "sample_caches/quillfen/rescue-41.yaml", "sample_caches/quillfen/leaning-van.yaml"

    _, check = loaded_by(whole + running("check", rig))
    _, load = loaded_by(whole + running("load", rig, van))

    assert check.stdout.splitlines()[-1] == "[]"
    assert load.stdout.splitlines()[-1] == "['cache_check.model.load', 'cache_check.planning.loading.loading']"


def test_front_page_does_without_click() -> None:
    """The front page is text and needs nothing else."""
    code = "import cache_check.cli.main as main, sys\nmain.front_page()\nprint('click' in sys.modules)"
    _, run = loaded_by(code)

    assert run.stdout == "False\n"


def test_importing_the_package_loads_nothing_of_it() -> None:
    """The verbs are there by name, and loaded when they are first used."""
    loaded, run = loaded_by("import cache_check, sys\nprint([m for m in sys.modules if m.startswith('cache_check.')])")

    assert run.stdout == "[]\n"
    assert loaded == "[]"


@pytest.mark.parametrize("name", cache_check.__all__)
def test_every_promised_name_is_there(name: str) -> None:
    """Each name in ``__all__`` comes from the module that documents it, and is no room of the package."""
    assert not (Path(str(cache_check.__file__)).parent / name).is_dir()
    assert getattr(cache_check, name).__doc__


def test_unknown_name_is_an_attribute_error() -> None:
    """A name that is not promised is refused as Python does it."""
    with pytest.raises(AttributeError, match="no attribute 'chek'"):
        cache_check.chek  # noqa: B018 - reading it is the test


@pytest.mark.parametrize(
    "file", sorted((ROOT / "cache_check" / "cli" / "commands").glob("[a-z]*.py")), ids=lambda file: file.stem
)
def test_command_file_says_what_it_is(file: Path) -> None:
    """Each file of the folder is a command of the front page, its imports inside the callback."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    imported = [
        node.module or "" if isinstance(node, ast.ImportFrom) else node.names[0].name
        for node in tree.body
        if isinstance(node, ast.Import | ast.ImportFrom)
    ]

    assert file.stem in COMMANDS
    assert {name.partition(".")[0] for name in imported} <= {
        "__future__", "cache_check", "click", "collections", "contextlib", "dataclasses", "datetime", "fractions",
        "functools", "importlib", "os", "pathlib", "typing",
    }  # fmt: skip
    light = ("cache_check.cli", "cache_check.errors")
    assert all(name.startswith(light) for name in imported if name.startswith("cache_check"))


def test_frozen_classes_are_made_the_quick_way() -> None:
    """The standard decorator is a sixth of a short command; only classes with slots or open to change ask it."""
    asked = "from dataclasses import dataclass"
    files = (file.read_text(encoding="utf-8") for file in (ROOT / "cache_check").rglob("*.py") if file.stem != "frozen")

    assert [text[:80] for text in files if asked in text and "@dataclass(frozen=True)" in text] == []


def test_quick_classes_are_as_the_standard_ones() -> None:
    """The same arguments, equality, hash and text from both decorators; what is not to be compared is not."""
    body = {"__annotations__": {"one": "int", "two": "str"}, "two": dataclasses.field(default="b", compare=False)}
    for make in (frozen.dataclass, dataclasses.dataclass):
        pair: Any = make(frozen=True)(type("Pair", (), dict(body)))

        assert pair(1) == pair(1, "c") != pair(2)
        assert pair(1) != (1,)
        assert len({pair(1), pair(1, "c"), pair(one=2)}) == 2
        assert repr(dataclasses.replace(pair(1), one=3)) == "Pair(one=3, two='b')"
        with pytest.raises(TypeError, match=r"Pair.__init__\(\) missing 1 required positional argument: 'one'"):
            pair(two="c")


def test_every_quick_class_has_the_fields_that_the_standard_decorator_finds() -> None:
    """Of each class made without it, names and defaults are all that its fields say: nothing is left to a factory."""
    modules = [one.name for one in walk_packages(cache_check.__path__, "cache_check.") if "__main__" not in one.name]
    every = {one for name in modules for one in vars(import_module(name)).values() if isinstance(one, type)}
    quick = [one for one in every if "__kept__" in vars(one)]

    assert len(quick) > 200
    for one in quick:
        fields: Any = dataclasses.fields(one)
        assert {field.name: field.default for field in fields} == vars(one)["__kept__"], one
        assert all(field.init and field.repr and field.compare and not field.kw_only for field in fields), one


def test_quick_classes_look_at_what_they_are_given() -> None:
    """What is to be done after the arguments are kept is done, as by the standard decorator."""

    def late(self: Any) -> None:
        self.two = self.one + 1

    for make in (frozen.dataclass, dataclasses.dataclass):
        made: Any = make(type("Made", (), {"__annotations__": {"one": "int"}, "__post_init__": late}))
        heir: Any = make(type("Heir", (made,), {"__annotations__": {"more": "int"}, "more": 7}))
        assert (made(1).two, heir(2).two, dataclasses.astuple(heir(2))) == (2, 3, (2, 7))


def test_quick_classes_that_may_change_are_compared_and_have_no_hash() -> None:
    """What may change is equal by what it holds now, and is no key of anything."""
    for make in (frozen.dataclass, dataclasses.dataclass):
        open_: Any = make(type("Open", (), {"__annotations__": {"one": "int"}}))
        first, second = open_(1), open_(2)
        assert first != second
        second.one = 1
        assert (first == second, repr(second)) == (True, "Open(one=1)")
        with pytest.raises(TypeError, match="unhashable type: 'Open'"):
            hash(first)


def test_quick_classes_keep_what_they_inherit_and_make_anew_what_is_to_be_new() -> None:
    """Fields of a base come first, a default stands where nothing is given, and no two share a list made for each."""
    anew: Any = dataclasses.field(default_factory=list)
    more = {"__annotations__": {"two": "list", "three": "int"}, "two": anew, "three": 7}
    for make in (frozen.dataclass, dataclasses.dataclass):
        base: Any = make(frozen=True)(type("Base", (), {"__annotations__": {"one": "int"}}))
        heir: Any = make(frozen=True)(type("Heir", (base,), dict(more)))
        last: Any = make(frozen=True)(type("Last", (heir,), {"__annotations__": {"four": "int"}, "four": 8}))
        alone: Any = make(frozen=True)(type("Alone", (base,), {"__annotations__": {"two": "int"}, "two": 9}))

        assert dataclasses.astuple(last(1)) == (1, [], 7, 8)
        assert last(1).two is not last(1).two
        assert dataclasses.astuple(heir(1, [2], three=3)) == (1, [2], 3)
        assert (dataclasses.astuple(alone(1)), dataclasses.astuple(alone(1, 2))) == ((1, 9), (1, 2))


def test_what_is_spared_is_there_to_be_spared() -> None:
    """Empty modules stand in for parts of libraries that nobody asks for; what moved would be loaded again."""
    there = [name for name in SPARED if not name.startswith("numpy._core") or version("numpy") >= "2"]
    ask = f"from importlib.util import find_spec\nprint([name for name in {there} if find_spec(name) is None])"
    assert loaded_by(ask)[1].stdout == "[]\n"
    told = f"atexit.register(lambda: print([name for name in {there} if hasattr(sys.modules[name], '__file__')]))\n"
    stage = running("stage", "sample_caches/quillfen/rescue-41.yaml", "--sets", "2")
    assert loaded_by(f"import sys\n{told}{stage}")[1].stdout.endswith("\n[]\n")


def test_what_is_spared_is_there_once_it_is_asked_for() -> None:
    """Asked for more than each start asks, a part of a library that is spared is loaded, and does what it does."""
    stated = "import numpy.typing\nprint(numpy.typing.NDArray[int].__args__[1].__origin__)"
    read = "import yaml\nprint(yaml.safe_load('a: [1, no]'), yaml.safe_load(b'b: \\xc3\\xa9'))"
    refused = "try: yaml.safe_load('a: \\x01')\nexcept yaml.YAMLError as wrong: print(type(wrong), wrong.position)"
    spared = "from cache_check.cli import output\n"

    for asked in (stated, f"{read}\n{refused}"):
        plain, late = loaded_by(asked)[1].stdout, loaded_by(spared + asked)[1].stdout
        assert plain
        assert late == plain


def test_a_character_that_may_not_stand_is_told_of_where_the_reader_is_spared(tmp_path: Path) -> None:
    """What the reader in C refuses is told by a command as by the package."""
    (tmp_path / "rig.yaml").write_text("cache: Rig\nwhy: \x01\n", encoding="utf-8")

    _, check = loaded_by(running("check", str(tmp_path / "rig.yaml")))

    assert check.returncode == 2
    assert "holds a character that may not stand in a text file" in check.stderr


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="the system does not list threads there")
def test_numpy_starts_no_threads() -> None:
    """Threads of its own are kept busy for as long as a short command takes."""
    count = "import os\natexit.register(lambda: print(len(os.listdir('/proc/self/task'))))\n"
    stage = running("stage", "sample_caches/quillfen/rescue-41.yaml", "--sets", "2")

    assert loaded_by(f"{count}{stage}")[1].stdout.splitlines()[-1] == "1"
