"""Pitfalls of what is called met, enough or legal, through the command: a rig, what is asked, what must be said."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from cli.running import ON, SAMPLES

from cache_check.cli.output import guarded

MARKED = [{"wll": 5000}, {"wll": 5000}]
PARTS: dict[str, dict[str, Any]] = {
    "body": {"kind": "body", "closed": 30, "open": 50, "pull_apart": 55, "lock": "collar", "mass": 15, "count": 3},
    "base": {"kind": "fitting", "adds": 3, "serves": "base", "points": MARKED, "mass": 6, "count": 3},
    "head": {"kind": "fitting", "adds": 2, "serves": "head", "mass": 2, "count": 3},
    "pin": {"kind": "pin", "mass": 0.25, "count": 12},
    "strap": {"kind": "strap", "wll": 3333, "mass": 3, "count": 6},
}
CHART = {
    "id": "T-chart", "states": "rated load", "factor": 2, "edition": "T-1", "dated": "2026-01-15",
    "rows": [{"length": 60, "loads": [8000, 7600, 7200]}],
}  # fmt: skip
Asking = Callable[..., tuple[int, Any]]


@pytest.fixture
def ask(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Asking:
    """Write a rig with some of its parts changed, ask a command of it, and give the exit status and the answer."""

    def asked(
        command: str, *options: str, needs: list[dict[str, Any]] | None = None, more: dict[str, Any] | None = None,
        **parts: dict[str, Any],
    ) -> tuple[int, Any]:  # fmt: skip
        whole = {name: PARTS.get(name, {}) | parts.get(name, {}) for name in PARTS | parts}
        counts = {
            name: {"count": one.pop("count"), "where": "drawer 1"} | one.pop("held", {})
            for name, one in whole.items()
            if "count" in one
        }
        family = {
            "family": "T", "title": "Family T", "units": "us", "joint_pin": "pin",
            "parts": {name: one for name, one in whole.items() if one}, "charts": [CHART],
        }  # fmt: skip
        rig = {
            "cache": "rig",
            "title": "Rig",
            "units": "us",
            "inspected": "2026-01-10",
            "label": "legible",
            "made": "2024-01-01",
            "book_date": "2026-05-01",
            "families": ["t.yaml"],
        }
        for name, data in (("t.yaml", family), ("rig.yaml", rig | {"parts": counts} | (more or {}))):
            (tmp_path / name).write_text(yaml.safe_dump(data, sort_keys=False))
        arguments = [command, str(tmp_path / "rig.yaml"), *options, "--on", "2026-06-01"]
        if needs is not None:
            scenes = {"drill": {"needs": needs}}
            (tmp_path / "n.yaml").write_text(yaml.safe_dump({"needs": "Drill", "units": "us", "scenes": scenes}))
            arguments += ["--needs", str(tmp_path / "n.yaml")]
        status = guarded(arguments)
        told = capsys.readouterr()
        if "json" not in options or not told.out:
            return status, told.out + told.err
        return status, json.loads(told.out)["answers"][0]

    return asked


JSON = ("--format", "json")


def unknown(answer: dict[str, Any]) -> list[str]:
    """What is not known of the one need."""
    return [link["name"] for link in answer["tallies"][0]["links"] if link["state"] == "unknown"]


def verdicts(answer: dict[str, Any]) -> tuple[str, str]:
    """The verdict on the one need and on its scene."""
    return answer["tallies"][0]["verdict"], answer["scenes"][0]["verdict"]


NEED = {"id": "side", "count": 2, "length": 45, "load": 3000, "angle": 60}


def test_a_need_of_which_everything_is_known_is_met(ask: Asking) -> None:
    """The rig of this file as it stands: met, and with one piece missing too; exit 0."""
    status, said = ask("check", *JSON, needs=[NEED])

    assert verdicts(said) == ("met", "met")
    assert said["tallies"][0]["missing"]["state"] == "holds"
    assert status == 0


@pytest.mark.parametrize(
    ("wanted", "alike"),
    [(2, "3 x base, 3 x body, 3 x head, 12 x pin, 6 x strap"), (4, "3 x base, 3 x body, 3 x head, 12 x pin")],
)
@pytest.mark.parametrize("shown", [(), ("--show", "findings")])
def test_what_is_unknown_alike_is_told_once_with_its_remedy(
    ask: Asking, wanted: int, alike: str, shown: tuple[str, ...]
) -> None:
    """Nobody wrote a day of inspection or looked at a label: all parts stand together before the one remedy."""
    blank = {"inspected": None, "label": None}
    said = " ".join(ask("check", *shown, needs=[NEED | {"count": wanted}], more=blank)[1].split())
    told = said[said.index("NEED-1") : said.index("PIN-2")] if shown else said[: said.index("Do now")]

    assert f"{alike}: label not looked at" in told
    assert told.count("label not looked at") == 1
    assert told.count("look whether its label can be read, and write it") == 1
    assert told.count("find the day of its inspection, or inspect it") <= 1


@pytest.mark.parametrize(
    ("rig", "says"),
    [
        ({"more": {"inspected": None}}, "None is left built, since no strut stands in any scene; 0 of 1 scenes met"),
        (
            {"body": {"mass": 900}},
            "None is left built, since none saves a joint in any scene, or none fits and may be carried; 1 of 1 scenes "
            "met; 4 joints to make or break in all scenes (weighted 4), proven the fewest",
        ),
    ],
)
def test_where_no_set_is_left_built_that_is_said_and_no_list_is_empty(
    ask: Asking, rig: dict[str, Any], says: str
) -> None:
    """Not 0 joints, proven the fewest; and no head of a table without a row."""
    for shown in ((), ("--show", "all")):
        page = ask("stage", *shown, needs=[NEED], **rig)[1]
        assert says in " ".join(page.split())
        assert "0 ready sets" not in page
        assert "0 joints to make or break in all scenes" not in page
        lines = page.splitlines()
        assert [
            line for n, line in enumerate(lines[1:-1], 1) if set(line) <= set("- ") and line and not lines[n + 1]
        ] == []


def test_pitfall_10_points_without_a_limit_make_it_not_known(ask: Asking) -> None:
    """Not counted as rated, the rule on marks in force or off, and who could tell is named; exit 1."""
    for rules in ((), ("--set", "WLL-2=off")):
        status, said = ask("check", *JSON, *rules, needs=[NEED], base={"points": 2})

        assert verdicts(said) == ("not known", "not known")
        assert unknown(said) == ["rated", "points of base"]
        assert status == 1
    assert "NOT KNOWN" in ask("check", needs=[NEED], base={"points": 2})[1]


def test_a_factor_below_the_makers_is_told_beside_the_yes(ask: Asking) -> None:
    """8,000 lbf at 2:1 asked at 1:1 counts as 16,000: met, and the short answer says above the maker's mark."""
    strong = {"strap": {"wll": 10000}, "base": {"points": [{"wll": 20000}, {"wll": 20000}]}}
    status, page = ask("check", "--factor", "1:1", needs=[NEED | {"load": 9000}], **strong)

    assert (status, "\nMET" in page) == (0, True)
    assert "above the maker's mark" in " ".join(page.split())
    assert "above the maker" not in ask("check", needs=[NEED], **strong)[1]


