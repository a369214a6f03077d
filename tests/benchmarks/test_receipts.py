"""Logging a receipt beside a bare create through the same framework that writes as many rows.

Both are requests of a signed-in person with a commit each. The bare one checks plain fields, and writes the
same eleven rows of the same tables one by one, with nothing looked up, locked, counted or worked out. The
service keeps within twice the whole bare request. The request of the API, which also answers with the receipt
in full as a reader finds it, is reported beside it.
"""

from __future__ import annotations

from copy import deepcopy
from decimal import Decimal
from itertools import count

import pytest
from django.db import connection, transaction
from django.db.models import F
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext
from django.urls import path
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.views import APIView

from deploy import urls
from inventory.models import LotStock, PurchaseOrder, Receipt, ReceiptLine, Stock
from inventory.models.ledger import Movement
from inventory.services import deliveries
from inventory.services.deliveries import ReceiptLineAct
from projects.models import AuditEntry, Counter, IdempotencyKey, Person
from tests.benchmarks import report
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.data, pytest.mark.long]

RATIO = 2
QUERIES = 26
MADE = "2026-05-01"
_numbers = count(1)


class BareLine(serializers.Serializer):
    material_id = serializers.IntegerField()
    pack_id = serializers.IntegerField()
    order_line_id = serializers.IntegerField()
    stated = serializers.DecimalField(max_digits=15, decimal_places=3)
    found = serializers.DecimalField(max_digits=15, decimal_places=3)
    made_date = serializers.DateField()


class BareReceipt(serializers.Serializer):
    site_id = serializers.IntegerField()
    supplier_id = serializers.IntegerField()
    order_id = serializers.IntegerField()
    note_number = serializers.CharField()
    happened_at = serializers.DateTimeField()
    lines = BareLine(many=True)


class BareCreate(APIView):
    def post(self, request):
        read = BareReceipt(data=request.data)
        read.is_valid(raise_exception=True)
        with transaction.atomic():
            row = _write(deepcopy(read.validated_data), key=request.headers["Idempotency-Key"])
        return Response({"id": row.pk, **read.data}, status=201)


def _write(typed, *, key):
    """Write what a receipt writes: its row and line, a movement, four balances, order, number, key, audit."""
    line, copied = typed.pop("lines")[0], Movement.objects.last()
    IdempotencyKey.objects.create(firm_id=copied.firm_id, key=key, act="bare", created_at=NOW)
    Counter.objects.filter(kind="RC").update(last=F("last") + 1)
    row = Receipt.objects.create(
        firm_id=copied.firm_id, number=key, match="ordered", recorded_at=NOW, **typed
    )
    figures = {"stated_thousandths": line.pop("stated") * 1000, "found_thousandths": line.pop("found") * 1000}
    line.pop("made_date")
    position = {"position": 1, "stock_per_unit": 50_000_000, "accepted": 100_000, "value_minor": 80_000}
    kept = ReceiptLine.objects.create(receipt=row, lot_id=copied.lot_id, **position, **figures, **line)
    Movement.objects.create(
        firm_id=copied.firm_id,
        material_id=copied.material_id,
        lot_id=copied.lot_id,
        source_id=copied.source_id,
        target_id=copied.target_id,
        receipt_line=kept,
        quantity=100_000,
        value_minor=80_000,
        reason="receipt",
        happened_at=NOW,
        recorded_at=NOW,
        key=key,
    )
    for place, sign in ((copied.source_id, -1), (copied.target_id, 1)):
        more = F("quantity") + sign * 100_000
        Stock.objects.filter(place=place, material=copied.material_id).update(quantity=more)
        LotStock.objects.filter(place=place, lot=copied.lot_id).update(quantity=more)
    PurchaseOrder.objects.filter(pk=typed["order_id"]).update(state="part")
    AuditEntry.objects.create(
        firm_id=copied.firm_id, act="bare", subject_id=row.pk, detail={"note": key}, recorded_at=NOW
    )
    return row


urlpatterns = [*urls.urlpatterns, path("bare/", BareCreate.as_view())]


@override_settings(ROOT_URLCONF=__name__)
def test_receipt_beside_a_bare_create(full_size, capsys, record_property):
    at = made.yard()
    order = made.ordered(at, packs=100_000)
    facts = {"material_id": at.cement.material.pk, "pack_id": at.cement.pack.pk}
    facts["order_line_id"] = order.lines.get().pk
    client = Client()
    client.force_login(Person.objects.get(username="bob"))
    whole = {"site_id": at.cast.site.pk, "supplier_id": at.supplier.pk, "order_id": order.pk}

    def post(address):
        number = next(_numbers)
        line = facts | {"stated": "2", "found": "2", "made_date": MADE}
        body = whole | {"note_number": f"N-{number}", "happened_at": NOW.isoformat(), "lines": [line]}
        body["sure_of_time"] = True  # the benchmark's day lies long ago
        headers = {"Idempotency-Key": f"benchmark-{number}"}
        answer = client.post(address, body, content_type="application/json", headers=headers)
        assert answer.status_code == 201, answer.content
        return answer

    def serve():
        number = next(_numbers)
        figures = {"stated": Decimal(2), "found": Decimal(2), "made_date": NOW.date().replace(day=1)}
        line = ReceiptLineAct(**facts, **figures)
        act = made.receipt_act(at, line, order_id=order.pk, note_number=f"N-{number}")
        return deliveries.record(actor=at.cast.bob, act=act, key=f"benchmark-{number}", now=NOW)

    serve()
    with CaptureQueriesContext(connection) as seen:
        serve()
        asked = [query for query in seen if query["sql"].startswith(("SELECT", "INSERT", "UPDATE"))]
    works = {
        "bare create": lambda: post("/bare/"),
        "receipt, API": lambda: post("/api/v1/receipts/"),
        "receipt, service alone": serve,
    }
    times = report.beside(works, rounds=200 if full_size else 10)
    figures = {
        name: f"{spent:7.2f} ms  {spent / times['bare create']:5.2f} x" for name, spent in times.items()
    }
    title = f"A receipt of one line against an order, {connection.vendor}, {len(asked)} statements"
    report.show(capsys, record_property, title=title, figures=figures)
    assert len(asked) == QUERIES
    if full_size:
        assert times["receipt, service alone"] / times["bare create"] <= RATIO
