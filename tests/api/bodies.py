"""A body that the office's own firm would accept, for each act."""

from __future__ import annotations

import base64
from datetime import timedelta
from typing import Any

from django.utils import timezone

from projects.models import Person
from tests.factories import estimates, pictures
from tests.factories.world import World

THEN = "2026-05-05T10:00:00+00:00"


def bodies(world: World) -> dict[str, Any]:
    """Return the bodies by address, with ids of one firm's world."""
    return {**_projects(world), **_estimates(world), **_buying(world), **_stores(world)}


def _projects(world: World) -> dict[str, Any]:
    return {
        "people/": {
            "username": f"{world.mark}-rosa".lower(),
            "name": "Rosa",
            "role": "site",
            "site_ids": [world.site.pk],
        },
        "people/mail/": {"username": _somebody(world), "email": "rosa@orchard.example"},
        "limits/": {"approval_limit_minor": 9_000_000, "cash_limit_minor": 500_000},
        "sites/": {"name": "Kiln Field", "place": "", "opened_date": "2026-05-04"},
        "slabs/": {"site_id": world.site.pk, "name": "Stair roof"},
        "slabs/<row:slab_id>/finish/": {},
        "slabs/<row:slab_id>/pours/": {"name": "second", "pour_date": "2026-06-01"},
        "pours/<row:pour_id>/move/": {"pour_date": "2026-06-02"},
        "pours/<row:pour_id>/poured/": {"poured_at": THEN},
        "pours/<row:pour_id>/close/": {"happened_at": THEN, "heaps": []},
        "jobs/<row:job_id>/retry/": {},
        "holidays/": {"day": "2026-08-15", "name": "Independence day"},
        "holidays/<row:holiday_id>/take-out/": {},
    }


def _somebody(world: World) -> str:
    """Return the sign-in name of somebody who works for the firm."""
    working = Person.objects.filter(memberships__firm=world.site.firm)
    return working.order_by("pk").values_list("username", flat=True)[0]


def _estimates(world: World) -> dict[str, Any]:
    table = base64.b64encode(b"Mark,Member,Size,Shape,A,No.\nS2,slab,T8,straight,3 m,4\n").decode()
    files = {"files": [{"name": "bars.csv", "content": table}]}
    return {
        "slabs/<row:slab_id>/intakes/": files,
        "intakes/<row:intake_id>/files/": files,
        "intakes/<row:intake_id>/answers/": {"accept": True},
        "slabs/<row:slab_id>/designs/": estimates.sheet(thickness_mm=150, slab="Porch roof, thicker"),
        "designs/<row:design_id>/bills/": {"as_of": "2026-05-04"},
        "materials/adopt/": {},
        "standards/figures/": {
            "profile": "is",
            "key": "curing.days.opc",
            "value": 9,
            "reason": "the engineer of all our sites",
        },
        "materials/<row:material_id>/timing/": {"lead_days": 2, "shelf_days": 60},
        "materials/<row:material_id>/packs/": {"name": "small bag", "content": 25_000, "source": "its print"},
        "materials/<row:material_id>/rates/": {"from_date": "2026-05-01", "per": "unit", "basic": 9_000_000},
    }


