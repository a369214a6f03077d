"""Workbooks as the firm's people and their spreadsheets read them: figures stay figures, texts stay texts."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any, Final

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

TITLE: Final = Font(bold=True, size=14)
HEAD: Final = Font(bold=True)
SOFT: Final = Font(color="FF5A6672")
_HAIRLINE: Final = Side(style="thin", color="FFC9D1D9")
_INK: Final = Side(style="thin", color="FF16202B")
UNDER_HEAD: Final = Border(bottom=_INK)
UNDER_ROW: Final = Border(bottom=_HAIRLINE)
_ZIP_DATE: Final = (1980, 1, 1, 0, 0, 0)
_NUL: Final = "\0"


def new(*, title: str, at: datetime) -> tuple[Workbook, Worksheet]:
    """Return a workbook with its first sheet; `at` is the time of what it states, not of the download."""
    book = Workbook()
    moment = at.replace(tzinfo=None, microsecond=0)
    book.properties.created = book.properties.modified = moment
    book.properties.creator = "Pourtally"
    book.properties.title = title
    sheet = book.active
    sheet.title = title[:31]
    return book, sheet


def put(sheet: Worksheet, row: int, column: int, value: object, *, font: Font | None = None) -> Cell:
    """Write a cell; a text is a text even when it begins as a formula does."""
    cell: Cell = sheet.cell(row=row, column=column)
    if isinstance(value, str):
        cell.value = "".join(sign for sign in value if sign >= " " or sign in "\n\t")
        cell.data_type = "s"
    else:
        cell.value = value
    if font is not None:
        cell.font = font
    return cell


def heads(sheet: Worksheet, row: int, names: Sequence[str], *, numbers: Iterable[int] = ()) -> None:
    """Write a row of heads over a fine line; the columns of figures are set to the right."""
    right = set(numbers)
    for column, name in enumerate(names, start=1):
        cell = put(sheet, row, column, name, font=HEAD)
        cell.border = UNDER_HEAD
        cell.alignment = Alignment(
            wrap_text=True, vertical="bottom", horizontal="right" if column in right else None
        )


def widths(sheet: Worksheet, *characters: float) -> None:
    """Set the widths of the first columns, in characters."""
    for column, width in enumerate(characters, start=1):
        sheet.column_dimensions[get_column_letter(column)].width = width


def content(book: Workbook) -> bytes:
    """Return the workbook as a file; the same workbook gives the same bytes."""
    made = io.BytesIO()
    book.save(made)
    steady = io.BytesIO()
    with zipfile.ZipFile(made) as before, zipfile.ZipFile(steady, "w", zipfile.ZIP_DEFLATED) as after:
        for part in before.infolist():
            data = before.read(part)
            if part.filename == "docProps/core.xml":
                data = _steady_core(data, book=book)
            after.writestr(zipfile.ZipInfo(part.filename, _ZIP_DATE), data, zipfile.ZIP_DEFLATED)
    return steady.getvalue()


def _steady_core(data: bytes, *, book: Any) -> bytes:
    """The time of saving, which openpyxl writes over ours, set back to the time of what the book states."""
    text = data.decode()
    start = text.index("<dcterms:modified")
    opened = text.index(">", start) + 1
    closed = text.index("</dcterms:modified>")
    return (text[:opened] + f"{book.properties.created:%Y-%m-%dT%H:%M:%SZ}" + text[closed:]).encode()
