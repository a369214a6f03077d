"""The service worker, from the root of the service, since it may look after no more than where it lies."""

from __future__ import annotations

from pathlib import Path

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

SCRIPT = Path(__file__).resolve().parent.parent / "static" / "projects" / "worker.js"


@require_safe
def script(request: HttpRequest) -> HttpResponse:
    del request
    answer = HttpResponse(SCRIPT.read_bytes(), content_type="text/javascript; charset=utf-8")
    answer["Cache-Control"] = "no-cache"
    return answer
