"""Cells of CSV files: no text that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Final

RUNS: Final = ("=", "+", "-", "@", "\t", "\r")
"""A text that begins so is taken for a formula by spreadsheets."""


def safe(value: object) -> object:
    """Return a cell's value; a text that a spreadsheet would run gets an apostrophe, nothing is empty."""
    if isinstance(value, str) and value.startswith(RUNS):
        return f"'{value}"
    if isinstance(value, Decimal):
        return f"{value:f}"
    return "" if value is None else value


def text(*, head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Return a table as CSV text."""
    found = io.StringIO()
    writer = csv.writer(found)
    writer.writerow(head)
    writer.writerows([safe(value) for value in row] for row in rows)
    return found.getvalue()
