"""An empty bar schedule to fill in, with lists to choose from, which reads back as it stands."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Final

from django.utils.translation import gettext as _
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from estimates.calc.intake import shape_words
from estimates.calc.intake.heads import LETTERS
from estimates.documents import workbook
from estimates.standards import load

NAME: Final = "bar-schedule.xlsx"
FIRST_ROW: Final = 5
ROWS: Final = 500

_AT: Final = datetime(2026, 1, 1, tzinfo=UTC)
_PROFILE: Final = "is"
# The heads are what the reader looks for; they are not translated, so that every template reads back.
_BEFORE: Final = ("Mark", "Member", "Size", "Shape")
_AFTER: Final = ("No. per member", "Members", "Spacing", "Remarks")


def content() -> bytes:
    """Return the template: one sheet to fill in, one that tells what each shape's letters mean."""
    book, sheet = workbook.new(title="Bar schedule", at=_AT)
    workbook.put(sheet, 1, 1, _("Bar schedule"), font=workbook.TITLE)
    workbook.put(sheet, 2, 1, "Drg      rev      lengths in mm")
    said = _("Leave “No. per member” empty where it follows from the spacing; the length is then asked for.")
    workbook.put(sheet, 3, 1, said, font=workbook.SOFT)
    names = (*_BEFORE, *LETTERS, *_AFTER)
    workbook.heads(sheet, FIRST_ROW - 1, names, numbers=(3, *range(5, 5 + len(LETTERS) + 3)))
    workbook.widths(sheet, 10, 22, 8, 16, *(8 for _letter in LETTERS), 12, 10, 10, 32)
    sheet.freeze_panes = f"A{FIRST_ROW}"
    _lists(sheet, names=names)
    shapes = book.create_sheet("Shapes")
    workbook.heads(shapes, 1, (_("Shape"), _("Letters")))
    workbook.widths(shapes, 18, 60)
    for row, (value, words) in enumerate(shape_words.catalogue(), start=2):
        workbook.put(shapes, row, 1, value)
        workbook.put(shapes, row, 2, words)
    return workbook.content(book)


def _lists(sheet: Worksheet, *, names: tuple[str, ...]) -> None:
    """Lists and bounds of the cells to fill in; a spreadsheet refuses what the reader would refuse."""
    sizes = ",".join(str(size) for size in load.profile(_PROFILE).bars)
    count = len(shape_words.catalogue())
    size = DataValidation(type="list", formula1=f'"{sizes}"', allow_blank=True)
    shape = DataValidation(
        type="list", errorStyle="warning", formula1=f"Shapes!$A$2:$A${count + 1}", allow_blank=True
    )
    length = DataValidation(type="decimal", operator="greaterThan", formula1="0", allow_blank=True)
    whole = DataValidation(type="whole", operator="between", formula1="1", formula2="10000", allow_blank=True)
    by_name = {"Size": size, "Shape": shape, "No. per member": whole, "Members": whole, "Spacing": length}
    by_name |= dict.fromkeys(LETTERS, length)
    for rule in (size, shape, length, whole):
        rule.showErrorMessage = True
        sheet.add_data_validation(rule)
    for column, name in enumerate(names, start=1):
        if name in by_name:
            letter = sheet.cell(row=1, column=column).column_letter
            by_name[name].add(f"{letter}{FIRST_ROW}:{letter}{FIRST_ROW + ROWS - 1}")
