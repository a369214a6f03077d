"""A workbook as tables: proven small before it is opened, values only, nothing run."""

import io
import zipfile
import zlib
from dataclasses import replace
from datetime import date, datetime
from typing import Any, Final

import openpyxl
from openpyxl.utils.exceptions import InvalidFileException

from estimates.calc.intake import cells, limits
from estimates.calc.intake.cells import Table
from estimates.calc.intake.found import Fact, LineFault, Unreadable, refuse

_CHUNK: Final = 1_000_000
_DAMAGE: Final = (
    KeyError,
    ValueError,
    TypeError,
    AttributeError,
    SyntaxError,
    OSError,
    EOFError,
    RuntimeError,
    zlib.error,
    zipfile.BadZipFile,
    zipfile.LargeZipFile,
    InvalidFileException,
)
"""What the libraries raise on a damaged workbook, as seen with random damage."""
_BROKEN: Final = "the workbook is damaged; open it in a spreadsheet program and save it again as XLSX"


def read(content: bytes) -> tuple[Table, ...]:
    """Reads the sheets of a workbook.

    Source: ECMA-376: a ZIP of XML parts; values as saved, formulas are never worked out.

    Args:
        content: the file.

    Returns:
        A table for each sheet that holds anything. A cell with a formula gives the value saved with it and a
        note; one without a saved value is a fault.

    Raises:
        Unreadable: no workbook, damaged, macros in it, or larger unpacked than is read.
    """
    _prove(content)
    try:
        values = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True, keep_links=False)
        formulas = openpyxl.load_workbook(io.BytesIO(content), read_only=True, keep_links=False)
    except _DAMAGE as error:
        raise refuse("damaged", _BROKEN) from error
    tables = []
    for name in values.sheetnames[: limits.SHEETS]:
        sheet = values[name]
        if hasattr(sheet, "reset_dimensions"):
            tables.append(_sheet(sheet, formulas=formulas[name]))
    found = tuple(table for table in tables if any(row.filled for row in table.rows))
    if not found:
        raise refuse("empty", "no sheet of the workbook has a cell that holds anything; send the filled one")
    return found


def _prove(content: bytes) -> None:
    try:
        archive = zipfile.ZipFile(io.BytesIO(content))
        parts = archive.infolist()
        _prove_names([part.filename for part in parts])
        left = limits.UNZIPPED_BYTES
        for part in parts:
            left = _prove_part(archive, part=part, left=left)
    except Unreadable:
        raise
    except _DAMAGE as error:
        raise refuse("damaged", _BROKEN) from error


def _prove_names(names: list[str]) -> None:
    if len(names) > limits.ZIP_PARTS:
        raise refuse(
            "too_large", f"the workbook has more than {limits.ZIP_PARTS} parts; save the schedule alone"
        )
    if any("vbaproject" in name.lower() for name in names):
        raise refuse(
            "macros", "the workbook holds macros; nothing of it is run or read: save it as XLSX without"
        )
    if "xl/workbook.xml" not in names:
        raise refuse("not_a_workbook", "the file is a ZIP and no workbook; send the XLSX schedule itself")


def _prove_part(archive: zipfile.ZipFile, *, part: zipfile.ZipInfo, left: int) -> int:
    """Unpacks a part without keeping it; what its head says of its size is not believed."""
    head = b""
    with archive.open(part) as stream:
        while chunk := stream.read(_CHUNK):
            head = head or chunk[:4_000]
            left -= len(chunk)
            if left < 0:
                size = limits.UNZIPPED_BYTES
                raise refuse(
                    "too_large", f"the workbook unpacks to more than {size} bytes; save the schedule alone"
                )
    if b"<!DOCTYPE" in head or b"<!ENTITY" in head:
        raise refuse("damaged", _BROKEN)
    return left


def _sheet(sheet: Any, *, formulas: Any) -> Table:
    sheet.reset_dimensions()
    formulas.reset_dimensions()
    rows: list[list[object]] = []
    run: list[tuple[int, int]] = []
    faults: list[tuple[int, int]] = []
    try:
        for line, (saved, written) in enumerate(zip(_rows(sheet), _rows(formulas), strict=False), start=1):
            if line > limits.ROWS:
                raise refuse("too_many_rows", f"a sheet has more than {limits.ROWS} rows; send less at once")
            rows.append([_value(cell) for cell in saved])
            for at, cell in enumerate(written):
                if getattr(cell, "data_type", "") == "f":
                    value = saved[at].value if at < len(saved) else None
                    (faults if value is None else run).append((line, at))
    except Unreadable:
        raise
    except _DAMAGE as error:
        raise refuse("damaged", _BROKEN) from error
    table = cells.capped(rows, name=str(sheet.title)[:60])
    places = ", ".join(f"{cells.letter_of(at)}{line}" for line, at in run[:10])
    notes = (Fact(name="formulas", value=str(len(run)), words=places),) if run else ()
    unsaved = tuple(_unsaved(line, at=at) for line, at in faults)
    return replace(table, notes=notes, faults=(*table.faults, *unsaved))


def _rows(sheet: Any) -> Any:
    return sheet.iter_rows(max_row=limits.ROWS + 1, max_col=limits.COLUMNS)


def _value(cell: Any) -> object:
    value = cell.value
    if isinstance(value, datetime | date):
        return value.isoformat()
    if getattr(cell, "data_type", "") == "e":
        return f"error {value}"
    return value


def _unsaved(line: int, *, at: int) -> LineFault:
    return LineFault(
        line=line,
        column=cells.letter_of(at),
        code="formula",
        message="the cell holds a formula without a saved value; nothing is worked out here: write its value",
    )