def test_pitfall_39_straps_with_neither_mark_nor_size_rate_nothing(ask: Asking) -> None:
    """They restrain, by count; nobody knows what they hold, so nothing is rated; the size of one settles it."""
    nothing = ask("check", *JSON, needs=[NEED], strap={"wll": None})[1]
    sized = ask("check", *JSON, needs=[NEED], strap={"wll": None, "size": 2})[1]

    counts = {one["step"]: one["count"] for one in nothing["tallies"][0]["counts"]}
    assert (counts["restrained"], counts["rated"]) == (3, 0)
    assert verdicts(nothing) == ("not known", "not known")
    assert unknown(nothing) == ["rated", "strap"]
    assert verdicts(sized) == ("met", "met")


CHAIN: dict[str, Any] = {"kind": "chain", "wll": 6600, "count": 6}


def test_pitfall_20_a_chain_must_say_what_it_needs_or_that_it_needs_none(ask: Asking) -> None:
    """Silent, it restrains nothing that is known; saying so, it restrains; and a binder on the rig is hardware."""
    off = {"strap": {"count": 0}}
    silent = ask("check", *JSON, needs=[NEED], chain=CHAIN, **off)[1]
    says = ask("check", *JSON, needs=[NEED], chain=CHAIN | {"needs": {}}, **off)[1]
    binder = {"kind": "hardware", "wll": 9000, "count": 6}
    bound = ask("check", *JSON, needs=[NEED], chain=CHAIN | {"needs": {"binder": 1}}, binder=binder, **off)[1]

    beside = ask("check", *JSON, needs=[NEED], chain=CHAIN, binder=binder, **off)[1]  # how many it takes nobody says

    assert verdicts(silent) == verdicts(beside) == ("not known", "not known")
    assert "hardware of chain" in unknown(silent)
    assert unknown(beside) == unknown(silent)
    assert verdicts(says) == verdicts(bound) == ("met", "met")


def test_pitfall_21_nothing_that_binds_is_called_enough(ask: Asking) -> None:
    """With four pins two struts stand and a third wants two more: the gap of pins says so, ready sets or not."""
    needs = [NEED | {"count": 3}]
    sets = {"ready_sets": {"A": {"parts": ["base", "body", "head"]}}}
    (pins,) = (gap for gap in ask("check", *JSON, needs=needs, more=sets, pin={"count": 4})[1]["gaps"]
               if gap["what"].endswith("pin"))  # fmt: skip

    assert (pins["have"], pins["want"]) == (4, 6 + 2)
    assert "pin: 6 in scene drill" in pins["says"]


@pytest.mark.parametrize(("changed", "what", "ends", "says"), [
    ({"strap": {"wll": None}}, "straps", "not known", "it is not known what they hold: strap"),
    ({"base": {"points": [{}, {}]}}, "bases with enough attachment points", "not known", "points of base (3 usable)"),
    ({"base": {"points": []}}, "straps", "none wanted", "so straps can restrain none"),
    ({"body": {"count": 0}}, "bases with enough attachment points", "none wanted", "none wanted (3 usable)"),
    ({"strap": {"held": {"made": None}, "count": 8}}, "straps", "SHORT 6", "6 short, not known: 8 x strap"),
    ({"pin": {"count": None}}, "pin", "SHORT 8", "8 short, not known: count of pin (0 usable)"),
    ({"head": {"held": {"label": "unknown"}}}, "heads", "SHORT 3", "3 short, not known: 3 x head (0 usable)"),
])  # fmt: skip
def test_what_nobody_knows_to_hold_or_needs_is_not_called_enough(
    ask: Asking, changed: dict[str, Any], what: str, ends: str, says: str
) -> None:
    """No mark on straps or points, no point at all, no body; and what is short may be there: look before you buy."""
    more = {"made": None} if "held" in changed.get("strap", {}) else {}
    answer = ask("check", *JSON, needs=[NEED], more=more, **changed)[1]
    (gap,) = (one for one in answer["gaps"] if one["what"].removeprefix("T/") == what)
    page = ask("check", "--show", "gaps", needs=[NEED], more=more, **changed)[1]
    remedies = [one["remedy"] for one in answer["findings"] if one["what"] == gap["says"]]

    assert says in gap["says"]
    assert ends.split()[0] in next(line for line in page.split("\n") if line.startswith(what.split()[0]))
    assert "enough" not in gap["says"].replace("enough in number", "").replace("has enough attachment", "")
    if gap["short"]:
        assert [one.split("; then,")[0] for one in remedies] == [gap["unknown"][0]["ask"]]


def test_what_binds_a_need_is_not_called_enough(capsys: pytest.CaptureFixture[str]) -> None:
    """Rescue 41 has a base for every body, and one fitting more allows the next strut: no gap of it reads enough."""
    guarded(["check", str(SAMPLES / "rescue-41.yaml"), "--needs", str(SAMPLES / "needs.yaml"), *ON, *JSON])
    (said,) = json.loads(capsys.readouterr().out)["answers"]
    bound = [gap for gap in said["gaps"] if gap["binds"] and not gap["short"]]

    assert bound
    assert not [gap for gap in bound if "enough" in gap["says"]]


def test_what_nobody_counted_is_counted_before_it_is_bought(ask: Asking, tmp_path: Path) -> None:
    """Pins that nobody counted may be there: the list says to count them first, and not that nothing would spare it."""
    (tmp_path / "p.yaml").write_text(yaml.safe_dump({"prices": "p", "currency": "USD", "parts": {"T/pin": 5}}))
    prices = ("--prices", str(tmp_path / "p.yaml"))
    for sheet in (("buy", "--show", "free"), ("report", "--only", "office", "-o", "-")):
        page = " ".join(ask(*sheet, *prices, needs=[NEED], pin={"count": None})[1].split())
        assert "Find out first, since it may spare what is bought" in page
        assert "count of pin: nobody counted (count it and write the figure)" in page
        assert "would spare a purchase, or it was left out" not in page


def test_no_step_that_takes_what_is_brought_back_is_called_today(ask: Asking, tmp_path: Path) -> None:
    """All straps undated: nothing is met today, and all of it for no money once they are looked at."""
    (tmp_path / "p.yaml").write_text(yaml.safe_dump({"prices": "p", "currency": "USD", "parts": {"T/strap": 50}}))
    steps = ("--prices", str(tmp_path / "p.yaml"), "--frontier", "--show", "steps")
    page = ask("buy", *steps, needs=[NEED], more={"made": None})[1]

    assert page.count("today, nothing") == 1
    assert "All but today's take first what is brought back for nothing." in " ".join(page.split())


