"""Opening stock as a sheet gives it: every line read against the names that the firm knows."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Final

HEADS: Final = ("Material", "Unit", "Amount", "Value", "Supplier", "Lot", "Made on")
"""The heads of the columns; not translated, so that every sheet reads back."""

MOST_ROWS: Final = 100
FIGURE: Final = re.compile(r"\d{1,12}(\.\d{1,3})?")
VALUE: Final = re.compile(r"\d{1,13}(\.\d{1,4})?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """The firm's names, in small letters: units by material, suppliers, and decimals of its currency."""

    units: Mapping[str, Sequence[str]]
    suppliers: Sequence[str]
    currency_places: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line that can be taken in: names in small letters, the value in minor units."""

    line: int
    material: str
    unit: str
    amount: Decimal
    value_minor: int
    supplier: str
    lot: str
    made: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bad:
    """A fault: sheet, line as a spreadsheet counts it, head of its column, what is wrong and what to do."""

    line: int
    column: str
    code: str
    message: str
    sheet: str = ""


def read(
    rows: Sequence[tuple[int, Sequence[str]]], *, known: Known
) -> tuple[tuple[Line, ...], tuple[Bad, ...]]:
    """Read the lines below the heads; nothing is mended, and every fault of every line is told.

    Source: derived: a figure is digits with a point, a day is YYYY-MM-DD, names are the firm's own.

    Args:
        rows: line numbers and cells as text, the line of heads among them.
        known: what may stand in the lines.

    Returns:
        The good lines and the faults; only a sheet without faults is to be taken in.

    >>> known = Known(units={"cement": ("bag",)}, suppliers=(), currency_places=2)
    >>> rows = [(3, HEADS), (4, ("Cement", "bag", "12", "4800.50")), (5, ("Cement", "sack", "-1", "1"))]
    >>> good, bad = read(rows, known=known)
    >>> good[0].value_minor, [(one.line, one.column) for one in bad]
    (480050, [(5, 'Unit'), (5, 'Amount')])
    """
    start = next((n for n, (_at, cells) in enumerate(rows) if tuple(cells[: len(HEADS)]) == HEADS), None)
    if start is None:
        message = f"no line has the heads {', '.join(HEADS)}; fill in the sheet that is offered here"
        return (), (Bad(line=0, column="", code="no_heads", message=message),)
    below = [(at, cells) for at, cells in rows[start + 1 :] if any(cells)]
    if len(below) > MOST_ROWS:
        message = f"the sheet has {len(below)} lines below its heads; it takes at most {MOST_ROWS}"
        return (), (Bad(line=0, column="", code="rows", message=message),)
    good: list[Line] = []
    bad: list[Bad] = []
    for at, cells in below:
        line, faults = _line(at, [*cells, *[""] * len(HEADS)][: len(HEADS)], known=known)
        bad += faults
        if line is not None:
            good.append(line)
    return tuple(good), tuple(bad)


def _line(at: int, cells: Sequence[str], *, known: Known) -> tuple[Line | None, list[Bad]]:
    amount = decimal_of(cells[2], form=FIGURE)
    minor = minor_of(cells[3], places=known.currency_places)
    made = day_of(cells[6])
    found = [*_names(cells, known=known), *_lot(cells, known=known, made=made)]
    if not amount:
        found.append(
            (2, "bad_figure", f"“{cells[2]}” is no amount above 0 with at most 3 decimals; write 12 or 12.5")
        )
    if minor is None:
        most = known.currency_places
        found.append((3, "bad_value", f"“{cells[3]}” is no value of 0 or more with at most {most} decimals"))
    if found or amount is None or minor is None:
        return None, [Bad(line=at, column=HEADS[n], code=code, message=said) for n, code, said in found]
    return Line(
        line=at,
        material=cells[0].casefold(),
        unit=cells[1].casefold(),
        amount=amount,
        value_minor=minor,
        supplier=cells[4].casefold(),
        lot=cells[5],
        made=made,
    ), []


def _names(cells: Sequence[str], *, known: Known) -> list[tuple[int, str, str]]:
    offered = known.units.get(cells[0].casefold())
    if offered is None:
        said = f"“{cells[0]}” is none of the firm's materials; choose from the list"
        return [(0, "unknown_material", said)]
    if cells[1].casefold() not in offered:
        said = f"{cells[0]} is not counted in “{cells[1]}”; use one of: {', '.join(offered)}"
        return [(1, "unknown_unit", said)]
    return []


def _lot(cells: Sequence[str], *, known: Known, made: date | None) -> list[tuple[int, str, str]]:
    found = []
    if cells[4] and cells[4].casefold() not in known.suppliers:
        said = f"“{cells[4]}” is none of the firm's suppliers; choose from the list"
        found.append((4, "unknown_supplier", said))
    if cells[6] and made is None:
        found.append((6, "bad_day", f"“{cells[6]}” is no day; write it as 2026-03-31"))
    if (cells[5] or cells[6]) and not cells[4]:
        said = "a lot is known by its supplier; name it, or leave lot and day empty"
        found.append((4, "lot_of_nobody", said))
    return found


def minor_of(text: str, *, places: int) -> int | None:
    """Read an amount of money.

    Source: derived: digits with a point, exact.

    Args:
        text: the cell.
        places: decimals of the currency, or of a price.

    Returns:
        Whole smallest units; None when it is no such amount, or finer.

    >>> minor_of("4800.50", places=2), minor_of("1.005", places=2)
    (480050, None)
    """
    value = decimal_of(text, form=VALUE)
    minor = None if value is None else value * 10**places
    return None if minor is None or minor != minor.to_integral_value() else int(minor)


def decimal_of(text: str, *, form: re.Pattern[str]) -> Decimal | None:
    """Read a figure of this form.

    Source: derived: digits with a point.

    Args:
        text: the cell.
        form: `FIGURE` or `VALUE`.

    Returns:
        The figure; None when it is none.

    >>> decimal_of("12.5", form=FIGURE), decimal_of("-1", form=FIGURE)
    (Decimal('12.5'), None)
    """
    try:
        return Decimal(text) if form.fullmatch(text) else None
    except InvalidOperation:
        return None


def day_of(text: str) -> date | None:
    """Read a day.

    Source: ISO 8601: YYYY-MM-DD; what a spreadsheet writes behind it is the hour.

    Args:
        text: the cell.

    Returns:
        The day; None when it is none.

    >>> day_of("2026-03-31 00:00:00"), day_of("31.3.2026")
    (datetime.date(2026, 3, 31), None)
    """
    try:
        return date.fromisoformat(text[:10]) if text else None
    except ValueError:
        return None
