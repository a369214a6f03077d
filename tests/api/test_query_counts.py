"""A list asks the database as often for three rows as for one.

Four queries of each address are the session, the person, the memberships and their sites.
"""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.api import addresses
from tests.factories import world

pytestmark = [pytest.mark.django_db, pytest.mark.data]

QUERIES = {
    "me/": 4,
    "people/": 6,
    "sites/": 5,
    "sites/<row:site_id>/": 5,
    "drawings/": 5,
    "drawings/<row:drawing_id>/": 5,
    "slabs/": 8,
    "slabs/<row:slab_id>/": 8,
    "slabs/<row:slab_id>/pours/": 6,
    "pours/": 5,
    "pours/<row:pour_id>/": 5,
    "pours/<row:pour_id>/outlook/": 6,
    "jobs/": 5,
    "design-sheet-schema/": 4,
    "slabs/<row:slab_id>/designs/": 8,
    "slabs/<row:slab_id>/stripping/": 10,
    "slabs/<row:slab_id>/intakes/": 7,
    "intakes/<row:intake_id>/": 7,
    "standards/": 5,
    "designs/<row:design_id>/": 6,
    "designs/<row:design_id>/takeoff/": 9,
    "slabs/<row:slab_id>/bills/": 6,
    "bills/<row:bill_id>/": 6,
    "bills/<row:bill_id>/difference/": 8,
    "bills/<row:bill_id>/touches/": 6,
    "materials/": 7,
    "materials/<row:material_id>/": 6,
    "materials/<row:material_id>/rates/": 7,
    "requirements/": 5,
    "suppliers/": 5,
    "suppliers/<row:supplier_id>/": 5,
    "suppliers/<row:supplier_id>/offers/": 8,
    "suppliers/<row:supplier_id>/unbilled/": 6,
    "suppliers/<row:supplier_id>/payments/": 6,
    "supplier-bills/": 5,
    "supplier-bills/<row:supplier_bill_id>/": 8,
    "owed/": 6,
    "transfers/": 5,
    "transfers/<row:transfer_id>/": 7,
    "hires/": 6,
    "hires/<row:hire_id>/": 6,
    "limits/": 5,
    "holidays/": 5,
    "agreements/": 6,
    "agreements/<row:agreement_id>/": 6,
    "enquiries/": 5,
    "enquiries/<row:enquiry_id>/": 13,
    "orders/": 5,
    "orders/<row:order_id>/": 9,
    "plan/": 13,
    "plan/terms/": 5,
    "plan/roads/": 5,
    "plan/what-if/": 70,
    "suggestions/<row:suggestion_id>/": 5,
    "expected/": 6,
    "receipts/": 6,
    "receipts/methods/": 5,
    "held/": 5,
    "lots/<row:lot_id>/": 6,
    "sites/<row:site_id>/storage/": 6,
    "sites/<row:site_id>/other-works/": 10,
    "receipts/<row:receipt_id>/": 11,
    "receipts/<row:receipt_id>/papers/": 6,
    "receipt-papers/<row:paper_id>/": 5,
    "slips/": 7,
    "slips/<row:slip_id>/": 10,
    "offline/": 5,
    "offline/<row:entry_id>/": 7,
    "counts/": 5,
    "counts/<row:count_id>/": 8,
    "cutting-plans/": 5,
    "cutting-plans/<row:plan_id>/": 12,
    "sites/<row:site_id>/steel/": 8,
    "stores/": 5,
    "sites/<row:site_id>/stock/": 9,
    "sites/<row:site_id>/movements/": 10,
    "slabs/<row:slab_id>/stock/": 9,
    "places/<row:place_id>/ledger/": 15,
    "slabs/<row:slab_id>/comparison/": 26,
    "slabs/<row:slab_id>/spend/": 24,
    "spend/": 30,
}


def test_queries_of_one_row(alice, ours):
    assert _counted(alice, ours) == QUERIES


def test_queries_of_three_rows(alice, firm, ours):
    grown = world.three_of_each(firm.alice, within=ours)

    assert _counted(alice, grown) == QUERIES


def _counted(caller, within):
    return {address.pattern: _queries(caller, address, within) for address in addresses.reads()}


def _queries(caller, address, within):
    with CaptureQueriesContext(connection) as seen:
        answer = caller.get(address.path(within), **address.query(within))
    assert answer.status_code == 200, address
    return len(seen)
