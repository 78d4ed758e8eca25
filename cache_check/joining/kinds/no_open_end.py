"""Both ends of a stack are closed by a fitting."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.model.part import Part


class Check(Kind):
    """Part of what an assembly is; enumeration makes it true by construction."""

    def stack(self, parts: tuple[Part, ...]) -> str | None:
        if not parts or (len(parts) == 1 and parts[0].kind == "fitting"):
            return "nothing closes the ends; a strut needs a base below and a head above"
        open_ends = [
            f"the {side} end of {part.name}"
            for part, side in ((parts[0], "lower"), (parts[-1], "upper"))
            if part.kind != "fitting"
        ]
        return f"{' and '.join(open_ends)} left open" if open_ends else None
