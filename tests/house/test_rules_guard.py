"""The rules as data hold together: ids, words, parameters, code, and an example each way."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from builders import change, rescue_41
from rule_examples import EXAMPLES, reported

from cache_check.files.rules import read_rules
from cache_check.joining.kind import SUMMED, kinds_in_force
from cache_check.model.rule import ParameterType, Rule, Stricter

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "cache_check"
KNOWN = Path(__file__).with_name("known_rule_ids.txt")
RULES = read_rules().rules
BY_ID = {rule.id: rule for rule in RULES}
VERBS = ("check", "gaps", "load", "audit")
KIND_FOLDERS = (PACKAGE / "joining" / "kinds", PACKAGE / "checks" / "kinds")
TYPES: dict[ParameterType, type] = {
    "count": int, "days": int, "length": int, "force": Fraction, "mass": Fraction, "angle": Fraction,
    "pressure": Fraction,
    "ratio": Fraction, "switch": bool, "words": tuple,
}  # fmt: skip
WAYS: dict[ParameterType, tuple[Stricter, ...]] = {"switch": ("on", "off"), "words": ("fewer", "more")}


def _known() -> dict[str, bool]:
    """Rule ids that were ever used, and whether each is retired."""
    lines = [line.split("#")[0].split() for line in KNOWN.read_text(encoding="utf-8").splitlines()]
    return {line[0]: line[1:] == ["retired"] for line in lines if line}


@cache
def _parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def _calls(tree: ast.AST, method: str) -> Iterator[ast.Call]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and method in (getattr(node.func, "attr", ""), getattr(node.func, "id", "")):
            yield node


def _words(calls: Iterable[ast.Call]) -> set[str]:
    """The texts that stand as plain arguments of calls."""
    return {
        word.value
        for call in calls
        for word in call.args
        if isinstance(word, ast.Constant) and isinstance(word.value, str)
    }


def _readers(kind: str) -> list[ast.AST]:
    """What puts rules of a kind to work: its own code with what that names in its file, and files that ask for it."""
    asking = ("of_kind", "in_force", "ruled")
    trees = [_parsed(path) for path in _naming(kind)]
    asks = [tree for tree in trees if any(kind in _words(_calls(tree, method)) for method in asking)]
    return [*_named(_written().get(kind, [])), *asks]


@cache
def _written() -> dict[str, list[tuple[ast.AST, ast.Module]]]:
    """By kind what is written of it in the folders of kinds, each with its file."""
    found: dict[str, list[tuple[ast.AST, ast.Module]]] = {}
    for path in (path for folder in KIND_FOLDERS for path in folder.glob("*.py")):
        for name, node in _top(_parsed(path)).items():
            verb, _, of_verb = name.partition("_")
            kind = of_verb if verb in VERBS else re.sub(r"\B(?=[A-Z])", "_", name).lower()
            if verb in VERBS or (isinstance(node, ast.ClassDef) and not name.startswith("_")):
                found.setdefault(kind, []).append((node, _parsed(path)))
    return found


def _top(tree: ast.Module) -> dict[str, ast.AST]:
    """By name what a file defines or assigns; no name stands for two things."""
    pairs: list[tuple[str, ast.AST]] = []
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            pairs.append((node.name, node))
        elif isinstance(node, ast.Assign):
            pairs += [(one.id, node) for one in node.targets if isinstance(one, ast.Name)]
    assert len(pairs) == len(dict(pairs))
    return dict(pairs)


def _named(nodes: list[tuple[ast.AST, ast.Module]]) -> list[ast.AST]:
    """These, and what of their own file they name, and so on."""
    found: list[ast.AST] = []
    nodes = [*nodes]
    while nodes:
        node, tree = nodes.pop()
        if node not in found:
            found.append(node)
            names = {one.id for one in ast.walk(node) if isinstance(one, ast.Name)}
            nodes += [(there, tree) for name, there in _top(tree).items() if name in names]
    return found


def _naming(kind: str) -> list[Path]:
    """The files with a kind's name in quotes; only these are parsed."""
    return [path for path, text in _texts() if f'"{kind}"' in text]


@cache
def _texts() -> list[tuple[Path, str]]:
    return [(path, path.read_text(encoding="utf-8")) for path in PACKAGE.rglob("*.py")]


def test_rule_ids_are_unique() -> None:
    """No two rules share an id, in whichever files they stand."""
    ids = [rule.id for rule in RULES]

    assert len(ids) == len(set(ids))


