"""The reorder plan of many sites, beside one of half as many: it takes twice the time, and little memory.

What it starts from lies in the database in bulk: dated needs of every pour, half of them covered by stock,
and two offers of each material. What it writes goes in batches of some hundred rows.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from datetime import timedelta
from functools import partial
from itertools import count
from pathlib import Path

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

ROOT = Path(__file__).resolve().parents[2]
FULL_SECONDS = 60
THOUSAND_SECONDS = 360
MOST_MIB = 1_024
LINEAR_EACH = 1.3
AT_ONCE = 50
LINEAR = 2.6
"""How much longer twice the sites may take; a square would take four times as long."""
READS_OF_SOME_SITES = 2
"""Asked for each lot of sites that is written together: what is open, and what was rejected."""
EACH = 40_000
_keys = count(1)


def firm(*, materials):
    people = cast()
    kept = [goods.steel(people.firm.pk, size_mm=8 + n) for n in range(materials)]
    for name, lead in (("Hillfoot Bars", 3), ("Ferry Bars", 5)):
        seller = goods.supplier(people.firm.pk, name=name)
        for one in kept:
            goods.offer(seller, of=one, lead_days=lead, pack_price=4_000_000 - lead)
    return people, kept


def open_sites(firm, *, kept, names, pours, apart=7):
    """Open the sites, each with a slab, its pours some days apart, and a need of each material for each."""
    sites = Site.objects.bulk_create(Site(firm=firm, name=name, opened_date=TODAY) for name in names)
    slabs = Slab.objects.bulk_create(Slab(site=site, name="Roof", created_at=NOW) for site in sites)
    made = Pour.objects.bulk_create(
        Pour(
            slab=slab,
            name=f"P{n}",
            pour_date=TODAY + timedelta(days=14 + apart * n),
            share_ppm=10**6 // pours,
        )
        for slab in slabs
        for n in range(pours)
    )
    priced = [Priced(one.material, net=EACH * pours, allowance=0, rate=0, amount_minor=0) for one in kept]
    for slab in slabs:
        goods.bill(slab, priced)
    lines = {(line.bill.design.slab_id, line.material_id): line for line in _bill_lines(slabs)}
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


def _bill_lines(slabs):
    return BillLine.objects.filter(bill__design__slab__in=slabs).select_related("bill__design")


def test_plan_grows_with_its_sites(full_size, capsys, record_property):
    sites, materials, pours = (200, 30, 5) if full_size else (20, 12, 5)
    people, kept = firm(materials=materials)
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
        open_sites(people.firm, kept=kept, names=half, pours=pours)
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
    assert second[2] - first[2] <= READS_OF_SOME_SITES * (sites // 2 // planning.SITES_AT_ONCE)
    assert not PlanRun.objects.exists()
    if full_size:
        assert second[3] / first[3] <= LINEAR
        assert second[3] <= FULL_SECONDS * 1000


@pytest.mark.worker
def test_plan_of_a_thousand_sites_is_made_in_minutes_and_in_little_memory(
    full_size, tmp_path, request, capsys, record_property
):
    """One firm with all the sites, the hardest case, since workers share firms; the last day is as any."""
    sizes, materials = ((200, 400, 1_000), 30) if full_size else ((4, 8, 20), 6)
    known = {"DJANGO_SETTINGS_MODULE": "deploy.settings.test", "PYTHONWARNINGS": "ignore"}
    if "DATABASE_URL" in os.environ:
        known["DATABASE_URL"] = request.getfixturevalue("postgres_url")
    told = partial(_program, environment=os.environ | known | {"POURTALLY_RUN": str(tmp_path)})
    told("-m", "django", "migrate", "--verbosity", "0")
    figures, rows = {}, []
    for day, sites in enumerate((*sizes, sizes[-1])):
        told("-m", "tests.benchmarks.plan_scale", "make", sites, materials)
        row = json.loads(told("-m", "tests.benchmarks.plan_scale", "plan", day))
        rows.append((sites, row))
        figures[f"day {day}, {sites} sites"] = (
            f"{row['processor']:6.1f} s of a processor, {row['wall']:6.1f} s by the clock,"
            f" {row['mib']:4.0f} MiB, {row['suggested']} suggestions"
        )
        assert (row["items"], row["open"]) == (sites * materials, row["suggested"])
        assert row["mib"] < MOST_MIB
    each = [row["processor"] / sites for sites, row in rows]
    figures["time of a site, of the largest firm by the smallest"] = each[-2] / each[0]
    title = f"Plan of one firm, {materials} materials, 6 pours in 180 days, {connection.vendor}"
    report.show(capsys, record_property, title=title, figures=figures)
    if full_size:
        assert max(each) / each[0] <= LINEAR_EACH
        assert rows[-1][1]["processor"] <= THOUSAND_SECONDS


def _program(*words, environment):
    command = [sys.executable, *map(str, words)]
    return subprocess.run(command, cwd=ROOT, env=environment, check=True, stdout=subprocess.PIPE).stdout
