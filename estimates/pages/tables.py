"""Files to keep, as answers: tables as CSV, and documents."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from django.http import HttpResponse

from estimates.documents import cells

TYPES: Final = {
    "csv": "text/csv; charset=utf-8",
    "pdf": "application/pdf",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


def answer(name: str, *, head: Sequence[str], rows: Iterable[Sequence[object]]) -> HttpResponse:
    """Return the table as a CSV file; texts that a spreadsheet would run get an apostrophe in front."""
    return file(name, content=cells.text(head=head, rows=rows).encode())


def file(name: str, *, content: bytes) -> HttpResponse:
    """Return a file to keep; its ending says what it is."""
    found = HttpResponse(content, content_type=TYPES[name.rsplit(".", 1)[-1]])
    found["Content-Disposition"] = f'attachment; filename="{name}"'
    return found