@pytest.mark.parametrize(
    ("pins", "said"), [(12, "every length that the loose cache has is there"), (0, "No set is left")]
)
def test_no_set_leaves_no_word_of_holes_between_sets(ask: Asking, pins: int, said: str) -> None:
    """Without a pin nothing can be left built: that every length is there between the sets is said of none."""
    assert said in " ".join(ask("stage", "--show", "holes", needs=[NEED], pin={"count": pins})[1].split())


def test_what_nobody_counted_is_not_said_to_be_usable(ask: Asking) -> None:
    """An audit of the book alone, its bodies not counted: that every piece is usable nobody can say."""
    said = " ".join(ask("audit", "--show", "result", "--show", "costs", needs=[NEED], body={"count": None})[1].split())

    assert said.count("Nothing that anybody knows of is out of use.") == 2
    assert "Every piece is usable" not in said


@pytest.mark.parametrize(("made", "unknown"), [("2024-01-01", False), (None, True)])
def test_what_has_no_day_is_not_said_to_stay(ask: Asking, made: str | None, unknown: bool) -> None:
    """Straps of no known age fall due on no day that anybody knows: the look ahead says so, and not that none do."""
    told = ask("audit", "--ahead", "3 months", "--show", "ahead", needs=[NEED], more={"made": made})[1]
    said = " ".join(told.split())

    assert ("and not fine: - 6 strap: age unknown, not counted" in said) == unknown
    assert "No piece that counts today falls due or expires." in said
    later = " ".join(ask("audit", "--ahead", "12 months", needs=[NEED], more={"made": made})[1].split())
    pieces = 3 + 3 + 3 + 12 + (0 if unknown else 6)  # each piece of a lot counts
    assert f"Ahead {pieces} pieces of those that count today out of use by 2027-06-01" in later


def test_pitfall_24_the_load_that_was_asked_is_the_load_that_is_printed(ask: Asking) -> None:
    """4,001 lbf is over what the straps' strut is rated for by one pound: no page makes 4,002 of it."""
    said = ask("check", "--show", "all", needs=[NEED | {"load": 8001}])[1]

    assert "8,001" in said
    assert "8,002" not in said


def test_pitfall_29_one_strap_to_a_base_is_called_one(ask: Asking) -> None:
    """With STR-1 at one, no sentence about straps says two."""
    said = ask("check", "--set", "STR-1.min=1", "--show", "all", needs=[NEED])[1]

    assert "at one each" in said
    assert not [line for line in said.splitlines() if "two" in line and "strap" in line]


@pytest.mark.parametrize("setting", ["STR-1=off", "STR-1.min=0"])
def test_pitfalls_30_and_38_no_rule_on_straps_and_no_count_is_called_restrained(ask: Asking, setting: str) -> None:
    """The rule is listed as off, gaps and spares follow, and a need for restrained struts is not known to be met."""
    said = ask("check", "--set", setting, *JSON, needs=[NEED], strap={"count": 0})[1]

    counts = {one["step"]: one["count"] for one in said["tallies"][0]["counts"]}
    assert counts["restrained"] is None
    assert verdicts(said) == ("not known", "not known")
    assert "restraint" in unknown(said)
    assert "STR-1" in said["basis"]["rules_off"]
    assert "STR-1" not in [one["rule"] for one in (*said["gaps"], *said["findings"])]
    assert "restrained" not in [one["step"] for one in said["profiles"]]
    plain = ask("check", "--set", setting, *JSON, needs=[NEED | {"restrained": False}], strap={"count": 0})[1]
    assert verdicts(plain) == ("met", "met")
    table = ask("check", "--set", setting, "--show", "needs", needs=[NEED])[1]
    assert "not asked" not in table
    assert "3 not known" in " ".join(table.partition("What binds")[0].split())
    assert "assembled at once, restraint not ruled" in ask("reach", "--set", setting, "--at", "45")[1]
    rated = " ".join(ask("reach", "--set", setting, "--at", "45", "--load", "1000")[1].split())
    assert "3 rated, 1,000 lbf along each strut at 2:1; restraint not ruled" in rated


@pytest.mark.parametrize("rule", ["STR-1=off", "STR-1.min=0"])
def test_pitfalls_30_and_38_no_page_tells_what_is_held_where_no_rule_says_how(
    ask: Asking, rule: str, tmp_path: Path
) -> None:
    """No heaviest car on the office page, no largest load that still passes, and no crew page says 'at least 0'."""
    (tmp_path / "p.yaml").write_text(yaml.safe_dump({"prices": "p", "currency": "USD", "parts": {"T/strap": 50}}))
    where = ("--contact-height", "40", "--angle", "60", "--vertical", "1000", "--half-angles", "30")
    for off in ((), ("--set", rule)):
        sheets = ("--prices", str(tmp_path / "p.yaml"), "--only", "office", "--only", "crew", "-o", "-")
        page = " ".join(ask("report", *sheets, *off, needs=[NEED])[1].split())
        passes = ask("load", *where, "--show", "largest", *off)[1]

        assert ("Each base: at least" in page) != bool(off)
        assert ("NOT TOLD: STR-1 is off, so nothing says how many" in page) == bool(off)
        assert ("none passes; STR-1 is off" in " ".join(passes.split())) == bool(off)


def test_pitfall_32_a_whole_scene_one_strap_short_when_one_is_missing(ask: Asking) -> None:
    """Each need by itself can spare a strap; both at once cannot, and the line of the scene says so."""
    needs = [{"id": "left", "count": 1, "length": 45}, {"id": "right", "count": 1, "length": 45}]
    said = ask("check", *JSON, needs=needs, strap={"count": 4})[1]

    assert [one["missing"]["state"] for one in said["tallies"]] == ["holds", "holds"]
    (scene,) = said["scenes"]
    assert (scene["verdict"], scene["missing"]["state"], scene["left"]) == ("met", "does not hold", 1)
    assert scene["lost"] == ["T/strap"]
    for verb in ("check", "stage", "buy"):
        page = ask(verb, needs=needs, strap={"count": 4})[1]
        assert "one missing NOT MET" in " ".join(page.split("\nMET ", 1)[1].split("\nCaution")[0].split()), verb
    whole = ask("check", "--why", "drill", needs=needs, strap={"count": 4})[1]
    alone = ask("check", "--why", "left", needs=needs[:1], strap={"count": 2})[1]
    assert ["MET; one missing NOT MET" in page for page in (whole, alone)] == [True, True]


