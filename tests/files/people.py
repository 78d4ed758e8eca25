"""Spreadsheets as people make them: one small cache as sheets, changed cell by cell, written by two libraries."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import xlsxwriter
from openpyxl import Workbook

Rows = list[list[Any]]
Sheets = dict[str, Rows]
Writer = Callable[[Path, Sheets], None]


def plain() -> Sheets:
    """A small cache, every cell as it should be."""
    return {
        "about": [
            ["what", "value"],
            ["cache", "rig"],
            ["title", "Rig"],
            ["units", "us"],
            ["book date", date(2026, 3, 1)],
            ["joint pin", "pin"],
        ],
        "types": [
            [
                "type",
                "kind",
                "closed, in",
                "open, in",
                "lock",
                "length, in",
                "adds, in",
                "serves",
                "points",
                "wll, lbf",
            ],
            ["body", "body", 30, 48.5, "collar", None, None, None, None, None],
            ["extension", "extension", None, None, None, 58.5, None, None, None, None],
            ["base", "fitting", None, None, None, None, 3, "base", 2, None],
            ["head", "fitting", None, None, None, None, 2, "head", None, None],
            ["pin", "pin", None, None, None, None, None, None, None, None],
            ["strap", "strap", None, None, None, None, None, None, None, 1500],
        ],
        "parts": [
            ["part", "count", "where"],
            ["body", 2, "drawer 1"],
            ["extension", 2, "drawer 1"],
            ["base", 2, "drawer 2"],
            ["head", 2, "drawer 2"],
            ["pin", 8, "pin box"],
            ["strap", 4, "bag"],
        ],
        "items": [
            ["part", "serial", "inspected", "label"],
            ["body", "B-1", date(2026, 3, 1), "legible"],
            ["body", "B-2", date(2026, 3, 1), "legible"],
        ],
        "compartments": [["compartment", "length, in", "diagonal"], ["tray", 62, "yes"]],
        "charts": [
            ["chart", "states", "up to length, in", "0 extensions, lbf", "1 extension, lbf"],
            ["C", "failure load", 48, 20000, 18000],
            [None, None, 60, "unrated", 11000],
        ],
    }


def by_openpyxl(path: Path, sheets: Sheets) -> None:
    """Write with openpyxl, which made the program's own workbooks too."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for number, row in enumerate(rows, 1):
            for place, value in enumerate(row, 1):
                cell = sheet.cell(number, place)
                if isinstance(value, Formula):
                    cell.value = value.text
                elif isinstance(value, Merged):
                    cell.value = value.value
                    sheet.merge_cells(start_row=number, end_row=number + value.rows - 1, start_column=place,
                                      end_column=place)  # fmt: skip
                elif value is not None and not isinstance(value, Covered):
                    cell.value = value
                    if isinstance(value, str) and value.startswith("="):
                        cell.data_type = "s"
    book.save(path)


def by_xlsxwriter(path: Path, sheets: Sheets) -> None:
    """Write with XlsxWriter: shared strings, real booleans, formulas with the value they last showed."""
    book = xlsxwriter.Workbook(str(path), {"strings_to_formulas": False, "strings_to_numbers": False})
    days = book.add_format({"num_format": "dd/mm/yyyy"})
    for name, rows in sheets.items():
        sheet = book.add_worksheet(name)
        for number, row in enumerate(rows):
            for place, value in enumerate(row):
                if isinstance(value, Formula):
                    sheet.write_formula(number, place, value.text, None, value.shown)
                elif isinstance(value, Merged):
                    sheet.merge_range(number, place, number + value.rows - 1, place, value.value)
                elif isinstance(value, date | datetime):
                    sheet.write_datetime(number, place, value, days)
                elif value is not None and not isinstance(value, Covered):
                    sheet.write(number, place, value)
    book.close()


WRITERS: dict[str, Writer] = {"openpyxl": by_openpyxl, "xlsxwriter": by_xlsxwriter}


class Formula:
    """A formula and the value that the spreadsheet last showed; openpyxl never works one out."""

    def __init__(self, text: str, shown: Any) -> None:
        self.text, self.shown = text, shown


class Merged:
    """A cell merged over so many rows, itself the top one."""

    def __init__(self, value: Any, rows: int) -> None:
        self.value, self.rows = value, rows


class Covered:
    """A cell that lies under a merged one."""
