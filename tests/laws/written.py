"""Files as people write them, drawn as plain data: every field of every record, in every form it may take."""

from __future__ import annotations

from datetime import date
from typing import Any

from hypothesis import strategies as st

_LETTERS = "abcXYZ059 =+-@;,\"'#:%&<>|\\_.~!?()[]{}äöß–½±"
NAMES = st.text(_LETTERS, min_size=1, max_size=9).map(str.strip).filter(lambda name: name not in ("", "captive"))
TEXTS = st.text(_LETTERS + "/\nλ", max_size=14).map(str.strip)
DAYS = st.dates(date(1950, 1, 1), date(2100, 12, 31)).map(lambda day: day.isoformat())
COUNTS = st.integers(0, 40)
FACTORS = st.sampled_from([2, "2:1", "4", "2.5", "1.25:1"])
KINDS = ("body", "extension", "adapter", "fitting", "pin", "strap", "chain", "hardware", "pad")


def _decimals(low: int, high: int) -> st.SearchStrategy[Any]:
    """Positive numbers as YAML gives them: whole numbers, decimals as text, fractions, with and without a unit."""
    whole = st.integers(low, high)
    return st.one_of(
        whole,
        st.tuples(whole, st.integers(0, 999)).map(lambda pair: f"{pair[0]}.{pair[1]:03d}"),
        whole.map(lambda number: f"{number}.50"),
    )


LENGTHS = st.one_of(_decimals(1, 90), st.sampled_from(["58 1/2", "62 in", "1.2 m", "3/8 in", "4 ft 2 in", "26.4999"]))
FORCES = st.one_of(_decimals(1, 9000), st.sampled_from(["5 kN", "6000 lbf", "2 kip"]))
MASSES = st.one_of(_decimals(0, 60), st.sampled_from(["6 kg", "13 lb"]))


