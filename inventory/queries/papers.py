"""Photos and papers of deliveries."""

from __future__ import annotations

from inventory.models import Receipt, ReceiptPaper
from projects.access import scope
from projects.access.actor import Actor


def of_receipt(actor: Actor, *, receipt_id: int) -> list[ReceiptPaper]:
    """List the photos and papers of a receipt, the first sent first; NotFound when it is not the actor's."""
    receipt = scope.get(Receipt.objects.all(), actor, pk=receipt_id)
    return list(receipt.papers.select_related("attachment__received_by").order_by("pk"))


def one(actor: Actor, *, paper_id: int) -> ReceiptPaper:
    """Return one of them; NotFound when its receipt is not the actor's."""
    return scope.get(ReceiptPaper.objects.select_related("attachment"), actor, pk=paper_id)
