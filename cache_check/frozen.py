"""Dataclasses that are quick to define: the standard ones took a sixth of the time of a short command.

The type checker sees the standard decorator, and it keeps fields from being set.  At run time arguments, equality,
hash and text are the same, and ``replace``, ``fields`` and the like work as ever.
"""

from __future__ import annotations

import dataclasses
from functools import cache
from operator import attrgetter
from types import CodeType, FunctionType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(cls: type | None = None, *, frozen: bool = False, slots: bool = False) -> Any:
        """A dataclass; nothing of a plain one is compiled, where the standard one compiles source for each method."""
        if cls is None:
            return lambda cls: dataclass(cls, frozen=frozen, slots=slots)
        own, plain = set(vars(cls)), _plain(cls)
        made = dataclasses.dataclass(cls, init=not plain, eq=False, repr=False, slots=slots)
        for name, method in _methods(made, frozen=frozen, plain=plain).items():
            if name not in own:
                setattr(made, name, method)
        return made


def _plain(cls: type[Any]) -> bool:
    """Whether every field is an argument that is kept as it is given."""
    every = [vars(cls), *(getattr(base, "__dataclass_fields__", {}) for base in cls.__mro__[1:-1])]
    fields = [one for names in every for one in names.values() if isinstance(one, dataclasses.Field)]
    made = any(one.default_factory is not dataclasses.MISSING or not one.init for one in fields)
    return not made and not hasattr(cls, "__post_init__")


@cache
def _keeping(number: int) -> CodeType:
    """The code of an ``__init__`` that keeps so many arguments, which each class has under names of its own."""
    names = [f"field_{n}" for n in range(number)]
    source = "\n    ".join((f"def __init__(self, {', '.join(names)}):", *(f"self.{name} = {name}" for name in names)))
    return next(one for one in compile(source, __file__, "exec").co_consts if isinstance(one, CodeType))


def _methods(cls: type[Any], *, frozen: bool, plain: bool) -> dict[str, Any]:
    """Equality and hash by the fields that are compared, a text of those that are told, and what keeps them all."""
    fields = dataclasses.fields(cls)
    told = [field.name for field in fields if field.repr]
    values = attrgetter("__class__", *(field.name for field in fields if field.compare))

    def equal(self: Any, other: Any) -> Any:
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    def text(self: Any) -> str:
        return f"{type(self).__qualname__}({', '.join(f'{name}={getattr(self, name)!r}' for name in told)})"

    methods: dict[str, Any] = {"__eq__": equal, "__repr__": text, "__hash__": None}
    if frozen:
        methods["__hash__"] = lambda self: hash(values(self))
    if plain and fields:
        names, called = tuple(field.name for field in fields), f"{cls.__qualname__}.__init__"
        code = _keeping(len(names)).replace(co_varnames=("self", *names), co_names=names, co_qualname=called)
        defaults = tuple(field.default for field in fields if field.default is not dataclasses.MISSING)
        methods["__init__"] = FunctionType(code, {}, "__init__", defaults)
    return methods