@pytest.mark.parametrize("verb", ["check", "stage", "buy", "audit", "audits", "office"])
def test_section_4_what_is_counted_as_met_says_how_many_are_not_with_one_missing(
    ask: Asking, verb: str, tmp_path: Path
) -> None:
    """Of a rig that spares no strap, in a line for many rigs and wherever needs or scenes are counted as met."""
    needs, scarce = [NEED | {"count": 3}], {"strap": {"count": 6}}
    (tmp_path / "other.yaml").write_text(yaml.safe_dump({"cache": "other", "units": "us", "parts": {}}))
    (tmp_path / "p.yaml").write_text(yaml.safe_dump({"prices": "p", "currency": "USD", "parts": {"T/strap": 50}}))
    buying = ("--prices", str(tmp_path / "p.yaml"))
    office = (*buying, "--only", "office", "-o", "-")
    several = (str(tmp_path / "other.yaml"),)
    asked = {
        "check": several,
        "buy": buying,
        "office": office,
        "audit": ("--show", "result"),
        "audits": (*several, "--jobs", "1"),
    }
    command = {"office": "report", "audits": "audit"}.get(verb, verb)
    page = " ".join(ask(command, *asked.get(verb, ()), needs=needs, **scarce)[1].split())

    said = re.search(r"1 of 1 [a-z ]*met[a-z ]* \(1 of them not with one missing\)", page)
    assert said or "Met today as well: drill (one missing NOT MET)." in page


def test_a_need_that_only_the_worst_angle_fails_is_not_sent_to_read_limits(ask: Asking) -> None:
    """Every limit is marked, and what 8,000 lbf push out is more than points of 700 lbf hold, on offer or not."""
    weak = [{"wll": 700}, {"wll": 700}]
    marked = ask("buy", *JSON, needs=[NEED | {"load": 8000}], base={"points": weak})[1]["purchases"][0]
    bare = ask("buy", *JSON, needs=[NEED], base={"points": 2})[1]["purchases"][0]

    assert ["straps, hardware or points do not hold" in one["says"] for one in marked["out_of_reach"]] == [True]
    assert ["no limit" in one["says"] for one in bare["out_of_reach"]] == [True]


def test_pitfall_42_a_need_that_nothing_forbids_and_nothing_meets_says_what_is_wanting(ask: Asking) -> None:
    """No rule forbids a strut of 200 in and no pair of parts makes one: the page says that no assembly covers it."""
    said = ask("check", needs=[{"id": "mast", "count": 1, "length": 200}])[1]

    assert "NOT MET" in said
    assert "no legal assembly of the usable parts covers this length" in " ".join(said.split())


def test_a_part_that_nobody_counted_makes_it_not_known(ask: Asking) -> None:
    """Taken as none on every step; whether the need is met, nobody knows until they are counted."""
    status, said = ask("check", *JSON, needs=[NEED], head={"count": None})

    assert verdicts(said) == ("not known", "not known")
    assert "count of head" in unknown(said)
    assert status == 1


def test_pieces_of_which_something_is_not_known_make_it_not_known(ask: Asking) -> None:
    """Two bodies in words that nobody knows: met if they turn out well; at repair: no, whatever they turn out to be."""
    odd, away = ({"items": [{"serial": f"B-{i}"} | said for i in (1, 2)]} for said in
                 ({"condition": "odd"}, {"status": "repair"}))  # fmt: skip
    status, said = ask("check", *JSON, needs=[NEED], body={"held": odd})
    links = {link["name"]: link for link in said["tallies"][0]["links"]}

    assert (status, verdicts(said)) == (1, ("not known", "not known"))
    assert links["body B-1, body B-2"]["why"] == "condition not known"
    assert "look at it again" in links["body B-1, body B-2"]["ask"]
    assert verdicts(ask("check", *JSON, needs=[NEED], body={"held": away})[1]) == ("not met", "not met")
    assert verdicts(ask("check", *JSON, needs=[NEED | {"count": 4}], body={"held": odd})[1])[0] == "not met"


@pytest.mark.parametrize(
    "command",
    [("check",), ("reach", "--at", "45in"), ("stage",), ("buy",), ("build", "base", "body", "head"), ("audit",)],
)
def test_a_book_of_a_day_to_come_answers_nothing(ask: Asking, command: tuple[str, ...]) -> None:
    """Nobody can have counted the rig then: refused, with both days; a policy without the rule takes it as it is."""
    needs = None if command[0] in ("reach", "build") else [NEED]
    said = ask(*command, needs=needs, more={"book_date": "2027-05-01"})

    assert said[0] == 2
    assert ask(*command, "--set", "DAT-1=off", needs=needs, more={"book_date": "2027-05-01"})[0] != 2


@pytest.mark.parametrize("command", [("check",), ("reach", "--at", "45in"), ("stage", "--show", "basis")])
def test_pitfall_16_what_keeps_a_part_out_of_every_strut_is_said_with_its_rule(
    command: tuple[str, ...], ask: Asking
) -> None:
    """Zero struts because the body would pull apart: the answer itself names rule and figure, not only a finding."""
    needs = None if command[0] == "reach" else [NEED]
    said = " ".join(ask(*command, needs=needs, body={"pull_apart": 51})[1].split())

    assert "body: body keeps 1.0 in (25 mm) inside when open, at least 4.0 in (102 mm) is asked (OVL-1," in said


def test_worst_to_lose_is_a_piece_that_is_there(ask: Asking) -> None:
    """Of two kinds of strap that do the same, one of which there is none cannot be lost."""
    other = {"kind": "strap", "wll": 3333, "count": 0}
    (tally,) = ask("check", *JSON, needs=[NEED], strap={"count": 4}, other=other)[1]["tallies"]

    assert tally["lost"] == ["T/strap"]


@pytest.mark.parametrize("field", ["load", "restrained", "factor", "length"])
def test_what_is_left_blank_in_a_need_is_refused(ask: Asking, field: str) -> None:
    """A name with nothing after it may be a figure that somebody meant to write: one line, exit 2."""
    status, said = ask("check", needs=[NEED | {field: None}])

    assert status == 2
    assert f".{field}: " in said
    assert "blank" in said


def test_pitfall_25_what_is_legal_over_an_adapter_is_called_unrated(capsys: pytest.CaptureFixture[str]) -> None:
    """In one breath with legal: that families are mixed and unrated, and what holds the base."""
    stack = ("hinged-base", "P-base-to-Q-body", "body-34", "cross-head")
    guarded(["build", str(SAMPLES / "truck-9.yaml"), *stack, "--with", "hinged-base=1", *ON])
    said = " ".join(capsys.readouterr().out.split())

    assert "LEGAL" in said
    assert "UNRATED (families P and Q: mixed families are unrated)" in said
    assert "its base" in said
    guarded(["build", str(SAMPLES / "rescue-41.yaml"), "flat-fitting", "long-body", "edge-head", *ON])
    said = " ".join(capsys.readouterr().out.split())
    assert "Rated 12,000 lbf closed, 8,000 lbf open at 2:1; its base is NOT held" in said


