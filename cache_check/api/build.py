"""Is this stack legal, and what is the nearest build that is?"""

from __future__ import annotations

from collections.abc import Sequence

from cache_check.api.base import WhatIf, basis_of, muster_of, names_of, part_id
from cache_check.errors import AskError
from cache_check.model.cache import Cache
from cache_check.model.result import BuildResult
from cache_check.model.rule import RuleBook


def build(cache: Cache, book: RuleBook, parts: Sequence[str], *, suppose: WhatIf | None = None) -> BuildResult:
    """Whether parts, named ground to load, may be built, and the nearest legal build of what is usable.

    Raises:
        AskError: a part that the catalogue does not know, or one that is no piece of a stack.
    """
    from cache_check.joining.explain import explain
    from cache_check.model.part import LINEAR

    muster = muster_of(cache, book, suppose)
    named = [cache.catalogue.by_id[part_id(cache, name)] for name in parts]
    for part in named:
        if part.kind not in LINEAR:
            raise AskError(
                f"{part.name} is a {part.kind}; name bases, extensions, adapters, bodies and heads only: "
                "pins and straps are counted for you"
            )
    return BuildResult(
        name=cache.id,
        title=cache.title,
        basis=basis_of(muster, suppose, asked=False),
        names=names_of(muster),
        verdict=explain(named, muster.joined),
    )
