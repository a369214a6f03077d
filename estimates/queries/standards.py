"""The standards that a firm works by: a profile with the firm's own figures in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from estimates.models import FirmFigure
from estimates.queries import sources
from estimates.standards import load, own
from estimates.standards.own import Sense
from estimates.standards.values import Own, Profile, Value
from projects.access import scope
from projects.access.actor import Actor
from projects.errors import NotFound


@dataclass(frozen=True, kw_only=True)
class ValueRow:
    """A value of a profile, with the firm's own beside it where there is one."""

    key: str
    meaning: str
    unit: str
    value: float
    source: str
    sense: Sense
    own: float | None = None
    own_words: str = ""

    @property
    def subject(self) -> str:
        """The first part of the key, under which the value is listed."""
        return self.key.split(".", maxsplit=1)[0]


def of_firm(actor: Actor, *, profile_id: str) -> Profile:
    """Return a profile with the firm's own figures in the place of some of its values.

    A figure whose value the data no longer hold waits until they do. Raises StandardsError when the data hold
    no such profile.
    """
    base = load.profile(profile_id)
    figures = {
        row.key: (row.value, _own(row))
        for row in in_force(actor, profile_id=profile_id)
        if row.value is not None and row.key in base.values
    }
    return own.with_own(base, figures=figures)


def in_force(actor: Actor, *, profile_id: str) -> list[FirmFigure]:
    """Return the latest figure of each key, those that went back to the profile's own left out."""
    latest: dict[str, FirmFigure] = {}
    for row in _rows(actor).filter(profile=profile_id).select_related("set_by").order_by("key", "id"):
        latest[row.key] = row
    return [row for row in latest.values() if row.value is not None]


def frozen(profile: Profile) -> list[dict[str, Any]]:
    """Return the firm's own figures of a profile as plain data, as a bill keeps them."""
    mine = [(key, value) for key, value in sorted(profile.values.items()) if value.own is not None]
    return [
        {
            "key": key,
            "meaning": value.note,
            "value": value.value,
            "unit": value.unit,
            "source": value.citation,
        }
        for key, value in mine
    ]


def history(actor: Actor, *, profile_id: str, key: str) -> list[FirmFigure]:
    """Return what the firm has set for a value, the latest first."""
    return list(_rows(actor).filter(profile=profile_id, key=key).select_related("set_by").order_by("-id"))


def figure(actor: Actor, *, figure_id: int) -> FirmFigure:
    """Return one figure that the firm has set; refused with NotFound when it is not the firm's."""
    return scope.get(FirmFigure.objects.all(), actor, pk=figure_id)


def listing(actor: Actor, *, profile_id: str, search: str = "") -> list[ValueRow]:
    """Return the values of a profile by key; `search` keeps those that hold all its words."""
    mine = of_firm(actor, profile_id=profile_id)
    wanted = search.casefold().split()
    rows = (_row(key, value=value, base=load.profile(profile_id)) for key, value in _sorted(mine))
    return [row for row in rows if all(word in _text(row) for word in wanted)]


def one(actor: Actor, *, profile_id: str, key: str) -> ValueRow:
    """Return one value; refused with NotFound when the profile does not have it."""
    mine = of_firm(actor, profile_id=profile_id)
    value = mine.find(key)
    if value is None:
        raise NotFound(_("The standards hold no value of this name. Look for it in the list."))
    return _row(key, value=value, base=load.profile(profile_id))


def _rows(actor: Actor) -> QuerySet[FirmFigure]:
    return scope.visible(FirmFigure.objects.all(), actor)


def _own(row: FirmFigure) -> Own:
    by = "" if row.set_by is None else row.set_by.name
    return Own(by=by, on=row.set_at.date().isoformat(), reason=row.reason, replaces=row.replaces)


def _sorted(profile: Profile) -> Iterator[tuple[str, Value]]:
    yield from sorted(profile.values.items())


def _row(key: str, *, value: Value, base: Profile) -> ValueRow:
    printed = base.value(key)
    mine = value.own
    return ValueRow(
        key=key,
        meaning=value.note,
        unit="" if value.unit == "1" else value.unit,
        value=printed.value,
        source=sources.in_words(printed.citation),
        sense=own.sense(key),
        own=None if mine is None else value.value,
        own_words="" if mine is None else f"{mine.on}, {mine.by}: {mine.reason}",
    )


def _text(row: ValueRow) -> str:
    return f"{row.key} {row.meaning} {row.source} {row.own_words}".casefold()
