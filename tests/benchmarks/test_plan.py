"""The reorder plan of many sites, beside one of half as many: it reads as often and takes twice the time.

What it starts from lies in the database in bulk: dated needs of every pour, half of them covered by stock,
and two offers of each material. What it writes goes in batches of some hundred rows.
"""

from __future__ import annotations

from datetime import timedelta
from itertools import count

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from estimates.models import BillLine, Requirement
from inventory.models import Place, PlanRun, Stock
from inventory.services import planning
from inventory.services.planning import PlanAct
from projects.access import actor as actors
from projects.models import Pour, Site, Slab
from tests.benchmarks import report
from tests.factories import inventory_orders as goods
from tests.factories.cast import NOW, TODAY, cast
from tests.factories.inventory_orders import Priced

pytestmark = [pytest.mark.django_db, pytest.mark.data, pytest.mark.long]

FULL_SECONDS = 60
LINEAR = 2.6
"""How much longer twice the sites may take; a square would take four times as long."""
EACH = 40_000
_keys = count(1)


def _firm(*, materials):
    people = cast()
    kept = [goods.steel(people.firm.pk, size_mm=8 + n) for n in range(materials)]
    for name, lead in (("Hillfoot Bars", 3), ("Ferry Bars", 5)):
        seller = goods.supplier(people.firm.pk, name=name)
        for one in kept:
            goods.offer(seller, of=one, lead_days=lead, pack_price=4_000_000 - lead)
    return people, kept


def _sites(firm, *, kept, names, pours):
    """Open the sites, each with a slab, its pours a week apart, and a need of each material for each."""
    sites = Site.objects.bulk_create(Site(firm=firm, name=name, opened_date=TODAY) for name in names)
    slabs = Slab.objects.bulk_create(Slab(site=site, name="Roof", created_at=NOW) for site in sites)
    made = Pour.objects.bulk_create(
        Pour(slab=slab, name=f"P{n}", pour_date=TODAY + timedelta(days=14 + 7 * n), share_ppm=10**6 // pours)
        for slab in slabs
        for n in range(pours)
    )
    priced = [Priced(one.material, net=EACH * pours, allowance=0, rate=0, amount_minor=0) for one in kept]
    for slab in slabs:
        goods.bill(slab, priced)
    lines = {(line.bill.design.slab_id, line.material_id): line for line in _bill_lines()}
    Requirement.objects.bulk_create(
        Requirement(
            pour=pour,
            material=one.material,
            bill_line=lines[pour.slab_id, one.material.pk],
            need_date=pour.pour_date - timedelta(days=2),
            quantity=EACH + 1_000 * n,
        )
        for pour in made
        for n, one in enumerate(kept)
    )
    stores = Place.objects.bulk_create(Place(firm=firm, kind=Place.Kind.STORE, site=site) for site in sites)
    Stock.objects.bulk_create(
        Stock(place=store, material=one.material, quantity=EACH * pours // 2, value_minor=1)
        for store in stores
        for one in kept
    )


def _bill_lines():
    return BillLine.objects.select_related("bill__design")


def test_plan_grows_with_its_sites(full_size, capsys, record_property):
    sites, materials, pours = (200, 30, 5) if full_size else (20, 12, 5)
    people, kept = _firm(materials=materials)
    names = [f"Site {n:03}" for n in range(sites)]
    planner = actors.for_jobs(people.firm.pk)

    def plan():
        """A first plan, taken back again, so that each round has the same to do."""
        with transaction.atomic():
            run = planning.make_plan(actor=planner, act=PlanAct(), key=f"plan-{next(_keys)}", now=NOW)
            found = (run.items, run.suggested)
            transaction.set_rollback(True)
        return found

    measured = []
    for half in (names[: sites // 2], names[sites // 2 :]):
        _sites(people.firm, kept=kept, names=half, pours=pours)
        with CaptureQueriesContext(connection) as seen:
            items, suggested = plan()
        spent = report.beside({"plan": plan}, rounds=3)["plan"]
        reads = sum(query["sql"].startswith("SELECT") for query in seen)
        measured.append((items, suggested, reads, spent))
    figures = {
        f"{items} items, {suggested} suggestions": f"{spent:9.1f} ms  {spent / items:6.3f} ms an item"
        for items, suggested, _reads, spent in measured
    }
    first, second = measured
    figures["reads"] = second[2]
    figures["time of twice the sites"] = second[3] / first[3]
    title = f"Reorder plan, {materials} materials, {pours} pours a site, {connection.vendor}"
    report.show(capsys, record_property, title=title, figures=figures)
    assert [row[0] for row in measured] == [sites * materials // 2, sites * materials]
    assert first[2] == second[2]
    assert not PlanRun.objects.exists()
    if full_size:
        assert second[3] / first[3] <= LINEAR
        assert second[3] <= FULL_SECONDS * 1000
