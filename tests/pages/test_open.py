"""The page of ``open`` in a real browser, as an officer uses it beside the files."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from cli.running import ON, SAMPLES, cache_check, environment

from pages.test_pages_axe import faults

pytest.importorskip("starlette", reason="starlette is not installed: cache-check[open]")
pytestmark = pytest.mark.browser


@pytest.fixture
def county(tmp_path: Path) -> Path:
    """A copy of the sample county, to be changed while it is looked at."""
    shutil.copytree(SAMPLES, tmp_path / "county")
    return tmp_path / "county"


@pytest.fixture
def address(county: Path) -> Iterator[str]:
    """Where the page of two rigs is served."""
    command = [
        sys.executable, "-m", "cache_check", "open", "rescue-41.yaml", "rescue-44.yaml", "--needs", "needs.yaml",
        "--prices", "prices.yaml", "--no-browser", *ON,
    ]  # fmt: skip
    with subprocess.Popen(command, cwd=county, env=environment(), stderr=subprocess.PIPE, text=True) as running:
        assert running.stderr is not None
        said = running.stderr.readline()
        found = re.search(r"http://\S+", said)
        assert found, said
        yield found[0]
        running.terminate()
        running.wait(20)


@pytest.fixture
def page(opened: Any, address: str) -> Any:
    """The page, let in by its token."""
    opened.page.set_default_timeout(60_000)
    opened.page.goto(address)
    return opened.page


def scene(page: Any, title: str) -> str:
    """What the page says of a scene now, without what it said before."""
    return re.sub(r" \(was [^)]*\)", "", page.locator("article.scene", has_text=title).inner_text())


def waits(page: Any, words: str) -> None:
    """Wait until the answer says something."""
    page.wait_for_function("words => document.querySelector('#answer').innerText.includes(words)", arg=words)


def test_a_what_if_is_the_commands_answer(page: Any, county: Path) -> None:
    """At 4:1 without a body each scene has the verdict and count of the command that the page itself names."""
    page.get_by_label("Factor, as 4:1").fill("4:1")
    page.locator('input[name="change:long-body"]').fill("-1")
    waits(page, "design factor: 4:1")
    page.wait_for_function("() => document.querySelector('#answer code').innerText.includes('long-body=1')")

    command = page.locator("#answer > code").inner_text().split()[1:]
    told = json.loads(cache_check(*command, "--format", "json", cwd=county).stdout)["answers"][0]
    for one in told["scenes"]:
        said = scene(page, one["title"])
        assert said.startswith(one["verdict"].upper())
        assert f"{one['wanted']} wanted, {one['served']} at once" in said
    assert page.locator(".changed").count() > 0
    assert "(was" in page.locator(".changed").first.inner_text()


def test_the_address_holds_the_question(page: Any) -> None:
    """Opened anew, the address gives the same answer and the same form."""
    page.get_by_label("Factor, as 4:1").fill("4:1")
    waits(page, "design factor: 4:1")
    page.wait_for_function("() => location.search.includes('factor=4')")
    kept, said = page.url, [scene(page, title) for title in ("Car on its side", "Long reach over 96 in")]

    page.goto("about:blank")
    page.goto(kept)

    assert [scene(page, title) for title in ("Car on its side", "Long reach over 96 in")] == said
    assert page.get_by_label("Factor, as 4:1").input_value() == "4:1"


def test_it_follows_the_files_and_keeps_the_last_good_answer(page: Any, county: Path) -> None:
    """A count that is saved shows at once; a file half saved leaves the last answer, greyed, and says why."""
    rig = county / "rescue-41.yaml"
    whole = rig.read_text(encoding="utf-8")
    before = scene(page, "Car on its side")
    begun = time.monotonic()
    rig.write_text(whole.replace("    count: 7\n    where: strap bag", "    count: 1\n    where: strap bag"))
    page.wait_for_function("() => document.querySelector('#state').innerText.includes('a file was saved')")
    took = time.monotonic() - begun

    assert scene(page, "Car on its side") != before
    assert took < 30  # a second on a quiet machine; no test of this suite asserts speed

    rig.write_text(whole[:200] + "\n  - [")
    page.wait_for_function("() => document.querySelector('#mistakes').innerText.includes('rescue-41.yaml')")
    assert "no longer holds" in page.locator("#state").inner_text()
    assert "Car on its side" in page.locator("#answer").inner_text()

    rig.unlink()
    page.wait_for_function("() => document.querySelector('#mistakes').innerText.includes('rescue-41')")
    rig.write_text(whole)
    page.wait_for_function("() => !document.querySelector('#mistakes').innerText.trim()")
    assert scene(page, "Car on its side") == before


def test_the_chart_answers_at_a_length_by_keyboard(page: Any, county: Path) -> None:
    """The slider says how many at once at its length, as ``reach`` does."""
    page.locator("#chart summary").click()
    slider = page.locator("#at")
    slider.wait_for()
    slider.fill("78")
    slider.press("ArrowRight")
    slider.press("ArrowLeft")

    said = page.locator("#at-says").inner_text()
    told = json.loads(
        cache_check("reach", "rescue-41.yaml", "--at", "78in", "--format", "json", *ON, cwd=county).stdout
    )
    counts = {one["step"]: one["count"] for one in told["answers"][0]["at"]["counts"]}
    for step in ("buildable", "assembled at once", "restrained"):
        assert f"{counts[step]} {step}" in said


@pytest.mark.parametrize("wide", [390, 1280])
def test_nothing_is_cut_and_nothing_leaves_the_machine(opened: Any, address: str, wide: int) -> None:
    """At the width of a phone and of a desk nothing scrolls sideways; every request is of this very server."""
    asked: list[str] = []
    said: list[str] = []
    opened.page.on("request", lambda request: asked.append(request.url))
    opened.page.on("console", lambda message: said.append(message.text))
    opened.page.on("pageerror", lambda error: said.append(str(error)))
    opened.page.set_viewport_size({"width": wide, "height": 900})
    opened.page.goto(address)
    opened.page.locator("#chart summary").click()
    opened.page.locator("#at").wait_for()

    assert opened.page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    here = "/".join(address.split("/")[:3])
    assert all(url.startswith((here, "data:")) for url in asked)
    assert said == []


def test_a_sheet_prints_from_where_it_stands(page: Any) -> None:
    """The door card of this question, whole, with its caution."""
    link = page.locator("#answer a", has_text="door").get_attribute("href")
    page.goto("/".join(page.url.split("/")[:3]) + link)

    assert "Rescue 41" in page.locator("h1").inner_text()
    assert "planning aid" in page.locator("body").inner_text().lower()


@pytest.mark.parametrize("wide", [390, 1280])
def test_no_grave_fault_for_people_who_see_hear_or_point_otherwise(page: Any, axe: str, wide: int) -> None:
    """axe-core finds nothing serious or critical, with the chart and a reason opened."""
    page.set_viewport_size({"width": wide, "height": 900})
    page.locator("#chart summary").click()
    page.locator("#at").wait_for()
    page.locator("article.scene summary").first.click()

    assert faults(page, axe) == []
