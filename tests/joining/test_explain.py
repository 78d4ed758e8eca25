"""Explaining a stack in words: every broken rule is named, each by a stack that breaks it alone."""

from __future__ import annotations

import pytest
from builders import rescue_41
from laws import books

from cache_check.joining.assemblies import Joinery
from cache_check.joining.explain import explain
from cache_check.model.assembly import Legality
from cache_check.model.part import End

INCH = 25_400_000


def _joined(**changed: int) -> Joinery:
    cache = rescue_41(**changed)
    return Joinery(cache.catalogue, cache.counted, books.book(cache.settings))


def _explained(*names: str, **changed: int) -> Legality:
    joined = _joined(**changed)
    return explain([joined.catalogue.by_id[f"P/{name}"] for name in names], joined)


BROKEN = {
    "EXT-1": ("hinged-base", "short-body", "extension-10", "extension-10", "extension-10", "edge-head"),
    "EXT-2": ("hinged-base", "short-body", "extension-22", "extension-22", "edge-head"),
    "MAT-2": ("hinged-base", "short-body", "long-body", "edge-head"),
    "MAT-3": ("hinged-base", "short-body"),
    "MAT-4": ("edge-head", "short-body", "edge-head"),
}


@pytest.mark.parametrize("rule", BROKEN)
def test_each_rule_by_a_stack_that_breaks_it(rule: str) -> None:
    """The rule is named with its source and remedy, and the stack is not legal."""
    verdict = _explained(*BROKEN[rule])

    assert not verdict.legal
    assert verdict.assembly is None
    assert rule in {broken.rule for broken in verdict.broken}
    assert all(broken.says and broken.source and broken.remedy for broken in verdict.broken)


@pytest.mark.parametrize(
    ("names", "says"),
    [
        (("hinged-base",), "nothing closes the ends; a strut needs a base below and a head above"),
        (("short-body",), "the lower end of short-body and the upper end of short-body left open"),
        (("hinged-base", "short-body"), "the upper end of short-body left open"),
        (("short-body", "edge-head"), "the lower end of short-body left open"),
        (("hinged-base", "edge-head"), "0 strut bodies (none); a strut has exactly one"),
        (("hinged-base", "point-head", "short-body", "edge-head"),
         "point-head between other parts; fittings stand at the two ends only"),
        (("hinged-base", "short-body", "extension-10", "extension-22", "extension-22", "edge-head"),
         "extension-22 is longer than extension-10, which is nearer the body"),
    ],
)  # fmt: skip
def test_what_is_said_of_a_stack(names: tuple[str, ...], says: str) -> None:
    """Word for word, so that the part that is wrong is the one that is named."""
    assert says in [broken.says for broken in _explained(*names).broken]


def test_what_an_end_takes_is_said() -> None:
    """A head that only bodies may meet names them."""
    joined = _joined()
    only = joined.catalogue.by_id["P/edge-head"].changed(end=End(connector="P", takes=frozenset({"body"})))
    parts = [only if part.id == only.id else part for part in joined.catalogue.parts]
    joined = Joinery(joined.catalogue.changed(parts=tuple(parts)), joined.counts, books.book())
    stack = [joined.catalogue.by_id[f"P/{name}"] for name in ("hinged-base", "short-body", "extension-10", "edge-head")]

    assert [one.says for one in explain(stack, joined).broken] == [
        "the lower side of edge-head takes body only, not extension-10"
    ]


def test_a_part_that_fits_one_way_up_is_said_to_be_wrong_in_nothing_else() -> None:
    """An extension whose lower end meets nothing: turned over it stands, and only lacks the head above it."""
    joined = _joined()
    odd, extension = End(connector="X"), joined.catalogue.by_id["P/extension-10"]
    either = extension.changed(id="P/either", lower=odd, either_way_up=True)
    stack = [*(joined.catalogue.by_id[f"P/{name}"] for name in ("hinged-base", "short-body")), either]

    assert [one.rule for one in explain(stack, joined).broken] == ["MAT-3"]


def test_two_extensions_of_22_are_12_inches_over() -> None:
    """44 in of extension against the family's 32 in is said in figures; one fewer is the nearest legal build."""
    verdict = _explained(*BROKEN["EXT-2"])

    says = next(broken.says for broken in verdict.broken if broken.rule == "EXT-2")
    assert "44" in says
    assert "32" in says
    assert verdict.changes == 1
    assert verdict.nearest is not None
    assert verdict.nearest.parts.count("P/extension-22") == 1


def test_a_limit_met_exactly_is_met() -> None:
    """10 + 22 = 32 in is not over 32 in: 26.5 + 32 + 3 + 2 = 63.5 in closed, 76 in open, five joints less one."""
    verdict = _explained("hinged-base", "short-body", "extension-22", "extension-10", "edge-head")

    assert verdict.legal
    assert verdict.assembly is not None
    assert (verdict.assembly.closed, verdict.assembly.open) == (round(63.5 * INCH), 76 * INCH)
    assert (verdict.assembly.joints, verdict.assembly.pins) == (4, (("P/joint-pin", 4),))
    assert verdict.assembly.parts == verdict.parts


def test_shorter_next_to_the_body_is_only_watched() -> None:
    """EXT-3 is said, and the stack is legal all the same."""
    verdict = _explained("hinged-base", "short-body", "extension-10", "extension-22", "edge-head")

    assert verdict.legal
    assert [(broken.rule, broken.severity) for broken in verdict.broken] == [("EXT-3", "watch")]


def test_legal_but_short_of_pieces() -> None:
    """A flat fitting at both ends takes two; with one the stack is legal, and the nearest build has another head."""
    verdict = _explained("flat-fitting", "short-body", "flat-fitting", flat_fitting=1)

    assert verdict.legal
    assert verdict.short_of == (("P/flat-fitting", 2, 1),)
    assert verdict.nearest is not None
    assert (verdict.changes, verdict.nearest.body) == (1, "P/short-body")


def test_nothing_can_be_built() -> None:
    """A cache without bodies has no nearest build."""
    verdict = _explained("hinged-base", "short-body", "edge-head", short_body=0, long_body=0)
    assert (verdict.nearest, verdict.changes) == (None, 0)

    joined = Joinery(_joined().catalogue, {}, books.book())
    verdict = explain(
        [joined.catalogue.by_id[f"P/{name}"] for name in ("hinged-base", "short-body", "edge-head")], joined
    )
    assert {(have, n) for _, n, have in verdict.short_of} == {(0, 1), (0, 2)}


def test_the_one_piece_of_a_fitting_is_not_at_both_ends_of_the_nearest() -> None:
    """With one flat fitting and nothing else to stand on, nothing can be built; with two it can."""
    none = {"hinged_base": 0, "edge_head": 0, "point_head": 0}

    assert _explained("flat-fitting", "short-body", "flat-fitting", flat_fitting=1, **none).nearest is None
    assert _explained("flat-fitting", "short-body", "flat-fitting", flat_fitting=2, **none).changes == 0
