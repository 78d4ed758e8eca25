"""The count sheet, on a tablet without a network and on paper."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from cli.running import ON, cache_check
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

import cache_check as api
from cache_check.errors import InputError
from cache_check.files.count import READY_SET, as_csv, read_count
from cache_check.files.workbook.cells import clean
from cache_check.model.count import CountSheet
from cache_check.report.pages.sheets import count as made_by
from pages import hostile
from pages.conftest import FLAGS, Opened, page_of
from pages.counting import SAMPLES, answer, cache_of, card, field_of, ready, saved

CACHES = ("rescue-41.yaml", "rescue-44.yaml", "truck-9.yaml")
NASTY = (
    "=1+1", "+SUM(A1:A9)", "-2", "@cmd", "'quoted", "''twice", "'", 'say "hello", then', "one\ntwo\n\n=three", ",;\t,",
    "\U0001f692 \u2014 \u00bd", "\u05e9\u05dc\u05d5\u05dd\u202e", "</script><img src=x onerror=alert(1)>", "{{7*7}}",
    "  spaces  ", "0", "",
)  # fmt: skip


def test_ready_sets_are_named_as_audit_reads_them() -> None:
    """The columns and the lines above them come with the sheet; the words before the name of a set stand here too."""
    assert made_by.READY_SET == READY_SET


@pytest.fixture(scope="session")
def made_41(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file with the count sheet of Rescue 41."""
    return page_of(tmp_path_factory.mktemp("count"), "rescue-41.yaml", "--only", "count")


@pytest.fixture
def sheet(opened: Opened, made_41: Path) -> Iterator[Any]:
    """The count sheet of Rescue 41, which must say nothing to the console and ask for nothing but itself."""
    yield opened.open(made_41)
    assert opened.said == []
    assert {one for one in opened.asked if not one.startswith("blob:")} == {made_41.as_uri()}


@pytest.mark.browser
@pytest.mark.parametrize("cache", CACHES)
def test_untouched_sheet_saves_the_blank_count_sheet(opened: Opened, tmp_path: Path, cache: str) -> None:
    """Saved untouched, the file is to the letter what ``audit --sheet`` writes: blank stays blank."""
    page = opened.open(page_of(tmp_path, cache, "--only", "count"))

    made = saved(page, tmp_path)

    assert made.read_text(encoding="utf-8") == as_csv(api.sheet(cache_of(cache)))
    read = read_count(made, cache_of(cache).catalogue)
    assert {one.found for one in read.lines} | {one.found for one in read.sets} == {None}
    assert re.fullmatch(rf"count-{cache.removesuffix('.yaml')}-\d{{4}}-\d\d-\d\d\.csv", made.name)


def by_hand(folder: Path) -> Path:
    """The same count as ``filled_in``, written by hand as CSV."""
    made = folder / "by-hand.csv"
    made.write_text(
        "count,rescue-41\n"
        f"book,{api.sheet(cache_of('rescue-41.yaml')).book}\n"
        "units,us\ncounted on,2026-11-20\ncounted by,A. B.\nsecond person,C. D.\n\n"
        "place,part,serial,found,usable,label,points,inspected,pins,condition,tag,held,initials,note\n"
        "drawer 1,short-body,,2,2,legible,,,,,,,AB,\n"
        "drawer 1,short-body,SB-01,yes,yes,legible,,2026-10-02,yes,,,,AB,\n"
        "drawer 3,hinged-base,HB-01,yes,yes,legible,1,,,,,,AB,left eye cracked\n"
        "pin box,joint-pin,,14,14,,,,,,,,AB,\n"
        "strap bag,strap,,5,4,,,,,one cut,T-12,,AB,\n"
        "tray-1,long-body,LB-01,yes,yes,unreadable,,,,,T-13,,AB,\n"
        "tray-1,ready set: A,,yes,,,,,,,,yes,AB,\n"
        "tray-1,ready set: B,,no,,,,,,,,,AB,taken apart\n"
        "drawer 3,long-body,LB-11,1,,legible,,,,,,,AB,from which rig?\n",
        encoding="utf-8",
    )
    return made