def _some(**fields: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """A mapping with any of the fields."""
    return st.fixed_dictionaries({}, optional=fields)


def _lists(one: st.SearchStrategy[Any], least: int = 0, most: int = 3) -> st.SearchStrategy[list[Any]]:
    return st.lists(one, min_size=least, max_size=most, unique_by=str)


_STRENGTHS = st.one_of(
    st.fixed_dictionaries({"failure_load": FORCES}),
    st.fixed_dictionaries({"rated_load": FORCES}, optional={"factor": FACTORS}),
)


def _end(connectors: list[str]) -> st.SearchStrategy[Any]:
    connector = st.sampled_from(connectors)
    takes = _lists(st.sampled_from(KINDS))
    return connector | st.fixed_dictionaries({"connector": connector}, optional={"takes": takes})


_ANSWERS: list[dict[str, Any]] = [{}, {}, {"sure": False}, {"sure": True, "why": "read twice"}]
_SURE = st.sampled_from(_ANSWERS)


@st.composite
def _type(draw: st.DrawFn, kind: str, connectors: list[str], hardware: list[str]) -> dict[str, Any]:
    end = _end(connectors)
    common: dict[str, Any] = {"title": TEXTS, "mass": MASSES, "note": TEXTS}
    if kind not in ("strap", "chain", "hardware", "pad"):  # of which a strength is refused
        common["strength"] = _STRENGTHS
    two: dict[str, Any] = {"lower": end, "upper": end, "either_way_up": st.booleans()}
    print_of = st.fixed_dictionaries({"length": LENGTHS, "width": LENGTHS})
    needs = st.dictionaries(st.sampled_from(hardware), COUNTS, max_size=2) if hardware else st.just({})
    tie: dict[str, Any] = {"wll": FORCES, "size": LENGTHS, "length": LENGTHS, "needs": needs}
    points = st.one_of(st.integers(0, 4), st.lists(_some(wll=FORCES), min_size=1, max_size=3))
    serves = st.sampled_from(["base", "head", ["base"], ["head", "base"]])
    needed: dict[str, dict[str, Any]] = {
        "extension": {"length": LENGTHS}, "adapter": {"length": LENGTHS, "lower": end, "upper": end},
        "fitting": {"adds": LENGTHS | st.just(0), "serves": serves},
    }  # fmt: skip
    may: dict[str, dict[str, Any]] = {
        "extension": two, "adapter": {"either_way_up": st.booleans()}, "strap": tie,
        "chain": tie | {"grade": st.sampled_from([30, 43, 70, 80, 100])},
        "fitting": {"end": end, "points": points, "footprint": print_of, "contacts": _lists(NAMES), "index": TEXTS},
        "hardware": {"wll": FORCES}, "pad": {"footprint": print_of},
    }  # fmt: skip
    if kind == "body":
        return {**draw(_body(common | two)), **draw(_SURE)}
    fields = st.fixed_dictionaries(needed.get(kind, {}), optional=common | may.get(kind, {}))
    return {"kind": kind, **draw(fields), **draw(_SURE)}


@st.composite
def _body(draw: st.DrawFn, common: dict[str, Any]) -> dict[str, Any]:
    body = {"kind": "body", "closed": draw(st.integers(20, 30)), "open": draw(st.sampled_from([40, "48.25", "55 1/2"]))}
    if draw(st.booleans()):
        holes = st.fixed_dictionaries({"pitch": LENGTHS}, optional={"first": st.just("32 1/4"), "fine": LENGTHS})
        body |= {"lock": "holes", "holes": draw(holes)}
    else:
        body |= draw(_some(lock=st.sampled_from(["collar", "pin only", "unknown"])))
    return body | draw(st.fixed_dictionaries({}, optional=common | {"pull_apart": st.integers(56, 90)}))


@st.composite
def _stock(draw: st.DrawFn, serials: list[str]) -> Any:
    if draw(st.booleans()):
        return draw(COUNTS | st.just("unknown"))
    items = [{"serial": serial} | draw(_ITEM) for serial in serials]
    states = st.sampled_from(["repair", "loaned", "missing", "training", "retired", "quarantined", "unknown"])
    out = draw(st.dictionaries(states, st.integers(0, 3), max_size=2))
    entry: dict[str, Any] = {"count": sum(out.values()) + len(items) + draw(st.integers(0, 5))}
    entry |= {"out": out} if out else {}
    entry |= {"items": items} if items else {}
    return entry | draw(_some(where=TEXTS))


_ITEM = _some(
    where=TEXTS, acquired=DAYS, inspected=DAYS, expires=DAYS, condition=TEXTS, measured=LENGTHS,
    status=st.sampled_from(["in service", "repair", "training", "unknown"]),
    label=st.sampled_from(["legible", "unreadable", "unknown"]), points_usable=st.integers(0, 4),
)  # fmt: skip
_COMPARTMENT = st.fixed_dictionaries(
    {"length": LENGTHS},
    optional={
        "width": LENGTHS, "height": LENGTHS, "clearance": LENGTHS, "carries": MASSES, "diagonal": st.booleans(),
    },
)  # fmt: skip


@st.composite
def _charts(draw: st.DrawFn, bodies: list[str]) -> list[dict[str, Any]]:
    charts = []
    for name in draw(_lists(NAMES)):
        chart: dict[str, Any] = {"id": name} | draw(
            st.one_of(
                st.just({"states": "failure load"}),
                st.fixed_dictionaries({"states": st.just("rated load")}, optional={"factor": FACTORS}),
            )
        )
        chart |= draw(_some(edition=TEXTS, dated=DAYS)) | draw(_SURE)
        if bodies:
            chart |= draw(_some(bodies=_lists(st.sampled_from(bodies), 1, 2)))
        lengths = sorted(draw(st.sets(st.integers(10, 99), min_size=1, max_size=3)))
        loads = st.lists(st.none() | FORCES, max_size=4)
        charts.append(chart | {"rows": [{"length": length, "loads": draw(loads)} for length in lengths]})
    return charts


_SETTINGS = _some(
    **{
        "EXT-1": st.sampled_from(["off", "on", {"max": 2}, {"max": 3, "why": "drill", "severity": "watch"}]),
        "EXT-2": st.fixed_dictionaries({"max": LENGTHS}, optional={"why": TEXTS.filter(bool), "on": st.booleans()}),
        "OOS-1": st.sampled_from([{"counts": ["in service", "training"]}, {"counts": ["in service"]}]),
        "INS-1": st.sampled_from([{"every": 92, "unknown_counts": False}, {"unknown_counts": "off"}]),
    }
)


@st.composite
def caches(draw: st.DrawFn) -> dict[str, Any]:
    """A cache file with types of its own."""
    rig = draw(NAMES)
    names = draw(st.lists(NAMES, min_size=1, max_size=6, unique=True))
    kinds = {name: draw(st.sampled_from(KINDS)) for name in names}
    hardware = [name for name, kind in kinds.items() if kind == "hardware"]
    pins = ["captive", *(name for name, kind in kinds.items() if kind == "pin")]
    others = draw(st.lists(NAMES.filter(lambda name: name != rig), max_size=2, unique=True))
    bare = [name for name in others if not name.endswith((" plug", " socket"))]
    connectors = [rig, *(name + gender for name in bare for gender in ("", " plug", " socket"))]
    data: dict[str, Any] = {"cache": rig, "units": draw(st.sampled_from(["us", "si"])), "joint_pin": pins[-1]}
    data |= draw(_some(title=TEXTS, book_date=DAYS, sheet=TEXTS))
    data["types"] = {name: draw(_type(kind, connectors, hardware)) for name, kind in kinds.items()}
    if bare:
        data["connectors"] = {name: draw(st.sampled_from(pins)) for name in bare}
        data["mates"] = [
            {"ends": [rig, name]} | draw(_some(pin=st.sampled_from(pins)))
            for name in draw(_lists(st.sampled_from(bare)))
        ]
    serials = draw(st.lists(NAMES, max_size=4, unique=True))
    data["parts"] = {name: draw(_stock(serials if n == 0 else [])) for n, name in enumerate(names)}
    for item in data["parts"][names[0]].get("items", []) if isinstance(data["parts"][names[0]], dict) else []:
        made = data["types"][names[0]].get("points", 0) if kinds[names[0]] == "fitting" else 0
        if item.get("points_usable", 0) > (made if isinstance(made, int) else len(made)):
            del item["points_usable"]  # no piece has more than it was made with
    data["compartments"] = draw(st.dictionaries(NAMES, _COMPARTMENT, max_size=2))
    linear = [name for name, kind in kinds.items() if kind in ("body", "extension", "adapter", "fitting")]
    if linear:
        one = st.fixed_dictionaries(
            {"parts": st.lists(st.sampled_from(linear), min_size=1, max_size=4)}, optional={"where": TEXTS}
        )
        data["ready_sets"] = draw(st.dictionaries(NAMES, one, max_size=2))
    data["charts"] = draw(_charts([name for name, kind in kinds.items() if kind == "body"]))
    data["rules"] = draw(_SETTINGS)
    return data


@st.composite
def needs(draw: st.DrawFn) -> dict[str, Any]:
    """A needs file."""
    scenes = {}
    for name in draw(st.lists(NAMES, min_size=1, max_size=3, unique=True)):
        ids = draw(st.lists(NAMES, min_size=1, max_size=3, unique=True))
        scenes[name] = draw(_some(title=TEXTS, weight=st.integers(1, 9))) | {
            "needs": [{"id": one} | draw(_NEED) for one in ids]
        }
    return {"needs": draw(NAMES), "units": draw(st.sampled_from(["us", "si"])), "scenes": scenes}


_NEED = st.one_of(
    st.fixed_dictionaries({"count": st.integers(1, 9), "length": LENGTHS}),
    st.fixed_dictionaries({"count": st.integers(1, 9), "from": st.integers(30, 40), "to": st.integers(41, 60)}),
).flatmap(
    lambda base: st.tuples(
        st.just({}) | FORCES.flatmap(lambda load: _some(factor=FACTORS).map(lambda more: {"load": load} | more)),
        _some(restrained=st.booleans(), note=TEXTS),
    ).map(lambda two: base | two[0] | two[1])
)


@st.composite
def prices(draw: st.DrawFn) -> dict[str, Any]:
    """A prices file."""
    money = st.one_of(
        st.integers(0, 9000), st.integers(0, 900_000).map(lambda cents: f"{cents // 100}.{cents % 100:02d}")
    )
    entry = st.fixed_dictionaries(
        {"price": money},
        optional={
            "pack": st.integers(1, 9),
            "minimum": st.integers(1, 9),
            "fixed": money,
            "number": TEXTS,
            "note": TEXTS,
        },
    )
    parts = draw(st.dictionaries(NAMES, money | entry, min_size=1, max_size=4))
    return {"prices": draw(NAMES), "currency": "USD", "parts": parts} | draw(
        _some(dated=DAYS, freight=money, least_order=money)
    )
