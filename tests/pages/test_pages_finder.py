"""The finder of the crew page, used as a person uses it, in a real browser."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from cli.running import ON, SAMPLES, cache_check

from pages import hostile, many, rig_r
from pages.asking import Answer, Asker, Found, asker
from pages.conftest import Opened, page_of

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("undrawn")]
SIXTY = {"height": "52", "value": "60", "load": "6000"}


Made = Callable[..., Path]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """Crew pages of sample caches, each made once."""

    @cache
    def of(*arguments: str) -> Path:
        return page_of(tmp_path_factory.mktemp("crew"), *arguments, "--only", "crew")

    return of


def rescue_41(opened: Opened, made: Made, *arguments: str) -> Asker:
    """The finder of Rescue 41."""
    return asker(opened, made("rescue-41.yaml", *arguments))


def one_of(answer: Answer, *stack: str) -> Found:
    """The loose build of these parts."""
    return next(one for one in answer.loose if one.stack == stack)


def a_set(answer: Answer, name: str) -> Found:
    """The line of a ready set."""
    return next(one for one in answer.sets if one.said.startswith(f"Set {name},"))


def test_angle_and_height(opened: Opened, made: Made) -> None:
    """Contact 52 in at 60 degrees: 52/sin 60 = 60.04 in of strut, 52/tan 60 = 30.02 in out, thrust F cos 60 (trig)."""
    answer = rescue_41(opened, made).ask(SIXTY)

    assert answer.big == "Strut 60.0 in, base 30.0 in out, 60° from the horizontal"
    # 6,000 x 1.25 of allowance and 2 straps x 50 lbf x cos 15 / cos 60 = 193.2 of pre-tension, the V narrow:
    # 7,693.2 lbf along the strut; 7,500 x cos 60 = 3,750 lbf out, which 2 straps hold at 45 deg as well.
    assert "Along the strut 7,694 lbf; its base pushes out with 3,750 lbf. Pre-tension of 50 lbf in each" in answer.said
    assert answer.straps == 2
    # 60.04 in is over the row of 60, so the row of 72 speaks: 16,000 lbf over 2; the body is 60.04 - 3 - 2 in.
    assert "as it lies, no joint to make; body set to 55.0 in; rated 8,000 lbf at 2:1" in a_set(answer, "A").said
    assert "; weight 31.1 lb; head made for edge" in a_set(answer, "A").said
    assert a_set(answer, "A").verdict == (
        "NOT KNOWN: what pre-tension would move, what the head stands against, whether the straps reach, "
        "what their far ends hold, the ground, how many struts the vehicle asks for"
    )
    assert "does not make this length" in a_set(answer, "B").said
    loose = one_of(answer, "Hinged base", "Short body", "Extension 22 in", "Edge head")
    assert loose.said.startswith(
        "Hinged base + Short body + Extension 22 in + Edge head3 joints to make; body set to 33.0 in"
    )
    assert "step buildable" in answer.said
    assert "A planning aid, not a load rating." in answer.said
    assert opened.said == []
    assert len(set(opened.asked)) == 1


def test_what_stays_behind(opened: Opened, made: Made) -> None:
    """Rescue 41 less sets A and B, less this build, its pins and two straps, is what stays behind."""
    answer = rescue_41(opened, made).ask(SIXTY)

    # 4 short bodies less B and this; 3 long less A; 5 bases and 4 heads less A, B and this; 16 pins less 2 + 2 + 3.
    assert one_of(answer, "Hinged base", "Short body", "Extension 22 in", "Edge head").behind == (
        "2 x Short body, 2 x Long body, 4 x Extension 10 in, 2 x Extension 22 in, 2 x Hinged base, 1 x Edge head, "
        "3 x Point head, 2 x Flat fitting, 9 x Joint pin, 5 x Strap"
    )


def test_upright_load_puts_more_along_the_strut(opened: Opened, made: Made) -> None:
    """7,500 lbf upright at 60 degrees is 7,500/sin 60 = 8,660.3 along, and 193.2 of pre-tension, 4,330.1 out."""
    answer = rescue_41(opened, made).ask({**SIXTY, "way": "upright"})

    assert "Along the strut 8,854 lbf; its base pushes out with 4,331 lbf" in answer.said
    assert a_set(answer, "A").verdict.startswith("NOT MET: NOT rated for it; not known: what the head")


def test_pretension_alone_lifts_no_more_than_the_rule_allows(opened: Opened, made: Made) -> None:
    """193.185 lbf x sin 60 = 167.303 lbf of lift is half of 334.606: a load of 334 is moved too much, 335 is not."""
    screen = rescue_41(opened, made)

    moved = "pre-tension alone lifts too much of this load"
    assert moved in a_set(screen.ask({**SIXTY, "way": "upright", "load": "334"}), "A").verdict
    assert moved not in a_set(screen.ask({**SIXTY, "way": "upright", "load": "335"}), "A").verdict


@pytest.mark.parametrize(("load", "word"), [("8000", "NOT KNOWN"), ("8000.001", "NOT MET")])
def test_limit_met_exactly_is_met(opened: Opened, made: Made, load: str, word: str) -> None:
    """48 in up, 36 out is 60 in of strut: the row of 60 takes 20,000/2 = 8,000 x 1.25, no grain more, untightened."""
    screen = rescue_41(opened, made, "--set", "WLL-1.pretension=0 lbf")
    answer = screen.ask({"height": "48", "known": "offset", "value": "36", "load": load})

    assert answer.big.startswith("Strut 60.0 in, base 36.0 in out, 53.13°")
    assert a_set(answer, "A").word == word
    assert ("NOT rated for it" in a_set(answer, "A").verdict) == (word == "NOT MET")


@pytest.mark.parametrize(("offset", "rated"), [("914.4", "44.48 kN"), ("914.400001", "35.58 kN")])
def test_a_nanometre_over_a_row_is_over_it(opened: Opened, made: Made, offset: str, rated: str) -> None:
    """60 in is 1,524 mm: at 1,219.2 by 914.4 mm the row of 60 speaks (10,000 lbf), 0.6 nm longer that of 72 (8,000)."""
    screen = rescue_41(opened, made, "--units", "si")
    answer = screen.ask({"height": "1219.2", "known": "offset", "value": offset, "load": "1"})

    assert answer.big.startswith("Strut 1,524 mm, base 914 mm out")
    assert f"rated {rated} at 2:1" in a_set(answer, "A").said


def test_seven_straps_hold_less_than_six(opened: Opened, made: Made) -> None:
    """Six of 3,333 less 50 lbf at 45 deg hold 13,930; of seven the one on the strut's line may take all: 3,283 lbf.

    Out go 0.625 of the load (1.25 x cos 60): 13,188 and 13,938 lbf.
    """
    screen = rescue_41(opened, made, "--with", "strap=9")

    assert screen.ask({**SIXTY, "load": "21100"}).straps == 6
    assert screen.ask({**SIXTY, "load": "22300"}).straps == 8
    assert "up to 10 of it on one base do not hold this thrust" in screen.ask({**SIXTY, "load": "60000"}).said


def test_ruled_seven_that_do_not_hold_are_not_named(opened: Opened, made: Made) -> None:
    """Where the rule asks for seven and seven (3,283 lbf) do not hold what six would, eight are named."""
    screen = rescue_41(opened, made, "--with", "strap=9", "--set", "STR-1.min=7")

    assert screen.ask({**SIXTY, "load": "5250"}).straps == 7  # 3,281 lbf out
    assert screen.ask({**SIXTY, "load": "5260"}).straps == 8  # 3,288 lbf out


def test_too_few_straps_are_said(opened: Opened, made: Made) -> None:
    """With six of seven straps out the base is not restrained, and every build says so."""
    screen = rescue_41(opened, made)
    answer = screen.ask(SIXTY, {"Strap": 6})

    assert "NOT RESTRAINED: it takes 2 x Strap, 1 left." in answer.said
    assert [one.restrained for one in (*answer.sets, *answer.loose)] == [False] * (2 + len(answer.loose))


def test_nothing_is_called_restrained_where_no_rule_says_what_that_is(opened: Opened, made: Made) -> None:
    """The closing sentence says that of answers with straps only where some rule asks for straps."""
    ruled = rescue_41(opened, made).ask(SIXTY).said
    bare = rescue_41(opened, made, "--set", "STR-1=off").ask(SIXTY).said

    assert "by itself; with its straps, restrained. How many" in ruled
    assert "with its straps, restrained" not in bare
    assert "by itself; none is called restrained, since no rule says how many straps hold a base. How many" in bare


def test_part_out_is_nowhere(opened: Opened, made: Made) -> None:
    """A long body out: the set that may hold it is not to be used; all out: no build has one; a set out likewise."""
    screen = rescue_41(opened, made)

    one = screen.ask(SIXTY, {"Long body": 1})
    assert a_set(one, "A").verdict == "DO NOT USE: 1 x Long body out, which may be in this set"
    assert "Counted as out: 1 x Long body." in one.said
    none = screen.ask(SIXTY, {"Long body": 3})
    assert none.loose
    assert not any("Long body" in one.stack for one in (*none.loose, *none.apart))
    screen.page.evaluate("sessionStorage.clear()")
    screen.page.reload()
    screen.fill(SIXTY)
    screen.out({})
    screen.root.get_by_label("set A").check()
    assert a_set(screen.press(), "A").verdict == "DO NOT USE: it is out"


def test_set_on_the_book_with_a_tagged_piece_is_not_to_be_used(opened: Opened, tmp_path: Path) -> None:
    """A set whose body is at repair on the book says DO NOT USE without anything being ticked."""
    made = rig_r.write(tmp_path)
    text = made.read_text().replace(
        "  tall-body:\n    count: 2\n",
        "  tall-body:\n    count: 2\n    items: [{serial: T-1, where: locker, status: repair}]\n",
    ).replace("    where: locker\n  two:", "    where: locker\n    serials: [T-1]\n  two:")  # fmt: skip
    made.write_text(text)
    screen = asker(opened, page_of(tmp_path, made, "--only", "crew"))

    answer = screen.ask({"height": "1100", "value": "60"})

    assert a_set(answer, "one").word == "DO NOT USE"


def test_unknown_load_is_never_a_pass(opened: Opened, made: Made) -> None:
    """With the load blank nothing is called met, and it is named; the ruled two straps are the least."""
    answer = rescue_41(opened, made).ask({"height": "52", "value": "60"})

    assert answer.loose
    # The flat fitting as a base has no points at all, whatever the load.
    assert {one.word for one in answer.loose if one.stack[0] != "Flat fitting"} == {"NOT KNOWN"}
    assert all("the load, " in one.verdict for one in answer.loose)
    assert "never under 2 on a base; the thrust is unknown" in answer.said


def test_a_load_rated_at_more_is_used_as_marked(opened: Opened, tmp_path: Path) -> None:
    """A chart that rates at 4:1 stays as marked under a policy of 2:1 that nobody asked for, and says so."""
    for name in ("rescue-41.yaml", "family-p.yaml"):
        text = (SAMPLES / name).read_text().replace("states: failure load", "states: rated load\n    factor: 4")
        (tmp_path / name).write_text(text)
    screen = asker(opened, page_of(tmp_path, tmp_path / "rescue-41.yaml", "--only", "crew"))

    assert "rated 16,000 lbf as marked, up to 71.0 in" in a_set(screen.ask(SIXTY), "A").said


def test_no_chart_is_unrated(opened: Opened, made: Made) -> None:
    """Truck 9 has no chart: whatever it builds is unrated at any load, also at one that a child could hold."""
    screen = asker(opened, made("truck-9.yaml"))

    answer = screen.ask({"height": "833.12", "known": "offset", "value": "624.84", "load": "0.01"})

    assert answer.loose
    assert all(one.word != "MET" and "its rated load" in one.verdict for one in answer.loose)


def test_nearest_lengths_can_be_asked_for(opened: Opened, made: Made) -> None:
    """Between two holes nothing is built: both neighbours are named, and one press asks for one to the nanometre."""
    screen = asker(opened, made("truck-9.yaml"))

    # 34 + 4 + 3 = 41 in closed, holes every 2 in: 1,041.4 mm and 1,092.2 mm, to the safe side 1,041 and 1,093.
    answer = screen.ask({"height": "900", "value": "58"})
    assert answer.big.startswith("Strut 1,061 mm")
    assert (answer.loose, answer.apart) == ((), ())
    assert "Nearest below it: 1,041 mm" in answer.said
    assert "Nearest above it: 1,093 mm" in answer.said
    screen.root.get_by_role("button", name="Ask for 1,093 mm").click()
    near = screen.read()
    # asin(900 / 1092.2) = 55.49 degrees.
    assert near.big.startswith("Strut 1,092 mm, base 619 mm out, 55.49°")
    assert near.loose


def test_beyond_the_reach(opened: Opened, made: Made) -> None:
    """Longer than anything here: nothing above it, the longest (3 + 66 + 22 + 10 + 2.5 in) below it."""
    answer = rescue_41(opened, made).ask({"height": "100", "value": "60"})

    assert "Nothing left here makes 115.5 in." in answer.said
    assert "Nearest below it: 103.5 in" in answer.said
    assert "Nearest above it: none" in answer.said


@pytest.mark.parametrize(
    ("arguments", "value", "said"),
    [
        ((), "44.9", "44.9° from the horizontal is flatter than 45°, the flattest that ANG-1 allows."),
        ((), "70.1", "70.1° from the horizontal is steeper than 70°, the steepest that ANG-1 allows."),
        (("--set", "ANG-1.max=60 deg"), "60.0001", "60.01° from the horizontal is steeper than 60°"),
        (("--set", "ANG-1=off"), "0.5", "0.5° from the horizontal is flatter than 1°"),
    ],
)
def test_angle_outside_the_rule_is_refused(
    opened: Opened, made: Made, arguments: tuple[str, ...], value: str, said: str
) -> None:
    """An angle past the rules in force gets no answer, and is told their limit."""
    answer = rescue_41(opened, made, *arguments).ask({**SIXTY, "value": value})

    assert answer.said.startswith(f"NOT MET: {said}")
    assert (answer.sets, answer.loose) == ((), ())


def test_angle_at_the_limit_is_answered(opened: Opened, made: Made) -> None:
    """An angle at a ruled limit is within it, also where its millionths are no float of their own."""
    screen = rescue_41(opened, made, "--set", "ANG-1.max=64.4 deg")

    assert screen.ask({**SIXTY, "value": "45"}).big
    assert screen.ask({**SIXTY, "value": "64.4"}).big.endswith("64.4° from the horizontal")
    assert screen.ask({**SIXTY, "value": "64.400001"}).big == ""


def test_factor_under_the_policy_is_no_answer(opened: Opened, made: Made) -> None:
    """At a policy of 4:1 the page starts there; 2.5:1 is refused, as ``load`` never uses it either."""
    screen = rescue_41(opened, made, "--factor", "4:1")

    assert "rated 4,000 lbf at 4:1" in a_set(screen.ask(SIXTY), "A").said
    assert screen.ask({**SIXTY, "factor": "other", "typed": "2.5"}).wrong == (
        "The policy of this page asks 4:1: write that or more.",
    )
    assert "rated 3,200 lbf at 5:1" in a_set(screen.ask({**SIXTY, "factor": "other", "typed": "5"}), "A").said


BAD = (
    ("height", "", "Write a plain number in in"),
    ("height", "52,5", "A comma reads as thousands or as a decimal"),
    ("height", "fifty", "Write a plain number in in"),
    ("height", "-3", "Write a plain number in in"),
    ("height", "1e3", "Write a plain number in in"),
    ("height", "0", "It must be more than 0."),
    ("height", "52.0000001", "Write a plain number in in"),
    ("height", "1/3", "That is finer than 1/64 in"),
    ("value", "91", "An angle from the horizontal is over 0 and at most 90"),
    ("load", "0", "It must be more than 0; leave it blank"),
    ("load", "6 000", "Write a plain number in lbf"),
    ("load", "NaN", "Write a plain number in lbf"),
    ("load", "27 kN", "Write a plain number in lbf"),
)


def test_bad_input_is_said_beside_the_field(opened: Opened, made: Made) -> None:
    """What is no number gets one line beside its field, the focus there, and no answer."""
    screen = rescue_41(opened, made)
    for field, typed, said in BAD:
        screen.fill({**SIXTY, field: typed})
        answer = screen.press()

        assert len(answer.wrong) == 1, typed
        assert answer.wrong[0].startswith(said)
        assert (answer.big, answer.sets, answer.loose) == ("", (), ())
        assert screen.page.evaluate("document.activeElement.name") == field


def test_none_that_does_it_is_said_first(opened: Opened, made: Made) -> None:
    """Before any list: how many are met, not known and not met, and NONE where that is so."""
    screen = rescue_41(opened, made)

    some = screen.ask(SIXTY)
    # The flat fitting has no attachment points, so as a base it can be restrained by nothing.
    stacks = [*some.sets[:1], *some.loose, *some.apart]
    # Along the strut go 7,694 lbf, for which not every build is rated.
    rated = {one.stack: int(re.findall(r"rated ([\d,]+) lbf", one.said)[0].replace(",", "")) for one in stacks}
    not_met = [one for one in stacks if one.stack[0] == "Flat fitting" or rated[one.stack] < 7694]
    assert [one for one in stacks if one.word == "NOT MET"] == not_met
    number, no = len(stacks), len(not_met)
    assert f"Builds to choose from, not struts at once: NONE MET, {number - no} NOT KNOWN, {no} NOT MET" in some.said
    assert f"NONE MET, NONE NOT KNOWN, {number} NOT MET" in screen.ask({**SIXTY, "load": "20000"}).said


def test_more_out_than_there_is(opened: Opened, made: Made) -> None:
    """More pieces out than are usable, or a factor under the policy's, is no answer either."""
    screen = rescue_41(opened, made)

    assert screen.ask(SIXTY, {"Strap": 8}).wrong == ("Write a whole number from 0 to 7.",)
    assert screen.ask({**SIXTY, "factor": "other", "typed": "1.99"}).wrong == (
        "The policy of this page asks 2:1: write that or more.",
    )
    assert screen.ask({"known": "length", "value": "40", "height": "52"}).wrong == (
        "It is shorter than the contact is high.",
    )


