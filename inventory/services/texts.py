"""What people type into the lines of a form: short texts that fit, and refusals that name their line."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal

from babel.numbers import get_currency_precision
from django.utils.translation import gettext as _

from projects.access.actor import Actor
from projects.errors import Refused


class TooLong(Refused):
    """A text longer than its place."""

    code = "too_long"


def fitting(text: str, *, most: int, field: str) -> str:
    """Return the text without blanks at its ends; refused with `too_long` above `most` characters."""
    trimmed = text.strip()
    if len(trimmed) > most:
        message = _("This text has %(length)s characters; %(most)s fit. Shorten it.")
        raise TooLong(message % {"length": len(trimmed), "most": most}, field=field, most=most)
    return trimmed


@contextmanager
def at_line(position: int) -> Iterator[None]:
    """Name the line at fault in a refusal, so that a form shows it beside that line."""
    try:
        yield
    except Refused as refused:
        refused.params.setdefault("line", position)
        raise


def money(minor: int, *, actor: Actor) -> str:
    """Return an amount of the firm's money as a sentence of a refusal says it."""
    return f"{Decimal(minor).scaleb(-get_currency_precision(actor.currency)):f} {actor.currency}"
