"""The recipes of ``DEVELOPERS.md``, each followed on a copy: what they name is all that has to be written."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from cli.running import ON, ROOT, environment

PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
RIG = "sample_caches/quillfen/rescue-41.yaml"
RULE = """
  - id: {name}
    title: A rule of the house
    why: to see that the recipe is whole
    severity: stop
    source: common practice, no source
    kind: {kind}
    parameters:
      max: {{type: {type}, value: {value}, stricter: lower, about: the most in one strut}}
    remedy: use fewer pieces
    since: "2026.1"
"""
EXAMPLE = """    "{name}": (
        _keeps("base", "body", "head"),
        Example(_CACHE, ("base", "{one}", "body", "head"), frozenset({says})),
    ),
}}  # fmt: skip
"""
RECIPES: dict[str, dict[str, tuple[str, str]]] = {
    "Add a rule": {
        "rules/assembly.yaml": ("", RULE.format(name="NEW-1", kind="extension_length", type="length", value="11 in")),
        "tests/house/known_rule_ids.txt": ("", "NEW-1\n"),
        "tests/house/rule_examples/stacks.py": (
            "}  # fmt: skip\n",
            EXAMPLE.format(name="NEW-1", one="ext-12", says={"NEW-1", "NEW-2"}),
        ),
    },
    "Add a kind of rule": {
        "joining/kinds/few_extensions.py": (
            "",
            '"""At most so many extensions in one strut."""\n\n'
            "from cache_check.joining.kind import Kind\nfrom cache_check.model.part import Extension, Part\n\n\n"
            "class FewExtensions(Kind):\n"
            '    """Counts extensions."""\n\n'
            "    def measure(self, part: Part) -> int:\n        return int(isinstance(part, Extension))\n\n"
            "    def limit(self, families: frozenset[str]) -> int | None:\n"
            '        return int(self.value("max", families))\n',
        ),
        "rules/assembly.yaml": ("", RULE.format(name="NEW-2", kind="few_extensions", type="count", value=0)),
        "tests/house/known_rule_ids.txt": ("", "NEW-2\n"),
        "tests/house/rule_examples/stacks.py": (
            "}  # fmt: skip\n",
            EXAMPLE.format(name="NEW-2", one="ext-6", says={"NEW-2"}),
        ),
    },
    "Add an audit rule": {
        "rules/audit.yaml": ("", RULE.format(name="NEW-3", kind="odd_notes", type="count", value=0)),
        "checks/kinds/odd_notes.py": (
            "",
            '"""Notes of a count that say odd."""\n\n\n'
            "def audit_odd_notes(inspection, rule):\n"
            '    """A finding where more lines are noted as odd than the rule allows."""\n'
            '    odd = [line for line in inspection.count.lines if line.note == "odd"] if inspection.count else []\n'
            '    if len(odd) > inspection.value(rule, "max"):\n'
            '        yield inspection.finding(rule, what=f"{len(odd)} odd", effect="somebody must look")\n',
        ),
        "tests/house/known_rule_ids.txt": ("", "NEW-3\n"),
        "tests/house/rule_examples/audits.py": (
            "}  # fmt: skip\n",
            # NEW-2 above leaves no use for extensions.
            '    "NEW-3": (\n        _keeps(_SOUND, "USE-1"),\n'
            '        _breaks("NEW-3", "AUD-1", "USE-1", lines={"ext-6": {"note": "odd"}}),\n    ),\n}  # fmt: skip\n',
        ),
    },
    "Add a column": {
        "report/of_reach.py": ("|#extensions|", "|#extensions|#joints|"),
        "report/of_reach.py ": ("one.extensions, ", "one.extensions, one.joints, "),
        "report/of_reach.py  ": ('none where any"', 'none where any|#loose pins"'),
        "report/of_reach.py   ": ("_settings(each)) for", "_settings(each), sum(n for _, n in each.pins)) for"),
    },
    "Add a command": {
        "model/heads.py": (
            "",
            "from cache_check.frozen import dataclass\nfrom cache_check.model.result import Answer\n\n\n"
            "@dataclass(frozen=True)\nclass HeadsResult(Answer):\n"
            '    """How many heads of each kind."""\n\n'
            "    rows: tuple[tuple[str, int], ...]\n",
        ),
        "api/heads.py": (
            "",
            "from cache_check.api.base import head_of, muster_of\n"
            "from cache_check.model.heads import HeadsResult\n\n\n"
            "def heads(cache, book, *, suppose=None):\n"
            "    muster = muster_of(cache, book, suppose)\n"
            "    heads = (one for one in cache.catalogue.parts if one.kind == 'fitting')\n"
            "    counts = {one.part: one.count or 0 for one in cache.stock}\n"
            "    rows = tuple((one.name, counts.get(one.id, 0)) for one in heads)\n"
            "    return HeadsResult(*head_of(muster, suppose, asked=False), rows)\n",
        ),
        "report/of_heads.py": (
            "",
            "from cache_check.report.answer import Topic\n"
            "from cache_check.report.page import Line, Part\n\n\n"
            "def short(result, told):\n    return (Part((Line('Heads', str(len(result.rows))),)),)\n\n\n"
            'HEADS = "part|#counted"\nTABLE = "heads"\nSECTIONS = {\n'
            '    "heads": Topic("Heads", lambda one, say: (say.table(HEADS, one.rows),), HEADS,\n'
            "                   lambda one, _: one.rows),\n}\n",
        ),
        "cli/main.py": ("COMMANDS = {\n", 'COMMANDS = {\n    "heads": "How many heads there are.",\n'),
        "cli/commands/heads.py": (
            "",
            '"""How many heads there are."""\n\nfrom cache_check.cli import input as given\n'
            "from cache_check.cli.options import SHOWN, SUPPOSING, called, options\n"
            "from cache_check.cli.output import tell\n\n"
            "\n"
            '@called("heads", "heads rescue-41.yaml")\n@options(f"caches {SUPPOSING} {SHOWN}")\n'
            "def command(asked, view) -> None:\n"
            '    """How many heads there are."""\n'
            "    from cache_check.api.heads import heads\n\n"
            "    read = given.everything(asked, county_needs=False)\n"
            "    result = heads(read.one, read.book, suppose=asked.suppose)\n"
            '    tell("heads", [result], view, read.book, read.beside)\n',
        ),
    },
}
"""By recipe, the files that it names: what is put in place of a text that stands there once or last; or at the end."""


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A checkout in which every recipe was followed."""
    there = tmp_path_factory.mktemp("copy")
    for name in ("cache_check", "rules", "sample_caches", "tests"):
        leave = shutil.ignore_patterns("__pycache__", "golden", "pages", "libreoffice", "pictures")
        shutil.copytree(ROOT / name, there / name, ignore=leave)
    shutil.copy(ROOT / "pyproject.toml", there)
    for written in RECIPES.values():
        for name, (old, new) in written.items():
            path = there / place(name)
            text = path.read_text(encoding="utf-8") if path.exists() else ""
            before, found, after = text.rpartition(old) if old else (text, "", "")
            assert found == old
            path.write_text(before + new + after, encoding="utf-8")
    return there


