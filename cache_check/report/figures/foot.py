"""The lines under a drawing that stands alone: what a page says around it, the drawing must."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from cache_check.model.result import Basis
from cache_check.report import basis
from cache_check.report.caution import said
from cache_check.report.page import short

LINE = 0.16
"""Inches."""
LETTERS_PER_INCH = 15.5
LONGEST = 1200


def lines(told: Sequence[str], bases: Sequence[tuple[str, Basis]], wide: float) -> tuple[str, ...]:
    """What is told, what each cache's answer rests on, and the caution, in lines that fit ``wide`` inches."""
    texts = [*told]
    for title, one in bases:
        lists = (("rules off", one.rules_off), ("ignored", one.ignored), ("unknown", one.unknown))
        notes = [f"{lead}: {', '.join(items) or 'none'}" for lead, items in lists]
        changed = ", ".join(dict.fromkeys(setting.rule for setting in one.settings)) or "none"
        texts.append(f"{title}: {'; '.join((*basis.head(one).items, f'rules changed: {changed}', *notes))}.")
    letters = int(wide * LETTERS_PER_INCH)
    return tuple(line for text in (*texts, " ".join(said())) for line in wrap(short(text, LONGEST), letters))
