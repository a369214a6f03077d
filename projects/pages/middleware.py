"""Gives each request its actor: the person signed in, their firm, sites and permissions."""

from __future__ import annotations

import zoneinfo
from collections.abc import Callable
from dataclasses import replace

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from projects.pages import devices
from projects.queries import people

Answer = Callable[[HttpRequest], HttpResponse]


def attach_actor(get_response: Answer) -> Answer:
    """Set `request.actor` (None for a stranger) and show times in the firm's time zone."""

    def middleware(request: HttpRequest) -> HttpResponse:
        signed_in = people.actor_of(request.user)
        if signed_in is not None:
            signed_in = replace(signed_in, device=devices.described(request.headers.get("User-Agent", "")))
        request.actor = signed_in  # type: ignore[attr-defined]  # our one addition to the request
        if signed_in is None:
            return get_response(request)
        with timezone.override(zoneinfo.ZoneInfo(signed_in.time_zone)):
            return get_response(request)

    return middleware
