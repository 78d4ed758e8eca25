"""The office page, as a file and in a real browser, its figures against the answers of other commands."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from cli.running import ON, SAMPLES, cache_check, python
from golden.files import compare, unstyled
from golden.test_golden import settled

from pages.conftest import Opened, page_of

QUOTES = ("--prices", "prices.yaml", "--prices", "prices-2.yaml")
ASKED = ("rescue-44.yaml", "--needs", "needs.yaml", *QUOTES, "--only", "office")
COUNTY = ("rescue-41.yaml", "rescue-44.yaml", "--needs", "needs.yaml")


@cache
def asked() -> str:
    """The page of Rescue 44 with both quotes, made once."""
    return cache_check("report", *ASKED, *ON, "-o", "-").stdout


@cache
def with_one_quote() -> str:
    """The same with one quote."""
    given = ("rescue-44.yaml", "--needs", "needs.yaml", *QUOTES[:2], "--only", "office")
    return cache_check("report", *given, *ON, "-o", "-").stdout


def part(page: str, heading: str) -> str:
    """What stands under a heading."""
    return page[page.index(f">{heading}</h") :].split("</section>")[0]


def table(text: str) -> list[list[str]]:
    """The rows of the first table of a part, heads first."""
    rows = text[text.index("<table>") : text.index("</table>")].split("<tr>")[1:]
    return [
        ["".join(cell) for cell in re.findall(r"<th[^>]*>(.*?)</th>|<td[^>]*><bdi>(.*?)</bdi></td>", row)]
        for row in rows
    ]


def hundredths(amount: str) -> int:
    """An amount of the page, as "1,480.00 USD"."""
    return int(amount.removesuffix(" USD").replace(",", "").replace(".", ""))


def test_page_is_as_kept() -> None:
    """The office page of Rescue 44 with one quote is what is kept."""
    compare("report-office-rescue-44.html", unstyled(settled(with_one_quote())))


@pytest.mark.parametrize("of", ["Quillfen quote 1", "Quillfen quote 2", "all quotes together"])
def test_totals_add_up(of: str) -> None:
    """Packs times price and what is paid once make each line; the lines and freight make the total, in both."""
    text = asked()
    heads, *lines = table(part(text, f"The list, {of}"))
    at = {head.removesuffix(", USD"): n for n, head in enumerate(heads)}
    once = at.get("once")

    for line in lines:
        packs = int(line[at["packs"]].split(" of ")[0])
        paid = packs * hundredths(line[at["a pack"]]) + (hundredths(line[once]) if once else 0)
        assert hundredths(line[at["cost"]]) == paid
    cost = sum(hundredths(line[at["cost"]]) for line in lines) + (0 if of.endswith("1") else 60_00)
    pieces = sum(int(line[at["pieces"]]) for line in lines)
    assert f"{cost / 100:,.2f} USD for {pieces} pieces" in text


def test_quotes_are_named_and_what_they_leave_out() -> None:
    """Title, day and currency of each quote are there, and the parts that it does not price."""
    text = asked()

    assert "Quillfen quote 1, dated 2026-02-16, in USD" in text
    assert "Quillfen quote 2, dated 2026-03-09, in USD" in text
    assert "Quillfen quote 2: Extension 22 in, Point head" in part(text, "The list, Quillfen quote 2")


def test_list_is_that_of_buy() -> None:
    """The lines of the page cost together what ``buy`` answers, and are as many; steps are drawn only when asked."""
    text = with_one_quote()
    run = cache_check("buy", "rescue-44.yaml", "--needs", "needs.yaml", *QUOTES[:2], "--format", "json", *ON)
    found: dict[str, Any] = json.loads(run.stdout)["answers"][0]["purchases"][0]

    heads, *lines = table(part(text, "The list"))
    assert sum(hundredths(line[heads.index("cost, USD")]) for line in lines) == found["cost_hundredths"]
    assert len(lines) == len(found["lines"])
    assert found["frontier"] == []


def test_losses_are_those_of_check_without_the_piece() -> None:
    """Each cell of the loss of a base or a body is what ``check --without`` serves of that scene."""
    text = asked()
    _, today, *rows = table(part(text, "What each part&#39;s loss costs"))

    assert today[2:-1] == ["2 of 3", "2 of 3", "1 of 4", "1 of 2", "1 of 1"]
    assert rows[0][0] == "Long body"
    for row in rows[:3]:
        run = cache_check("check", "rescue-44.yaml", "--needs", "needs.yaml", "--without", f"{row[0]}=1", *ON,
                          "--format", "json")  # fmt: skip
        served = [scene["served"] for scene in json.loads(run.stdout)["answers"][0]["scenes"]]
        assert [int(cell.split(" ")[0]) for cell in row[2:-1]] == served


def test_need_that_no_list_meets_is_said_first_with_its_rule(tmp_path: Path) -> None:
    """With no extension allowed nothing reaches 97 in: said once, before any list, with the rule that forbids it."""
    page = page_of(tmp_path, *ASKED, "--set", "EXT-1.max=0").read_text()
    first = part(page, "The request")

    assert "no list meets every scene" in first
    assert first.count("Long reach over 96 in: high rail: 0 of 1 at most") == 1
    assert "forbidden by EXT-1</li>" in first
    assert page.index("forbidden by EXT-1") < page.index(">The list, ")


def test_without_prices_pieces_are_counted(tmp_path: Path) -> None:
    """Without a quote the list says pieces, and no currency is made up."""
    page = page_of(tmp_path, "rescue-44.yaml", "--needs", "needs.yaml", "--only", "office").read_text()

    assert "no prices given: " in page
    assert "pieces" in part(page, "From today to everything met")
    assert "USD" not in page


def test_rigs_side_by_side_with_the_pool(tmp_path: Path) -> None:
    """Each need has its step, each rig's struts, and all together what ``check --pool`` serves."""
    page = page_of(tmp_path, *COUNTY, "--only", "office").read_text()
    heads, *rows = table(part(page, "Rigs side by side"))
    run = cache_check("check", *COUNTY[:2], "--pool", *COUNTY[2:], *ON, "--format", "json")
    pooled = [need["served"] for scene in json.loads(run.stdout)["answers"][0]["scenes"] for need in scene["by_need"]]

    assert heads[2:] == ["wanted", "step", "Rescue 41", "Rescue 44", "all together"]
    assert [row[3] for row in rows] == ["rated"] * 4 + ["assembled at once", "rated"]
    assert [int(row[-1]) for row in rows] == pooled
    assert rows[3][2:] == ["4", "rated", "3, 1 SHORT", "1, 3 SHORT", "4"]