def fill_in(page: Any) -> None:
    """Fill in a count of Rescue 41; the first lines by keyboard alone."""
    page.get_by_label("Counted on").fill("2026-11-20")
    page.get_by_label("Counted by").fill("A. B.")
    page.get_by_label("Second person").first.fill("C. D.")
    page.get_by_label("Your initials").fill("AB")
    page.get_by_role("button", name="Next blank").focus()
    press = page.keyboard.press
    press("Enter")
    for key in ("2", "Tab", "Tab", "Tab", "2", "Tab", "Tab", "ArrowRight"):  # the lot of short bodies
        press(key)
    page.get_by_role("button", name="Next blank").focus()
    press("Space")
    for key in ("ArrowRight", "Tab", "ArrowRight", "Tab", "ArrowRight", "Tab", "Enter"):  # SB-01, and more of it
        press(key)
    card(page, "short-body SB-01").locator(".fields > *").first.wait_for()
    press("Tab")
    assert page.evaluate("document.activeElement.type") == "date"
    answer(page, "short-body SB-01", **{"Inspected": "2026-10-02", "Pins_and_keepers_with_it": "yes"})
    answer(page, "hinged-base HB-01", Found="yes", Usable="yes", Label="legible", Points="1", Note="left eye cracked")
    answer(page, "strap", Found="5", Usable="4", Condition="one cut", Tag="T-12")
    answer(page, "joint-pin", Found="14", Usable="14")
    answer(page, "long-body LB-01", Found="yes", Usable="yes", Label="unreadable", Tag="T-13")
    answer(page, "ready set A", Found="yes", Held_from_moving="yes")
    answer(page, "ready set B", Found="no", Note="taken apart")
    page.get_by_role("button", name="Add a line").click()
    answer(page, "Not on the book", Part="long-body", Serial="LB-11", Place="drawer 3", Found="1",
           Label="legible", Note="from which rig?")  # fmt: skip


def come(page: Any, place: str, said: str) -> None:
    """A page opened until it says what it should, so often.

    A busy browser was seen to open one before what was typed last was there: it keeps that in another process.
    """
    for _ in range(5):
        if said in ready(page).locator(place).inner_text():
            return
        page.reload()


def audited(count: Path) -> Any:
    """What audit answers, without the file that the count is in."""
    run = cache_check("audit", "rescue-41.yaml", count, "--needs", "needs.yaml", "--other", "rescue-44.yaml", *ON,
                      "--format", "json")  # fmt: skip
    assert run.stderr == ""
    (answered,) = json.loads(run.stdout)["answers"]
    return {name: said for name, said in answered.items() if name != "count"}


@pytest.mark.browser
def test_count_on_the_page_is_audited_as_one_by_hand(sheet: Any, tmp_path: Path) -> None:
    """Filled in, half by keyboard alone, reloaded, saved: audit finds what it finds in the same count by hand."""
    fill_in(sheet)
    sheet.wait_for_timeout(500)  # no hand reloads within the moment in which a browser stores what was typed
    sheet.reload()
    come(sheet, ".progress", "8 of 18 looked at")

    assert "Brought back: what was typed here, last on 20" in sheet.locator(".restored").inner_text()
    assert sheet.locator(".progress").inner_text() == (
        "8 of 18 looked at; 10 not looked at (blank is not looked at, never fine)"
    )
    made = saved(sheet, tmp_path)
    on_page, hand = (read_count(path, cache_of("rescue-41.yaml").catalogue) for path in (made, by_hand(tmp_path)))
    assert [line for line in on_page.lines if line.found is not None] == list(hand.lines)
    assert on_page.sets == hand.sets
    answered = audited(made)
    assert answered == audited(tmp_path / "by-hand.csv")
    assert answered["findings"]


