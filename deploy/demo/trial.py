"""The demo's own trial: pages are served, and a job that was asked for gets done by the worker."""

import json
import re
import ssl
import time
import urllib.request
from collections.abc import Callable
from typing import TypeVar
from uuid import uuid4

from django.conf import settings
from django.shortcuts import resolve_url
from django.utils import timezone

from deploy import bell
from deploy.demo.processes import Place
from projects.queries import jobs
from projects.services import outbox

T = TypeVar("T")

_LIMIT_SECONDS = 60


class TrialError(RuntimeError):
    """Something that must work did not; the message says what."""


def run(place: Place, *, say: Callable[[str], None]) -> None:
    """Try the sign-in page, one of its files, the health page and a job; TrialError names the first fault."""
    began = time.monotonic()
    page = _wait(lambda: _get(place, resolve_url(settings.LOGIN_URL)), what="the sign-in page")
    say(f"The sign-in page is there after {time.monotonic() - began:.1f} s.")
    if "<form" not in page:
        raise TrialError("the sign-in page has no form")
    for link in re.findall(r'(?:href|src)="(/static/[^"]+)"', page)[:3]:
        _get(place, link)
    health = _wait(lambda: _healthy(place), what="a healthy worker")
    say(f"Health: {health}")
    key = _ask()
    _wait(lambda: jobs.is_done(key), what="the job asked for")
    say(f"The worker did a job; all is well after {time.monotonic() - began:.1f} s.")


def _get(place: Place, path: str) -> str:
    """The body of an answer 200; what it is not raises OSError."""
    context = ssl.create_default_context(cafile=str(place.tls.authority)) if place.tls else None
    with urllib.request.urlopen(place.url.rstrip("/") + path, timeout=10, context=context) as answer:  # noqa: S310 - our own address
        return str(answer.read().decode())


def _healthy(place: Place) -> str:
    text = _get(place, "/health/")
    return text if json.loads(text)["status"] == "ok" else ""


def _ask() -> str:
    """Ask for a job that does nothing, as any service would."""
    firm_id = jobs.any_firm_id()
    if firm_id is None:
        raise TrialError("there is no firm in the database, so that no job can be asked for")
    key, now = f"trial:{uuid4()}", timezone.now()
    outbox.ask(firm_id=firm_id, job="deploy.trial", key=key, payload={}, now=now, due_at=now)
    bell.ring()
    return key


def _wait(probe: Callable[[], T], *, what: str) -> T:
    """The probe's first true answer; an answer that does not come in time is a fault."""
    end = time.monotonic() + _LIMIT_SECONDS
    last: object = "no answer"
    while time.monotonic() < end:
        try:
            if answer := probe():
                return answer
        except OSError as fault:
            last = fault
        time.sleep(0.1)
    raise TrialError(f"{what} did not come within {_LIMIT_SECONDS} s: {last}")