def test_fractions_and_units_are_read(opened: Opened, made: Made) -> None:
    """58 1/2, 58.5, 58-1/2 and 58.5 in are one length."""
    screen = rescue_41(opened, made)

    said = {screen.ask({"known": "length", "value": typed}).big for typed in ("58 1/2", "58.5", "58-1/2", "58.5 in")}

    assert said == {"Strut 58.5 in"}


def test_answer_never_stands_beside_other_numbers(opened: Opened, made: Made) -> None:
    """Once anything is changed the old answer is gone until Find is pressed."""
    screen = rescue_41(opened, made)
    screen.ask(SIXTY)

    screen.fill({"load": "60000"})

    assert screen.read().said == "Something was changed: press Find again."


def test_reload_and_back_ask_the_same_anew(opened: Opened, made: Made) -> None:
    """After a reload, and after going away and back, what was typed and what is out is there, and answered anew."""
    screen = rescue_41(opened, made)
    before = screen.ask(SIXTY, {"Strap": 6})

    # A browser that keeps the page whole when it is left brings it back with this event.
    kept = "dispatchEvent(new PageTransitionEvent('pageshow', {persisted: true}))"
    aways = (
        screen.page.reload,
        lambda: (screen.page.goto("about:blank"), screen.page.go_back()),
        lambda: screen.page.evaluate(kept),
    )
    for away in aways:
        away()
        assert screen.root.locator("[name=load]").input_value() == SIXTY["load"]
        assert screen.root.get_by_label(re.compile("^Strap out")).input_value() == "6"
        assert screen.read() == before


