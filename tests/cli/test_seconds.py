"""What a clock that has run out leaves: a stop with its reason, or a part that is said to be untold; never a yes."""

from __future__ import annotations

import pytest

from cache_check.checks.costs import Counts
from cache_check.errors import NoPlanError
from cache_check.planning.packing.muster import Muster
from cache_check.planning.solving.solver import Clock
from cli.running import cache_check

WHY = "not worked out in its share of 60 s; --seconds allows more"


@pytest.fixture(autouse=True)
def _run_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Clock, "over", True)


@pytest.mark.parametrize("command", ["check", "audit"])
def test_a_count_that_is_not_proven_is_no_answer(command: str) -> None:
    """Status 4, no page, and the one reason, with what would help."""
    run = cache_check(command, "rescue-41.yaml")
    assert run.returncode == 4
    assert not run.stdout
    assert "not proven within 60 s; --seconds allows more" in run.stderr


def test_profiles_are_left_untold() -> None:
    """Reach answers without them, and says so in short, in its section and in JSON."""
    assert WHY in " ".join(cache_check("reach", "rescue-41.yaml").stdout.split())
    assert f"Not worked out: {WHY}." in " ".join(
        cache_check("reach", "rescue-41.yaml", "--show", "lengths").stdout.split()
    )
    assert WHY in cache_check("reach", "rescue-41.yaml", "--format", "json").stdout


def test_an_audit_shows_what_it_has_where_its_costs_are_not_worked_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """The needs and findings stand; of each piece out of use it says that its cost is not known, and why."""

    def late(counts: Counts, muster: Muster) -> tuple[int, ...]:
        raise NoPlanError("not proven within 60 s; --seconds allows more")

    monkeypatch.setattr(Clock, "over", False)
    monkeypatch.setattr(Counts, "of", late)
    run = cache_check("audit", "rescue-41.yaml", "rescue-41-count.csv", "--on", "2026-11-25")
    whole = cache_check("audit", "rescue-41.yaml", "rescue-41-count.csv", "--on", "2026-11-25", "--show", "costs")
    said = " ".join(run.stdout.split())

    assert run.returncode == 1
    assert "Costs most Not known of" in said
    assert "not proven within 60 s; --seconds allows more" in said
    assert "not known" in whole.stdout


def test_a_report_makes_the_sheets_that_it_can() -> None:
    """Status 4 with the file: the count sheet is whole, and where the audit and the load check would be it says why."""
    more = ("--needs", "needs.yaml", "--audit", "rescue-41-count.csv", "--load", "leaning-van.yaml")
    run = cache_check("report", "rescue-41.yaml", *more, "--seconds", "7", "-o", "-", "--on", "2026-11-25")

    assert run.returncode == 4
    assert "2 sheets not made, each says why in its place" in run.stderr
    for kind in ("load", "audit"):
        sheet = run.stdout.split(f'<article class="sheet {kind}"')[1].split("</article>")[0]
        assert "This sheet is not made: how many struts stand at once is not proven within 7 s" in sheet
        assert "Nothing is said here, neither yes nor no." in sheet
        assert "MET" not in sheet
    assert 'class="sheet count"' in run.stdout
    assert 'class="sheet door"' in run.stdout


@pytest.mark.parametrize(
    "asked",
    [
        ("rescue-41.yaml", "--only", "load", "--load", "leaning-van.yaml"),
        ("rescue-41.yaml", "--only", "audit"),
        ("rescue-41.yaml", "rescue-44.yaml", "--only", "county"),
    ],
)
def test_a_sheet_is_searched_for_as_long_as_was_asked(asked: tuple[str, ...]) -> None:
    """A load sheet, an audit page, a rig of the county's index: each stops at the limit of the line, and says which."""
    run = cache_check("report", *asked, "--seconds", "7", "-o", "-")

    assert "not proven within 7 s; --seconds allows more" in run.stdout + run.stderr
