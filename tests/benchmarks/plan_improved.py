"""Firms of one site, drawn by their number, for a real worker to improve the plan of: `make`, then `tell`."""

import json
import random
import sys
from datetime import timedelta

import django
from django.utils import timezone

POURS, MOST_STOCK = (4, 9), 300


def make(firms):
    """Found so many firms, each with a site of random pours within 30 days, and ask for their plans."""
    for number in range(firms):
        firm(random.Random(number), name=f"Firm {number:02}")  # noqa: S311 - a draw that can be repeated
    return firms


def firm(chance, *, name):
    """Found one firm: seven materials, three suppliers with lots and lead times of their own, little room."""
    one, today, now = Firm.objects.create(name=name), timezone.now().date(), timezone.now()
    PlanTerms.objects.create(
        firm=one,
        stop_cost_minor=chance.randrange(1, 20) * 100_000,
        keep_permille=chance.randrange(80, 200),
        rest_permille=chance.randrange(200, 800),
    )
    kept = [goods.cement(one.pk, shelf_days=60), goods.sand(one.pk)]
    kept += [goods.steel(one.pk, size_mm=size) for size in (8, 10, 12, 16, 20)]
    for number in range(3):
        seller = goods.supplier(one.pk, name=f"{name} depot {number}")
        for material in kept:
            goods.offer(
                seller,
                of=material,
                pack_price=chance.randrange(3_000_000, 5_000_000),
                lead_days=chance.randrange(1, 9),
                minimum_packs=chance.choice((1, 1, 10, 40)),
            )
    site = Site.objects.create(firm=one, name="Site", opened_date=today)
    for number in range(chance.randint(*POURS)):
        day = today + timedelta(days=chance.randint(4, 30))
        pour = goods.pour(site, slab=f"Slab {number}", on=day)
        for material in kept:
            goods.need(
                pour,
                of=material,
                quantity=chance.randint(1, 60 * material.pack.content),
                on=day - timedelta(days=2),
            )
    store = Place.objects.create(firm=one, site=site, kind=Place.Kind.STORE)
    for material in chance.sample(kept, 3):
        Stock.objects.create(
            place=store,
            material=material.material,
            quantity=chance.randint(1, 20) * material.pack.content,
            value_minor=1,
        )
    room = kept[0].pack.content * MOST_STOCK
    StorageLimit.objects.create(site=site, material=kept[0].material, capacity=room, set_at=now)
    outbox.ask(
        firm_id=one.pk, job="inventory.plan", key=name, payload={"firm_id": one.pk}, now=now, due_at=now
    )


def tell():
    """What has become of the plans so far, by firm."""
    runs = PlanRun.objects.order_by("firm_id").values(
        "grade", "gap_ppm", "took_ms", "first_cost_minor", "cost_minor", "suggested"
    )
    return {"open": Outbox.objects.filter(done_at=None).count(), "runs": list(runs)}


if __name__ == "__main__":
    django.setup()
    from inventory.models import Place, PlanRun, PlanTerms, Stock, StorageLimit
    from projects.models import Firm, Outbox, Site
    from projects.services import outbox
    from tests.factories import inventory_orders as goods

    verb, *given = sys.argv[1:]
    print(json.dumps({"make": make, "tell": tell}[verb](*map(int, given))))  # noqa: T201 - the answer
