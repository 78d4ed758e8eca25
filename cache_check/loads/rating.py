"""What a strap or chain is rated for: its mark, else the published limit of its size, which is read only for that."""

from fractions import Fraction

from cache_check.files.rules import default_wll
from cache_check.frozen import dataclass
from cache_check.model.part import Chain, Tie


@dataclass(frozen=True)
class TieRating:
    """The rated tension (N) of a strap or chain, None where it is unknown, and where it comes from."""

    rated: Fraction | None
    by: str


def rating_of(tie: Tie) -> TieRating:
    """The rating of one tie.  A mark always wins; a size that the table does not list stays unknown."""
    if tie.wll is not None:
        return TieRating(tie.wll, "marked")
    if tie.size is None:
        return TieRating(None, "no mark and no size: unknown")
    table = default_wll()
    rows, grade, said = table.webbing, None, "webbing"
    if isinstance(tie, Chain):
        rows, grade = table.chain, tie.grade or table.unmarked_grade
        said = f"grade {grade}" + ("" if tie.grade else ", as unmarked chain")
    if (found := next((row.wll for row in rows if (row.size, row.grade) == (tie.size, grade)), None)) is None:
        return TieRating(None, f"no mark, and the size is not listed ({said}): unknown")
    return TieRating(found, f"no mark: {table.source} for its size ({said})")
