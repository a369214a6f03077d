from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.documents import shortage_note
from inventory.pages import stores
from inventory.queries import deliveries
from projects.pages import doors


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, receipt_id: int) -> HttpResponse:
    found = deliveries.receipt(doors.actor_of(request), receipt_id=receipt_id)
    receipt = found.receipt
    context = {
        "sheet": found,
        "receipt": receipt,
        "crumbs": [
            *stores.crumbs(receipt.site),
            {"url": reverse("inventory:receipt", args=[receipt.pk]), "label": receipt.number},
        ],
        "title_block": {"site": receipt.site.name, "document": _("Shortage note, %s") % receipt.number},
    }
    return render(request, "inventory/shortage.html", context)


@doors.signed_in
@require_safe
def pdf(request: HttpRequest, receipt_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = deliveries.receipt(actor, receipt_id=receipt_id)
    content = shortage_note.pdf(actor, sheet=found, at=timezone.now())
    answer = HttpResponse(content, content_type="application/pdf")
    answer["Content-Disposition"] = f'attachment; filename="shortage-{found.receipt.number}.pdf"'
    return answer
