"""Papers of buying as answers of the browser: a PDF or XML file to keep."""

from __future__ import annotations

from typing import Final

from django.http import HttpResponse

TYPES: Final = {"pdf": "application/pdf", "xml": "application/xml"}


def file(name: str, *, content: bytes) -> HttpResponse:
    """Return a file to keep; its ending says what it is."""
    found = HttpResponse(content, content_type=TYPES[name.rsplit(".", 1)[-1]])
    found["Content-Disposition"] = f'attachment; filename="{name}"'
    return found