def test_how_many_at_once_and_only_heads_for_the_contact(opened: Opened, made: Made) -> None:
    """The number at once is told for the length alone; a contact leaves out heads made for others, sets too."""
    screen = rescue_41(opened, made)

    assert "At once at this length: 3 restrained; load and contact are not asked" in screen.ask(SIXTY).said
    flat = screen.ask({**SIXTY, "contact": "flat"})
    assert {one.stack[-1] for one in (*flat.loose, *flat.apart)} == {"Flat fitting"}
    assert a_set(flat, "A").verdict == "DO NOT USE: its head is not made for: flat"
    assert "whether it meets the flat contact squarely" in flat.loose[0].verdict
    for held in (flat, edge := screen.ask({**SIXTY, "contact": "edge"})):
        assert "what the head stands against" not in held.said + held.loose[0].verdict
    assert "squarely" not in edge.loose[0].verdict
    assert "At once" not in screen.ask(SIXTY, {"Strap": 1}).said


def test_question_fits_the_first_screen_of_a_phone(opened: Opened, made: Made) -> None:
    """Height, angle, load, contact and Find stand on the first screen of a phone; Find brings the answer to the top."""
    screen = rescue_41(opened, made)
    screen.page.set_viewport_size({"width": 390, "height": 844})
    screen.page.reload()

    find = screen.root.get_by_role("button", name="Find", exact=True)
    assert find.bounding_box()["y"] + find.bounding_box()["height"] < 844
    for name in ("height", "value", "load"):
        assert screen.root.locator(f"[name={name}]").is_visible()
        screen.root.locator(f"[name={name}]").fill(SIXTY[name])
    find.click()
    assert 0 <= screen.root.locator(".answer .big").bounding_box()["y"] < 400


