"""What libraries do at every start and nobody here has use for is spared: it took a sixth to a quarter of a command."""

import os
import sys
from importlib import import_module
from importlib.machinery import ModuleSpec
from types import ModuleType
from typing import Any, cast


class _Reader:
    """PyYAML's reader in Python, which becomes that when it is first made; the one in C does without."""

    def __init__(self, stream: object) -> None:
        for name, what in vars(_itself("yaml.reader").Reader).items():
            if callable(what) or not name.startswith("__"):
                setattr(_Reader, name, what)
        _Reader.__init__(self, stream)


# No plug-in of pydantic's is wanted here, and looking for some at every start costs as much as reading a cache: the
# finder of plug-ins, for which pydantic would load all of importlib.metadata, is one that finds none.  Nor does anybody
# read here what numpy says of itself, which it adds to its functions for a third of what it takes to load, or ask the
# types that it states, a quarter of the rest.  PyYAML's reader in Python compiles a pattern that takes as long.
SPARED: dict[str, dict[str, object]] = {
    "pydantic.plugin._loader": {"get_plugins": tuple},
    "numpy._core._add_newdocs": {},
    "numpy._core._add_newdocs_scalars": {},
    "numpy._typing": {"NDArray": list},
    "yaml.reader": {"Reader": _Reader, "ReaderError": type("ReaderError", (ValueError,), {})},
}
"""Parts of libraries, and what each start asks of them; asked for more, they are loaded after all."""


def _itself(name: str) -> ModuleType:
    del SPARED[name], sys.modules[name]
    return import_module(name)


class _StandIn(ModuleType):
    """Is found in place of a part that is spared."""

    @classmethod
    def find_spec(cls, name: str, *_: object) -> ModuleSpec | None:
        return ModuleSpec(name, cast("Any", cls)) if name in SPARED else None

    create_module = classmethod(lambda cls, spec: cls(spec.name))
    exec_module = staticmethod(lambda made: made.__dict__.update(SPARED[made.__name__]))

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__") or self.__name__ not in SPARED:
            raise AttributeError(name)
        vars(self).update(vars(_itself(self.__name__)))
        return getattr(self, name)


def spare() -> None:
    """Spare from now on what is not loaded yet."""
    sys.meta_path.insert(0, cast("Any", _StandIn))
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # numpy's threads start with it and are kept busy for nothing
