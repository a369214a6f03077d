"""Reads JSON bodies strictly: bounded, no name twice, no text that a database cannot keep."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import IO, Any

from django.utils.translation import gettext as _
from rest_framework import exceptions, status
from rest_framework.parsers import BaseParser

MOST_BYTES = 2_000_000
MOST_DEEP = 32


class TooLarge(exceptions.APIException):
    """A body larger than any act needs."""

    status_code = status.HTTP_413_REQUEST_ENTITY_TOO_LARGE
    default_code = "too_large"


class StrictJson(BaseParser):
    """JSON as data; nothing of a body is repaired or lost on the way."""

    media_type = "application/json"

    def parse(
        self, stream: IO[Any], media_type: str | None = None, parser_context: Mapping[str, Any] | None = None
    ) -> Any:
        """Return the data of a body; refused when it is too large or not sound JSON."""
        del media_type, parser_context
        body = stream.read(MOST_BYTES + 1)
        if len(body) > MOST_BYTES:
            raise TooLarge(_("The body is larger than %s bytes. Send less at once.") % MOST_BYTES)
        try:
            data = json.loads(body.decode(), parse_constant=_no_number, object_pairs_hook=_once)
        except (ValueError, RecursionError) as fault:
            raise exceptions.ParseError(_("The body is not sound JSON: %s.") % fault) from fault
        _require_sound(data)
        return data


def _no_number(word: str) -> Any:
    message = f"{word} is no number"
    raise ValueError(message)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _value in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        message = f"the name {twice[:60]!r} stands twice in one object"
        raise ValueError(message)
    return found


def _require_sound(data: Any) -> None:
    """Refuse what is nested beyond reason, and texts with characters that no text has."""
    waiting = [(data, 1)]
    while waiting:
        value, deep = waiting.pop()
        if deep > MOST_DEEP:
            raise exceptions.ParseError(_("The body is nested deeper than %s levels.") % MOST_DEEP)
        if isinstance(value, dict):
            waiting.extend((inner, deep + 1) for pair in value.items() for inner in pair)
        elif isinstance(value, list):
            waiting.extend((inner, deep + 1) for inner in value)
        elif isinstance(value, str) and any(c == "\0" or "\ud800" <= c <= "\udfff" for c in value):
            raise exceptions.ParseError(_("A text holds a character that no text has, such as NUL."))