@pytest.mark.parametrize("part", ["strap", "base"])
def test_what_nobody_knows_to_hold_is_not_said_to(ask: Asking, part: str) -> None:
    """Straps, or points, without a mark: a base that ``check`` leaves not known is not held for ``build`` either."""
    unmarked = {"strap": {"wll": None}, "base": {"points": 2}}[part]
    assert ask("build", "base", "body", "head", *JSON)[1]["carries"]["base"]["state"] == "holds"
    assert ask("build", "base", "body", "head", *JSON, **{part: unmarked})[1]["carries"]["base"]["state"] == "unknown"


def test_a_base_that_only_pieces_of_unknown_fitness_hold_is_not_known(ask: Asking) -> None:
    """Straps whose age nobody knows are not known to hold; straps that are not there do not hold."""
    unfit: dict[str, Any] = {"more": {"made": None}}
    base = ask("build", "base", "body", "head", *JSON, **unfit)[1]["carries"]["base"]
    assert base["state"] == "unknown"
    assert "6 x strap: age unknown" in base["why"]
    assert "find the date on its label" in base["ask"]
    said = ask("build", "base", "body", "head", **unfit)[1]
    assert "whether its base is held is not known: 6 x strap: age unknown" in " ".join(said.split())
    gone = ask("build", "base", "body", "head", *JSON, strap={"count": 1})[1]["carries"]["base"]
    assert gone["state"] == "does not hold"


@pytest.mark.parametrize(
    ("points", "says"),
    [
        (5000, "a thrust of 4,642 lbf"),
        (1000, "a thrust of 1,343 lbf (points of base)"),
        (None, "a thrust of unknown: no limit of points of base"),
    ],
)
@pytest.mark.parametrize("page", ["door", "crew"])
def test_pages_tell_what_strap_and_points_hold_together(
    ask: Asking, tmp_path: Path, page: str, points: int | None, says: str
) -> None:
    """Two straps at 45 deg hold more than weak points do; of points without a mark nobody knows, of a set's too."""
    here = {"points": [{"wll": points} for _ in range(2)]} if points else {"points": 2}
    sets = {"ready_sets": {"A": {"parts": ["base", "body", "head"]}}}
    ask("report", "--only", page, "-o", str(tmp_path / "page.html"), more=sets, base=here)
    said = (tmp_path / "page.html").read_text()

    assert says in said
    assert ("its points: limit UNKNOWN" in said) == (points is None)


def test_what_is_unrated_between_its_ends_is_said_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Rated closed and open, and the chart is blank at a length between: nobody may take the lower end for all."""
    for name in ("rescue-41.yaml", "family-p.yaml"):
        (tmp_path / name).write_text((SAMPLES / name).read_text().replace("[16000, 14500,", "[16000, null,"))
    stack = ("hinged-base", "extension-10", "long-body", "edge-head")
    guarded(["build", str(tmp_path / "rescue-41.yaml"), *stack, *ON])

    said = " ".join(capsys.readouterr().out.split())
    assert "Rated 9,000 lbf closed, 6,000 lbf open" in said
    why = "UNRATED between them: chart P-chart: no figure at this length and build"
    assert f"({why})" in said
    guarded(["build", str(tmp_path / "rescue-41.yaml"), *stack, "--format", "csv", *ON])
    assert f",9000,6000,{why},MET" in capsys.readouterr().out


@pytest.mark.parametrize(("row", "said"), [
    ("[20000, 18000,", "Rated 6,000 lbf open at 2:1, UNRATED closed"),
    ("[null, 12000,", "Rated 9,000 lbf closed at 2:1, UNRATED open"),
])  # fmt: skip
def test_an_end_without_a_figure_is_told_after_what_is_rated(
    row: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One end of its reach has no figure: nothing reads 'rated unrated'."""
    blank = row.rpartition(" ")[0].partition(",")[0] + ", null,"
    for name in ("rescue-41.yaml", "family-p.yaml"):
        (tmp_path / name).write_text((SAMPLES / name).read_text().replace(row, blank))
    stack = ("hinged-base", "extension-10", "long-body", "edge-head")
    guarded(["build", str(tmp_path / "rescue-41.yaml"), *stack, *ON])

    assert said in " ".join(capsys.readouterr().out.split())


def test_every_gap_in_the_rating_of_a_ready_set_is_told(tmp_path: Path) -> None:
    """Blank over 48 to 54 in and over 60 to 66 in: the crew page tells both, the door card speaks of all its reach."""
    row, next_row = "      - {length: 60, loads: [20000,", "      - {length: 72, loads: [16000,"
    for name in ("rescue-41.yaml", "family-p.yaml"):
        said = (SAMPLES / name).read_text()
        for gap, before in (("54, loads: [null, 18000, 16000]", row), ("66, loads: [null, 15000, 13500]", next_row)):
            said = said.replace(before, f"      - {{length: {gap}}}\n{before}")
        (tmp_path / name).write_text(said.replace("16000, 14500", "15000, 14500"))
    page = tmp_path / "page.html"
    guarded(["report", str(tmp_path / "rescue-41.yaml"), "--only", "crew", "--only", "door", "-o", str(page), *ON])

    told = ("48.0 in 12,000 lbf", "54.0 in UNRATED", "60.0 in 10,000 lbf", "66.0 in UNRATED", "71.0 in 7,500 lbf")
    assert f"rated: {'; '.join(f'to {one}' for one in told)}" in page.read_text()
    assert '<span class="figure-big">UNRATED</span>' in page.read_text()


CONTACTS: list[tuple[dict[str, Any], str, int, str]] = [
    ({"contacts": ["edge"]}, "met", 0, ""),
    ({"contacts": ["hole"]}, "not met", 1, "no usable head is listed for edge"),
    ({}, "not known", 1, "head head"),
]


@pytest.mark.parametrize(("head", "verdict", "status", "says"), CONTACTS)
def test_a_need_that_says_its_contact_takes_heads_that_list_it(
    ask: Asking, head: dict[str, Any], verdict: str, status: int, says: str
) -> None:
    """Listed: met; listed for another: not met, and why; no list at all: not known.  In check, stage and buy alike."""
    need = NEED | {"contact": "edge"}

    got, said = ask("check", *JSON, needs=[need], head=head)

    assert (verdicts(said), got) == ((verdict, verdict), status)
    assert says in json.dumps(said["tallies"][0])
    staged, bought = (ask(command, *JSON, needs=[need], head=head)[1] for command in ("stage", "buy"))
    assert staged["staging"]["scenes"][0]["served"]["verdict"] == verdict
    assert bought["purchases"][0]["before"][0]["verdict"] == verdict
    assert bought["purchases"][0]["whole"] == (verdict == "met")


