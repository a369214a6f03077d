"""Tables as rows of cells with their line numbers, and the figures that people write in cells."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from estimates.calc.intake import limits
from estimates.calc.intake.found import Fact, LineFault

Cell = str | float | None
DecimalMark = Literal["", ",", "."]
Unit = Literal["mm", "cm", "m", "in", "ft"]

MM: Final[dict[str, float]] = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
"""Millimetres in a unit of length; the inch is 25.4 mm by the agreement of 1959, the foot 12 inches."""

_LENGTH: Final = re.compile(r"^([+-]?[\d.,\s\u00a0']*\d)\s*(mm|cm|m|in|ft)?\.?$", re.IGNORECASE | re.ASCII)
_EITHER: Final = re.compile(r"^[+-]?\d{1,3}([.,])\d{3}$")
_EMPTY: Final = frozenset({"", "-", "–", "—"})
_LONGEST_FIGURE: Final = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of a table, counted from 1 as a spreadsheet shows it; texts stripped, empty cells None."""

    line: int
    cells: tuple[Cell, ...]

    @property
    def filled(self) -> list[Cell]:
        """The cells that hold something."""
        return [cell for cell in self.cells if cell is not None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A sheet as read: its rows, what was noticed about the file, and faults of single cells."""

    name: str
    rows: tuple[Row, ...]
    notes: tuple[Fact, ...] = ()
    faults: tuple[LineFault, ...] = ()


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of a cell, the unit written behind it, and whether its mark can be read both ways."""

    value: float
    unit: str = ""
    either: bool = False


def cell_of(value: object) -> Cell:
    """Takes what a reader gives for a cell into text or number; blanks and dashes are empty.

    Source: derived: schedules leave a cell empty or strike it out.

    Args:
        value: text, number, date, or nothing.

    Returns:
        The text stripped, the number, or None.

    >>> cell_of("  T10 "), cell_of(" - "), cell_of(84)
    ('T10', None, 84.0)
    """
    if value is None:
        return None
    if isinstance(value, bool):
        return str(value)
    if isinstance(value, int | float):
        return float(value)
    text = " ".join(str(value).split())
    return None if text in _EMPTY else text


def text_of(cell: Cell) -> str:
    """Writes a cell as text; whole numbers without a point.

    Source: derived.

    Args:
        cell: the cell.

    Returns:
        Its text, empty for an empty cell.

    >>> text_of(1.0), text_of("01"), text_of(None)
    ('1', '01', '')
    """
    if cell is None:
        return ""
    if isinstance(cell, str):
        return cell
    return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)


def figure_of(cell: Cell, *, decimal: DecimalMark = "") -> Figure | None:
    """Reads a figure with the unit behind it, as "4.35 m", "12000" or "7 520".

    Source: derived: common practice of bar schedules; a lone comma or point before three digits can be a
    thousands mark as well, which the answer says.

    Args:
        cell: the cell.
        decimal: the decimal mark of the file where a person has said it, else empty.

    Returns:
        The figure, or None when the cell holds none.

    >>> figure_of("4.35 m"), figure_of("1,150").either, figure_of("straight")
    (Figure(value=4.35, unit='m', either=False), True, None)
    """
    if isinstance(cell, float):
        return Figure(cell) if abs(cell) < 1e12 else None
    match = _LENGTH.match(cell) if cell and len(cell) <= _LONGEST_FIGURE else None
    if match is None:
        return None
    digits, unit = re.sub(r"[\s\u00a0']", "", match[1]), (match[2] or "").lower()
    either = decimal == "" and _EITHER.match(digits)
    plain = _plain(digits, decimal=decimal)
    try:
        value = float(plain)
    except ValueError:
        return None
    return Figure(value, unit, bool(either and unit != "mm" and not _is_point(either)))


def capped(rows: Sequence[Sequence[object]], *, name: str) -> Table:
    """Makes a table of raw rows; what is over the limits is a fault.

    Source: derived: the limits of `intake.limits`.

    Args:
        rows: raw cells by line.
        name: name of the sheet.

    Returns:
        The table.

    >>> capped([["Mark", " T10 "]], name="sheet").rows[0].cells
    ('Mark', 'T10')
    """
    kept, faults = [], []
    for line, raw in enumerate(rows, start=1):
        cells = tuple(cell_of(value) for value in raw[: limits.COLUMNS])
        long = [cell for cell in cells if isinstance(cell, str) and len(cell) > limits.CELL_CHARACTERS]
        if long:
            message = (
                f"a text of {len(long[0])} characters; at most {limits.CELL_CHARACTERS} are read: shorten it"
            )
            faults.append(LineFault(line=line, code="too_long", message=message))
            cells = tuple(None if cell in long else cell for cell in cells)
        kept.append(Row(line=line, cells=cells))
    table = Table(name=name, rows=tuple(kept), faults=tuple(faults))
    return replace(table, faults=(*table.faults, *_running(table)))


def _running(table: Table) -> list[LineFault]:
    """Texts that a spreadsheet would run: in a schedule they are a slip or an attack, never a figure."""
    return [
        LineFault(
            line=row.line,
            column=letter_of(at),
            code="formula",
            message=f"{cell[:40]!r} begins as a formula does; nothing is run here: write its value",
        )
        for row in table.rows
        for at, cell in enumerate(row.cells)
        if isinstance(cell, str) and cell[0] in "=@"
    ]


def letter_of(column: int) -> str:
    """Names a column as spreadsheets do.

    Source: derived: base 26 without a zero.

    Args:
        column: counted from 0.

    Returns:
        The letters.

    >>> letter_of(0), letter_of(27)
    ('A', 'AB')
    """
    letters, rest = "", column + 1
    while rest:
        rest, at = divmod(rest - 1, 26)
        letters = chr(65 + at) + letters
    return letters


def _is_point(match: re.Match[str]) -> bool:
    """A lone point before three digits is a decimal point but for files that use decimal commas."""
    return match[1] == "."


def _plain(digits: str, *, decimal: DecimalMark) -> str:
    if decimal == ",":
        return digits.replace(".", "").replace(",", ".")
    if decimal == ".":
        return digits.replace(",", "")
    if "," in digits and "." in digits:
        last = max(digits.rfind(","), digits.rfind("."))
        return re.sub(r"[.,]", "", digits[:last]) + "." + digits[last + 1 :]
    if digits.count(",") == 1 and not _EITHER.match(digits):
        return digits.replace(",", ".")
    return digits.replace(",", "")
