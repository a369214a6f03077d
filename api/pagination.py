"""Lists come in pages of at most 200 rows; `after` of one page is what asks for the next."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from django.db.models import QuerySet
from django.utils.translation import gettext as _
from rest_framework import serializers

from api.fields import Asked
from projects.errors import Refused

LIMIT = 50
MOST = 200
FURTHEST = 1_000_000


class BadCursor(Refused):
    """The address of a page that this list never gave."""

    code = "bad_cursor"


class PageAsked(Asked):
    """Which page of a list."""

    limit = serializers.IntegerField(
        required=False, default=LIMIT, min_value=1, max_value=MOST, help_text="Rows in the page."
    )
    after = serializers.CharField(
        required=False,
        default="",
        allow_blank=True,
        max_length=100,
        help_text="`after` of the page before; empty for the first page.",
    )


class Keyed(Protocol):
    """A page as queries give it: rows, and the address of the next page."""

    @property
    def rows(self) -> Sequence[Any]:
        """The rows."""

    @property
    def after(self) -> str:
        """The address of the next page, empty at the end."""


@dataclass(frozen=True)
class Page:
    """A page to be shown."""

    rows: Sequence[Any]
    after: str


def positioned(page: dict[str, Any], *, rows: Callable[[int, int], Iterable[Any]]) -> Page:
    """Cut a page out of a list that is read by position; `rows(start, count)` reads one row too many.

    For short lists (sites, materials, suppliers); lists that grow for ever are paged by key.
    """
    start, limit = position_of(page["after"]), page["limit"]
    found = list(rows(start, limit + 1))
    after = str(start + limit) if len(found) > limit else ""
    return Page(rows=found[:limit], after=after)


def sliced(page: dict[str, Any], *, of: QuerySet[Any] | Sequence[Any]) -> Page:
    """Cut a page out of an ordered query or sequence by position."""
    return positioned(page, rows=lambda start, count: of[start : start + count])


def position_of(after: str) -> int:
    """Read the address of a page of a list that is read by position."""
    if not after:
        return 0
    if not after.isascii() or not after.isdecimal() or len(after) > 7 or int(after) > FURTHEST:
        raise BadCursor(_("This page of the list does not exist. Start at its beginning."), field="after")
    return int(after)
