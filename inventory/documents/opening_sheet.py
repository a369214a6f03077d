"""An empty workbook for what a site began with, with the firm's own lists to choose from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from django.utils.translation import gettext as _
from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from estimates.documents import workbook
from inventory.calc import opening_table
from inventory.calc.opening_book import BILLS, HEADS, ORDERS, SLABS, STOCK
from inventory.calc.opening_table import MOST_ROWS

NAME: Final = "opening-stock.xlsx"
FIRST_ROW: Final = 4
_AT: Final = datetime(2026, 1, 1, tzinfo=UTC)
_LISTS: Final = "Lists"
_COLUMNS: Final = ("Material", "Unit", "Supplier", "Pack", "Slab", "Pour")
"""Heads of the lists; a column of a sheet with this head takes its names from here."""

_FIGURES: Final = {
    *("Amount", "Value", "Packs ordered", "Packs delivered", "Price of a pack", "Paid so far", "Amount used"),
}
"""Heads of the columns that take a figure of 0 or more."""


@dataclass(frozen=True, kw_only=True)
class Names:
    """What may stand in the sheets, as the firm calls it."""

    materials: Sequence[str]
    units: Sequence[str]
    suppliers: Sequence[str]
    packs: Sequence[str]
    slabs: Sequence[str]
    pours: Sequence[str]


def content(*, site: str, names: Names) -> bytes:
    """Return the workbook to fill in: a sheet for each subject, and one with the names for them."""
    book, stock = workbook.new(title=STOCK, at=_AT)
    listed = (names.materials, names.units, names.suppliers, names.packs, names.slabs, names.pours)
    lists = dict(zip(_COLUMNS, listed, strict=True))
    said = _("One line for each material or lot, as counted. Value: what the whole line is worth.")
    _sheet(stock, title=_("Opening stock of %s") % site, said=said, heads=opening_table.HEADS, lists=lists)
    for name, title, said in _others(site):
        _sheet(book.create_sheet(name), title=title, said=said, heads=HEADS[name], lists=lists)
    _write_lists(book, lists=lists)
    return workbook.content(book)


def _others(site: str) -> tuple[tuple[str, str, str], ...]:
    return (
        (
            ORDERS,
            _("Orders for %s that are open") % site,
            _("One line for each material of an order: as it was ordered, and how many packs had come."),
        ),
        (
            BILLS,
            _("Suppliers' bills that are unpaid"),
            _("One line for each bill, as printed. Without a due date the supplier's days of credit count."),
        ),
        (
            SLABS,
            _("Slabs of %s that are begun") % site,
            _("One line for each material that a pour had used. Enter slab, drawing and pours first."),
        ),
    )


def _sheet(
    sheet: Worksheet, *, title: str, said: str, heads: Sequence[str], lists: dict[str, Sequence[str]]
) -> None:
    workbook.put(sheet, 1, 1, title, font=workbook.TITLE)
    workbook.put(sheet, 2, 1, said, font=workbook.SOFT)
    figures = tuple(n for n, head in enumerate(heads, start=1) if head in _FIGURES)
    workbook.heads(sheet, FIRST_ROW - 1, heads, numbers=figures)
    workbook.widths(sheet, *(26 if head in ("Material", "Supplier", "Slab") else 16 for head in heads))
    sheet.freeze_panes = f"A{FIRST_ROW}"
    for column, head in enumerate(heads, start=1):
        if head in lists:
            place = get_column_letter(_COLUMNS.index(head) + 1)
            chosen = f"{_LISTS}!${place}$2:${place}${len(lists[head]) + 1}"
            _rule(sheet, column=column, type="list", formula1=chosen)
        elif head in _FIGURES:
            _rule(sheet, column=column, type="decimal", operator="greaterThanOrEqual", formula1="0")


def _rule(sheet: Worksheet, *, column: int, **said: str) -> None:
    rule = DataValidation(allow_blank=True, **said)
    rule.showErrorMessage = True
    sheet.add_data_validation(rule)
    letter = get_column_letter(column)
    rule.add(f"{letter}{FIRST_ROW}:{letter}{FIRST_ROW + MOST_ROWS - 1}")


def _write_lists(book: Workbook, *, lists: dict[str, Sequence[str]]) -> None:
    sheet = book.create_sheet(_LISTS)
    workbook.heads(sheet, 1, _COLUMNS)
    workbook.widths(sheet, *(26 for _head in _COLUMNS))
    for place, names in enumerate(lists.values(), start=1):
        for row, name in enumerate(names, start=2):
            workbook.put(sheet, row, place, name)
