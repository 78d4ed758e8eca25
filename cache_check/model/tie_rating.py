"""What one strap or chain is rated for: its mark, else the published default for its size, else unknown."""

from __future__ import annotations

from fractions import Fraction

from cache_check.frozen import dataclass
from cache_check.model.part import Chain, Tie


@dataclass(frozen=True)
class DefaultWll:
    """Working load limits (N) that stand in for a missing mark: webbing by width, chain by size and grade (nm)."""

    webbing: tuple[tuple[int, Fraction], ...]
    chain: tuple[tuple[int, int, Fraction], ...]
    unmarked_grade: int
    source: str


@dataclass(frozen=True)
class TieRating:
    """The rated tension (N) of a strap or chain, None where it is unknown, and where it comes from."""

    rated: Fraction | None
    by: str


def rating_of(tie: Tie, table: DefaultWll) -> TieRating:
    """The rating of one tie.  A mark always wins; a size that the table does not list stays unknown."""
    if tie.wll is not None:
        return TieRating(tie.wll, "marked")
    if tie.size is None:
        return TieRating(None, "no mark and no size: unknown")
    if isinstance(tie, Chain):
        grade = tie.grade or table.unmarked_grade
        found = {(size, of): wll for size, of, wll in table.chain}.get((tie.size, grade))
        said = f"grade {grade}" + ("" if tie.grade else ", as unmarked chain")
    else:
        found, said = dict(table.webbing).get(tie.size), "webbing"
    if found is None:
        return TieRating(None, f"no mark, and the size is not listed ({said}): unknown")
    return TieRating(found, f"no mark: {table.source} for its size ({said})")
