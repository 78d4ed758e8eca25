"""What a piece is, asked through the command: nothing that is out, or not known, counts, and each is told why."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from builders import tidy
from cli.running import cache_check

from cache_check.files.rules import read_rules
from cache_check.joining.stock import Fitness
from cache_check.model.cache import Item

HEAD = """\
cache: rig
units: us
book_date: 2026-03-01
inspected: 2026-01-10
label: legible
made: 2024-01-01
joint_pin: captive
types:
  body: {kind: body, closed: 30, open: 50, pull_apart: 55, lock: collar, mass: 15}
  base: {kind: fitting, serves: base, adds: 3, points: 2, mass: 6}
  head: {kind: fitting, serves: head, adds: 2, mass: 2}
  strap: {kind: strap, wll: 3333, mass: 3}
"""
PARTS: dict[str, Any] = {"body": 4, "base": 4, "head": 4, "strap": 8}


def written(folder: Path, *, name: str = "rig", top: str = HEAD, more: str = "", **parts: Any) -> Path:
    """A rig of four struts, each restrained; ``parts`` change its lines, ``more`` stands at the end of the file."""
    lines = "".join(f"  {part}: {json.dumps(line)}\n" for part, line in (PARTS | parts).items() if line is not None)
    path = folder / f"{name}.yaml"
    path.write_text(top.replace("cache: rig", f"cache: {name}") + f"parts:\n{lines}{more}", encoding="utf-8")
    return path


def answer(*arguments: str | Path) -> dict[str, Any]:
    """What ``check`` says of a rig on 1 April 2026, as JSON."""
    run = cache_check("check", *arguments, "--on", "2026-04-01", "--format", "json", "--fail-on", "never")
    assert run.returncode == 0, run.stderr
    found: dict[str, Any] = json.loads(run.stdout)["answers"][0]
    return found


def usable(found: dict[str, Any], part: str) -> int:
    """How many of a part count."""
    number: int = next(one["usable"] for one in found["parts"] if one["part"].endswith(f"/{part}"))
    return number


def refused(path: Path, *also: Path | str) -> str:
    """What the command says as it refuses a file: one line a mistake, and status 2."""
    run = cache_check("check", path, *also)
    assert run.returncode == 2
    assert "Traceback" not in run.stderr
    return run.stderr


def idle(found: dict[str, Any]) -> list[tuple[str, str, str]]:
    """(serial, why, remedy) of every piece that does not count."""
    return [(one["serial"], one["reasons"][0]["why"], one["remedy"]) for part in found["parts"] for one in part["idle"]]


def test_all_that_is_said_counts(tmp_path: Path) -> None:
    """The rig of these tests has four of each part and eight straps, all usable; it wants nothing but a chart."""
    found = answer(written(tmp_path))

    assert [one["usable"] for one in found["parts"]] == [4, 4, 4, 8]
    assert [one["rule"] for one in found["findings"]] == ["CAP-3"]


@pytest.mark.parametrize(
    ("line", "part", "why"),
    [
        ("inspected: 2026-01-10\n", "body", "not_inspected"),
        ("label: legible\n", "head", "label_unseen"),
        ("made: 2024-01-01\n", "strap", "age_unknown"),
    ],
)
def test_what_nobody_wrote_is_not_counted_with_or_without_serial(
    tmp_path: Path, line: str, part: str, why: str
) -> None:
    """A date, label or age that neither piece, line nor book states is not known, and that is not counted."""
    found = answer(written(tmp_path, top=HEAD.replace(line, "", 1)))
    mine = [one for entry in found["parts"] if entry["part"] == f"rig/{part}" for one in entry["idle"]]

    assert usable(found, part) == 0
    assert why in [reason["why"] for one in mine for reason in one["reasons"]]
    assert {one["state"] for one in mine} == {"not known"}


def test_a_piece_says_otherwise_than_its_book(tmp_path: Path) -> None:
    """A piece's own word wins, even where it is worse; a blank of its own takes the word of line, then book."""
    items = [{"serial": "B-1", "inspected": "2024-01-01"}, {"serial": "B-2", "label": "unknown"}, {"serial": "B-3"}]
    found = answer(written(tmp_path, body={"count": 4, "inspected": "2026-02-01", "items": items}))

    assert idle(found) == [
        ("B-1", "overdue", "inspect it and write the date"),
        ("B-2", "label_unseen", "look whether its label can be read, and write it"),
    ]
    assert usable(found, "body") == 2


