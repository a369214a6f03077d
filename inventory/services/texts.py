"""Short texts that people type: trimmed, and refused when they do not fit."""

from __future__ import annotations

from django.utils.translation import gettext as _

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