def test_keyboard_alone(opened: Opened, made: Made) -> None:
    """With the keyboard alone: to the fields by Tab, typed, chosen by letter, a part out, Enter, the answer."""
    page = opened.open(made("rescue-41.yaml"))
    reach = "document.activeElement.name || document.activeElement.dataset.out || document.activeElement.tagName"
    keys = page.keyboard
    for _ in range(60):
        keys.press("Tab")
        if page.evaluate(reach) == "height":
            break
    for name, typed in (("height", "48"), ("value", "36"), ("load", "10000")):
        assert page.evaluate(reach) == name
        assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
        keys.type(typed)
        keys.press("Tab")
    keys.press("Tab")  # the contact is not said
    keys.press("Tab")  # Find comes before what else may be said
    assert page.evaluate(reach) == "SUMMARY"
    keys.press("Enter")
    keys.press("Tab")
    for name, typed in (("known", "h"), ("way", "u")):
        assert page.evaluate(reach) == name
        keys.type(typed)
        keys.press("Tab")
    keys.press("Tab")  # the factor stays
    keys.press("Tab")  # so does the strap
    assert page.evaluate(reach) == "SUMMARY"
    keys.press("Enter")
    keys.press("Tab")
    keys.type("1")
    keys.press("Enter")

    answer = Asker(page).read()
    assert answer.big.startswith("Strut 60.0 in, base 36.0 in out")
    # Upright 10,000 x 1.25 at 3-4-5 is 15,625 along; out go 9,375 lbf, more than 4 straps hold (4 x 3,283 cos 45) or 5
    # (the one on the strut's line may take it all): 6, which press 6 x 50 cos 15 / 0.6 = 483.0.
    assert "Along the strut 16,108 lbf" in answer.said
    assert "Counted as out: 1 x Short body." in answer.said