def test_a_contact_that_holds_by_friction_alone_is_not_known(ask: Asking) -> None:
    """Flat holds no head that meets it at an angle, which a need does not say; no rule for it: met."""
    flat = NEED | {"contact": "flat"}

    assert verdicts(ask("check", *JSON, needs=[flat], head={"contacts": ["flat"]})[1]) == ("not known", "not known")
    off = ask("check", *JSON, "--set", "HED-2=off", needs=[flat], head={"contacts": ["flat"]})[1]
    assert verdicts(off) == ("met", "met")


def test_a_blank_contact_is_refused(ask: Asking) -> None:
    """Blank is blank: write it, or take the line out."""
    status, said = ask("check", needs=[NEED | {"contact": None}])

    assert status == 2
    assert "contact" in said
    assert "blank" in said


def test_an_angle_that_is_not_stated_comes_before_any_purchase(ask: Asking) -> None:
    """Held at 45 deg a base wants more straps; to state the steeper angle costs nothing, so it is said first."""
    need = {key: value for key, value in NEED.items() if key != "angle"} | {"load": 4800}
    found = ask("buy", needs=[need], strap={"count": 4})[1]
    steeper = ask("buy", needs=[need | {"angle": 69}], strap={"count": 4})[1]

    assert found.index("First ") < found.index("Buy ")
    assert "add the angle: drill: side is" in " ".join(found.split())
    assert "First " not in steeper
    assert "nothing to buy" in steeper


def test_what_was_not_asked_is_not_called_impossible(ask: Asking) -> None:
    """Where scenes were asked there are no matched sets, which is not that no strut can stand."""
    page = ask("stage", "--show", "matched", needs=[NEED])[1]
    lost = ask("check", "--show", "losses", needs=[NEED | {"load": 7900, "angle": 45}])[1]

    assert "No strut can stand" not in page
    assert "Not asked: scenes were." in page
    assert "One piece lost: no strut is there to lose." in lost


def test_case_10_every_command_names_what_is_not_known(ask: Asking, tmp_path: Path) -> None:
    """NOT KNOWN is never said alone: each answer and page names the points, and who could tell."""
    said = {
        command: ask(command, needs=[NEED], base={"points": 2})[1]
        for command in ("check", "stage", "buy", "audit")
    }  # fmt: skip
    for only in ("crew", "office"):
        page = tmp_path / f"{only}.html"
        assert ask("report", "--only", only, "-o", str(page), needs=[NEED], base={"points": 2})[0] == 0
        said[only] = page.read_text(encoding="utf-8")

    for where, text in said.items():
        words = " ".join(text.split())
        assert "NOT KNOWN" in words, where
        assert "points of base: no limit on the book" in words, where
        assert "ask the maker, or read it off" in words, where


def test_nobody_is_told_to_add_what_binds_where_nothing_does(ask: Asking) -> None:
    """A load that no chart allows is not met by any piece more; straps that are short are what binds."""
    heavy = ask("check", *JSON, needs=[NEED | {"load": 9000}])[1]
    short = ask("check", *JSON, needs=[NEED], strap={"count": 2})[1]

    told = [next(one["remedy"] for one in said["findings"] if one["rule"] == "NEED-1") for said in (heavy, short)]
    assert told[0].startswith("put right what stands in the way")
    assert told[1].startswith("bring back what is out")


