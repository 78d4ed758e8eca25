"""Cache and family files: read exactly, and everything wrong with them told at once, in plain words."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from desk import SAMPLES, Desk, read_cache

from cache_check import units
from cache_check.files.catalogue import read_family
from cache_check.files.rules import read_rules, starter_text
from cache_check.model.part import Adapter, Body, End, Fitting

HEAD = "cache: x\nunits: us\n"
BODY = "body: {kind: body, closed: 30, open: 48, lock: collar}"
FAMILY = f"family: F\nunits: us\njoint_pin: pin\nparts:\n  {BODY}\n  pin: {{kind: pin}}\n"


def test_every_mistake_of_a_file_is_told_at_once_in_its_order(desk: Desk) -> None:
    """Eleven mistakes of eleven kinds come together, top to bottom, each with place, line, caret and what is right."""
    changes = [
        ("closed: 30 ", "clsoed: 30 "), ("open: 48 ", "open: 26,5 "), ("lock: collar ", "lock: colar "),
        ("kind: extension", "kind: extention"), ("count: 4\n    where", "count: 010\n    where"),
        ("status: in service", "status: in sevrice"), ("2026-01-10", "2026-02-30"), ("made: 2024", "made: 1204"),
        ("[base, body, head]", "[bse, body, head]"), ("EXT-1: {max: 1", "EXT1: {max: 1"),
    ]  # fmt: skip
    text = starter_text("cache")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)

    assert (
        desk.says(text)
        == """\
x.yaml:13:1: made: 1204-05-03 is no day of a piece or a book; check the year: 1950 to 2100
  13 | made: 1204-05-03         # of the oldest webbing
     | ^
x.yaml:20:3: types.body: missing 'closed'
  20 |   body:
     |   ^
x.yaml:22:5: types.body.clsoed: 'clsoed' is not a field here; did you mean 'closed'?
  22 |     clsoed: 30           # shortest setting
     |     ^
x.yaml:23:5: types.body.open: '26,5' has a comma, which reads as thousands or as a decimal; write it without
  23 |     open: 26,5             # longest setting that keeps the minimum insertion
     |     ^
x.yaml:25:5: types.body.lock: 'colar' is not one of collar, holes, pin only or unknown; did you mean 'collar'?
  25 |     lock: colar         # collar, holes, pin only, or unknown
     |     ^
x.yaml:28:5: types.extension.kind: 'extention' is not a kind of part; did you mean 'extension'?
  28 |     kind: extention
     |     ^
x.yaml:54:5: parts.body.count: '010' is not a whole number; write digits alone, with no quotes, leading zero, point \
or comma
  54 |     count: 010
     |     ^
x.yaml:61:23: parts.base.items[1].status: 'in sevrice' is not one of in service, repair, loaned, missing, training, \
retired, quarantined or unknown; did you mean 'in service'?
  61 |       - {serial: B-1, status: in sevrice, inspected: 2026-02-30, points_usable: 2, label: legible}
     |                       ^
x.yaml:61:43: parts.base.items[1].inspected: 2026-02-30 is not a day of the calendar; check month and day
  61 |       - {serial: B-1, status: in sevrice, inspected: 2026-02-30, points_usable: 2, label: legible}
     |                                           ^
x.yaml:72:15: ready_sets.A.parts[1]: there is no part 'bse'; did you mean 'base'?
  72 |   A: {parts: [bse, body, head], where: tray}
     |               ^
