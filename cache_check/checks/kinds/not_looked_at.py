"""What nobody looked at: blanks on the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.checks.facts import Findings, Inspection
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.counted import Blank


def audit(inspection: Inspection, rule: Rule) -> Findings:
    """One finding for the blanks of each part that are alike."""
    as_book = bool(inspection.value(rule, "blank_as_book"))
    alike: dict[tuple[str, tuple[str, ...]], list[Blank]] = {}
    for blank in inspection.counted.blanks:
        alike.setdefault((blank.part, blank.columns), []).append(blank)
    for (part, columns), blanks in alike.items():
        number = sum(blank.number for blank in blanks)
        places = dict.fromkeys(blank.where for blank in blanks if blank.where)
        effect = "taken as the book has it, as the rule is set" if as_book else "not counted on until somebody looks"
        if columns == ("held",):
            effect = "taken as the book has it, though nobody looked"
        yield inspection.finding(
            rule,
            what=f"{_what(inspection, part, blanks)}: {say.listed(columns)} left blank, so unknown",
            effect=effect, figures=(("blank_count", number),), part=part,
            where=", ".join(places),
        )  # fmt: skip


def _what(inspection: Inspection, part: str, blanks: list[Blank]) -> str:
    serials = [blank.serial for blank in blanks if blank.serial]
    lots = sum(blank.number for blank in blanks if not blank.serial)
    name = inspection.name(part) if part else ""
    said = [f"{name} {say.listed(serials)}".strip()] if serials else []
    if len(serials) < len(blanks):
        said.append(inspection.pieces(part, lots) if lots else name)
    return " and ".join(said)
