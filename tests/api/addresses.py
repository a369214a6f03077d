"""Every address of the API, with ids of one firm's world in their places."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import URLPattern, URLResolver

from api import urls
from tests.factories.world import World

IDS = {
    "site_id": lambda w: w.site.pk,
    "drawing_id": lambda w: w.drawing.pk,
    "slab_id": lambda w: w.slab.pk,
    "pour_id": lambda w: w.pour.pk,
    "job_id": lambda w: w.job.pk,
    "holiday_id": lambda w: w.holiday.pk,
    "intake_id": lambda w: w.intake.pk,
    "file_id": lambda w: w.intake.files.first().pk,
    "design_id": lambda w: w.design.pk,
    "bill_id": lambda w: w.bill.pk,
    "material_id": lambda w: w.cement.material.pk,
    "supplier_id": lambda w: w.supplier.pk,
    "supplier_bill_id": lambda w: w.supplier_bill.pk,
    "transfer_id": lambda w: w.transfer.pk,
    "payment_id": lambda w: w.payment.pk,
    "order_id": lambda w: w.order.pk,
    "agreement_id": lambda w: w.agreement.pk,
    "enquiry_id": lambda w: w.enquiry.pk,
    "asked_id": lambda w: w.enquiry.asked.order_by("id").first().pk,
    "quoted_id": lambda w: w.enquiry.quotations.order_by("id").last().lines.first().pk,
    "suggestion_id": lambda w: w.suggestion.pk,
    "receipt_id": lambda w: w.receipt.pk,
    "line_id": lambda w: w.receipt.lines.order_by("id").first().pk,
    "paper_id": lambda w: w.paper.pk,
    "slip_id": lambda w: w.issue.pk,
    "count_id": lambda w: w.count.pk,
    "entry_id": lambda w: w.held.pk,
    "place_id": lambda w: w.store.pk,
    "plan_id": lambda w: w.cutting.pk,
    "pattern_id": lambda w: w.cutting.patterns.get(done=0).pk,
    "cut_id": lambda w: w.cut.pk,
    "lot_id": lambda w: w.offcut.pk,
    "hire_id": lambda w: w.hire.pk,
    "end_id": lambda w: w.hire.ends.get().pk,
    "need_id": lambda w: w.cutting.needs.get().pk,
}
QUERIES = {
    "bills/<row:bill_id>/difference/": lambda w: {"before": w.bill.pk},
    "places/<row:place_id>/ledger/": lambda w: {"material_id": w.cement.material.pk},
    "plan/what-if/": lambda w: {"material_id": w.cement.material.pk, "price_percent": 200},
}
PAPERS = {"schema/", "docs/"}
"""Addresses that answer with a document about the API."""

FILES = {
    "hires/csv/",
    "bar-schedule-template/",
    "receipts/<row:receipt_id>/shortage-note/pdf/",
    "cutting-plans/<row:plan_id>/pdf/",
    "designs/<row:design_id>/batch-card/pdf/",
    "enquiries/asked/<row:asked_id>/pdf/",
    "orders/<row:order_id>/pdf/",
    "orders/<row:order_id>/ubl/",
    *(f"designs/<row:design_id>/bars/{kind}/" for kind in ("pdf", "xlsx", "csv")),
    *(f"bills/<row:bill_id>/{kind}/" for kind in ("pdf", "xlsx", "csv")),
}
"""Addresses that answer with a file to keep instead of JSON."""


OF_THE_OWNER = {"acts/"}
"""Addresses that only the owner reads, so that the office's walks pass them over."""


@dataclass(frozen=True)
class Address:
    """An address below /api/v1/ as it is written in the URL list, and its view."""

    pattern: str
    view: type

    @property
    def names_a_row(self) -> bool:
        return "<row:" in self.pattern

    def path(self, world: World) -> str:
        return re.sub(r"<row:(\w+)>", lambda found: str(IDS[found[1]](world)), self.pattern)

    def query(self, world: World) -> dict[str, int]:
        return QUERIES.get(self.pattern, lambda _world: {})(world)


def everything() -> Iterator[Address]:
    """Walk the URL list of the API."""
    version = next(p for p in urls.urlpatterns if isinstance(p, URLResolver))
    for pattern in version.url_patterns:
        assert isinstance(pattern, URLPattern)
        yield Address(pattern=str(pattern.pattern), view=pattern.callback.view_class)


def reads() -> list[Address]:
    """Addresses that can be read as JSON."""
    left_out = PAPERS | FILES | OF_THE_OWNER
    return [a for a in everything() if hasattr(a.view, "get") and a.pattern not in left_out]


def acts() -> list[Address]:
    """Addresses at which something is done."""
    return [a for a in everything() if hasattr(a.view, "post") or hasattr(a.view, "put")]
