"""Walks over every address of the service, as each kind of person would."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count
from typing import Any

from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver

from projects.models import Person
from tests.api.addresses import IDS, QUERIES
from tests.api.bodies import bodies
from tests.api.calls import undone
from tests.factories.world import World

API = "api/v1/"
WORDS = {"username": "bob", "method": "bags", "profile": "is", "key": "curing.days.opc", "rest": "nowhere/"}
_keys = count(1)


@dataclass(frozen=True)
class Case:
    """One method of one address, as the URL list writes it."""

    method: str
    route: str

    def __str__(self) -> str:
        return f"{self.method} /{self.route}"

    def url(self, world: World) -> str:
        """The address with ids of one world in their places."""

        def value(found: re.Match[str]) -> str:
            name = found[1]
            return WORDS[name] if name in WORDS else str(IDS[name](world))

        plain = re.sub(r"\^?\(\?P<(\w+)>[^)]*\)\$?", r"<str:\1>", self.route)
        return "/" + re.sub(r"<\w+:(\w+)>", value, plain)


def cases() -> Iterator[Case]:
    """Every address with the methods that it serves; a page is asked by GET and by POST."""
    for route, view in _walk(get_resolver().url_patterns, ""):
        served = getattr(view, "view_class", None)
        for method in ("get", "post", "put", "patch", "delete"):
            if hasattr(served, method) if served else method in {"get", "post"}:
                yield Case(method.upper(), route)


def client_of(who: str) -> Client:
    """A browser in which somebody is signed in; nobody when the name is empty."""
    client = Client()
    if who:
        client.force_login(Person.objects.get(username=who))
    return client


def status(case: Case, *, world: World, who: str) -> int:
    """What somebody is answered, with ids and bodies of one world; what it did is taken back.

    A page's form is sent empty: who may not do the act is refused before the form is looked at.
    """
    client = client_of(who)
    with undone():
        if case.method == "GET":
            return read(client, case, world=world)
        if not case.route.startswith(API):
            return client.post(case.url(world)).status_code
        body = bodies(world).get(case.route.removeprefix(API), {})
        return _act(client, case, body=body, url=case.url(world))


def read(client: Client, case: Case, *, world: World) -> int:
    """What a browser is answered that only reads."""
    query = QUERIES.get(case.route.removeprefix(API), lambda _world: {})
    return client.get(case.url(world), query(world)).status_code


def _act(client: Client, case: Case, *, body: Any, url: str) -> int:
    send = getattr(client, case.method.lower())
    headers = {"Idempotency-Key": f"walk-key-{next(_keys)}"}
    return send(url, body, content_type="application/json", headers=headers).status_code


def _walk(patterns: list[Any], before: str) -> Iterator[tuple[str, Any]]:
    for entry in patterns:
        route = before + str(entry.pattern)
        if isinstance(entry, URLResolver):
            yield from _walk(entry.url_patterns, route)
        elif isinstance(entry, URLPattern):
            yield route, entry.callback