def test_list_not_proven_in_time_is_said_and_the_rest_stands(tmp_path: Path) -> None:
    """Where the search for a list ends without proof, the page gives none, says so, and keeps its other parts."""
    code = (
        "import sys\n"
        "from cache_check.api import buy as buying\n"
        "from cache_check.errors import NoPlanError\n"
        "def broken(*_, **__):\n    raise NoPlanError('the search was stopped after 0.1 s')\n"
        "buying.buy = broken\n"
        "sys.argv[0] = 'cache-check'\n"
        "from cache_check.cli.main import run\n"
        "run()\n"
    )
    made = tmp_path / "page.html"
    run = python("-c", code, "report", *ASKED[:3], "--only", "office", "--only", "door", *ON, "-o", str(made))

    assert (run.returncode, run.stderr) == (0, f"cache-check: {made} written\n")
    page = made.read_text()
    assert "NOT PROVEN, so no list is given: the search was stopped after 0.1 s" in page
    assert "cheaper does" not in page
    assert ">What each part&#39;s loss costs</h" in page
    assert ">PROPOSED sets: not built</h" in page


def test_office_without_needs_is_refused(tmp_path: Path) -> None:
    """An office page asked for by name wants needs, and says so in one line."""
    run = cache_check("report", "rescue-44.yaml", "--only", "office", *ON, "-o", tmp_path / "page.html")

    assert run.returncode == 2
    assert run.stderr.count("\n") == 1
    assert "--needs FILE" in run.stderr


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_pages_printed(opened: Opened, tmp_path: Path, paper: str) -> None:
    """One rig with one quote takes four printed sides at most."""
    (tmp_path / "page.html").write_text(with_one_quote())
    page = opened.open(tmp_path / "page.html")

    page.pdf(path=tmp_path / "office.pdf", format=paper)

    pages = re.findall(rb"/Type\s*/Page\b(?!s)", (tmp_path / "office.pdf").read_bytes())
    assert len(pages) <= 4


def test_samples_have_two_quotes_in_one_currency() -> None:
    """The demonstration has two invented quotes that can be compared."""
    found = [yaml.safe_load((SAMPLES / name).read_text()) for name in QUOTES[1::2]]

    assert [one["prices"] for one in found] == ["Quillfen quote 1", "Quillfen quote 2"]
    assert {one["currency"] for one in found} == {"USD"}