@pytest.mark.browser
def test_what_is_typed_is_read_back(sheet: Any, tmp_path: Path) -> None:
    """Whatever is typed, quotes, commas, line breaks, formulas, comes back from the saved file as it was."""
    catalogue = cache_of("rescue-41.yaml").catalogue
    line = answer(sheet, "strap", Found="6", Note="x", Condition="x", Tag="x")
    by = sheet.get_by_label("Counted by")

    def fill(label: Any, value: str) -> None:
        label.evaluate("(one, value) => { one.value = value; one.dispatchEvent(new Event('input')); }", value)

    @settings(max_examples=10, suppress_health_check=list(HealthCheck))
    @given(st.lists(st.sampled_from(NASTY) | st.text(max_size=30), min_size=4, max_size=4))
    @example(list(NASTY[0:4]))
    @example(list(NASTY[4:8]))
    @example(list(NASTY[8:12]))
    @example(list(NASTY[13:17]))
    def holds(typed: list[str]) -> None:
        note, condition, tag, name = typed
        for label, value in (("Note", note), ("Condition", condition), ("Tag", tag)):
            fill(field_of(line, label), value)
        fill(by, name)
        read = read_count(saved(sheet, tmp_path), catalogue)
        (found,) = (one for one in read.lines if one.part == "P/strap" and not one.serial)
        lines = tuple(clean(text.replace("\r\n", "\n").replace("\r", "\n").replace("\0", "")) for text in typed)
        words = tuple(clean(re.sub(r"[\r\n\0]", "", text)) for text in typed)
        assert (found.note, found.condition, found.tag, read.by) == (*lines[:2], *words[2:])

    holds()


@pytest.mark.browser
def test_no_cell_of_the_file_begins_as_a_formula_does(sheet: Any, tmp_path: Path) -> None:
    """A spreadsheet that opens the file takes none of what was typed for a formula."""
    answer(sheet, "strap", Found="6", Note="=1+1", Condition="@x", Tag="-2", Initials="+3")

    text = saved(sheet, tmp_path).read_text()

    assert "'=1+1" in text
    assert not re.search(r'(^|,)"?[=+\-@]', text, re.MULTILINE)


@pytest.mark.browser
def test_browser_that_keeps_nothing_is_said_at_once(opened: Opened, tmp_path: Path) -> None:
    """Where the browser keeps nothing the page says so before anything is typed; the file can be saved all the same."""
    opened.page.add_init_script(
        "Storage.prototype.setItem = () => { throw new DOMException('no', 'QuotaExceededError'); };"
    )
    page = opened.open(page_of(tmp_path, "rescue-41.yaml", "--only", "count"))

    assert page.get_by_role("alert").inner_text() == (
        "This browser keeps nothing: do not close or reload this page before you save the file."
    )
    answer(page, "strap", Found="6")
    assert ",strap,,6,6," in saved(page, tmp_path).read_text()
    assert opened.said == []


@pytest.mark.browser
def test_sandbox_without_storage_is_said_at_once(opened: Opened, tmp_path: Path) -> None:
    """In a viewer that refuses storage altogether the page works and says that nothing is kept."""
    made = page_of(tmp_path, "rescue-41.yaml", "--only", "count")
    frame = tmp_path / "viewer.html"
    frame.write_text(f'<iframe sandbox="allow-scripts" src="{made.name}" width="800" height="800"></iframe>')
    inside = opened.open(frame).frame_locator("iframe")

    assert "keeps nothing" in inside.get_by_role("alert").inner_text()
    assert "0 of 18 looked at" in inside.locator(".progress").inner_text()


@pytest.mark.browser
def test_count_outlives_the_browser(opened: Opened, tmp_path: Path) -> None:
    """What was typed is there when the browser is closed and opened again on the same profile."""
    made = page_of(tmp_path, "rescue-41.yaml", "--only", "count")
    launch = opened.page.context.browser.browser_type.launch_persistent_context
    found = []
    for typed in ("7", ""):
        running = launch(tmp_path / "profile", executable_path=shutil.which("chromium"), args=list(FLAGS))
        page = running.new_page()
        page.goto(made.as_uri())
        ready(page)
        if typed:
            answer(page, "strap", Found=typed)
        found.append(field_of(card(page, "strap"), "Found").input_value())
        running.close()

    assert found == ["7", "7"]


@pytest.mark.browser
def test_start_anew_asks_first(sheet: Any) -> None:
    """Start anew asks; "no" keeps what was typed, "yes" forgets it for good."""
    answer(sheet, "strap", Found="5")
    sheet.get_by_role("button", name="Start anew").click()
    sheet.get_by_role("button", name="No, keep it").click()
    assert field_of(card(sheet, "strap"), "Found").input_value() == "5"

    sheet.get_by_role("button", name="Start anew").click()
    with sheet.expect_navigation():
        sheet.get_by_role("button", name="Yes, forget it").click()

    assert field_of(card(sheet, "strap"), "Found").input_value() == ""
    assert sheet.locator(".restored").inner_text() == ""
    assert sheet.get_by_label("Counted by").input_value() == ""