def test_untrusted_names_stay_text(opened: Opened, tmp_path: Path) -> None:
    """Markup, quotes, right-to-left and 10,000 characters stay text in fields and answers; nothing runs or asks."""
    made = page_of(tmp_path, hostile.write(tmp_path), "--only", "crew")
    screen = asker(opened, made)

    answer = screen.ask({"height": "32", "value": "60", "load": "1000"})

    assert len(answer.sets) + len(answer.loose) == 2
    assert screen.page.evaluate("window.hit") is None
    assert screen.page.locator("main img, .finder svg").count() == 0
    assert opened.said == []
    assert set(opened.asked) == {made.as_uri()}
    screen.page.set_viewport_size({"width": 390, "height": 844})
    assert screen.page.evaluate("document.documentElement.scrollWidth") <= 390


def test_names_that_are_markup_stay_text(opened: Opened, tmp_path: Path) -> None:
    """Parts, sets and places named as short whole tags, quotes and writing marks make no element and no request."""
    tag, quotes, steering = "<img src=x onerror=hit=2>", "\"'><b>{{7*7}}", "\u202egnorw\u05e9"
    made = rig_r.write(
        tmp_path,
        renamed={"wide-base": tag, "tall-body": quotes, "web": "<svg onload=hit=3>", "fork-head": steering},
        ready_sets={tag: {"parts": [tag, quotes, steering], "where": tag}},
    )
    page = page_of(tmp_path, made, "--only", "crew")
    screen = asker(opened, page)

    answer = screen.ask({"height": "1100", "value": "60", "load": "1"}, {tag: 1})

    stacks = {one.stack for one in (*answer.sets, *answer.loose, *answer.apart)}
    assert (tag, quotes, "<U+202E>gnorw\u05e9") in stacks
    assert a_set(answer, tag).verdict == f"DO NOT USE: 1 x {tag} out, which may be in this set"
    assert "<svg onload=hit=3>" in answer.said
    assert screen.root.locator("img, b, svg").count() == 0
    assert opened.said == []
    assert set(opened.asked) == {page.as_uri()}


