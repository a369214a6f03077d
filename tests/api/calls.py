"""Calls the API as a person who is signed in, with a key of its own for each act."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from typing import Any

from django.db import transaction
from django.test import Client

from projects.models import Person

ROOT = "/api/v1/"
_keys = count(1)


class Caller:
    """A client of the API; `who` is a sign-in name, or empty for a stranger."""

    def __init__(self, who: str = "", **options: Any) -> None:
        self.client = Client(raise_request_exception=True, **options)
        if who:
            self.client.force_login(Person.objects.get(username=who))

    def get(self, path: str, **query: Any) -> Any:
        return self.client.get(ROOT + path, query)

    def post(self, path: str, body: Any = None, *, key: str | None = None) -> Any:
        return self._act("post", path, body, key=key)

    def put(self, path: str, body: Any = None, *, key: str | None = None) -> Any:
        return self._act("put", path, body, key=key)

    def _act(self, method: str, path: str, body: Any, *, key: str | None) -> Any:
        key = f"test-key-{next(_keys)}" if key is None else key
        call = getattr(self.client, method)
        headers = {"Idempotency-Key": key} if key else {}
        return call(
            ROOT + path, {} if body is None else body, content_type="application/json", headers=headers
        )


@contextmanager
def undone() -> Iterator[None]:
    """Take back whatever is done within, so that one world serves many acts."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def code(answer: Any) -> tuple[int, str]:
    """Return an answer's status and stable code."""
    return answer.status_code, answer.json()["code"]
