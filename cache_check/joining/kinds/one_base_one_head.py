"""A stack begins with one ground fitting, ends with one load fitting, and has exactly one body between."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.model.part import Part


class Check(Kind):
    """Part of what an assembly is; enumeration makes it true by construction."""

    def stack(self, parts: tuple[Part, ...]) -> str | None:
        bodies = [part.name for part in parts if part.kind == "body"]
        if len(bodies) != 1:
            return f"{len(bodies)} strut bodies ({', '.join(bodies) or 'none'}); a strut has exactly one"
        inside = [part.name for part in parts[1:-1] if part.kind == "fitting"]
        if inside:
            return f"{', '.join(inside)} between other parts; fittings stand at the two ends only"
        return None