def _buying(world: World) -> dict[str, Any]:
    cement = {"material_id": world.cement.material.pk, "pack_id": world.cement.pack.pk}
    line = cement | {"packs": 3, "pack_price": 410_000_000, "pour_id": world.pour.pk}
    coming = timezone.localdate() + timedelta(days=9)
    return {
        "opening/orders/": {
            "site_id": world.site.pk,
            "supplier_id": world.supplier.pk,
            "number": "K-7",
            "ordered_date": "2026-04-20",
            "expected_date": "2026-05-06",
            "lines": [cement | {"packs": 200, "packs_before": 120, "pack_price": 410_000_000}],
        },
        "opening/bills/": {
            "supplier_id": world.supplier.pk,
            "number": "K-311",
            "dated": "2026-04-02",
            "total_minor": 41_000_00,
            "paid_minor": 10_000_00,
        },
        "suppliers/": {"name": "Weir Sand"},
        "suppliers/<row:supplier_id>/": {"name": "Weir Cement", "phone": "", "email": ""},
        "suppliers/<row:supplier_id>/terms/": {"trip_minor": 150_000, "delivery_days": [1, 4]},
        "suppliers/<row:supplier_id>/offers/": cement
        | {"from_date": "2026-06-01", "pack_price": 400_000_000, "lead_days": 3},
        "supplier-bills/": {
            "supplier_id": world.supplier.pk,
            "number": "W-301",
            "dated": "2026-05-04",
            "total_minor": 41_000,
            "lines": [
                cement
                | {
                    "quantity": 1,
                    "amount_minor": 41_000,
                    "receipt_line_id": world.receipt.lines.order_by("id").first().pk,
                }
            ],
        },
        "supplier-bills/<row:supplier_bill_id>/settle/": {"accept": True, "reason": "agreed"},
        "supplier-bills/<row:supplier_bill_id>/owner/": {"person_id": world.supplier_bill.recorded_by_id},
        "suppliers/<row:supplier_id>/payments/": {
            "paid_date": "2026-05-04",
            "amount_minor": 900,
            "parts": [{"bill_id": world.supplier_bill.pk, "amount_minor": 600}],
        },
        "payments/<row:payment_id>/use/": {
            "parts": [{"bill_id": world.supplier_bill.pk, "amount_minor": 100}]
        },
        "payments/<row:payment_id>/take-back/": {"reason": "the cheque came back"},
        "enquiries/": {
            "site_id": world.site.pk,
            "needed_date": coming.isoformat(),
            "answer_date": coming.isoformat(),
            "supplier_ids": [world.supplier.pk],
            "lines": [{"material_id": world.cement.material.pk, "amount": "4.5", "unit": "t"}],
        },
        "enquiries/<row:enquiry_id>/send/": {},
        "enquiries/<row:enquiry_id>/end/": {"reason": "the pour is put off"},
        "enquiries/<row:enquiry_id>/quotations/": {
            "supplier_id": world.supplier.pk,
            "dated": "2026-05-04",
            "lines": [
                {
                    "line_id": world.enquiry.lines.get().pk,
                    "price": 8_000_000_000,
                    "unit": "t",
                    "lead_days": 2,
                }
            ],
        },
        "quotations/<row:quoted_id>/choose/": {"reason": "lowest on site"},
        "orders/": {
            "site_id": world.site.pk,
            "supplier_id": world.supplier.pk,
            "expected_date": coming.isoformat(),
            "lines": [line],
        },
        "cash-purchases/": {
            "site_id": world.site.pk,
            "shop": "Corner shop",
            "lines": [cement | {"packs": 2, "paid_minor": 85_000}],
        },
        "agreements/": {
            "supplier_id": world.supplier.pk,
            "pack_id": world.cement.pack.pk,
            "pack_price": 400_000_000,
            "total_packs": 500,
            "from_date": "2026-05-04",
            "valid_until": "2026-06-04",
        },
        "agreements/<row:agreement_id>/end/": {"reason": "dearer now"},
        "agreements/<row:agreement_id>/call-off/": {
            "site_id": world.site.pk,
            "packs": 5,
            "expected_date": coming.isoformat(),
        },
        "orders/<row:order_id>/amend/": {
            "reason": "the slab grew",
            "lines": [{"order_line_id": world.order.lines.order_by("position").first().pk, "packs": 25}],
            "expected_date": coming.isoformat(),
        },
        "orders/<row:order_id>/expect/": {"reason": "the driver", "expected_date": coming.isoformat()},
        "orders/<row:order_id>/tell/": {"way": "phone", "told_to": "R. Karsa"},
        "orders/<row:order_id>/approve/": {},
        "orders/<row:order_id>/send/": {},
        "orders/<row:order_id>/cancel/": {"reason": "ordered twice"},
        "orders/<row:order_id>/close/": {"reason": "the rest will not come"},
        "plan/runs/": {},
        "plan/moves/": {"suggestion_ids": [world.suggestion.pk]},
        "plan/terms/": {"stop_cost_minor": 3_000_000, "keep_permille": 140, "freight_minor": None},
        "suggestions/approve/": {"choices": [_choice(world)]},
        "suggestions/<row:suggestion_id>/later/": {
            "reason": "the client may bring it",
            "until": world.suggestion.need_date.isoformat(),
        },
        "suggestions/<row:suggestion_id>/reject/": {"reason": "borrowed from Tannery Row"},
    }


def _choice(world: World) -> dict[str, int]:
    return {"suggestion_id": world.suggestion.pk, "packs": 20, "supplier_id": world.supplier.pk}


