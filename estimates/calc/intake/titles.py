"""What the titles of a schedule or a drawing say: drawing, revision, grades, covers, units."""

import re
from collections.abc import Iterator
from typing import Final

from estimates.calc.intake.cells import Row, text_of
from estimates.calc.intake.found import Fact

_PATTERNS: Final = (
    (
        "drawing.number",
        re.compile(r"\b(?:drg|drawing|dwg)\.?\s*(?:no\.?\s*)?([A-Z0-9][A-Z0-9./-]*\d[A-Z0-9./-]*)", re.I),
    ),
    ("drawing.revision", re.compile(r"\brev(?:ision)?\.?\s*([A-Z0-9]{1,4})\b", re.I)),
    ("grade", re.compile(r"\b(M[1-9]\d{1,2}|C\d{2,3}/\d{2,3})\b")),
    ("steel_grade", re.compile(r"\b(Fe\s?[1-9]\d{2}[DS]?|B\d{3}[ABC])\b")),
    ("cover_mm", re.compile(r"\bcover[^,;]*?\bslab\s+(\d{1,3})\b", re.I)),
    ("beam_cover_mm", re.compile(r"\bcover[^,;]*?\bbeams?\s+(\d{1,3})\b", re.I)),
    ("length_unit", re.compile(r"\b(?:lengths?|dimensions?)\s+in\s+(mm|cm|m)\b", re.I)),
    ("shape_standard", re.compile(r"\b(BS\s?8666(?::\s?\d{4})?|IS\s?2502(?::\s?\d{4})?)", re.I)),
)  # fmt: skip


def of_text(text: str, *, line: int = 0) -> Iterator[Fact]:
    """Finds what a title says.

    Source: derived: common practice of drawing titles.

    Args:
        text: the title.
        line: its line in the file, 0 in a drawing.

    Returns:
        Facts with the words they were read from; proposals for the design form, seen there by a person.

    >>> [(fact.name, fact.value) for fact in of_text("Drg RH-S-04 rev B")]
    [('drawing.number', 'RH-S-04'), ('drawing.revision', 'B')]
    """
    for name, pattern in _PATTERNS:
        match = pattern.search(text)
        if match:
            value = match[1].replace(" ", "") if name == "steel_grade" else match[1]
            yield Fact(name=name, value=value, words=text[:200], line=line)


def of_row(row: Row) -> Iterator[Fact]:
    """Finds what the titles of a row say; what nothing is found in is kept as words.

    Source: derived.

    Args:
        row: a row above the heads.

    Returns:
        Facts with the row's line.

    >>> [fact.name for fact in of_row(Row(line=2, cells=("Drg DS-112 rev 0", None)))]
    ['title', 'drawing.number', 'drawing.revision']
    """
    for cell in row.filled:
        text = text_of(cell)
        yield Fact(name="title", value=text, words=text, line=row.line)
        yield from of_text(text, line=row.line)