@pytest.mark.parametrize(
    ("angle", "rules", "verdict"),
    [
        (20, (), "not met"), (44, (), "not met"), (45, (), "met"), (70, (), "met"), (71, (), "not met"),
        (88, (), "not met"), (88, ("--set", "ANG-1=off"), "met"), (66, ("--set", "ANG-1.max=65 deg"), "not met"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("restrained", [True, False])
def test_case_09_a_need_outside_the_angles_of_the_rules_is_not_met(
    ask: Asking, angle: int, rules: tuple[str, ...], verdict: str, restrained: bool
) -> None:
    """A load along the strut at an angle that `load` refuses: not met in check and stage, and no purchase meets it."""
    need = NEED | {"angle": angle, "restrained": restrained}
    strong = {"strap": {"wll": 9000}}
    said = ask("check", *JSON, *rules, needs=[need], **strong)[1]
    staged = ask("stage", *JSON, *rules, needs=[need], **strong)[1]

    assert verdicts(said) == (verdict, verdict)
    assert staged["staging"]["scenes"][0]["served"]["verdict"] == verdict
    if verdict == "not met":
        assert "CAP-1" not in [one["rule"] for one in said["findings"]]
        bought = " ".join(ask("buy", *rules, needs=[need], **strong)[1].split())
        assert f"{angle} deg from the horizontal" in bought
        assert "forbidden by ANG-1" in bought


def test_case_09_a_rigs_own_angle_holds_for_its_needs(ask: Asking) -> None:
    """A rig whose own sheet allows 60 deg at most is not met at 61."""
    narrow = {"rules": {"ANG-1": {"max": 60, "why": "the sheet"}}}

    assert verdicts(ask("check", *JSON, needs=[NEED], more=narrow)[1]) == ("met", "met")
    assert verdicts(ask("check", *JSON, needs=[NEED | {"angle": 61}], more=narrow)[1]) == ("not met", "not met")


SOFT = {
    "id": "side", "count": 2, "vertical": 2000, "height": 39, "angle": 60, "contact": "edge", "soil": "500 psf",
    "anchor_distance": 60, "far_anchors": "structure",
}  # fmt: skip
BASED: dict[str, Any] = {
    "base": {"footprint": {"length": 12, "width": 12}}, "head": {"contacts": ["edge"]}, "strap": {"length": "20 ft"},
}  # fmt: skip


@pytest.mark.parametrize(("pads", "verdict", "missing"), [(1, "not met", None), (2, "met", "does not hold")])
def test_case_09_each_base_on_soft_ground_has_a_pad_of_its_own(
    ask: Asking, tmp_path: Path, pads: int, verdict: str, missing: str | None
) -> None:
    """One pad for two: check, stage, buy and pages say pads; a list does not fail its proof; and one may go missing."""
    pad = {"pad": {"kind": "pad", "footprint": {"length": 36, "width": 36}, "count": pads}}
    said = ask("check", *JSON, needs=[SOFT], **BASED, **pad)[1]
    page = tmp_path / "page.html"
    told = {
        "check": ask("check", needs=[SOFT], **BASED, **pad),
        "stage": ask("stage", "--show", "scenes", needs=[SOFT], **BASED, **pad),
        "buy": ask("buy", "--show", "all", needs=[SOFT], **BASED, **pad),
        "report": ask("report", "-o", str(page), needs=[SOFT], **BASED, **pad),
    }

    tally, scene = said["tallies"][0], said["scenes"][0]
    assert verdicts(said) == (verdict, verdict)
    assert [one["missing"] and one["missing"]["state"] for one in (tally, scene)] == [missing, missing]
    assert [status for status, _ in told.values()] == [verdict != "met", verdict != "met", 4 * (verdict != "met"), 0]
    told["report"] = 0, page.read_text(encoding="utf-8")
    if verdict == "not met":
        assert all("pad" in " ".join(text.split()) for _, text in told.values())
        [short] = [one for one in said["findings"] if one["rule"] == "NEED-1"]
        assert "-" not in short["what"].partition(" there")[2]
    lost = " ".join(ask("check", "--show", "losses", needs=[SOFT], **BASED, **pad)[1].split())
    assert ("One pad lost" in lost) == (missing == "does not hold")
    if pads:
        assert "2 bases need a pad on this ground" in " ".join(told["stage"][1].split())
        assert "2 bases need a pad on this ground" in told["report"][1]


@pytest.mark.parametrize(
    ("pads", "one_lost", "status"), [(0, False, 4), (0, True, 4), (2, False, 0), (2, True, 4), (3, True, 0)]
)
def test_case_09_a_list_has_no_pads_priced_or_not(
    ask: Asking, tmp_path: Path, pads: int, one_lost: bool, status: int
) -> None:
    """A price for them makes no list fail its proof; nor does one stand a loss that leaves a pad too few."""
    prices = {"prices": "quote", "currency": "USD", "parts": {"pad": 10, "body": 10}}
    (tmp_path / "p.yaml").write_text(yaml.safe_dump(prices))
    pad = {"pad": {"kind": "pad", "footprint": {"length": 36, "width": 36}, "count": pads}}
    options = ("--prices", str(tmp_path / "p.yaml"), *(["--one-lost"] if one_lost else []))
    found, told = ask("buy", *options, needs=[SOFT], **BASED | {"strap": BASED["strap"] | {"count": 8}}, **pad)

    assert found == status, told
    assert ("no list meets every scene" in told) == (status == 4)
    assert ("pads are on no list" in told) == (status == 4)


def test_case_09_pads_are_left_over_by_no_list(ask: Asking) -> None:
    """Two pads under two bases leave none over: a spare of them is refused, never taken for there."""
    pad = {"pad": {"kind": "pad", "footprint": {"length": 36, "width": 36}, "count": 2}}
    status, told = ask("buy", "--spare", "pad=1", needs=[SOFT], **BASED, **pad)

    assert status == 2
    assert "pads are on no list" in told


def test_case_09_the_rig_that_has_the_pads_brings_them(ask: Asking, tmp_path: Path) -> None:
    """Of two rigs pooled the first has every piece of the struts and one pad: the other brings the second."""
    pad = {"pad": {"kind": "pad", "footprint": {"length": 36, "width": 36}, "count": 1}}
    page, said = tmp_path / "page.html", ask("check", *JSON, needs=[SOFT], **BASED, **pad)[1]
    assert verdicts(said) == ("not met", "not met")
    other = (
        (tmp_path / "rig.yaml").read_text().replace("cache: rig", "cache: other").replace("title: Rig", "title: Other")
    )
    (tmp_path / "other.yaml").write_text(other)
    pooled = ("--pool", str(tmp_path / "other.yaml"))
    said = ask("check", *pooled, *JSON, needs=[SOFT], **BASED, **pad)[1]
    ask("report", *pooled, "--only", "crew", "-o", str(page), needs=[SOFT], **BASED, **pad)

    assert verdicts(said) == ("met", "met")
    brought = {one["rig"]: {own["part"]: own["count"] for own in one["pieces"]} for one in said["scenes"][0]["brings"]}
    assert {rig: own["T/pad"] for rig, own in brought.items()} == {"rig": 1, "other": 1}
    assert "1 x pad" in page.read_text(encoding="utf-8")


def test_a_scene_without_a_strut_says_why_in_every_command(ask: Asking, tmp_path: Path) -> None:
    """Longer than anything that can be made: stage, buy and the crew page say so as check does, each by itself."""
    need, page = NEED | {"length": 90}, tmp_path / "page.html"
    ask("report", "--only", "crew", "-o", str(page), needs=[need])
    told = [ask(command, needs=[need])[1] for command in ("check", "stage")] + [page.read_text(encoding="utf-8")]

    assert all("no legal assembly of the usable parts covers this length" in " ".join(one.split()) for one in told)


def test_case_20_no_page_holds_a_base_with_chain_that_does_not_say_what_it_takes(ask: Asking, tmp_path: Path) -> None:
    """Nor does a need in its place take it; saying that it needs nothing, the same chain holds."""
    off, page, said = {"strap": {"count": 0}, "base": BASED["base"], "head": BASED["head"]}, tmp_path / "page.html", []
    for chain in (CHAIN, CHAIN | {"needs": {}}):
        long = {"chain": chain | {"length": "20 ft"}}
        need = SOFT | {"soil": "6000 psf"}
        verdict = verdicts(ask("check", *JSON, needs=[need], **off, **long)[1])[0]
        built = {"ready_sets": {"one": {"parts": ["base", "body", "head"], "where": "drawer 1"}}}
        ask("report", "--only", "door", "-o", str(page), needs=[need], more=built, **off, **long)
        said.append((verdict, "Held by 2 x chain" in page.read_text(encoding="utf-8")))

    assert said == [("not known", False), ("met", True)]


@pytest.mark.parametrize(
    ("asked", "said"),
    [("44.01 in", "44.01"), ("44.1 in", "44.1"), ("44 1/16 in", "44.0625"), ("1118 mm", "44.01575"), ("44 in", "44.0")],
)
def test_a_length_asked_is_taken_for_no_other(asked: str, said: str, ask: Asking) -> None:
    """Shown with as many digits as it has, so that nobody reads 44.01 in, which another row may rate, as 44.0 in."""
    page = ask("reach", "--at", asked)[1]
    rows = ask("reach", "--at", asked, "--show", "at", "--format", "csv")[1]
    needs = [NEED | {"length": asked, "count": 4}]

    assert page.splitlines()[1].startswith(f"{said} in ")
    assert f"restrained: {said} in\n" in page
    assert f"Rig,{said} in,{said},{said}," in rows
    assert f" at {said} in, 3 there" in " ".join(ask("audit", needs=needs)[1].split())
    assert f" {said} " in ask("check", "--show", "needs", needs=needs)[1]


def test_a_length_that_is_worked_out_keeps_its_digits(ask: Asking) -> None:
    """39 in up at 60 deg is no length that anybody typed."""
    need = {"id": "side", "count": 1, "vertical": 1000, "height": 39, "angle": 60, "contact": "edge"}
    assert "45.0" in ask("check", "--show", "needs", needs=[need])[1]


def test_a_base_is_held_whatever_else_a_stack_lacks(ask: Asking) -> None:
    """Base and straps are there and hold; that a head is missing, or not known to be fit, is said of the head."""
    for head in ({"count": 0}, {"held": {"inspected": "2062-01-01"}}):
        status, page = ask("build", "base", "body", "head", head=head)
        assert status == 1
        assert "its base can be held: by straps or chains of its own" in " ".join(page.split())
        assert "Short of    head: 1 wanted, 0 usable" in page
    assert "its base is NOT held" in " ".join(ask("build", "base", "body", "head", strap={"count": 1})[1].split())


@pytest.mark.parametrize("command", ["check", "stage", "buy"])
@pytest.mark.parametrize(
    ("part", "fields"), [("strap", {"wll": 33330}), ("base", {"points": [{"wll": 50}, {"wll": 50}]})]
)
def test_a_limit_that_is_not_likely_is_not_called_missing(
    command: str, part: str, fields: dict[str, Any], ask: Asking
) -> None:
    """The book has a limit, which SIZ-1 calls in doubt: nobody is told that it has none, and what would settle it."""
    page = " ".join(ask(command, needs=[NEED], **{part: fields})[1].split())

    assert "NOT KNOWN" in page
    assert f"{'points of base' if part == 'base' else 'strap'}: its limit is not likely (SIZ-1)" in page
    assert "no limit on the book" not in page
    assert "no mark" not in page


def test_case_20_chain_of_which_nobody_says_what_it_takes_is_not_known_to_be_short(ask: Asking) -> None:
    """Neither ``reach`` nor the gap of straps and chains says that hardware is wanting: they say who could tell."""
    chain = {"kind": "chain", "wll": 6600, "mass": 12, "count": 20}
    told = "hardware of chain: its type does not say"
    rig: dict[str, Any] = {"strap": {"count": 0}, "chain": chain}

    for more in ((), ("--load", "100")):
        assert f"not known of {told}" in " ".join(ask("reach", "--at", "45", *more, **rig)[1].split())
    page = " ".join(ask("check", needs=[NEED], **rig)[1].split())
    assert "3 bases need 6 straps or chains at two each: 6 short, not known: hardware of chain" in page
    assert "without hardware" not in page
    assert "write in its type what it needs, or needs: none; then, if it is short still, add straps" in page


@pytest.mark.parametrize("unknown", [{"count": "unknown"}, {"held": {"label": "unknown"}}])
def test_bodies_of_which_something_is_not_known_are_told_beside_why_none_is_usable(
    ask: Asking, unknown: dict[str, Any]
) -> None:
    """Without a head they help no strut: that none is usable was all that was said of them."""
    said = " ".join(ask("check", needs=[NEED], body=unknown, head={"count": 0})[1].split())

    assert "no strut body is usable today, and none stands with what is not known: " in said
    assert "body (" in said[said.index("with what is not known: ") :][:45]
    alone = " ".join(ask("check", needs=[NEED], body=unknown)[1].split())
    assert "no strut body is usable" not in alone


PINNED = {"id": "side", "count": 1, "length": 45}


@pytest.mark.parametrize(
    ("parts", "wants"),
    [
        ({"pin": {"count": 0}}, "the first strut wants 2 more pins"),
        ({"base": {"count": 0}}, "the first strut wants 1 more base"),
        ({"pin": {"count": 2}}, ""),
    ],
)
def test_pitfall_41_where_nothing_can_be_built_what_is_wanting_stands_beside_it(
    ask: Asking, parts: dict[str, dict[str, Any]], wants: str
) -> None:
    """Reach, check without needs and a need say what makes the first strut; of a cache with enough, nothing."""
    told = [
        " ".join(ask(command, needs=needs, **parts)[1].split())
        for command, needs in (("reach", None), ("check", None), ("check", [PINNED]))
    ]

    assert all((wants in one) if wants else ("the first strut wants" not in one) for one in told)


def test_pins_that_nobody_knows_are_looked_at_not_bought(ask: Asking) -> None:
    """No pin was inspected as far as anybody wrote: that is what is wanting, and no pin more."""
    blank = {"pin": {"held": {"items": [{"serial": f"P{n}", "label": "unknown"} for n in range(12)]}}}
    _, said = ask("reach", **blank)

    assert "the first strut wants" not in said
    assert "not known of" in said
    assert "label not looked at" in said


@pytest.mark.parametrize(("bodies", "pins", "told"), [(1, 5, False), (1, 3, True), (3, 5, True)])
def test_pins_short_of_spares_are_not_to_be_done_now_where_bodies_are_what_is_wanting(
    ask: Asking, bodies: int, pins: int, told: bool
) -> None:
    """Two struts wanted, one body: pins that are there for both are short of spares; else they are to be done now."""
    _, said = ask("check", needs=[NEED], body={"count": bodies}, pin={"count": pins})

    [line] = [line for line in said.splitlines() if "spare make" in line]
    assert line.startswith("Do now" if told else "Spares")


def test_a_base_with_a_bad_eye_is_told_to_be_mended_before_one_is_wanted(ask: Asking) -> None:
    """Three bases, one with one eye of two: what mends it stands under what is to be done now."""
    eye = {"items": [{"serial": "B-1", "points_usable": 1, "inspected": "2026-01-10", "label": "legible"}]}
    _, said = ask("check", needs=[NEED | {"count": 3}], base={"held": eye})

    done = " ".join(said[said.index("Do now") :].split())
    assert "base B-1 has 1 usable attachment point, 2 wanted, 2 as made: tag the bad point; have it mended" in done


@pytest.mark.parametrize(
    ("parts", "load", "why"),
    [
        ({"pin": {"strength": {"rated_load": 3000, "factor": 2}}}, 3001, "the own strength of pin is under this load"),
        ({"pin": {"strength": {"rated_load": 3000, "factor": 2}}}, 8001, "no chart row rates a build for this load"),
        ({}, 8001, "no chart row rates a build for this load"),
    ],
)
def test_what_is_too_weak_by_itself_is_not_laid_on_the_chart(
    ask: Asking, parts: dict[str, dict[str, Any]], load: int, why: str
) -> None:
    """The chart rates the strut, and its pins are marked for less: the pins are named."""
    _, said = ask("check", needs=[PINNED | {"load": load, "restrained": False}], **parts)

    assert why in " ".join(said.split())


def test_a_line_of_a_purchase_comes_to_what_the_list_comes_to(ask: Asking, tmp_path: Path) -> None:
    """Freight and what is paid once are in what a vendor is said to be paid."""
    quote = {
        "prices": "Quote", "currency": "USD", "freight": 50, "parts": {"T/body": {"price": 900, "fixed": 7}},
    }  # fmt: skip
    (tmp_path / "p.yaml").write_text(yaml.safe_dump(quote))
    _, said = ask("buy", "--prices", str(tmp_path / "p.yaml"), needs=[NEED], body={"count": 1})

    assert "Quote: 957.00 USD for 1 piece" in said
    assert "1 x body from Quote; 957.00 USD" in said
