"""A route of keys leads to the line and column that a person would point at."""

from __future__ import annotations

from cache_check.errors import did_you_mean, listed
from cache_check.files import text
from cache_check.files.mistakes import shown_route

WRITTEN = "a: 1\nb:\n  - c: 2\n  - {d: 3, e: [4, 5]}\nf:\n"


def test_a_route_leads_to_its_key() -> None:
    """Keys are pointed at, not values, so that a blank value has a place too; list entries where they begin."""
    page = text.parse(WRITTEN, "x.yaml")[1]

    def place(*route: str | int) -> tuple[int, int]:
        spot = page.spots[route]
        return spot.line, spot.column

    assert place("a") == (1, 1)
    assert place("b", 0, "c") == (3, 5)
    assert place("b", 1) == (4, 5)
    assert place("b", 1, "e", 1) == (4, 19)
    assert place("f") == (5, 1)


def test_a_missing_key_points_at_its_parent() -> None:
    """What is not there is told where it should be."""
    page = text.parse(WRITTEN, "x.yaml")[1]

    assert page.mistake(("b", 1, "missing"), "wrong").line == 4
    assert page.mistake(("b", 1, "missing"), "wrong").route == "b[2]"


def test_routes_count_from_one() -> None:
    """The first entry of a list is [1], as people count."""
    assert shown_route(("charts", 0, "rows", 2, "loads")) == "charts[1].rows[3].loads"


def test_a_long_line_is_cut() -> None:
    """A line too long to read is cut, and one whose place lies beyond the cut is not shown."""
    page = text.parse(f"a: {'x' * 500}\n'{'b' * 300}': {{c: 1}}\ncache: rig\n", "x.yaml")[1]

    assert page.mistake(("a",), "wrong").shown == "a: " + "x" * 157 + " ..."
    assert page.mistake(("b" * 300, "c"), "wrong").shown == ""


def test_a_near_name_is_offered_and_a_far_one_is_not() -> None:
    """The nearest name is offered whatever its case; nothing is offered where nothing is near."""
    assert did_you_mean("Closd", ["open", "closed"]) == "did you mean 'closed'?"
    assert did_you_mean("pull apart", ["pull_apart"]) == "did you mean 'pull_apart'?"
    assert did_you_mean("zzz", ["open", "closed"]) == ""
    assert [did_you_mean(one, ["legible", "usable"]) for one in ("Illegible", "unusable", "not legible")] == [""] * 3
    assert did_you_mean("aleggible", ["legible"]) == "did you mean 'legible'?"
    assert listed(["a", "b", "c"]) == "a, b or c"
