"""The drawing of ``buy`` in a file."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from cli.running import ON, cache_check

ASKED = ("buy", "rescue-44.yaml", "--needs", "needs.yaml", "--prices", "prices.yaml", *ON)


def texts(path: Path) -> str:
    """What a drawing says, line by line."""
    return "\n".join(re.findall(r"<text[^>]*>(.*?)</text>", path.read_text(), flags=re.DOTALL))


def test_drawing_says_what_it_rests_on(tmp_path: Path) -> None:
    """Caution, steps, the day of the prices and their currency stand in the drawing; stdout is the page alone."""
    made = tmp_path / "buy.svg"
    run = cache_check(*ASKED, "--format", "json", "--plot", made)

    assert run.returncode == 0
    assert json.loads(run.stdout)["schema"] == "cache-check/buy/2"
    said = " ".join(texts(made).split())
    assert "This is a planning aid. It is not a load rating" in said
    assert "Quillfen quote 1, dated 2026-02-16, in USD" in said
    assert "rated: Car on its side: roof side" in said
    assert "assembled at once: Low contact under 31 in: low sill" in said
    assert "8,558.00 USD for 14 pieces to meet every scene" in said
    assert "cost, USD" in said


def test_page_is_the_same_with_a_drawing_and_without(tmp_path: Path) -> None:
    """What goes to stdout does not change with ``--plot``, and the same question draws the same file."""
    one, two = tmp_path / "one.svg", tmp_path / "two.svg"

    assert cache_check(*ASKED, "--plot", one).stdout == cache_check(*ASKED).stdout
    cache_check(*ASKED, "--plot", two)
    assert one.read_bytes() == two.read_bytes()


@pytest.mark.parametrize(("name", "begins"), [("buy.png", b"\x89PNG"), ("buy.PDF", b"%PDF")])
def test_other_kinds_of_file(tmp_path: Path, name: str, begins: bytes) -> None:
    """PNG and PDF are written by their suffix, whatever its case."""
    assert cache_check(*ASKED, "--plot", tmp_path / name).returncode == 0
    assert (tmp_path / name).read_bytes().startswith(begins)


@pytest.mark.parametrize("name", ["buy.gif", "buy", "no/such/folder/buy.svg"])
def test_file_that_cannot_be_is_refused(tmp_path: Path, name: str) -> None:
    """A suffix that is no drawing, or a folder that is not there: exit 2, a reason, no page and no file."""
    run = cache_check(*ASKED, "--plot", tmp_path / name)

    assert run.returncode == 2
    assert run.stdout == ""
    assert name in run.stderr.splitlines()[-1]
    assert list(tmp_path.iterdir()) == []


def test_short_scene_says_so_in_the_drawing(tmp_path: Path) -> None:
    """What is short today says SHORT in words, not by its bar alone."""
    made = tmp_path / "buy.svg"
    cache_check(*ASKED, "--budget", "200", "--plot", made)

    assert "1, 3 SHORT" in texts(made)
    assert "does the most that such a budget buys" in texts(made)


def test_moves_at_a_price_are_priced_without_a_currency(tmp_path: Path) -> None:
    """Fourteen pieces at 20.00 each: the steps say what they cost, and the axis that it is cost."""
    made = tmp_path / "buy.svg"
    given = ("--as-is", "--from", "rescue-41.yaml", "--move-price", "20", "--show", "all")
    run = cache_check("buy", "rescue-44.yaml", "--needs", "needs.yaml", *given, "--plot", made, *ON)

    assert "280.00" in run.stdout
    assert "cost" in texts(made).splitlines()


def test_budget_without_prices_is_refused() -> None:
    """Money cannot be spent where nothing has a price: one line, exit 2."""
    run = cache_check("buy", "rescue-44.yaml", "--needs", "needs.yaml", "--budget", "3", *ON)

    assert (run.returncode, run.stdout, run.stderr.count("\n")) == (2, "", 1)
