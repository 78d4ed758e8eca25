"""The table of limits for unmarked webbing and chain, and what a strap or chain is taken to hold.

Cell by cell the table is held against its source in ``tests/published/test_published_tiedowns.py``.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cache_check.errors import InputError
from cache_check.files.rules import default_wll
from cache_check.loads.rating import TieRating, rating_of
from cache_check.model.part import Chain, Strap
from cache_check.units import NEWTON_PER_LBF


def strap(**fields: Any) -> TieRating:
    """The rating of a strap."""
    written = {"id": "F/s", "family": "F"} | fields
    return rating_of(Strap.model_validate(written, context={"units": "us"}))


def chain(**fields: Any) -> TieRating:
    """The rating of a chain."""
    written = {"id": "F/c", "family": "F"} | fields
    return rating_of(Chain.model_validate(written, context={"units": "us"}))


def pounds(rating: TieRating) -> object:
    """The rated tension in lbf, None where it is unknown."""
    return None if rating.rated is None else rating.rated / NEWTON_PER_LBF


def test_a_mark_always_wins() -> None:
    """A marked limit stands, over or under the table's figure for the size."""
    assert pounds(strap(wll=5000, size=2)) == 5000
    assert pounds(chain(wll=100, size="3/8 in", grade=80)) == 100


def test_unmarked_webbing_takes_the_figure_of_its_width() -> None:
    """4 in of web are 4,000 lbf, in either unit system; of the two figures for 2 in the lower one stands."""
    assert pounds(strap(size=4)) == pounds(strap(size="101.6 mm")) == 4000
    assert pounds(strap(size=2)) == 2000
    assert "49 CFR 393.108" in strap(size=2).by


def test_unmarked_chain_is_grade_30() -> None:
    """3/8 in of chain without a grade are 2,650 lbf, of grade 80 7,100."""
    assert pounds(chain(size="3/8 in")) == pounds(chain(size="3/8 in", grade=30)) == 2650
    assert pounds(chain(size="3/8 in", grade=80)) == 7100
    assert "as unmarked chain" in chain(size="3/8 in").by


@pytest.mark.parametrize("rating", [strap(), strap(size="2.01 in"), chain(), chain(size="10 mm", grade=80)])
def test_what_the_table_does_not_list_is_unknown(rating: TieRating) -> None:
    """No size, or one between two rows, is unknown; nothing is interpolated."""
    assert rating.rated is None
    assert "unknown" in rating.by


def test_a_broken_table_is_refused_with_its_place(tmp_path: Path) -> None:
    """A figure that is no number of pounds is told with its line."""
    (tmp_path / "default_wll.yaml").write_text(
        "default_wll:\n  source: x\n  status: read\n  unmarked_chain_grade: 30\n  chain: []\n"
        '  webbing:\n    - {size_in: "2", wll_lbf: many, source: x, status: read}\n',
        encoding="utf-8",
    )
    with pytest.raises(InputError, match=r"default_wll.yaml:7:.*'many' is not a force"):
        default_wll(tmp_path)
