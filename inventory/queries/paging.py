"""Pages of a list by key: each begins after the last row of the one before, however long the list grows."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import MAXYEAR, MINYEAR, datetime
from typing import Generic, TypeVar

from django.db.models import Q
from django.utils.translation import gettext as _

from projects.errors import Refused

R = TypeVar("R")

LIMIT = 50
MOST = 200


class BadCursor(Refused):
    """The address of a page of a list that this list never gave."""

    code = "bad_cursor"


@dataclass(frozen=True)
class Page(Generic[R]):
    """Some rows of a list; `after` is the address of the next ones, empty at the end."""

    rows: tuple[R, ...]
    after: str


def cut(found: Iterable[R], *, limit: int, cursor: Callable[[R], str]) -> Page[R]:
    """Make a page of `limit` rows from one row more than that."""
    rows = tuple(found)
    shown = rows[:limit]
    return Page(rows=shown, after=cursor(shown[-1]) if len(rows) > limit else "")


def bounded(limit: int) -> int:
    """Return a page size between 1 and the most that a page may have."""
    return max(1, min(limit, MOST))


def write(moment: datetime, *, pk: int) -> str:
    """Write the address of the page that begins after this row."""
    return f"{moment.isoformat()}_{pk}"


def read(cursor: str) -> tuple[datetime, int]:
    """Read an address; refused with `bad_cursor` when it is none."""
    moment, _sign, pk = cursor.rpartition("_")
    try:
        when = datetime.fromisoformat(moment)
        number = int(pk)
    except ValueError:
        when, number = datetime.min, 0  # noqa: DTZ901 - refused below for having no zone
    if when.tzinfo is None or not MINYEAR < when.year < MAXYEAR:
        raise BadCursor(_("This page of the list does not exist. Start at its beginning."), field="after")
    return when, number


def older(cursor: str, *, field: str) -> Q:
    """Build the condition for rows that come after the cursor in a list with the newest first.

    Its first half is a plain bound, so that an index by time begins the page where it is.
    """
    if not cursor:
        return Q()
    when, pk = read(cursor)
    return Q(**{f"{field}__lte": when}) & (Q(**{f"{field}__lt": when}) | Q(pk__lt=pk))
