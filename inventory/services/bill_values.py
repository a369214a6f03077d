"""Price differences of an accepted bill: the store bears what is on hand, the slabs what they have had."""

from __future__ import annotations

from django.utils.translation import gettext as _

from inventory.calc import bill_match
from inventory.models import Place, Stock, SupplierBill, SupplierBillLine
from inventory.queries import since_then
from inventory.services import places, posting
from inventory.services.posting import Change, Stamp

SIGN = {SupplierBill.Kind.CREDIT: -1}


def book(line: SupplierBillLine, *, bill: SupplierBill, stamp: Stamp, part: int) -> None:
    """Write what a line costs more or less than it was taken in at; nothing for what never came.

    A bill is set against the value of its delivery; a credit note takes its amount off, a debit note adds it.
    """
    receipt_line = line.receipt_line
    if receipt_line is None:
        return
    site = receipt_line.receipt.site
    # What waits as a whole bears its difference in quarantine, and takes it along when it is released.
    waits = receipt_line.held == receipt_line.accepted
    store = places.of_site(site, kind=Place.Kind.QUARANTINE if waits else Place.Kind.STORE)
    shares = bill_match.revalue(
        _difference(line, bill=bill),
        billed=line.quantity,
        on_hand=_on_hand(store, material_id=line.material_id),
        gone=since_then.gone(
            store_id=store.pk, material_id=line.material_id, since=receipt_line.receipt.recorded_at
        ),
        store=store.pk,
    )
    found = Place.objects.in_bulk(list(shares))
    posting.adjust(
        [Change(place=found[pk], material=line.material, value_minor=value) for pk, value in shares.items()],
        bearer=places.of_site(site, kind=Place.Kind.SUPPLIER),
        source=_("%(kind)s %(number)s of %(supplier)s")
        % {
            "kind": bill.get_kind_display(),
            "number": bill.number,
            "supplier": bill.supplier.name,
        },
        stamp=Stamp(
            actor=stamp.actor, happened_at=stamp.happened_at, now=stamp.now, key=f"{stamp.key}:{part}"
        ),
    )


def _difference(line: SupplierBillLine, *, bill: SupplierBill) -> int:
    if bill.kind == SupplierBill.Kind.BILL:
        return line.landed_minor - (line.expected_minor or 0)
    return SIGN.get(SupplierBill.Kind(bill.kind), 1) * line.landed_minor


def _on_hand(store: Place, *, material_id: int) -> int:
    row = Stock.objects.filter(place=store, material_id=material_id).first()
    return 0 if row is None else row.quantity
