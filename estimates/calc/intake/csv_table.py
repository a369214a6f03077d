"""A table of text as rows: its letters and its separator are found out and said."""

import csv
import io
from dataclasses import replace
from typing import Final

from estimates.calc.intake import cells, limits
from estimates.calc.intake.cells import Table
from estimates.calc.intake.found import Fact, refuse

_SEPARATORS: Final = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
_MARKS: Final = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)


def read(content: bytes) -> Table:
    r"""Reads a table of text.

    Source: RFC 4180 for the quoting; Unicode's byte order marks; a text that is not UTF-8 is read as
    Windows-1252, the letters of Western offices, and the answer says so.

    Args:
        content: the file.

    Returns:
        The table, with the letters and the separator among its notes.

    Raises:
        Unreadable: no text, or more rows than are read.

    >>> read(b"Mark;Size\nS1;T10\n").rows[1].cells
    ('S1', 'T10')
    """
    text, letters = _text(content)
    if any(ord(sign) < 32 and sign not in "\t\r\n\f" for sign in text):
        raise refuse("not_text", "the file holds control characters that no table has; save it again as CSV")
    separator = _separator(text)
    try:
        rows = []
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=separator):
            rows.append(row)
            if len(rows) > limits.ROWS:
                raise refuse(
                    "too_many_rows", f"the table has more than {limits.ROWS} rows; send less at once"
                )
    except csv.Error as error:
        raise refuse(
            "not_a_table", f"the file is no table of text ({error}); save it again as CSV"
        ) from error
    if all(not any(cell.strip() for cell in row) for row in rows):
        raise refuse("empty", "the table has no cell that holds anything; save it again and send it")
    notes = (
        Fact(name="letters", value=letters, words=""),
        Fact(name="separator", value=_SEPARATORS[separator], words=""),
    )
    return replace(cells.capped(rows, name="table"), notes=notes)


def _text(content: bytes) -> tuple[str, str]:
    for mark, letters in _MARKS:
        if content.startswith(mark):
            try:
                return content.decode(letters), letters.removesuffix("-sig").upper()
            except UnicodeDecodeError as error:
                raise refuse(
                    "not_text", "the file begins as Unicode and is not; save it again as CSV"
                ) from error
    try:
        return content.decode("utf-8"), "UTF-8"
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace"), "Windows-1252"


def _separator(text: str) -> str:
    """The separator that splits most lines into equally many cells; quoted ones do not count."""
    lines = [line for line in text.splitlines()[:60] if line.strip()]
    best, most = ",", 0
    for separator in _SEPARATORS:
        counts = [len(row) for row in csv.reader(lines, delimiter=separator)]
        alike = max((counts.count(count) * (count - 1) for count in set(counts)), default=0)
        if alike > most:
            best, most = separator, alike
    return best