@pytest.mark.parametrize("part", ["body", "base", "head", "strap"])
@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"condition": "cracked, do not use"}, "damaged"),
        ({"condition": "a bit wobbly"}, "condition_unknown"),
        ({"tag": "17"}, "tagged"),
        ({"note": "Do NOT use until looked at"}, "noted"),
        ({"label": "unreadable"}, "unreadable"),
        ({"status": "repair"}, "repair"),
    ],
)
def test_pitfall_35_what_is_cracked_tagged_or_noted_is_out_whatever_part_it_is(
    tmp_path: Path, part: str, said: dict[str, str], why: str
) -> None:
    """A crack on a body, base or head takes it out as on a strap; words that nobody knows are not known."""
    all_of = PARTS[part]
    lines: dict[str, Any] = {part: {"count": all_of, "items": [{"serial": "X-1", **said}]}}
    found = answer(written(tmp_path, top=HEAD, **lines))

    assert [(serial, code) for serial, code, _ in idle(found)] == [("X-1", why)]
    assert usable(found, part) == all_of - 1


def test_each_reason_has_the_remedy_that_fits_it(tmp_path: Path) -> None:
    """Nobody is told to inspect what is cracked or expired, or to buy what is at repair."""
    items = [
        {"serial": "S-1", "status": "repair", "inspected": "2024-01-01"},
        {"serial": "S-2", "condition": "cut", "inspected": "2024-01-01"},
        {"serial": "S-3", "expires": "2026-03-31", "inspected": "2024-01-01"},
        {"serial": "S-4", "inspected": "2024-01-01"},
        {"serial": "S-5", "acquired": "2016-03-31"},
    ]
    found = answer(written(tmp_path, strap={"count": 8, "items": items}))
    whole = {one["serial"]: one for part in found["parts"] for one in part["idle"]}

    assert {serial: one["remedy"] for serial, one in whole.items()} == {
        "S-1": "fetch it back from repair, inspected; inspect it and write the date",
        "S-2": "tag it and retire it",
        "S-3": "tag it and retire it",
        "S-4": "inspect it and write the date",
        "S-5": "tag it and retire it",
    }
    assert {serial: one["free"] for serial, one in whole.items()} == {
        "S-1": True, "S-2": False, "S-3": False, "S-4": True, "S-5": False,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("points", "says"),
    [
        (99, "99 usable attachment points, and 'base' is made with 2"),
        (3, "3 usable attachment points, and 'base' is made with 2"),
    ],
)
def test_pitfall_17_more_fit_points_than_made_are_refused(tmp_path: Path, points: int, says: str) -> None:
    """A base has no more usable attachment points than it was made with; a strap has none at all."""
    path = written(tmp_path, base={"count": 4, "items": [{"serial": "B-1", "points_usable": points}]})
    strap = written(tmp_path, name="other", strap={"count": 8, "items": [{"serial": "S-1", "points_usable": 1}]})

    assert says in refused(path)
    assert "1 usable attachment points, and 'strap' is made with 0" in refused(strap)


def test_pitfall_19_a_day_to_come_is_no_inspection_and_no_count(tmp_path: Path) -> None:
    """Inspected in 2062 is not inspected, which is told; a book of next year is no count, and refused."""
    later = written(tmp_path, name="later", top=HEAD.replace("2026-03-01", "2027-03-01"))
    found = answer(
        written(
            tmp_path,
            body={"count": 4, "items": [{"serial": "B-1", "inspected": "2062-01-10"}]},
            strap={"count": 8, "items": [{"serial": "S-1", "acquired": "2042-01-10"}]},
        )
    )  # fmt: skip

    assert [(usable(found, part)) for part in ("body", "strap")] == [3, 7]
    assert [one["what"] for one in found["findings"] if one["rule"] == "DAT-1"] == [
        "body B-1: inspected on 2062-01-10, which is to come",
        "strap S-1: acquired on 2042-01-10, which is to come",
    ]
    assert "later is dated 2027-03-01, after the day asked about, 2026-04-01" in refused(later, "--on", "2026-04-01")


