"""A bar schedule as facts: one row for each bar mark as it stands, and every fault by its line."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from estimates.calc.intake import cells, heads, limits, titles
from estimates.calc.intake.cells import Cell, Figure, Row, Table
from estimates.calc.intake.found import Fact, LineFault, refuse
from estimates.calc.intake.heads import LETTERS, Column

_SIZE: Final = re.compile(r"^([A-Za-zØø#]{0,4})\s*(\d{1,3})\s*(?:mm)?$")
_OVER: Final = re.compile(r"\bover\s+(\d[\d.,]*)\s*(mm|cm|m)?\b", re.IGNORECASE)
_MOST: Final = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class BarRow:
    """One bar mark as the schedule has it; figures with the unit written behind them, empty cells None."""

    line: int
    mark: str
    member: str
    type_letter: str
    size_mm: int
    shape: str
    dimensions: Mapping[str, Figure]
    per_member: int | None
    members: int | None
    total: int | None
    spacing: Figure | None
    over: Figure | None
    remark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """A bar schedule: its sound rows, what its titles and notes say, and every fault."""

    sheet: str
    head_line: int
    has_members: bool
    rows: tuple[BarRow, ...]
    titles: tuple[Fact, ...]
    remarks: tuple[Fact, ...]
    notes: tuple[Fact, ...]
    unread_columns: tuple[str, ...]
    faults: tuple[LineFault, ...]
    length_unit: str


def of_tables(tables: Sequence[Table]) -> Schedule:
    """Reads the bar schedule of a file: of its sheets the first that has the heads of one.

    Source: derived: common practice of bar schedules; BS 8666 names the columns of its own form.

    Args:
        tables: the sheets of the file.

    Returns:
        The schedule with all faults of its rows.

    Raises:
        Unreadable: no sheet has a row of heads.

    >>> rows = [["Mark", "Member", "Size", "Bar", "A"], ["S1", "slab", "T10", "straight", "3920"]]
    >>> of_tables([cells.capped(rows, name="x")]).rows[0].dimensions["A"].value
    3920.0
    """
    for table in tables:
        found = heads.find(table.rows)
        if found is not None:
            return _schedule(table, head=found[0], columns=found[1])
    raise refuse(
        "no_heads",
        "no row of the file reads as the heads of a bar schedule (mark, size, shape, A, B, …); "
        "add the heads, or download the template",
    )


def _schedule(table: Table, *, head: Row, columns: Mapping[Column, int]) -> Schedule:
    rows: list[BarRow] = []
    remarks: list[Fact] = []
    faults = [fault for fault in table.faults if fault.line > head.line]
    blamed = {fault.line for fault in faults}
    for row in table.rows:
        if row.line <= head.line or not row.filled or row.cells == head.cells:
            continue
        if _is_note(row, columns=columns):
            words = cells.text_of(row.filled[0])
            remarks.append(Fact(name="note", value=words, words=words, line=row.line))
            continue
        bar, wrong = _bar(row, columns=columns)
        faults += [
            fault for fault in wrong if (fault.line, fault.column) not in {(f.line, f.column) for f in faults}
        ]
        if bar is not None and row.line not in blamed:
            rows.append(bar)
    faults += _twice(rows)
    said = [fact for row in table.rows if row.line < head.line for fact in titles.of_row(row)]
    return Schedule(
        sheet=table.name,
        head_line=head.line,
        has_members="members" in columns,
        rows=tuple(rows),
        titles=tuple(said),
        remarks=tuple(remarks),
        notes=table.notes,
        unread_columns=tuple(heads.unread(head, columns=columns)),
        faults=tuple(sorted(faults, key=lambda fault: (fault.line, fault.column))[: limits.FAULTS]),
        length_unit=next((fact.value for fact in said if fact.name == "length_unit"), ""),
    )


def _is_note(row: Row, *, columns: Mapping[Column, int]) -> bool:
    """A row with words and no bar: neither a size nor a mark beside anything else."""
    size = _at(row, columns=columns, name="size")
    return size is None and len(row.filled) == 1 and isinstance(row.filled[0], str)


def _at(row: Row, *, columns: Mapping[Column, int], name: Column) -> Cell:
    at = columns.get(name)
    return row.cells[at] if at is not None and at < len(row.cells) else None


class _Reader:
    """Reads the cells of one row and keeps what is wrong with them."""

    def __init__(self, row: Row, *, columns: Mapping[Column, int]) -> None:
        self._row, self._columns = row, columns
        self.faults: list[LineFault] = []

    def cell(self, name: Column) -> Cell:
        return _at(self._row, columns=self._columns, name=name)

    def text(self, name: Column) -> str:
        return cells.text_of(self.cell(name))

    def blame(self, name: Column, code: str, message: str) -> None:
        column = cells.letter_of(self._columns[name]) if name in self._columns else ""
        self.faults.append(LineFault(line=self._row.line, column=column, code=code, message=message))

    def word(self, name: Column, *, words: str, longest: int, blanks: bool) -> str:
        text = self.text(name)
        if not text:
            self.blame(name, "missing", f"the {words} is empty; write it as the drawing has it")
        elif len(text) > longest or (not blanks and " " in text):
            form = "without blanks, " if not blanks else ""
            self.blame(
                name,
                "bad_text",
                f"{words} {text[:60]!r} must be {form}at most {longest} characters; correct it",
            )
        return text

    def size(self) -> tuple[str, int]:
        text = self.text("size")
        match = _SIZE.match(text)
        if match is None:
            shown = f"{text[:40]!r} is no bar size" if text else "the size is empty"
            self.blame("size", "bad_size", f"{shown}; write it as T10 or 10")
            return "", 0
        return match[1], int(match[2])

    def figure(self, name: Column) -> Figure | None:
        cell = self.cell(name)
        if cell is None:
            return None
        found = cells.figure_of(cell)
        if found is None or found.value <= 0:
            self.blame(
                name,
                "not_a_length",
                f"{name} {cells.text_of(cell)[:40]!r} is no length; write it as 3920 or 3.92 m",
            )
            return None
        return found

    def count(self, name: Column, *, words: str) -> int | None:
        cell = self.cell(name)
        if cell is None:
            return None
        found = cells.figure_of(cell)
        if (
            found is None
            or found.unit
            or found.either
            or not found.value.is_integer()
            or not 1 <= found.value <= _MOST
        ):
            shown = cells.text_of(cell)[:40]
            message = f"{words} {shown!r} must be a whole number from 1 to {_MOST}; correct it"
            self.blame(name, "not_a_count", message)
            return None
        return int(found.value)


def _bar(row: Row, *, columns: Mapping[Column, int]) -> tuple[BarRow | None, list[LineFault]]:
    read = _Reader(row, columns=columns)
    letter, size = read.size()
    remark = read.text("remark")
    bar = BarRow(
        line=row.line,
        mark=read.word("mark", words="mark", longest=40, blanks=False),
        member=read.text("member"),
        type_letter=letter,
        size_mm=size,
        shape=read.word("shape", words="shape", longest=40, blanks=True),
        dimensions=_dimensions(read, columns=columns),
        per_member=read.count("per_member", words="number per member"),
        members=read.count("members", words="number of members"),
        total=read.count("total", words="total number"),
        spacing=read.figure("spacing"),
        over=_over(remark),
        remark=remark,
    )
    _check_total(bar, read=read)
    if not bar.dimensions:
        read.blame("A" if "A" in columns else "shape", "missing", "no dimension is given; write at least A")
    return (None if read.faults else bar), read.faults


def _dimensions(read: _Reader, *, columns: Mapping[Column, int]) -> dict[str, Figure]:
    found = {letter: read.figure(letter) for letter in LETTERS if letter in columns}
    return {str(letter): figure for letter, figure in found.items() if figure is not None}


def _check_total(bar: BarRow, *, read: _Reader) -> None:
    if bar.total is None or bar.per_member is None:
        return
    members = 1 if bar.members is None else bar.members
    if bar.total != bar.per_member * members:
        product = bar.per_member * members
        message = (
            f"total {bar.total} is not {bar.per_member} in each × {members} members = {product}; "
            "ask the engineer's office which figure holds"
        )
        read.blame("total", "total_differs", message)


def _over(remark: str) -> Figure | None:
    """The length over which bars are spread, where the remark says it, as "over 7400"."""
    match = _OVER.search(remark)
    return cells.figure_of(f"{match[1].rstrip('.,')} {match[2] or ''}".strip()) if match else None


def _twice(rows: Sequence[BarRow]) -> list[LineFault]:
    first: dict[str, int] = {}
    found = []
    for row in rows:
        line = first.setdefault(row.mark, row.line)
        if line != row.line:
            message = f"mark {row.mark} stands on line {line} too; give each its own mark"
            found.append(LineFault(line=row.line, code="duplicate_mark", message=message))
    return found