def test_fits_a_phone_and_a_glove(opened: Opened, made: Made) -> None:
    """At 390 px nothing runs out at the side, and whatever is pressed is at least 44 px high."""
    screen = rescue_41(opened, made)
    screen.page.set_viewport_size({"width": 390, "height": 844})
    screen.ask({"height": "100", "value": "60"}, {"Strap": 1})

    assert screen.page.evaluate("document.documentElement.scrollWidth") <= 390
    low = """[...document.querySelectorAll(".finder input, .finder select, .finder button, .finder summary")]
      .filter(one => one.offsetParent && one.type !== "checkbox" && one.getBoundingClientRect().height < 44)
      .map(one => one.outerHTML)"""
    assert screen.page.evaluate(low) == []
    unlabelled = (
        "[...document.querySelectorAll('.finder input, .finder select')].filter(one => !one.labels.length).length"
    )
    assert screen.page.evaluate(unlabelled) == 0


def test_proposed_sets_are_not_built(opened: Opened, made: Made) -> None:
    """Rescue 44 lists no set on its book: none is offered as it lies, whatever the door card proposes."""
    screen = asker(opened, made("rescue-44.yaml"))

    answer = screen.ask(SIXTY)

    assert answer.sets == ()
    assert "No ready set stands built." in answer.said
    assert one_of(answer, "Hinged base", "Long body", "Edge head")


