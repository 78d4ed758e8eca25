"""JSON Schemas (draft 2020-12) of the files people write, for editors, made from the records that read the files."""

from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from cache_check.files.cache import UNKNOWN, CacheFile
from cache_check.files.catalogue import PART_MODELS, FamilyFile
from cache_check.files.needs import NeedsFile
from cache_check.files.pool import CountyFile
from cache_check.files.prices import PricesFile
from cache_check.files.rules import PolicyFile, read_rules
from cache_check.files.situation import SituationFile
from cache_check.model.record import Record
from cache_check.model.rule import SEVERITIES, ParameterType, RuleBook
from cache_check.model.situation import LISTED, MAY_BE_UNKNOWN

DRAFT = "https://json-schema.org/draft/2020-12/schema"
_FILES: dict[str, type[Record]] = {
    "cache": CacheFile, "county": CountyFile, "family": FamilyFile, "needs": NeedsFile, "policy": PolicyFile,
    "prices": PricesFile, "situation": SituationFile,
}  # fmt: skip
_SWITCH: dict[str, Any] = {"enum": ["on", "off", True, False]}
_WHOLE = {"type": "integer", "minimum": 0}
_VALUES: dict[ParameterType, dict[str, Any]] = {
    "count": _WHOLE, "days": _WHOLE, "switch": _SWITCH,
    "words": {"type": ["array", "string"], "items": {"type": "string"}},
}  # fmt: skip


def schemas() -> dict[str, dict[str, Any]]:
    """The schema of each kind of file: "cache", "county", "family", "needs", "policy" and so on."""
    return {kind: _schema(kind, model, read_rules()) for kind, model in _FILES.items()}


def _schema(kind: str, model: type[Record], book: RuleBook) -> dict[str, Any]:
    with_parts = kind in ("cache", "family")
    models: list[type[BaseModel]] = [model, *(PART_MODELS.values() if with_parts else ())]
    _, whole = models_json_schema([(one, "validation") for one in models], ref_template="#/$defs/{model}")
    definitions = whole["$defs"]
    top = definitions.pop(model.__name__)
    if with_parts:
        _with_parts(top, definitions, "types" if kind == "cache" else "parts")
        top["properties"]["rules"] = _settings(book)
    _as_written(kind, top, definitions, book)
    return {"$schema": DRAFT, **top, "title": f"cache_check {kind} file", "$defs": dict(sorted(definitions.items()))}


def _with_parts(top: dict[str, Any], definitions: dict[str, Any], key: str) -> None:
    """Part types by name, each by the record of its kind, ends and points as they may be written short."""
    for model in PART_MODELS.values():
        one = definitions[model.__name__]
        one["required"] = ["kind", *(name for name in one.get("required", ()) if name not in ("lower", "upper", "end"))]
        if key == "types":
            one["properties"]["family"] = {"type": "string", "description": "a family listed, if not the cache's own"}
    references = [{"$ref": f"#/$defs/{model.__name__}"} for model in PART_MODELS.values()]
    top["properties"][key] = {"type": "object", "additionalProperties": {"oneOf": references}}
    fitting = definitions["Fitting"]["properties"]
    fitting["points"] = _either({"type": "integer", "minimum": 0, "maximum": 20}, fitting["points"])
    fitting["serves"] = _either({"enum": ["base", "head"]}, fitting["serves"])
    definitions["End"] = _either({"type": "string"}, definitions["End"])


def _as_written(kind: str, top: dict[str, Any], definitions: dict[str, Any], book: RuleBook) -> None:
    properties = top["properties"]
    if kind == "cache":
        stock = definitions["Stock"]
        count = _either({"const": UNKNOWN}, stock["properties"]["count"])
        stock["properties"]["count"] = count
        stock.pop("required", None)
        definitions["Stock"] = _either(count, stock)
    elif kind == "needs":
        definitions["WrittenNeed"]["required"] = ["count"]
        properties["needs"] = _either(properties["needs"], {"type": "array", "items": {"$ref": "#/$defs/WrittenNeed"}})
        properties["title"] = {"type": "string", "description": "beside a list of needs"}
        top["required"] = ["needs", "units"]
    elif kind == "policy":
        properties["set"] = _settings(book)
    elif kind == "situation":
        _situation(properties, definitions)
    elif kind == "prices":
        price = definitions["Price"]
        definitions["Price"] = _either(price["properties"]["price"], price)


def _situation(properties: dict[str, Any], definitions: dict[str, Any]) -> None:
    """One value may stand for a list of one, a place may be a list, and some values may be unknown."""
    for name in LISTED:
        properties[name] = _either(properties[name]["items"], properties[name])
    for name in MAY_BE_UNKNOWN:
        properties[name] = _either({"const": UNKNOWN}, properties[name])
    angle = {"type": ["number", "string"], "description": 'a half-angle in plan: "30 left", or 30'}
    definitions["PlanAngle"] = _either(angle, definitions["PlanAngle"])
    place = {"type": "array", "minItems": 3, "maxItems": 3, "items": {"type": ["number", "string"]}}
    definitions["Anchor"] = _either(place, definitions["Anchor"])


def _either(*ways: dict[str, Any]) -> dict[str, Any]:
    return {"anyOf": list(ways)}


def _settings(book: RuleBook) -> dict[str, Any]:
    of_all = {"on": _SWITCH, "severity": {"enum": list(SEVERITIES)}, "why": {"type": "string"}}
    quantity, settings = {"type": ["number", "string"]}, {}
    for rule in book.rules:
        own = {
            name: {**_VALUES.get(one.type, quantity), "description": f"{one.about} ({one.type})"}
            for name, one in rule.parameters.items()
        }
        entry = {"type": "object", "title": rule.title, "properties": own | of_all, "additionalProperties": False}
        settings[rule.id] = _either(_SWITCH, entry)
    return {"type": ["object", "null"], "properties": settings}