@pytest.mark.browser
def test_count_of_another_book_is_not_mixed_in(opened: Opened, tmp_path: Path) -> None:
    """A count typed for an older book of the rig stays with it; the new page says that there is one."""
    old = tmp_path / "old"
    old.mkdir()
    page = opened.open(page_of(old, "rescue-41.yaml", "--only", "count"))
    answer(page, "strap", Found="5")
    saved(page, old)
    shutil.copy(SAMPLES / "family-p.yaml", tmp_path)
    changed = yaml.safe_load((SAMPLES / "rescue-41.yaml").read_text())
    changed["parts"]["strap"]["count"] += 1
    (tmp_path / "rescue-41.yaml").write_text(yaml.safe_dump(changed))

    page.goto(page_of(tmp_path, tmp_path / "rescue-41.yaml", "--only", "count").as_uri())
    said = "also keeps a count of this rig made from another book"
    come(page, ".restored", said)

    assert said in page.locator(".restored").inner_text()
    assert field_of(card(page, "strap"), "Found").input_value() == ""
    (earlier,) = old.glob("count-*.csv")
    run = cache_check("audit", tmp_path / "rescue-41.yaml", earlier, *ON, "--show", "all")
    assert "the sheet was made from book" in run.stdout
    assert "this book is" in run.stdout


@pytest.mark.browser
def test_blank_lines_are_found_and_shown(sheet: Any) -> None:
    """The next blank line gets the focus, only blank lines can be shown, and none moves away under a hand."""
    answer(sheet, "short-body", Found="2")
    sheet.get_by_role("button", name="Only blank").click()
    assert not card(sheet, "short-body").is_visible()
    sheet.get_by_role("button", name="Next blank").click()
    assert sheet.evaluate("document.activeElement.closest('.line').textContent").startswith("short-body SB-01")

    answer(sheet, "short-body SB-01", Found="yes")

    assert card(sheet, "short-body SB-01").is_visible()
    assert "Still blank: usable, label." in card(sheet, "short-body SB-01").inner_text()
    sheet.get_by_role("button", name="Only blank").click()
    assert card(sheet, "short-body").is_visible()


REFUSED: tuple[tuple[str, dict[str, str], str], ...] = (
    ("strap", {"Found": "6", "Usable": "7"}, "7 usable of 6 found"),
    ("strap", {"Usable": "1"}, "1 usable of a number not written found"),
    ("strap", {"Found": "some"}, "found is not a whole number"),
    ("strap", {"Found": "-1"}, "found is not a whole number"),
    ("hinged-base HB-01", {"Found": "yes", "Points": "two"}, "points is not a whole number"),
    ("hinged-base HB-01", {"Found": "no", "Usable": "yes"}, "yes usable of no found"),
    ("Not on the book", {"Found": "1"}, "no part is chosen"),
    ("Not on the book", {"Part": "strap", "Found": "2", "Serial": "S-9"}, "more than one piece has this serial"),
    ("Not on the book", {"Part": "strap", "Place": "strap bag", "Found": "2"}, "put both in one line"),
)


@pytest.mark.browser
@pytest.mark.parametrize(("name", "columns", "said"), REFUSED)
def test_what_audit_will_refuse_is_said_at_once(
    sheet: Any, tmp_path: Path, name: str, columns: dict[str, str], said: str
) -> None:
    """What the reader of counts refuses is said beside the line as it is typed, and again when it is saved."""
    sheet.get_by_role("button", name="Add a line").click()

    answer(sheet, name, **columns)

    assert said in card(sheet, name).locator(".wrong").inner_text()
    made = saved(sheet, tmp_path)
    assert "Audit will not read it" in sheet.locator(".saved").inner_text()
    with pytest.raises(InputError):
        read_count(made, cache_of("rescue-41.yaml").catalogue)


@pytest.mark.browser
def test_buttons_count_up_and_down_to_blank(sheet: Any, tmp_path: Path) -> None:
    """One more begins at one, one fewer at zero, and below zero is blank again: no thumb needs a keyboard."""
    line = card(sheet, "strap")
    more, fewer = (line.get_by_role("button", name=f"one {word} found: strap") for word in ("more", "fewer"))
    field = field_of(line, "Found")
    seen = []
    for button in (more, more, fewer, fewer, fewer, fewer, more):
        button.click()
        seen.append(field.input_value())

    assert seen == ["1", "2", "1", "0", "", "0", "1"]


