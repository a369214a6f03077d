"""Rate agreements as they are read: what was agreed, and how much of it is called off."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Q, QuerySet

from inventory.models import OrderLine, PurchaseOrder, RateAgreement
from inventory.queries import order_rest
from projects.access import scope
from projects.access.actor import Actor

PAGE = 50
State = PurchaseOrder.State


@dataclass(frozen=True)
class AgreementRow:
    """An agreement, the packs called off of it, and whether it holds on the day asked for."""

    row: RateAgreement
    called_off: int
    holds: bool

    @property
    def left(self) -> int:
        """Packs that can still be called off."""
        return max(self.row.total_packs - self.called_off, 0)


def listing(actor: Actor, *, today: date, start: int = 0, count: int = PAGE) -> list[AgreementRow]:
    """Which rates are agreed, the newest first."""
    rows = _rows(actor).order_by("-made_at", "-id")[start : start + count]
    return _with_calls(list(rows), today=today)


def holding(actor: Actor, *, on: date) -> list[AgreementRow]:
    """Which rates can be called off on a day: neither they nor their suppliers are ended."""
    open_rows = _rows(actor).filter(ended_at=None, from_date__lte=on, valid_until__gte=on)
    open_rows = open_rows.filter(Q(supplier__ended_date__isnull=True) | Q(supplier__ended_date__gt=on))
    return _with_calls(list(open_rows.order_by("id")), today=on)


def one(actor: Actor, agreement_id: int, *, today: date) -> AgreementRow:
    """Which agreement is this; refused with NotFound when it is not the actor's to see."""
    return _with_calls([scope.get(_rows(actor), actor, pk=agreement_id)], today=today)[0]


def calls(actor: Actor, agreement: RateAgreement) -> list[OrderLine]:
    """Which order lines were called off, the newest first."""
    rows = scope.visible(OrderLine.objects.filter(agreement=agreement), actor)
    return list(rows.select_related("order__site", "order__supplier", "pack").order_by("-order_id", "id"))


def called_off(agreement: RateAgreement) -> int:
    """How many packs are called off: a cancelled order gives all back, one closed early what never came."""
    return _packs([agreement.pk])[agreement.pk]


def _rows(actor: Actor) -> QuerySet[RateAgreement]:
    rows = scope.visible(RateAgreement.objects.all(), actor)
    return rows.select_related("supplier", "site", "material", "pack", "made_by")


def _with_calls(found: list[RateAgreement], *, today: date) -> list[AgreementRow]:
    packs = _packs([row.pk for row in found])
    return [
        AgreementRow(
            row=row,
            called_off=packs[row.pk],
            holds=row.ended_at is None and row.from_date <= today <= row.valid_until,
        )
        for row in found
    ]


def _packs(agreement_ids: Iterable[int]) -> Counter[int]:
    lines = OrderLine.objects.filter(agreement_id__in=list(agreement_ids))
    lines = lines.exclude(order__state=State.CANCELLED).select_related("order", "pack")
    found: Counter[int] = Counter()
    for line in lines.annotate(good=order_rest.GOOD, good_g=order_rest.GOOD_G):
        short = line.order.state == State.CLOSED and bool(line.order.end_reason)
        missing = order_rest.left(line) // line.pack.content if short else 0
        found[line.agreement_id or 0] += line.packs - missing
    return found