@pytest.mark.parametrize("again", ["X-1", "x-1", " X - 1 "])
def test_pitfall_19_one_serial_twice_is_one_piece(tmp_path: Path, again: str) -> None:
    """The same serial under two parts, or but for capitals and spaces, is refused with the place of the second."""
    path = written(
        tmp_path, body={"count": 4, "items": [{"serial": "X-1"}]}, head={"count": 4, "items": [{"serial": again}]}
    )

    assert f"serial {again.strip()!r} is listed twice, first under 'body'" in refused(path)


@pytest.mark.parametrize("pool", [("--pool",), ()])
def test_pitfall_36_one_serial_on_two_rigs(tmp_path: Path, pool: tuple[str, ...]) -> None:
    """A piece is on one rig; two books that both list it are refused, taken as one or each by itself."""
    one = written(tmp_path, body={"count": 4, "items": [{"serial": "X-1"}]})
    other = written(tmp_path, name="other", head={"count": 4, "items": [{"serial": "x-1"}]})

    assert "serial 'x-1' of 'head' is in" in refused(one, other, *pool)


def test_a_count_below_its_own_items_is_refused(tmp_path: Path) -> None:
    """Two serials listed under a count of one: the count is wrong, and is not mended in silence."""
    path = written(tmp_path, body={"count": 1, "items": [{"serial": "B-1"}, {"serial": "B-2"}]})

    assert "2 pieces are listed under a count of 1" in refused(path)


def test_a_set_in_a_compartment_that_is_not_there_is_told(tmp_path: Path) -> None:
    """Whether it fits cannot be known, and is not passed over."""
    more = "compartments: {tray: {length: 62}}\nready_sets: {A: {parts: [base, body, head], where: trey}}\n"
    found = answer(written(tmp_path, more=more))

    assert [one["what"] for one in found["findings"] if one["rule"] == "STO-1"] == [
        "ready set A lies in 'trey', which is no compartment of the book"
    ]


@pytest.mark.parametrize("verb", ["check", "audit"])
def test_pitfall_16_a_part_that_no_legal_strut_takes_is_named_with_its_rule(tmp_path: Path, verb: str) -> None:
    """A body that would pull apart counts on no step, and the finding says which rule keeps it out."""
    top = HEAD.replace("pull_apart: 55", "pull_apart: 51")
    run = cache_check(verb, written(tmp_path, top=top), "--on", "2026-04-01", "--format", "json")
    [found] = [one for one in all_findings(json.loads(run.stdout)["answers"][0]) if one["rule"] == "USE-1"]

    assert found["what"].startswith("body: body keeps 1.0 in (25 mm) inside when open")
    assert "(OVL-1, " in found["what"]


def all_findings(found: dict[str, Any]) -> list[dict[str, Any]]:
    """The findings of any answer, whatever stands around them."""
    return [one.get("finding", one) for one in found["findings"]]


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        ("{kind: pin}", "lone: no joint takes this pin"),
        ("{kind: hardware}", "lone: no strap or chain of this book needs it"),
        ("{kind: pad}", "lone: its size is not written"),
        ("{kind: extension, length: 40}", "40.0 in (1,016 mm) of extensions, at most"),
        ("{kind: fitting, serves: head, adds: 1, end: Z}", "lone"),
    ],
)
def test_parts_of_no_use_are_told(tmp_path: Path, kind: str, says: str) -> None:
    """A pin, hardware, pad, extension or head that nothing takes is told, never counted in silence."""
    top = HEAD + f"  lone: {kind}\n" + ("connectors: {Z: captive}\n" if "Z" in kind else "")
    found = answer(written(tmp_path, top=top, lone=1))

    assert [says in one["what"] for one in found["findings"] if one["rule"] == "USE-1"] == [True]


def test_a_chain_of_a_size_that_no_table_gives_is_not_known(tmp_path: Path) -> None:
    """A chain of 9/32 in, between two published sizes, is neither worn nor sound: nobody published its least size."""
    top = HEAD + '  chain: {kind: chain, wll: 4000, size: "9/32 in", needs: {}}\n'
    items = [{"serial": "C-1", "measured": "0.25 in"}]
    found = answer(written(tmp_path, top=top, chain={"count": 1, "items": items}))

    assert [(one["serial"], one["state"]) for part in found["parts"] for one in part["idle"]] == [("C-1", "not known")]


