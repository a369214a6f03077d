"""The main job over REST alone: from the drawing to the slab's comparison and spend.

The figures follow from the acts: 20 bags of 50 kg ordered, 20 stated, 19 found, 1 of them torn; 16 issued,
2 brought back, 1 lost out of the slab.
"""

from __future__ import annotations

import json
from datetime import timedelta
from importlib.resources import files

import pytest
from django.utils import timezone

from estimates import tasks

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000  # g
PRICE = 4_000_000_00  # 400.00 a bag, in ten-thousandths of the minor unit
ROOF = json.loads(
    files("estimates").joinpath("examples/roof-over-ridge-house.json").read_text(encoding="utf-8")
)


def test_slab_from_drawing_to_spend(firm, alice, bob, olga):
    bag = _prices(alice)
    slab = _made(alice.post("slabs/", {"site_id": firm.site.pk, "name": "Roof over ridge house"}))
    design = _made(alice.post(f"slabs/{slab['id']}/designs/", ROOF))
    bill = _bill(alice, design)
    pour = _pour(alice, slab)
    tasks.derive_requirements(firm_id=firm.firm.pk, key="by hand", now=timezone.now())
    supplier, suggestion = _plan(alice, bag)
    order = _order(alice, suggestion, supplier=supplier)
    _delivery(bob, firm, order=order, bag=bag)
    _use(bob, pour, bag=bag)

    row = _cement(alice.get(f"slabs/{slab['id']}/comparison/"))
    spend = olga.get(f"slabs/{slab['id']}/spend/").json()

    designed = next(line for line in bill["lines"] if line["key"] == "cement")
    assert row["designed"]["units"] == designed["net"]["units"] + designed["allowance"]["units"]
    assert {
        name: row[name]["units"] for name in ("ordered", "stated", "received", "rejected", "short_of")
    } == {
        "ordered": 20 * BAG,
        "stated": 20 * BAG,
        "received": 18 * BAG,
        "rejected": 1 * BAG,
        "short_of": 2 * BAG,
    }
    assert {
        name: row[name]["units"] for name in ("issued", "returned", "used", "wasted", "cast", "in_store")
    } == {
        "issued": 16 * BAG,
        "returned": 2 * BAG,
        "used": 14 * BAG,
        "wasted": 1 * BAG,
        "cast": 13 * BAG,
        "in_store": 4 * BAG,
    }
    assert row["received"]["shown"] == "900"
    assert row["received"]["shown_unit"] == "kg"
    assert spend["amounts"]["budget"] == bill["bill"]["total"]
    assert spend["amounts"]["used"] == {"minor": 14 * 400_00, "currency": "INR"}
    assert olga.get("spend/").json()["whereabouts"]["bought"] == {"minor": 18 * 400_00, "currency": "INR"}


def _prices(alice):
    assert alice.post("materials/adopt/", {"steel_grade": ROOF["steel_grade"]}).status_code == 200
    kept = [row["material"] for row in alice.get("materials/", limit=200).json()["rows"]]
    for material in kept:
        rate = {"from_date": "2026-01-01", "per": "unit", "basic": 8_000_000}
        assert alice.post(f"materials/{material['id']}/rates/", rate).status_code == 201
    cement = next(material for material in kept if material["code"] == "cement")
    assert cement["packs"][0]["content"] == {"units": BAG, "unit": "g", "shown": "50", "shown_unit": "kg"}
    return {"material_id": cement["id"], "pack_id": cement["packs"][0]["id"]}


def _bill(alice, design):
    preview = alice.get(f"designs/{design['id']}/takeoff/", as_of="2026-05-04").json()
    assert preview["complete"] is True
    issued = {"as_of": "2026-05-04", "reason": "R. Almqvist, by letter of 2 May: build it as drawn."}
    bill = _made(alice.post(f"designs/{design['id']}/bills/", issued))
    assert bill["bill"]["total"] == preview["total"]
    assert bill["lines"] == preview["lines"]
    return bill


def _pour(alice, slab):
    day = timezone.localdate() + timedelta(days=14)
    return _made(alice.post(f"slabs/{slab['id']}/pours/", {"name": "whole", "pour_date": day.isoformat()}))


def _plan(alice, bag):
    supplier = _made(alice.post("suppliers/", {"name": "Hillfoot Cement Depot"}))
    offer = bag | {"from_date": "2026-01-01", "pack_price": PRICE, "lead_days": 2}
    _made(alice.post(f"suppliers/{supplier['id']}/offers/", offer))
    _made(alice.post("plan/runs/"))
    rows = alice.get("plan/").json()["rows"]
    return supplier, next(row for row in rows if row["material"]["code"] == "cement")


def _order(alice, suggestion, *, supplier):
    assert suggestion["supplier"]["id"] == supplier["id"]
    choices = [{"suggestion_id": suggestion["id"], "packs": 20}]
    order = _made(alice.post("suggestions/approve/", {"choices": choices}))
    assert (order["state"], order["total"]["minor"]) == ("approved", 20 * 400_00)
    sent = alice.post(f"orders/{order['id']}/send/").json()
    assert sent["state"] == "sent"
    return sent


def _delivery(bob, firm, *, order, bag):
    line = bag | {"order_line_id": order["lines"][0]["id"], "stated": 20, "found": 19}
    body = {
        "site_id": firm.site.pk,
        "supplier_id": order["supplier"]["id"],
        "order_id": order["id"],
        "happened_at": timezone.now().isoformat(),
        "note_number": "4711",
        "lines": [line | {"rejected": "1", "reject_reason": "torn and wet"}],
    }
    receipt = _made(bob.post("receipts/", body))
    assert receipt["lines"][0]["short"] is True
    assert receipt["receipt"]["match"] == "ordered"


def _use(bob, pour, *, bag):
    head = {"pour_id": pour["id"], "happened_at": timezone.now().isoformat()}
    _made(bob.post("slips/issues/", head | {"lines": [bag | {"amount": 16}]}))
    _made(bob.post("slips/returns/", head | {"lines": [bag | {"amount": 2}]}))
    lost = head | {"site_id": pour["slab"]["site"]["id"], "reason": "set hard in the rain"}
    _made(bob.post("slips/waste/", lost | {"lines": [bag | {"amount": 1}]}))


def _cement(answer):
    return next(row for row in answer.json()["rows"] if row["material"]["code"] == "cement")


def _made(answer):
    assert answer.status_code == 201, answer.content
    return answer.json()
