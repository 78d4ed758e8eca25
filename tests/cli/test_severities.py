"""How grave an answer is, from results made by hand."""

from __future__ import annotations

from dataclasses import replace

from report.sample_results import build_result, check_result, finding, links, tally

from cache_check.cli.output import severities


def test_need_that_is_not_met_is_short_without_any_finding() -> None:
    """The exit status does not depend on a rule that somebody may have switched off."""
    (scene,) = check_result().scenes
    met = tally(links=links("holds"))
    whole = replace(scene, links=links("holds"))

    assert list(severities("check", [check_result(findings=(), scenes=(whole,))])) == ["short"]
    assert list(severities("check", [check_result(findings=(), tallies=(met,))])) == ["short"]
    assert not list(severities("check", [check_result(findings=(), tallies=(met,), scenes=(whole,))]))
    unknown = tally(links=links("unknown"))
    assert list(severities("check", [check_result(findings=(), tallies=(unknown,), scenes=(whole,))])) == ["short"]


def test_tally_without_a_need_is_never_short() -> None:
    """Round lengths are looked at, not wanted."""
    asked = tally(wanted=None)

    assert list(severities("check", [check_result(tallies=(asked,), scenes=(), findings=(finding(),))])) == ["short"]
    assert not list(severities("check", [check_result(tallies=(asked,), scenes=(), findings=())]))


def test_build_short_of_pieces_is_short_and_one_that_is_not_legal_a_stop() -> None:
    """A verdict's severities are those of the rules it breaks, and "short" where pieces lack."""
    assert list(severities("build", [build_result()])) == ["stop"]
    assert list(severities("build", [build_result(legal=True)])) == ["short"]