@pytest.mark.browser
def test_initials_follow_who_answers(sheet: Any, tmp_path: Path) -> None:
    """A line gets the initials in force when it is answered, and loses them when its answer is taken back."""
    sheet.get_by_label("Your initials").fill("AB")
    answer(sheet, "strap", Found="6")
    sheet.get_by_label("Your initials").fill("CD")
    answer(sheet, "joint-pin", Found="16")
    answer(sheet, "edge-head", Found="4")
    answer(sheet, "edge-head", Found="")

    read = read_count(saved(sheet, tmp_path), cache_of("rescue-41.yaml").catalogue)

    assert signed(read) == {"P/strap": "AB", "P/joint-pin": "CD"}


def signed(read: CountSheet) -> dict[str, str]:
    """The initials on each line, by part."""
    return {line.part: line.initials for line in read.lines if line.initials}


@pytest.mark.browser
def test_untrusted_text_stays_text(opened: Opened, tmp_path: Path) -> None:
    """Markup, quotes, right-to-left and 10,000 characters stay text on the sheet, and come back from its file."""
    cache = hostile.write(tmp_path)
    made = page_of(tmp_path, cache, "--only", "count")
    page = opened.open(made)
    page.get_by_role("button", name="Add a line").click()

    file = saved(page, tmp_path)

    assert file.read_text(encoding="utf-8") == as_csv(api.sheet(cache_read(cache)))
    assert page.evaluate("window.hit") is None
    assert page.locator("main img").count() == 0
    assert "\u202e" not in made.read_text()
    assert opened.said == []
    assert {one for one in opened.asked if not one.startswith("blob:")} == {made.as_uri()}


def cache_read(path: Path) -> Any:
    """A cache by its path."""
    from cache_check.files.cache import read_cache

    return read_cache(path)


@pytest.mark.browser
@pytest.mark.parametrize(("wide", "high"), [(390, 844), (820, 1180), (844, 390)])
def test_fits_phone_and_tablet(opened: Opened, tmp_path: Path, wide: int, high: int) -> None:
    """Nothing is wider than the screen, and every button and tick is at least 44 by 44 pixels to a finger."""
    opened.page.set_viewport_size({"width": wide, "height": high})
    page = opened.open(page_of(tmp_path, hostile.write(tmp_path), "rescue-41.yaml", "--only", "count"))
    page.locator("summary").first.click()

    assert page.evaluate("document.documentElement.scrollWidth") <= wide
    small = page.evaluate(
        """() => [...document.querySelectorAll('.counting button, .counting .choices label, .counting select, '
            + '.counting summary, .counting input:not([type=radio])')].filter(one => one.checkVisibility())
            .map(one => [one.textContent, one.getBoundingClientRect()])
            .filter(([, box]) => box.height < 44 || box.width < 44).map(([text]) => text)"""
    )
    assert small == []
    assert page.locator(".bar").first.evaluate("one => one.getBoundingClientRect().height") < 0.45 * high


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_prints_as_a_form(sheet: Any, tmp_path: Path, paper: str) -> None:
    """Rescue 41's sheet is a form of two pages, numbered, with spare lines; what was typed stands in its boxes."""
    answer(sheet, "strap", Found="5", Note="one cut in two places")
    printed = tmp_path / "count.pdf"

    sheet.pdf(path=printed, format=paper)

    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", printed.read_bytes())) == 2
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext here: apt-get install poppler-utils")
    text = subprocess.run(["pdftotext", "-layout", printed, "-"], capture_output=True, text=True, check=True).stdout
    assert "page 1 of 2" in text
    assert "page 2 of 2" in text
    assert re.search(r"strap +lot +6 +5 .*one cut in two", text)
    assert "Next blank" not in text


@pytest.mark.browser
def test_without_scripts_there_is_the_form(chromium: Any, tmp_path: Path) -> None:
    """Where a viewer runs no scripts the page says that nothing can be saved, and shows the form to print."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(page_of(tmp_path, "rescue-41.yaml", "--only", "count").as_uri())

    assert page.get_by_text("Nothing can be typed or saved here").is_visible()
    assert page.locator(".paper table").is_visible()
    assert not page.locator(".tablet").is_visible()
    context.close()
