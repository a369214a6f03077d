"""What suppliers have billed and been paid for each slab, adding up to the bills and payments.

A bill's total, and what was paid on it, is shared among its lines by what each costs landed; a line belongs
to the slab that its delivery was ordered for. What was ordered for no slab, a line without a delivery or
an order, and a bill that was owed when the firm began here, is for no slab. Only
accepted bills are billed; a credit note takes off.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import groupby
from operator import itemgetter

from django.db.models import Q, QuerySet, Sum
from django.db.models.functions import Coalesce

from inventory.calc import spend
from inventory.calc.spend import Papers
from inventory.models import Payment, PaymentPart, SupplierBill, SupplierBillLine
from inventory.queries.slab_sources import Key
from projects.access import scope
from projects.access.actor import Actor

State, Kind = SupplierBill.State, SupplierBill.Kind

_SLAB = Coalesce("receipt_line__order_line__pour__slab_id", "order_line__pour__slab_id")
"""The slab that a line of a bill is for."""


@dataclass(frozen=True)
class Billed:
    """Billed and paid by slab and material; the slab is None for what is for no slab."""

    by_key: dict[Key, Papers] = field(default_factory=dict)
    for_no_slab: Papers = field(default_factory=Papers)


@dataclass(frozen=True)
class Standing:
    """How all bills and payments of the firm stand, in minor units.

    bills = for slabs + for no slab + held; payments = for slabs + for no slab + in advance, always.
    """

    bills: int
    held: int
    payments: int
    in_advance: int


def of_slabs(actor: Actor, *, slab_ids: Iterable[int]) -> Billed:
    """What was billed and paid for these slabs, and for none."""
    wanted = set(slab_ids)
    found: defaultdict[Key, list[Papers]] = defaultdict(list)
    loose: list[Papers] = []
    for slab_id, material_id, papers in _shares(actor):
        if slab_id in wanted:
            found[slab_id, material_id].append(papers)
        elif slab_id is None:
            loose.append(papers)
    loose += _at_opening(actor)
    by_key = {key: spend.papers_total(parts) for key, parts in found.items()}
    return Billed(by_key=by_key, for_no_slab=spend.papers_total(loose))


def bills_of(slab_id: int) -> QuerySet[SupplierBillLine, int]:
    """Return the numbers of the bills with a line for a slab; for queries that ask for rights themselves."""
    return (
        SupplierBillLine.objects.annotate(slab=_SLAB).filter(slab=slab_id).values_list("bill_id", flat=True)
    )


def standing(actor: Actor) -> Standing:
    """How do all bills and payments of the firm stand, sent-back bills and payments taken back left out."""
    bills = _signed(scope.visible(SupplierBill.objects.exclude(state=State.REJECTED), actor))
    held = _signed(scope.visible(SupplierBill.objects.filter(state=State.HELD), actor))
    payments = scope.visible(Payment.objects.filter(reversed_at=None), actor)
    paid = payments.aggregate(all=Sum("amount_minor"))["all"] or 0
    used = _parts(actor).aggregate(all=Sum("amount_minor"))["all"] or 0
    return Standing(bills=bills, held=held, payments=paid, in_advance=paid - used)


def _signed(bills: QuerySet[SupplierBill]) -> int:
    sums = dict(bills.values_list("kind").annotate(all=Sum("total_minor")).order_by("kind"))
    return sum(-total if kind == Kind.CREDIT else total for kind, total in sums.items())


def _parts(actor: Actor) -> QuerySet[PaymentPart]:
    return scope.visible(PaymentPart.objects.filter(payment__reversed_at=None), actor)


def _at_opening(actor: Actor) -> list[Papers]:
    """Return the bills without lines: those that were owed when the firm began here."""
    bills = scope.visible(SupplierBill.objects.filter(opening=True, state=State.ACCEPTED), actor)
    live = Q(payments__payment__reversed_at=None)
    paid = Coalesce(Sum("payments__amount_minor", filter=live), 0)
    rows = bills.annotate(settled=paid).order_by("pk").values_list("total_minor", "settled")
    return [Papers(billed=total, paid=settled) for total, settled in rows]


def _shares(actor: Actor) -> Iterable[tuple[int | None, int, Papers]]:
    """Share every accepted bill among its lines: slab, material, and the line's part of bill and payments."""
    paid = dict(_parts(actor).values_list("bill_id").annotate(all=Sum("amount_minor")).order_by("bill_id"))
    rows = (
        scope.visible(SupplierBillLine.objects.filter(bill__state=State.ACCEPTED), actor)
        .annotate(slab=_SLAB)
        .order_by("bill_id", "position")
        .values_list("bill_id", "bill__kind", "bill__total_minor", "slab", "material_id", "landed_minor")
    )
    for (bill_id, kind, total), lines in groupby(rows, key=itemgetter(0, 1, 2)):
        listed = list(lines)
        signed = -total if kind == Kind.CREDIT else total
        shares = spend.share_bill(signed, paid=paid.get(bill_id, 0), landed=[line[5] for line in listed])
        for line, share in zip(listed, shares, strict=True):
            yield line[3], line[4], share