def test_more_assemblies_than_are_listed(opened: Opened, tmp_path: Path) -> None:
    """Over 2,000 assemblies the finder says that it looks for no loose build, and still finds the ready set."""
    screen = asker(opened, page_of(tmp_path, many.write(tmp_path), "--only", "crew"))

    answer = screen.ask({"height": "30", "value": "60", "load": "1000"})

    assert "Loose builds are not looked for: this cache makes 2,116 assemblies" in answer.said
    assert [one.word for one in answer.sets] == ["NOT KNOWN"]
    assert answer.loose == ()


def test_two_caches_have_finders_of_their_own(opened: Opened, made: Made) -> None:
    """On a page of two caches each finder answers for its own, with ids of its own."""
    page = opened.open(made("rescue-41.yaml", "truck-9.yaml"))

    ids = page.evaluate("[...document.querySelectorAll('[id]')].map(one => one.id)")
    assert len(ids) == len(set(ids))
    second = page.locator(".finder").nth(1)
    second.locator("[name=height]").fill("900")
    second.locator("[name=value]").fill("58")
    second.get_by_role("button", name="Find", exact=True).click()
    assert "1,061 mm" in second.locator(".answer").inner_text()
    assert page.locator(".finder").first.locator(".answer").inner_text() == ""


def test_finder_is_not_printed(opened: Opened, made: Made) -> None:
    """On paper there is no form that nobody can fill in."""
    page = rescue_41(opened, made).page

    page.emulate_media(media="print")

    assert not page.get_by_text("Contact height").is_visible()
    assert cache_check("report", "rescue-41.yaml", "--only", "crew", *ON, "-o", "-").returncode == 0
