"""The heads of a bar schedule's columns: which words name which column."""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Final, Literal

from estimates.calc.intake.cells import Cell, Row, text_of

Column = Literal[
    "mark", "member", "size", "shape", "A", "B", "C", "D", "E", "R", "F",
    "per_member", "members", "total", "spacing", "length", "remark",
]  # fmt: skip
LETTERS: Final = ("A", "B", "C", "D", "E", "F", "R")
_NEEDED_HEADS: Final = 3

_WORDS: Final[Mapping[Column, frozenset[str]]] = {
    "mark": frozenset({"mark", "bar mark", "bar no", "mk", "bm", "bar ref", "mark no"}),
    "member": frozenset({"member", "location", "element", "where", "part"}),
    "size": frozenset(
        {"size", "dia", "diameter", "type and size", "bar size", "bar dia", "size mm", "dia mm", "ø"}
    ),
    "shape": frozenset({"shape", "shape code", "code", "bar shape", "bending", "shape no"}),
    "per_member": frozenset(
        {"no per member", "no in each", "nos per member", "number per member", "no each", "per member",
         "number", "no of bars", "nos", "no"}
    ),
    "members": frozenset({"members", "no of mbrs", "no of members", "mbrs", "number of members", "no mbrs"}),
    "total": frozenset({"total", "total no", "total number", "total nos"}),
    "spacing": frozenset({"spacing", "c c", "pitch", "centres", "spacing mm", "at"}),
    "length": frozenset({"length", "cutting length", "length of each bar", "length mm"}),
    "remark": frozenset({"remark", "remarks", "note", "notes"}),
}  # fmt: skip
_BY_WORDS: Final[Mapping[str, Column]] = {
    words: column for column, names in _WORDS.items() for words in names
}
_E_OR_R: Final = "e r"


def find(rows: Iterable[Row]) -> tuple[Row, dict[Column, int]] | None:
    """Finds the row of heads below the titles and tells which column holds what.

    Source: derived: the words that bar schedules use; the row that has most of them.

    Args:
        rows: the rows of a table.

    Returns:
        The row with the columns by name, counted from 0; None when no row reads as heads.

    >>> found = find([Row(line=1, cells=("Mark", "Size", "Bar", "A", "B"))])
    >>> found[1]
    {'mark': 0, 'size': 1, 'shape': 2, 'A': 3, 'B': 4}
    """
    best: tuple[Row, dict[Column, int]] | None = None
    for row in rows:
        columns = _columns(row.cells)
        if (
            len(columns) >= _NEEDED_HEADS
            and {"mark", "size"} <= set(columns)
            and (best is None or len(columns) > len(best[1]))
        ):
            best = (row, columns)
    return best


def unread(row: Row, *, columns: Mapping[Column, int]) -> list[str]:
    """Names the heads of columns that are not read.

    Source: derived.

    Args:
        row: the row of heads.
        columns: the columns that are read.

    Returns:
        Their words in order.

    >>> unread(Row(line=1, cells=("Mark", "Size", "Weight")), columns={"mark": 0, "size": 1})
    ['Weight']
    """
    known = set(columns.values())
    return [text_of(cell) for at, cell in enumerate(row.cells) if cell is not None and at not in known]


def _columns(cells: Sequence[Cell]) -> dict[Column, int]:
    found: dict[Column, int] = {}
    bars: list[int] = []
    for at, cell in enumerate(cells):
        words = _plain(text_of(cell))
        if words == "bar":
            bars.append(at)
            continue
        column = _BY_WORDS.get(words) or _letter(words)
        if column is not None:
            found.setdefault(column, at)
    if bars:  # "Bar" heads the marks, or, beside a column of marks, the shapes
        column = "shape" if "mark" in found else "mark"
        found.setdefault(column, bars[0])
    return dict(sorted(found.items(), key=lambda pair: pair[1]))


def _letter(words: str) -> Column | None:
    if words == _E_OR_R:
        return "E"
    letter = words.removesuffix(" mm").upper()
    return next((known for known in LETTERS if known == letter), None)


def _plain(text: str) -> str:
    return " ".join(re.sub(r"[^a-zø]+", " ", text.lower().replace("&", " and ")).split())