def place(name: str) -> str:
    """A path as the recipes write it, from the top of the checkout."""
    name = name.strip()
    return name if name.startswith(("rules/", "tests/")) else f"cache_check/{name}"


def run(there: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Python in the copy."""
    return subprocess.run(
        [sys.executable, *arguments], cwd=there, env=environment() | {"PYTHONPATH": str(there)}, capture_output=True,
        text=True, timeout=120, check=False,
    )  # fmt: skip


def answer(there: Path, *arguments: str) -> Any:
    """What a command of the copy says in JSON."""
    return json.loads(run(there, "-m", "cache_check", *arguments, *ON, "--format", "json").stdout)["answers"][0]


@pytest.mark.parametrize("recipe", RECIPES)
def test_the_page_names_every_file(recipe: str) -> None:
    """No file has to be written that the recipe does not name, be it by its folder or with its kind left open."""
    found = re.search(rf"\*\*{recipe}\.?\*\*(.*?)\n\n", PAGE, re.DOTALL)
    assert found
    for name in RECIPES[recipe]:
        open_name = re.sub(r"(few_extensions|odd_notes|heads)(?=\.py)", "<name>", name.strip())
        said = re.sub(r"<\w+>", "<name>", found[1])
        assert f"`{open_name}`" in said or f"`{open_name.rpartition('/')[0]}/`" in said, name


def test_a_rule_and_a_kind_forbid(copy: Path) -> None:
    """Both rules forbid a strut; a need that the new kind alone stands against is told so."""
    stack = ("hinged-base", "extension-22", "long-body", "edge-head")
    broken = {one["rule"] for one in answer(copy, "build", RIG, *stack)["verdict"]["broken"]}
    needs = copy / "needs.yaml"
    far = "{needs: [{id: far, count: 1, length: 90, restrained: false}]}"
    needs.write_text(f"needs: x\nunits: us\nscenes:\n  x: {far}\n", encoding="utf-8")
    told = run(copy, "-m", "cache_check", "check", RIG, "--needs", str(needs), *ON, "--set", "NEW-1=off").stdout

    assert {"NEW-1", "NEW-2"} <= broken
    assert re.search(r"far 0 of 1 .*\(NEW-2", " ".join(told.split())), told


def test_the_guards_of_rules_are_content(copy: Path) -> None:
    """Nothing more is asked of a new rule or kind than the recipe says."""
    asked = "unique or known or NEW or put_to_work or every_rule_has"
    there = copy / "tests" / "house" / "test_rules_guard.py"
    done = run(copy, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", "-n", "0", str(there), "-k", asked)

    assert done.returncode == 0, done.stdout[-2000:]


def test_a_column_is_in_the_table(copy: Path) -> None:
    """The column stands in the page and in CSV."""
    asked = ("-m", "cache_check", "reach", RIG, "--limit", "99", "--show", "assemblies", *ON)
    heads, first, *_ = run(copy, *asked, "--format", "csv").stdout.splitlines()

    assert heads.endswith(",loose pins")
    assert first.endswith(",2")
    assert "joints" in run(copy, *asked).stdout


def test_a_command_answers(copy: Path) -> None:
    """The command is on the front page and gives its table; the verb is there by name."""
    assert "\n  heads " in run(copy, "-m", "cache_check", "--help").stdout
    done = run(copy, "-m", "cache_check", "heads", RIG, "--format", "csv")
    assert done.stdout.startswith("rig,part,counted\n"), done.stderr
    assert len(done.stdout.splitlines()) > 2
