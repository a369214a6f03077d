"""One function = one business act = one transaction, done once however often it is sent."""

from __future__ import annotations

import functools
import hashlib
import json
from collections.abc import Callable
from dataclasses import asdict, fields, is_dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from django.db import IntegrityError, models, transaction
from django.utils.translation import gettext as _

from projects.errors import KeyReused
from projects.models import AuditEntry, IdempotencyKey

if TYPE_CHECKING:
    from projects.access.actor import Actor

TRIES = 3
"""How often an act is begun that others forestall; its second try sees what they did."""

PASSING = {"passing": True}
"""Marks a field of an act that differs each time the same act is sent, such as the hour of sending."""

M = TypeVar("M", bound=models.Model)
M_co = TypeVar("M_co", bound=models.Model, covariant=True)


class Act(Protocol[M_co]):
    """A business act as its callers see it."""

    def __call__(self, *, actor: Actor, act: Any, key: str, now: datetime) -> M_co:
        """Do the act once and return its result."""
        ...


def business_act(result: type[M]) -> Callable[[Callable[..., M]], Act[M]]:
    """Give a service one transaction, idempotency by key, and an audit entry.

    The key is unique in the firm for ever. The same key with the same act returns the first result;
    with another act it is refused with KeyReused. Of two callers at once the second waits on the
    unique index and then replays. Of two acts that want the same name at once, under keys of their own, the
    second is done anew and then sees the first, so that it refuses in its own words.
    """

    def decorate(service: Callable[..., M]) -> Act[M]:
        rows: models.Manager[M] = result._default_manager  # noqa: SLF001 - Django's documented name for it
        name = f"{service.__module__.rsplit('.', 1)[-1]}.{service.__name__}"

        def do(*, actor: Actor, act: Any, key: str, now: datetime) -> M:
            with transaction.atomic():
                claim = IdempotencyKey.objects.create(
                    firm_id=actor.firm_id,
                    key=key,
                    act=name,
                    fingerprint=fingerprint(act),
                    person_id=actor.person_id,
                    created_at=now,
                )
                row = service(actor=actor, act=act, key=key, now=now)
                IdempotencyKey.objects.filter(pk=claim.pk).update(result_id=row.pk)
                _audit(actor=actor, name=name, row=row, act=act, now=now)
                return row

        @functools.wraps(service)
        def once(*, actor: Actor, act: Any, key: str, now: datetime) -> M:
            left = TRIES
            while True:
                left -= 1
                try:
                    return do(actor=actor, act=act, key=key, now=now)
                except IntegrityError:
                    first = IdempotencyKey.objects.filter(firm_id=actor.firm_id, key=key).first()
                    if first is not None:
                        return rows.get(pk=_same(first, name=name, act=act).result_id)
                    if not left:
                        raise

        return once

    return decorate


def _same(first: IdempotencyKey, *, name: str, act: Any) -> IdempotencyKey:
    """Return what was done under a key; refused with KeyReused when this act is another."""
    if (first.act, first.fingerprint) != (name, fingerprint(act)):
        message = _("This key was used before for something else. Reload the page and send it again.")
        raise KeyReused(message, key=first.key)
    return first


def fingerprint(act: Any) -> str:
    """Return a stable digest of an act's contents, without what is `PASSING` of it.

    >>> fingerprint({"b": 1, "a": 2}) == fingerprint({"a": 2, "b": 1})
    True
    """
    lasting = act
    if is_dataclass(act):
        kept = (field.name for field in fields(act) if not field.metadata.get("passing"))
        lasting = {name: getattr(act, name) for name in kept}
    text = json.dumps(_plain(lasting), sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()


def _plain(value: Any) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        return {k: _plain(v) for k, v in asdict(value).items()}
    if isinstance(value, dict):
        return {str(k): _plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [_plain(v) for v in value]
    return _written(value)


def _written(value: Any) -> Any:
    """A value as JSON has it; a file's content by its digest alone."""
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, Decimal):
        return str(value.normalize())
    if isinstance(value, bytes):
        return f"sha256:{hashlib.sha256(value).hexdigest()}"
    return value


def _audit(*, actor: Actor, name: str, row: models.Model, act: Any, now: datetime) -> None:
    detail = _plain(act)
    AuditEntry.objects.create(
        firm_id=actor.firm_id,
        person_id=actor.person_id,
        signed=actor.name,
        act=name,
        subject_id=row.pk,
        detail=detail if isinstance(detail, dict) else {"act": detail},
        recorded_at=now,
        happened_at=_happened(act),
        site_id=_site_of(row),
        device=actor.device[:80],
    )


def _happened(act: Any) -> datetime | None:
    """When an act says that it happened; an act written offline has the time of what was written."""
    for one in (act, getattr(act, "written", None)):
        for name in ("happened_at", "poured_at"):
            moment = getattr(one, name, None)
            if isinstance(moment, datetime) and moment.tzinfo is not None:
                return moment
    return None


def _site_of(row: models.Model) -> int | None:
    """The site that the result of an act belongs to, None for what belongs to the firm as a whole."""
    road = getattr(row, "SITE_ROAD", None)
    if road is None:
        return None
    if road == "pk":
        return int(row.pk)
    *steps, last = road.split("__")
    place: Any = row
    for step in steps:
        place = getattr(place, step, None)
    found = getattr(place, f"{last}_id", None)
    return found if isinstance(found, int) else None