@pytest.mark.parametrize("way", ["book.xlsx", "book"])
def test_what_a_book_states_once_goes_through_workbook_and_csv(tmp_path: Path, way: str) -> None:
    """Said once in the sheet "about", or on a part's row, it holds as in YAML."""
    items = [{"serial": "S-1", "tag": "9", "note": "keep dry"}, {"serial": "S-2"}]
    path = written(tmp_path, strap={"count": 8, "made": "2015-01-01", "items": items})
    run = cache_check("convert", path, tmp_path / way)
    assert run.returncode == 0, run.stderr
    found, again = answer(path), answer(tmp_path / way)

    assert usable(found, "strap") == 0
    assert found["parts"] == again["parts"]
    assert found["basis"]["stated"] == again["basis"]["stated"]


@pytest.mark.parametrize("note", [
    "unusable", "not usable", "Quarantine", "unserviceable", "no good", "not safe: hose", "DNU", "locked out",
    "awaiting inspection", "out for repair", "Needs repair", "on loan to Truck 9", "lent to Truck 9",
    "retired", "OOS", "lost its collar", "borrowed by Truck 9", "sent back", "at shop", "training only", "expired",
    "can't find it", "Not looked at", "do not load", "needs a new handle", "recalled",
])  # fmt: skip
def test_pitfall_35_other_words_for_not_to_be_used(note: str) -> None:
    """A note in plain words that a piece is not fit takes it out, and one that says less leaves it not known."""
    book = read_rules()
    for said, state in (
        (note, "not usable"),
        ("not ok", "not known"),
        ("collar slips", "not known"),
        ("won't lock", "not known"),
        ("seen by A. B.", "usable"),
    ):
        piece = Item.model_validate({
            "serial": "B-1", "part": "T/body", "rig": "tidy", "inspected": "2026-01-10", "label": "legible",
            "note": said,
        })  # fmt: skip
        judged = Fitness(book, tidy().catalogue).of(piece, date(2026, 4, 1))
        assert (judged.reasons[0].why.state if judged.reasons else "usable") == state, said


def test_a_note_on_a_type_that_says_not_to_use_it_holds_of_every_piece(tmp_path: Path) -> None:
    """What is recalled is recalled wherever it is written; nobody read it there, and all four bodies counted."""
    noted = HEAD.replace("kind: body,", "kind: body, note: 'recalled, do not use',")
    plain = HEAD.replace("kind: body,", "kind: body, note: 'blue paint',")

    assert [usable(answer(written(tmp_path, top=top)), "body") for top in (noted, plain)] == [0, 4]


@pytest.mark.parametrize(("condition", "state"), [
    ("no damage", "usable"), ("Good; no cracks", "usable"), ("not bent", "not known"),
    ("good - no cracks", "usable"), ("Good. No cracks.", "usable"), ("no cracks seen", "not known"),
    ("not safe: cracked", "not usable"), ("no cracks (bent)", "not usable"), ("No cracks. Bent.", "not usable"),
    ("no cracks - eye torn", "not usable"),
    ("no visible crack", "not known"),
    ("without rust, good", "not known"), ("not bent, cracked", "not usable"), ("not bent but cracked", "not usable"),
    ("not good", "not usable"), ("no good", "not usable"), ("not to be used", "not usable"), ("bent", "not usable"),
])  # fmt: skip
def test_damage_that_is_denied_is_not_damage(condition: str, state: str) -> None:
    """Nobody is told to tag and retire a piece that was found not bent; in words that no rule knows it is not known."""
    piece = Item.model_validate({
        "serial": "B-1", "part": "T/body", "rig": "tidy", "inspected": "2026-01-10", "label": "legible",
        "condition": condition,
    })  # fmt: skip
    judged = Fitness(read_rules(), tidy().catalogue).of(piece, date(2026, 4, 1))

    assert (judged.reasons[0].why.state if judged.reasons else "usable") == state
