"""The page of ``open`` in a real browser, as an officer uses it beside the files."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from cli.running import ON, SAMPLES, cache_check, environment
from openpyxl import load_workbook

from pages.test_pages_axe import faults

pytest.importorskip("starlette", reason="starlette is not installed: cache-check[open]")
pytestmark = pytest.mark.browser


HOSTILE = "<script>window.caught=1</script> \"'`&amp; \u202edesrever\u202c "
LONG = "x" * 300


@pytest.fixture(scope="module")
def county(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the sample county to be changed while it is looked at: a workbook, a rig, and one of hostile names."""
    folder = tmp_path_factory.mktemp("open") / "county"
    shutil.copytree(SAMPLES, folder)
    assert cache_check("convert", "rescue-41.yaml", "rescue-41.xlsx", cwd=folder).returncode == 0
    rig = yaml.safe_load((folder / "rescue-41.yaml").read_text(encoding="utf-8"))
    rig |= {"cache": "hostile", "title": HOSTILE + LONG}
    for serial in rig["parts"]["short-body"]["items"]:
        serial["serial"] = HOSTILE + serial["serial"]
    rig["types"] = {"other-strap": {"kind": "strap", "title": HOSTILE + LONG}}
    rig["parts"]["other-strap"] = 2
    rig.pop("ready_sets")
    (folder / "hostile.yaml").write_text(yaml.safe_dump(rig, allow_unicode=True), encoding="utf-8")
    needs = yaml.safe_load((folder / "needs.yaml").read_text(encoding="utf-8"))
    needs["scenes"]["hostile"] = {
        "title": HOSTILE + LONG, "needs": [{"id": HOSTILE, "count": 9, "length": 50, "restrained": False}],
    }  # fmt: skip
    (folder / "needs.yaml").write_text(yaml.safe_dump(needs, allow_unicode=True), encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def address(county: Path) -> Iterator[str]:
    """Where the page of the rigs is served, by one server for all that is tried."""
    command = [
        sys.executable, "-m", "cache_check", "open", "rescue-41.xlsx", "rescue-44.yaml", "hostile.yaml", "--needs",
        "needs.yaml", "--prices", "prices.yaml", "--no-browser", *ON,
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


def scene(page: Any, which: int | str) -> str:
    """What the page says of a scene, by its place or title, now, without what it said before."""
    all_of_them = page.locator("article.scene")
    one = all_of_them.nth(which) if isinstance(which, int) else all_of_them.filter(has_text=which)
    return re.sub(r" \(was [^)]*\)", "", one.inner_text())


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
    for n, one in enumerate(told["scenes"]):
        said = scene(page, n)
        assert said.startswith(one["verdict"].upper())
        assert all(f" {need['served']} of {need['wanted']} " in said for need in one["by_need"])
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


def test_it_follows_the_workbook_and_keeps_the_last_good_answer(page: Any, county: Path) -> None:
    """A cell that is saved shows at once; a workbook half saved, or gone, leaves the last answer, greyed, and why."""
    rig = county / "rescue-41.xlsx"
    whole, before = rig.read_bytes(), scene(page, "Car on its side")
    book = load_workbook(rig)
    row = next(cells for cells in book["parts"].iter_rows() if cells[0].value == "strap")
    row[1].value = 1
    book.save(rig)
    page.wait_for_function("() => document.querySelector('#state').innerText.includes('a file was saved')")

    assert scene(page, "Car on its side") != before
    assert "(was " in page.locator("article.scene .changed").first.inner_text()

    saved = rig.read_bytes()
    rig.write_bytes(saved[: len(saved) // 2])
    page.wait_for_function("() => document.querySelector('#mistakes').innerText.includes('rescue-41.xlsx')")
    assert "no longer holds" in page.locator("#state").inner_text()
    assert page.locator("body.stale").count() == 1
    assert "Car on its side" in page.locator("#answer").inner_text()

    rig.unlink()
    page.wait_for_function("() => document.querySelector('#mistakes').innerText.includes('not there') || "
                           "document.querySelector('#mistakes').innerText.includes('no such file')")  # fmt: skip
    rig.write_bytes(whole)
    page.wait_for_function("() => !document.querySelector('#mistakes').innerText.trim()")
    assert scene(page, "Car on its side") == before


def test_a_body_taken_out_by_serial_and_why(page: Any) -> None:
    """Single pieces are taken out by keyboard alone; why says how a scene is built, to scale, by which rules."""
    for _ in range(200):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.innerText || ''") == "Take out single pieces":
            break
    page.keyboard.press("Enter")
    for _ in range(2):
        page.keyboard.press("Tab")
        page.keyboard.press("Space")
        page.wait_for_timeout(60)
    waits(page, "supposed: without piece SB-02")
    assert page.evaluate("location.search").count("without=SB-0") == 2

    page.locator("#why-1-1 > summary").press("Enter")
    page.locator("#why-1-1 svg").wait_for()
    why = page.locator("#why-1-1").inner_text()
    assert "STR-1" in why
    assert "common practice, no source" in why


def test_the_form_is_of_the_rigs_asked_about(page: Any, county: Path) -> None:
    """Another rig's parts, and what a saved file leaves usable, stand in the form; no rig is compared with another."""
    usable = page.locator('tr:has([name="change:strap"]) label')
    assert usable.inner_text() == "Strap (7 usable)"
    page.get_by_label("rescue-44").press("Space")
    page.get_by_label("rescue-41").press("Space")
    page.wait_for_function("() => document.title === 'Rescue 44'")

    assert usable.inner_text() == "Strap (6 usable)"
    assert page.locator('[name="change:point-head"]').count() == 0
    assert page.evaluate("document.activeElement.value") == "rescue-41"
    assert page.locator("#answer .was").count() == 0

    rig = county / "rescue-44.yaml"
    whole = rig.read_bytes()
    rig.write_bytes(whole.replace(b"strap: {count: 6", b"strap: {count: 3"))
    page.wait_for_function("() => document.querySelector('#question').innerText.includes('Strap (3 usable)')")
    assert page.locator("#answer .was").count() > 0
    rig.write_bytes(whole)
    page.wait_for_function("() => document.querySelector('#question').innerText.includes('Strap (6 usable)')")


def test_the_finder_finds_in_the_page(page: Any) -> None:
    """The crew page's own finder, script and all, answers within the page."""
    page.locator("#finder > summary").click()
    finder = page.frame_locator("#finder iframe")
    finder.get_by_label("Contact height", exact=False).first.fill("40")
    finder.locator("[name=value]").fill("60")
    finder.get_by_role("button", name="Find").click()
    finder.get_by_text("buildable").last.wait_for()
    assert "Hinged base" in finder.locator("body").inner_text()


def test_quick_changes_end_in_the_last_one(page: Any) -> None:
    """Sixty changes, one each 5 ms: the answer is that to the last, and older ones were dropped, not worked."""
    answered: list[int] = []
    page.on("response", lambda one: answered.append(one.status) if "/ask?" in one.url else None)
    page.locator('input[name="change:strap"]').evaluate("""async one => {
        for (let n = 0; n < 60; n++) {
            one.value = -(n % 7)
            one.dispatchEvent(new Event('input', {bubbles: true}))
            await new Promise(done => setTimeout(done, 5))
        }
    }""")
    waits(page, "without 3 strap")  # 59 is 3 more than 56
    page.wait_for_function("() => document.querySelector('#state').innerText.startsWith('answered')")
    assert "strap%3D3" in page.evaluate("location.search")
    assert answered.count(200) < 60


def test_hostile_names_stay_text(opened: Any, address: str) -> None:
    """Script, quotes, marks of direction and long words, in rig, part, need and serial: shown, and nothing runs."""
    page = opened.page
    page.set_viewport_size({"width": 390, "height": 900})
    page.goto(address)
    page.goto("/".join(address.split("/")[:3]) + "/ask?rig=hostile")
    page.locator("details", has_text="Take out single pieces").locator("summary").click()
    for part in ("why-1-1", "chart", "sets"):
        page.locator(f"#{part} > summary").click()
        page.locator(f"#{part} svg").wait_for(timeout=60_000)

    said = page.locator("body").inner_text()
    assert said.count("<script>window.caught=1</script>") > 5
    assert "\u202e" not in said
    assert page.evaluate("window.caught") is None
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


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
    page.locator("#why-1-1 svg").wait_for()

    assert faults(page, axe) == []