def test_rule_ids_are_known_and_none_comes_back() -> None:
    """Every rule is on the list of known ids, and an id that is gone from the rules is marked retired for good."""
    known = _known()

    assert {name for name, retired in known.items() if not retired} == set(BY_ID)


def test_known_rule_ids_only_grow() -> None:
    """No id that was ever committed to the list is missing from it, so that none is given out twice."""
    git = shutil.which("git")
    if git is None or not (ROOT / ".git").exists():
        pytest.skip("the history is not here")
    log = subprocess.run(
        [git, "log", "--format=", "-p", "--", str(KNOWN)], cwd=ROOT, capture_output=True, text=True, check=True
    )
    added = {line[1:].split()[0] for line in log.stdout.splitlines() if line[:1] == "+" and line[1:2].isalpha()}

    assert added <= set(_known())


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_every_rule_says_where_it_comes_from(rule: Rule) -> None:
    """A rule names its source, or says that it has none, and speaks in whole words."""
    assert rule.source.strip()
    assert rule.remedy[0].islower()
    assert not rule.remedy.endswith(".")
    assert rule.title[0].isupper()


@pytest.mark.parametrize("kind", sorted({rule.kind for rule in RULES}))
def test_every_kind_is_put_to_work(kind: str) -> None:
    """A rule is never only words: some code checks it, or reads it while it plans."""
    assert _readers(kind)


def test_every_kind_that_is_written_has_a_rule() -> None:
    """No check lies idle in the folders of kinds, and none is written twice."""
    assert _written().keys() - {rule.kind for rule in RULES} == set()
    for folder in KIND_FOLDERS:
        names = [name for path in folder.glob("*.py") for name in _top(_parsed(path)) if not name.startswith("_")]
        assert len(names) == len(set(names)), folder


def test_every_sum_goes_over_extensions_and_adapters_alone() -> None:
    """A kind that measured a fitting or a body would be taken for one that bounds struts, and does not."""
    catalogue = rescue_41().catalogue
    others = [part for part in catalogue.parts if part.kind not in SUMMED]
    kinds = kinds_in_force(read_rules(), catalogue)

    assert {part.kind for part in others} >= {"body", "fitting", "pin", "strap"}
    assert [(kind.rule.id, part.id) for kind in kinds for part in others if kind.measure(part)] == []
    assert any(kind.measure(part) for kind in kinds for part in catalogue.parts)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_parameters_are_typed(rule: Rule) -> None:
    """Each value is of its declared type in base units, and says which way is stricter and what it is."""
    for name, parameter in rule.parameters.items():
        assert type(parameter.value) is TYPES[parameter.type], name
        assert parameter.stricter in WAYS.get(parameter.type, ("lower", "higher")), name
        assert parameter.about, name


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_parameters_are_read(rule: Rule) -> None:
    """No parameter is there for show: the code of the rule's kind reads each by its name."""
    read = _words([call for tree in _readers(rule.kind) for name in ("value", "ruled") for call in _calls(tree, name)])

    assert set(rule.parameters) <= read


def test_every_rule_has_its_examples() -> None:
    """Each rule has an example that keeps it and one that breaks it."""
    assert set(EXAMPLES) == set(BY_ID)


@pytest.mark.parametrize("rule", sorted(EXAMPLES))
def test_the_example_that_keeps_the_rule_is_not_reported(rule: str) -> None:
    """An example that keeps a rule is told nothing but what its entry names."""
    keeps, _ = EXAMPLES[rule]

    assert reported(keeps) == keeps.says
    assert rule not in keeps.says


@pytest.mark.parametrize("rule", sorted(EXAMPLES))
def test_the_example_that_breaks_the_rule_is_reported(rule: str) -> None:
    """An example that breaks a rule is told exactly that."""
    _, breaks = EXAMPLES[rule]

    assert breaks.says
    assert reported(breaks) == breaks.says


@pytest.mark.parametrize("rule", sorted(rule.id for rule in RULES if not rule.fixed))
def test_a_rule_that_is_off_is_silent(rule: str) -> None:
    """Switched off, a rule no longer reports what broke it."""
    _, breaks = EXAMPLES[rule]
    own = breaks.says if rule not in breaks.says and len(breaks.says) == 1 else {rule}

    assert not reported(breaks, change(rule, on=False)) & own
