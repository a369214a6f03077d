"""Tables as CSV: plain figures for a spreadsheet, and no cell that a spreadsheet would run."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence

from django.http import HttpResponse

RUNS = ("=", "+", "-", "@", "\t", "\r")
"""A text that begins so is taken for a formula by spreadsheets."""


def answer(name: str, *, head: Sequence[str], rows: Iterable[Sequence[object]]) -> HttpResponse:
    """Return the table as a file to keep; texts that a spreadsheet would run get an apostrophe in front."""
    found = HttpResponse(content_type="text/csv; charset=utf-8")
    found["Content-Disposition"] = f'attachment; filename="{name}"'
    writer = csv.writer(found)
    writer.writerow(head)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return found


def _cell(value: object) -> object:
    if isinstance(value, str) and value.startswith(RUNS):
        return f"'{value}"
    return "" if value is None else value
