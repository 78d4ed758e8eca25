"""Answers as JSON: the envelope of each command, and its JSON Schema."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from cache_check import __version__
from cache_check.model.audit import AuditResult
from cache_check.model.cache import Source
from cache_check.model.history import History
from cache_check.model.load import LoadResult
from cache_check.model.purchase import BuyResult, County
from cache_check.model.result import BuildResult, CheckResult, ReachResult, RulesResult
from cache_check.model.rule import RuleBook
from cache_check.model.staging import StageResult
from cache_check.report import (
    answer_audit,
    answer_plans,
    answers,
    of_load,
    records,
    shapes,
    shapes_of_audit,
    shapes_of_load,
    shapes_of_plans,
    shapes_of_rules,
)  # fmt: skip
from cache_check.report.answer_load import LoadEnvelope
from cache_check.report.caution import NOT_COUNTED, said

DRAFT = "https://json-schema.org/draft/2020-12/schema"
ENVELOPES: dict[str, type[records.Shape]] = {
    **answers.ENVELOPES,
    "load": LoadEnvelope,
    **answer_plans.ENVELOPES,
    **answer_audit.ENVELOPES,
}


def check_json(results: Sequence[CheckResult], book: RuleBook, read: Iterable[Source] = ()) -> str:
    """The answers of ``check``; ``read`` are files beside those that the results name."""
    sources = [source for one in results for source in one.basis.sources]
    return _text("check", [shapes.check(one, book) for one in results], [*sources, *read])


def reach_json(result: ReachResult, book: RuleBook, read: Iterable[Source] = ()) -> str:
    """The answer of ``reach``."""
    return _text("reach", [shapes.reach_answer(result, book)], [*result.basis.sources, *read])


def build_json(result: BuildResult, book: RuleBook, read: Iterable[Source] = ()) -> str:
    """The answer of ``build``."""
    return _text("build", [shapes.build(result, book)], [*result.basis.sources, *read])


def load_json(results: Sequence[LoadResult], book: RuleBook, read: Iterable[Source] = ()) -> str:
    """The answers of ``load``."""
    sources = [source for one in results for source in one.basis.sources]
    counted = "; ".join(dict.fromkeys(of_load.counted(one) for one in results))
    return _text("load", [shapes_of_load.load(one, book) for one in results], [*sources, *read], counted)


def stage_json(results: Sequence[StageResult], book: RuleBook, read: Iterable[Source] = ()) -> str:
    """The answers of ``stage``."""
    sources = [source for one in results for source in one.basis.sources]
    return _text("stage", [shapes_of_plans.stage(one, book) for one in results], [*sources, *read])


def buy_json(results: Sequence[BuyResult], county: County | None, book: RuleBook, read: Iterable[Source] = ()) -> str:
    """The answers of ``buy``, and the county's where several rigs were asked each by itself."""
    sources = [source for one in results for source in one.basis.sources]
    more = {"county": None if county is None else shapes_of_plans.county(county)}
    return _text("buy", [shapes_of_plans.buy(one, book) for one in results], [*sources, *read], more=more)


def audit_json(result: AuditResult, book: RuleBook, read: Iterable[Source] = ()) -> str:
    """The answer of ``audit``."""
    return _text("audit", [shapes_of_audit.audit(result, book)], [*result.basis.sources, *read])


def history_json(result: History, read: Iterable[Source] = ()) -> str:
    """The answer of ``history``."""
    return _text("history", [shapes_of_audit.history(result)], read)


def rules_json(result: RulesResult, read: Iterable[Source] = ()) -> str:
    """The answer of ``rules``."""
    return _text("rules", [shapes_of_rules.rules(result)], read)


def _text(
    command: str,
    given: Sequence[Any],
    sources: Iterable[Source],
    counted: str = NOT_COUNTED,
    more: dict[str, Any] | None = None,
) -> str:
    envelope = ENVELOPES[command].model_validate(
        {
            "schema": f"cache-check/{command}/1",
            "tool": records.Tool(name="cache-check", version=__version__),
            "caution": said(counted),
            "inputs": [records.Input(path=one.path, sha256=one.sha256) for one in dict.fromkeys(sources)],
            "answers": given,
            **(more or {}),
        }
    )
    return envelope.model_dump_json(by_alias=True, indent=2) + "\n"


def schemas() -> dict[str, dict[str, Any]]:
    """The JSON Schema of each command's answer."""
    return {
        command: {
            "$schema": DRAFT,
            **model.model_json_schema(mode="serialization"),
            "title": f"cache-check {command} 1",
        }
        for command, model in ENVELOPES.items()
    }