x.yaml:76:3: rules.EXT1: 'EXT1' is not a rule; did you mean 'EXT-1'?
  76 |   EXT1: {max: 1, why: the sheet of these struts}
     |   ^"""
    )


def cases() -> list[tuple[str, str]]:
    """The pairs (cache file, what is said of it) of refusals.txt."""
    blocks = (Path(__file__).parent / "refusals.txt").read_text(encoding="utf-8").split("== file\n")[1:]
    return [(block.split("\n== says\n")[0], block.split("\n== says\n")[1].rstrip("\n")) for block in blocks]


@pytest.mark.parametrize(("text", "says"), cases(), ids=lambda text: text.split(": ")[-1][:50])
def test_each_mistake_has_its_own_line(text: str, says: str, desk: Desk) -> None:
    """One mistake gives one line, which says what is wrong and, where that can be known, what is right."""
    assert desk.says(text) == says


def test_a_number_without_end_is_refused(desk: Desk) -> None:
    """Five thousand digits are no mass, and no reason to fall over."""
    assert desk.lines(HEAD + f"types: {{a: {{kind: pin, mass: {'9' * 5000}}}}}") == [
        "x.yaml:3:24: types.a.mass: '99999999999999999999 ...' is too long for a quantity; check it"
    ]


def test_a_number_in_quotes_is_told_to_want_none(desk: Desk) -> None:
    """What is right but for its quotes is not asked about as if it were another word."""
    chain = "types: {c: {kind: chain, size: 3/8 in, grade: '80', needs: none}}"
    assert desk.lines(HEAD + chain)[0].endswith("70, 80 or 100; write 80, a number, without quotes")


def test_an_adapter_says_what_both_its_ends_join(desk: Desk) -> None:
    """An end left blank is not taken for one of its own family, which would make assemblies it was not made for."""
    whole = "{kind: adapter, length: 2 in, lower: {connector: A}, upper: {connector: B}}"
    missing = "x.yaml:3:9: types.a: missing 'lower'"
    assert missing not in desk.lines(HEAD + f"types: {{a: {whole}}}")
    assert desk.lines(HEAD + "types: {a: " + whole.replace("lower: {connector: A}, ", "") + "}") == [missing]


def test_mistakes_of_a_family_file_come_with_those_of_the_cache(desk: Desk) -> None:
    """A cache with a mistake and a family with another: both are told, each under its own file."""
    desk.put(FAMILY.replace("closed", "closd"), "family.yaml")

    assert desk.lines(HEAD + "families: [family.yaml]\nparts: {bdy: 1}\nrules: {EXT-1: of}") == [
        "x.yaml:5:9: rules.EXT-1: 'of' is not on or off; write on, off, or the entries to change",
        "family.yaml:5:3: parts.body: missing 'closed'",
        "family.yaml:5:22: parts.body.closd: 'closd' is not a field here; did you mean 'closed'?",
    ]


def test_a_name_in_two_families_must_be_told_apart(desk: Desk) -> None:
    """A short name that two families have is refused with both ids; either id is accepted."""
    desk.put(FAMILY, "f.yaml")
    desk.put(FAMILY.replace("family: F", "family: G"), "g.yaml")
    text = HEAD + "families: [f.yaml, g.yaml]\n"

    assert desk.lines(text + "parts: {body: 1}") == [
        "x.yaml:4:9: parts.body: 'body' may be any of 2 parts; write F/body or G/body"
    ]
    assert read_cache(desk.put(text + "parts: {F/body: 1, G/body: 2}")).counted == {"F/body": 1, "G/body": 2}


def test_a_family_is_listed_once(desk: Desk) -> None:
    """Two files of one family name are refused where the second is listed."""
    desk.put(FAMILY, "f.yaml")

    assert desk.lines(HEAD + "families: [f.yaml, ./f.yaml]") == [
        "x.yaml:3:20: families[2]: family 'F' is listed already; list each family once"
    ]


def test_a_type_may_belong_to_a_listed_family(desk: Desk) -> None:
    """An own type that names a family gets that family's id and connector, and its joints that family's pin."""
    desk.put(FAMILY, "f.yaml")
    cache = read_cache(
        desk.put(
            HEAD + "families: [f.yaml]\ntypes: {longer: {kind: extension, family: F, length: 30}}\nparts: {longer: 1}"
        )
    )

    part = cache.catalogue.by_id["F/longer"]
    assert cache.counted == {"F/longer": 1}
    assert getattr(part, "lower", None) == End(connector="F")
    assert cache.catalogue.pin_of == {"F": "F/pin"}


def test_nobody_counted_is_not_none(desk: Desk) -> None:
    """Unknown and blank are kept apart from zero."""
    types = "types: {a: {kind: pin}, b: {kind: pin}, c: {kind: pin}}\n"
    cache = read_cache(desk.put(HEAD + types + "parts: {a: unknown, b: , c: 0}"))

    assert cache.uncounted == ("x/a", "x/b")
    assert cache.counted == {"x/c": 0}


def test_numbers_where_text_is_meant_stay_as_written(desk: Desk) -> None:
    """A cache called 41 and serials 4711 and 0123 are names, digit for digit."""
    text = "cache: 41\nunits: us\ntypes: {s: {kind: strap, title: 7}}\n"
    cache = read_cache(desk.put(text + "parts: {s: {count: 2, items: [{serial: 4711}, {serial: 0123}]}}"))

    assert cache.rigs == ("41",)
    assert cache.catalogue.by_id["41/s"].title == "7"
    assert [item.serial for item in cache.stock[0].items] == ["4711", "0123"]


def test_what_straps_take_into_use_is_resolved_to_ids(desk: Desk) -> None:
    """The hardware that a chain needs is named like any part, and kept by id."""
    text = HEAD + "types: {binder: {kind: hardware}, chain: {kind: chain, grade: 80, needs: {binder: 1}}}"

    assert getattr(read_cache(desk.put(text)).catalogue.by_id["x/chain"], "needs", None) == {"x/binder": 1}


def test_connectors_and_mates_name_their_pins(desk: Desk) -> None:
    """Keyed ends: the connectors of an own family and an unlike pair that mates all the same."""
    text = HEAD + (
        "joint_pin: captive\nconnectors: {big: pin}\nmates: [{ends: [big plug, small socket], pin: pin}]\n"
        "types: {pin: {kind: pin}, long: {kind: extension, length: 9, lower: big plug, upper: {connector: x}}}"
    )
    catalogue = read_cache(desk.put(text)).catalogue

    assert catalogue.pin_of == {"x": "captive", "big": "x/pin"}
    assert catalogue.families[0].mates[0].pin == "x/pin"
    assert (catalogue.by_id["x/long"].lower.name, catalogue.by_id["x/long"].lower.gender) == ("big", "plug")  # type: ignore[union-attr]


def test_settings_keep_who_made_them(desk: Desk) -> None:
    """A family's setting holds for the family, a cache's for the rig, each with its values in base units."""
    desk.put(FAMILY + "rules: {EXT-2: {max: 32}}", "f.yaml")
    cache = read_cache(desk.put(HEAD + "families: [f.yaml]\nrules: {STR-4: off, INS-1: {every: 400, why: slow year}}"))

    first, second, third = cache.settings
    assert (first.rule, first.values, first.family, first.rig, first.by) == (
        "EXT-2", {"max": 32 * 25_400_000}, "F", None, "family F",
    )  # fmt: skip
    assert (second.rule, second.on, second.rig, second.by) == ("STR-4", False, "x", "cache x")
    assert (third.on, third.values, third.why) == (None, {"every": 400}, "slow year")


def test_the_family_of_the_county_reads_exactly() -> None:
    """Family P has the lengths, masses and failure loads of the county, in exact base units."""
    page = read_family(SAMPLES / "family-p.yaml", read_rules())
    parts = {part.name: part for part in page.parts}
    body, base = parts["short-body"], parts["hinged-base"]

    assert isinstance(body, Body)
    assert (body.closed, body.open) == (673_100_000, 990_600_000)
    assert body.mass == Fraction("13") * units.KG_PER_LB
    assert isinstance(base, Fitting)
    assert len(base.points) == 2
    assert page.family.connectors == {"P": "P/joint-pin"}
    rows = {row.length // 25_400_000: row.loads for row in page.family.charts[0].rows}
    assert rows[48] == tuple(units.force_n(f"{load} lbf") for load in (24000, 22000, 20000))
    assert rows[84] == (None, units.force_n("12000 lbf"), units.force_n("10500 lbf"))
    assert list(rows) == [48, 60, 72, 84, 96, 108]


@pytest.mark.parametrize(
    ("name", "counts"),
    [
        ("rescue-41", [4, 3, 4, 3, 5, 4, 3, 2, 16, 7]),
        ("rescue-44", [2, 1, 2, 1, 2, 2, 1, 8, 6]),
        ("truck-9", [2, 2, 2, 3, 1, 4]),
    ],
)
def test_the_rigs_of_the_county_hold_what_they_should(name: str, counts: list[int]) -> None:
    """Each rig's counts are the county's, in the order of its file."""
    cache = read_cache(SAMPLES / f"{name}.yaml")

    assert list(cache.counted.values()) == counts
    assert cache.uncounted == ()
    assert cache.sources[0].path == str(SAMPLES / f"{name}.yaml")


def test_a_rig_written_in_si_has_the_same_inches() -> None:
    """Truck 9 is written in millimetres; its lengths are whole inches to the nanometre."""
    parts = read_cache(SAMPLES / "truck-9.yaml").catalogue.by_id
    body, adapter = parts["Q/body-34"], parts["Q/P-base-to-Q-body"]

    assert isinstance(body, Body)
    assert body.holes is not None
    assert [n // 25_400_000 for n in (body.closed, body.open, body.holes.pitch)] == [34, 58, 2]
    assert all(n % 25_400_000 == 0 for n in (body.closed, body.open, body.holes.pitch))
    assert isinstance(adapter, Adapter)
    assert (adapter.lower.connector, adapter.lower.takes) == ("P", frozenset({"fitting"}))
    assert (adapter.upper.connector, adapter.upper.takes) == ("Q", frozenset({"body"}))
