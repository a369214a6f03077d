"""A plan of many sites in a process of its own, so that its memory can be told: `make` and `plan`.

What it starts from lies in the database in bulk: dated needs of every pour over half a year, half of them
covered by stock, and two offers of each material.
"""

import json
import resource
import sys
import time
from datetime import timedelta

import django


def make(sites, materials):
    """Open sites with needs of so many materials until the firm has so many."""
    found = Firm.objects.filter(sites__slabs__isnull=False).first()
    kept = [Bought(pack.material, pack) for pack in Pack.objects.select_related("material")]
    if found is None:
        people, kept = test_plan.firm(materials=materials)
        found = people.firm
    there = Slab.objects.count()
    for start in range(there, sites, test_plan.AT_ONCE):
        names = [f"Site {n:04}" for n in range(start, min(start + test_plan.AT_ONCE, sites))]
        test_plan.open_sites(found, kept=kept, names=names, pours=6, apart=30)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    return {}


def plan(days):
    """Plan as on a day so many days on; return what came of it, and the time and memory that it took."""
    firm_id = Stock.objects.values_list("place__firm_id", flat=True)[0]
    wall, processor = time.perf_counter(), time.process_time()
    now = NOW + timedelta(days=days)
    run = planning.make_plan(actor=actors.for_jobs(firm_id), act=PlanAct(), key=f"day {days}", now=now)
    return {
        "items": run.items,
        "suggested": run.suggested,
        "open": Suggestion.objects.filter(state="open", run=run).count(),
        "wall": time.perf_counter() - wall,
        "processor": time.process_time() - processor,
        "mib": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


if __name__ == "__main__":
    django.setup()
    from django.db import connection

    from estimates.models import Pack
    from inventory.models import Stock, Suggestion
    from inventory.services import planning
    from inventory.services.planning import PlanAct
    from projects.access import actor as actors
    from projects.models import Firm, Slab
    from tests.benchmarks import test_plan
    from tests.factories.cast import NOW
    from tests.factories.inventory_orders import Bought

    verb, *given = sys.argv[1:]
    print(json.dumps({"make": make, "plan": plan}[verb](*map(int, given))))  # noqa: T201 - the answer
