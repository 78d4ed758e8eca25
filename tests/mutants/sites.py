"""Small changes to a function that a test ought to notice: where each could be made, and the changed code itself."""

from __future__ import annotations

import ast
import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import CodeType

TURNED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.Gt), ast.LtE: (ast.Lt, ast.GtE), ast.Gt: (ast.GtE, ast.Lt), ast.GtE: (ast.Gt, ast.LtE),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.In: (ast.NotIn,), ast.NotIn: (ast.In,), ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
}  # fmt: skip
SIGNS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult,
    ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd, ast.LShift: ast.RShift, ast.RShift: ast.LShift,
}  # fmt: skip
TWINS = {"min": "max", "max": "min", "any": "all", "all": "any"}
Function = ast.FunctionDef | ast.AsyncFunctionDef
Change = Callable[[ast.AST], ast.AST]


@dataclass(frozen=True)
class Mutant:
    """One change: ``number`` of the node in its file's walk, and which of the changes of that node."""

    file: str
    function: str
    line: int
    number: int
    which: int
    was: str
    now: str
    text: str

    @property
    def key(self) -> str:
        """What tells it from every other, and from itself in another state of the file."""
        return f"{self.file}:{self.line} {self.function} [{self.number}.{self.which}] {self.was} => {self.now}"

    @property
    def named(self) -> str:
        """What tells it by the text of its line, wherever in the file that stands."""
        return f"{self.file} | {self.text} | {self.was} => {self.now}"


def mutants(path: Path, root: Path) -> Iterator[Mutant]:
    """Every change that could be made within the functions of a file."""
    source = path.read_text(encoding="utf-8")
    tree, texts = ast.parse(source), source.splitlines()
    owners = dict(_owned(tree, ""))
    for number, node in enumerate(ast.walk(tree)):
        if number in owners:
            for which, change in enumerate(_changes(node)):
                new = change(copy.deepcopy(node))
                was, now = (" ".join(ast.unparse(one).split())[:90] for one in (node, new))
                line = node.ifs[0].lineno if isinstance(node, ast.comprehension) else node.lineno  # type: ignore[attr-defined]
                file, text = str(path.relative_to(root)), texts[line - 1].strip()
                yield Mutant(file, owners[number], line, number, which, was, now, text)


def changed(mutant: Mutant, root: Path) -> CodeType:
    """The code of the mutant's outermost function, with the change in it."""
    path = root / mutant.file
    tree = ast.parse(path.read_text(encoding="utf-8"))
    target = list(ast.walk(tree))[mutant.number]
    new = ast.copy_location(list(_changes(target))[mutant.which](copy.deepcopy(target)), target)

    class _Put(ast.NodeTransformer):
        def visit(self, node: ast.AST) -> ast.AST:
            return new if node is target else self.generic_visit(node)

    _Put().visit(tree)
    whole = compile(ast.fix_missing_locations(tree), str(path), "exec")
    return next(code for code in _codes(whole) if code.co_qualname == mutant.function)


def _codes(code: CodeType) -> Iterator[CodeType]:
    yield code
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield from _codes(inner)


def _owned(tree: ast.Module, prefix: str) -> Iterator[tuple[int, str]]:
    """The nodes that stand in a function's body, by their number in the walk, with the function's qualified name."""
    numbers = {id(node): number for number, node in enumerate(ast.walk(tree))}

    def within(node: ast.AST, names: str) -> Iterator[tuple[int, str]]:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, Function):
                for inner in (one for statement in child.body for one in _plain(statement)):
                    yield numbers[id(inner)], names + child.name
            elif isinstance(child, ast.ClassDef):
                yield from within(child, f"{names}{child.name}.")

    yield from within(tree, prefix)


def _plain(node: ast.AST) -> Iterator[ast.AST]:
    """The nodes below one, but for what is only said of types."""
    yield node
    for name, value in ast.iter_fields(node):
        if name not in ("annotation", "returns", "decorator_list"):
            for child in value if isinstance(value, list) else [value]:
                if isinstance(child, ast.AST):
                    yield from _plain(child)


def _changes(node: ast.AST) -> Iterator[Change]:  # noqa: C901, PLR0912 - a branch a kind of node
    """What could be changed at one node, each as a function of a copy of it."""
    match node:
        case ast.Compare(ops=[op]):
            for other in TURNED[type(op)]:
                yield _with("ops", [other()])
        case ast.BinOp(op=op) | ast.AugAssign(op=op) if type(op) in SIGNS:
            yield _with("op", SIGNS[type(op)]())
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            yield lambda _, operand=operand: operand  # type: ignore[misc]
        case ast.BoolOp(op=op):
            yield _with("op", ast.Or() if isinstance(op, ast.And) else ast.And())
        case ast.Constant(value=bool() as value):
            yield _with("value", not value)
        case ast.Constant(value=int() as value):
            yield _with("value", value + 1)
            yield _with("value", value - 1)
        case ast.Return(value=ast.expr() as value) if not (isinstance(value, ast.Constant) and not value.value):
            yield _with("value", ast.Constant(None))
        case ast.If(test=test) | ast.While(test=test) | ast.IfExp(test=test):
            yield _with("test", ast.UnaryOp(ast.Not(), test))
        case ast.comprehension(ifs=[test, *others]):
            yield _with("ifs", [ast.UnaryOp(ast.Not(), test), *others])
        case ast.Call(func=func, args=args, keywords=named):
            if isinstance(func, ast.Name) and func.id in TWINS:
                yield _with("func", ast.Name(TWINS[func.id], ast.Load()))
            if args:
                yield _with("args", args[:-1])
            if named:
                yield _with("keywords", named[:-1])


def _with(field: str, value: object) -> Change:
    def change(node: ast.AST) -> ast.AST:
        setattr(node, field, value)
        return node

    return change