def _stores(world: World) -> dict[str, Any]:
    cement = {"material_id": world.cement.material.pk, "pack_id": world.cement.pack.pk}
    other = world.transfer.to_site_id
    gone = {"line_id": world.transfer.lines.get().pk, "pack_id": world.cement.pack.pk, "found": 2}
    slip = {
        "pour_id": world.pour.pk,
        "happened_at": THEN,
        "sure_of_time": True,
        "lines": [cement | {"amount": 2}],
    }
    line = world.order.lines.get()
    receipt = {
        "site_id": world.site.pk,
        "supplier_id": world.supplier.pk,
        "order_id": world.order.pk,
        "happened_at": THEN,
        "sure_of_time": True,
        "lines": [cement | {"order_line_id": line.pk, "stated": 4, "found": 4}],
    }
    return {
        "hires/": {
            "site_id": world.site.pk,
            "supplier_id": world.supplier.pk,
            "material_id": world.hire.material_id,
            "what": "steel prop, 3.5 m",
            "pieces": 60,
            "out_date": "2026-05-04",
            "due_date": "2026-05-25",
            "pour_id": world.pour.pk,
        },
        "hires/<row:hire_id>/terms/": {"rate": 1_250_000, "day_count": "nights", "lost_price_minor": 90_000},
        "hires/<row:hire_id>/ends/": {"kind": "back", "pieces": 2, "day": "2026-05-05"},
        "hires/<row:hire_id>/due/": {"due_date": "2026-06-01"},
        "hires/<row:hire_id>/take-back/": {"reason": "it came to another site"},
        "hire-ends/<row:end_id>/take-back/": {"reason": "counted twice"},
        "plan/roads/": {"from_site_id": world.site.pk, "to_site_id": other, "trip_minor": 90_000},
        "transfers/": {
            "from_site_id": world.site.pk,
            "to_site_id": other,
            "happened_at": THEN,
            "sure_of_time": True,
            "lines": [cement | {"amount": 1}],
        },
        "transfers/<row:transfer_id>/receive/": {
            "happened_at": THEN,
            "sure_of_time": True,
            "lines": [gone],
        },
        "transfers/<row:transfer_id>/call-back/": {"reason": "the lorry broke down"},
        "receipts/": receipt,
        "receipts/<row:receipt_id>/reverse/": {"reason": "another firm's load"},
        "lots/<row:lot_id>/tests/": {
            "tested_date": "2026-05-04",
            "passed": True,
            "tested_by": "County laboratory",
            "result": "7 days: 41 N/mm²",
            "usable_until": "2026-07-31",
        },
        "sites/<row:site_id>/storage/": {
            "material_id": world.cement.material.pk,
            "floor_m2": "15",
            "bags_high": 10,
        },
        "receipt-lines/<row:line_id>/checks/": {"checks": [{"code": "bags", "verdict": "pass"}]},
        "receipt-lines/<row:line_id>/hold/": {"reason": "certificate missing"},
        "receipt-lines/<row:line_id>/release/": {"reason": "certificate came"},
        "receipt-lines/<row:line_id>/send-back/": {"reason": "lumps in the bags", "amount": 1},
        "receipts/<row:receipt_id>/papers/": {
            "shows": "goods",
            "files": [{"name": "load.png", "content": base64.b64encode(pictures.png()).decode()}],
        },
        "slips/issues/": slip,
        "slips/returns/": slip,
        "slips/other-works/": {
            "site_id": world.site.pk,
            "works": "plaster, ground floor",
            "happened_at": THEN,
            "sure_of_time": True,
            "lines": [cement | {"amount": 1}],
        },
        "sites/<row:site_id>/other-works/": {"material_id": world.cement.material.pk, "a_week": "250"},
        "slips/waste/": slip | {"site_id": world.site.pk, "reason": "wet through"},
        "offline/issues/": slip | {"sent_at": THEN},
        "offline/returns/": slip | {"sent_at": THEN},
        "offline/waste/": slip | {"site_id": world.site.pk, "reason": "wet through"},
        "offline/receipts/": receipt | {"sent_at": THEN},
        "offline/<row:entry_id>/post/": {
            "happened_at": THEN,
            "lines": [{"position": 1, "amount": 1}],
            "reason": "three noughts too many",
        },
        "offline/<row:entry_id>/give-up/": {"reason": "written for another firm"},
        "slips/opening/": {
            "site_id": world.site.pk,
            "happened_at": THEN,
            "lines": [cement | {"amount": 1, "value_minor": 41_000, "supplier_id": world.supplier.pk}],
        },
        "cutting-plans/": {
            "site_id": world.site.pk,
            "slab_ids": [world.slab.pk],
            "marks": ["B1-1"],
            "buy_lengths_mm": [12_000],
            "settings": {"seconds": 1},
        },
        "cutting-plans/<row:plan_id>/reserve/": {},
        "cutting-plans/<row:plan_id>/end/": {"reason": "the drawing is revised"},
        "cutting-patterns/<row:pattern_id>/cut/": {"bars": 1, "done_before": 0},
        "cuts/<row:cut_id>/undo/": {"reason": "wrong pattern tapped"},
        "pours/<row:pour_id>/pieces/": {"pieces": [{"need_id": world.cutting.needs.get().pk, "count": 2}]},
        "slips/<row:slip_id>/reverse/": {"reason": "taken for another slab"},
        "counts/": {
            "site_id": world.site.pk,
            "happened_at": THEN,
            "sure_of_time": True,
            "recounted": True,
            "lines": [cement | {"found": 6, "explanation": "one bag torn"}],
        },
        "counts/<row:count_id>/approve/": {},
        "counts/<row:count_id>/send-back/": {"reason": "the other heap was left out"},
        "counts/<row:count_id>/reverse/": {"reason": "the wrong store"},
    }
