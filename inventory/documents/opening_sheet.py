"""An empty sheet for what a store held at the start, with the firm's own lists to choose from."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Final

from django.utils.translation import gettext as _
from openpyxl.worksheet.datavalidation import DataValidation

from estimates.documents import workbook
from inventory.calc.opening_table import HEADS, MOST_ROWS

NAME: Final = "opening-stock.xlsx"
FIRST_ROW: Final = 4
_AT: Final = datetime(2026, 1, 1, tzinfo=UTC)


def content(*, site: str, materials: Sequence[str], units: Sequence[str], suppliers: Sequence[str]) -> bytes:
    """Return the sheet to fill in, and a second one with the names that may stand in it."""
    book, sheet = workbook.new(title="Opening stock", at=_AT)
    workbook.put(sheet, 1, 1, _("Opening stock of %s") % site, font=workbook.TITLE)
    said = _("One line for each material or lot, as counted. Value: what the whole line is worth.")
    workbook.put(sheet, 2, 1, said, font=workbook.SOFT)
    workbook.heads(sheet, FIRST_ROW - 1, HEADS, numbers=(3, 4))
    workbook.widths(sheet, 30, 18, 12, 14, 26, 20, 14)
    sheet.freeze_panes = f"A{FIRST_ROW}"
    lists = book.create_sheet("Lists")
    workbook.heads(lists, 1, (HEADS[0], HEADS[1], HEADS[4]))
    workbook.widths(lists, 30, 18, 26)
    for place, listed in enumerate((materials, units, suppliers), start=1):
        for row, name in enumerate(listed, start=2):
            workbook.put(lists, row, place, name)
    last = FIRST_ROW + MOST_ROWS - 1
    for letter, column, names in (("A", "A", materials), ("B", "B", units), ("E", "C", suppliers)):
        rule = DataValidation(
            type="list", formula1=f"Lists!${column}$2:${column}${len(names) + 1}", allow_blank=True
        )
        rule.showErrorMessage = True
        sheet.add_data_validation(rule)
        rule.add(f"{letter}{FIRST_ROW}:{letter}{last}")
    figure = DataValidation(type="decimal", operator="greaterThanOrEqual", formula1="0", allow_blank=True)
    figure.showErrorMessage = True
    sheet.add_data_validation(figure)
    figure.add(f"C{FIRST_ROW}:D{last}")
    return workbook.content(book)
