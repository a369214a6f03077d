"""Pours at two sites for a real worker to plan, and what a test asks of that plan meanwhile.

Run as a program it answers one name of a function here after another, so that a test can look often.
"""

import json
import sys
from collections import Counter
from datetime import timedelta

import django
from django.utils import timezone

SITES, POURS = 2, 52
"""A year of pours, of which the improved plan takes the first weeks: only its search is short."""


def make():
    """Open the sites, each with needs of cement and bars every week, and say what is at stake."""
    team = cast()
    kept = [goods.cement(team.firm.pk), goods.steel(team.firm.pk, size_mm=10), goods.steel(team.firm.pk)]
    for name, lead in (("Hillfoot Depot", 3), ("Ferry Depot", 6)):
        seller = goods.supplier(team.firm.pk, name=name)
        for one in kept:
            goods.offer(seller, of=one, lead_days=lead, pack_price=4_000_000 - 40_000 * lead)
    terms = TermsAct(keep_permille=140, rest_permille=500, freight_minor=50_000)
    plan_terms.set_terms(actor=team.alice, act=terms, key="terms", now=timezone.now())
    today = timezone.now().date()
    for number in range(SITES):
        site = Site.objects.create(firm=team.firm, name=f"Site {number:02}", opened_date=today)
        for week in range(POURS):
            pour = goods.pour(site, slab=f"Slab {week}", on=today + timedelta(days=14 + 7 * week))
            for one in kept:
                quantity = one.pack.content * (20 + number + week) + 1_000
                goods.need(pour, of=one, quantity=quantity, on=pour.pour_date - timedelta(days=2))
    ask()
    return team.firm.pk


def ask():
    """Ask for a plan at once."""
    firm_id, now = PlanTerms.objects.values_list("firm_id", flat=True).get(), timezone.now()
    key = f"plan:{now.isoformat()}"
    outbox.ask(
        firm_id=firm_id, job="inventory.plan", key=key, payload={"firm_id": firm_id}, now=now, due_at=now
    )


def change():
    """Let every second need grow, so that another plan is due, and ask for it."""
    for row in Requirement.objects.order_by("id")[::2]:
        Requirement.objects.filter(pk=row.pk).update(quantity=row.quantity + 7_000)
    ask()


def approve():
    """Turn one suggestion into an order, under one key, however often."""
    row = Suggestion.objects.filter(state="open", kind="buy").order_by("id").first()
    alice = actors.for_person(Person.objects.get(username="alice"))
    act = ApproveAct(choices=(Choice(suggestion_id=row.pk),))
    suggestions.approve(actor=alice, act=act, key="approve", now=timezone.now())


def running():
    """The names of the jobs that a worker is at, each with its number and its try."""
    rows = Outbox.objects.filter(done_at=None, leased_until__gt=timezone.now())
    return {row.job: (row.pk, row.attempts) for row in rows}


def undone(pk):
    """Whether a job is not done."""
    return Outbox.objects.filter(pk=pk, done_at=None).exists()


def shown():
    """What a person sees of the plan at this moment, in one read: rows, and what is wrong with them."""
    last = PlanRun.objects.order_by("-finished_at", "-id")
    slot = ("kind", "site_id", "material_id", "pour_id", "supplier_id", "order_by_date")
    rows = list(
        Suggestion.objects.filter(state__in=("open", "ordered"))
        .order_by("id")
        .annotate(last=Subquery(last.values("pk")[:1]), promised=Subquery(last.values("suggested")[:1]))
        .values_list("state", "run_id", "last", "promised", *slot)
    )
    opened = [row for row in rows if row[0] == "open"]
    seen = Counter(row[4:] for row in opened)
    return {
        "runs": sorted({row[1] for row in opened}),
        "last": sorted({row[2] for row in opened}),
        "promised": sorted({row[3] for row in opened}),
        "rows": len(opened) + sum(row[0] == "ordered" and row[1] == row[2] for row in rows),
        "doubled": [str(where) for where, times in seen.items() if times > 1],
    }


def ended():
    """What is left when all jobs are done: how far each material at each site is bought beyond its need."""
    bought = Suggestion.objects.filter(state="open").values_list("site_id", "material_id", "quantity")
    on_order = OrderLine.objects.values_list("order__site_id", "material_id", "quantity")
    covered, lots = Counter(), Counter()
    for site, material, quantity in [*bought, *on_order]:
        covered[site, material] += quantity
        lots[site, material] += 1
    needed = Counter()
    for row in Requirement.objects.select_related("pour__slab"):
        needed[row.pour.slab.site_id, row.material_id] += row.quantity
    content = dict(Pack.objects.values_list("material_id", "content"))
    beyond = {slot: covered[slot] - need for slot, need in needed.items()}
    run = PlanRun.objects.order_by("-finished_at", "-id").first()
    return {
        "wrong": [
            str(slot) for slot, more in beyond.items() if not 0 <= more < content[slot[1]] * lots[slot]
        ],
        "orders": PurchaseOrder.objects.count(),
        "open_jobs": Outbox.objects.filter(done_at=None).count(),
        "errors": list(Outbox.objects.exclude(failed_at=None).values_list("last_error", flat=True)),
        "grade": run.grade,
        "dearer": run.cost_minor > run.first_cost_minor,
    }


def answer():
    """Call what each line names, with what follows it, and print what it gives as a line of JSON."""
    for line in sys.stdin:
        name, *given = line.split()
        print(json.dumps(globals()[name](*given)), flush=True)  # noqa: T201 - the answer


if __name__ == "__main__":
    django.setup()
    from django.db.models import Subquery

    from estimates.models import Pack, Requirement
    from inventory.models import OrderLine, PlanRun, PlanTerms, PurchaseOrder, Suggestion
    from inventory.services import plan_terms, suggestions
    from inventory.services.plan_terms import TermsAct
    from inventory.services.suggestions import ApproveAct, Choice
    from projects.access import actor as actors
    from projects.models import Outbox, Person, Site
    from projects.services import outbox
    from tests.factories import inventory_orders as goods
    from tests.factories.cast import cast

    answer()
