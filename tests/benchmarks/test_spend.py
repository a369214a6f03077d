"""The owner's spend sheet beside the bare SQL of the same figures, with many movements.

Queries are counted and asserted in any size. Times are reported as a ratio of two runs in one process; with
--full (100,000 movements) the ratio is asserted as well: at most 3 times the bare rows through `.values()`.
"""

import time
from datetime import timedelta

import pytest
from django.db.models import Sum
from django.http import JsonResponse

from estimates.models import Bill, BillLine, Material
from inventory.models import OrderLine, Place, ReceiptLine, Stock
from inventory.models.ledger import Movement
from inventory.queries import spend
from inventory.services import places
from projects.models import Pour, Slab
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.long]

SLABS = 20
MATERIALS = 10
QUERIES = 25
RATIO = 3
ISSUED_G, VALUE = 50_000, 40_000
WASTE_EVERY = 50


def _slabs(people, *, goods):
    lines = [
        make.Priced(bought.material, net=10**9, allowance=0, rate=8_000_000, amount_minor=8 * 10**8)
        for bought in goods
    ]
    for number in range(SLABS):
        pour = make.pour(people.site, slab=f"Slab {number}", on=NOW.date() + timedelta(days=number))
        make.bill(pour.slab, lines, area_mm2=10**8, volume_cm3=10**7)
        yield pour


def _book(people, *, pours, goods, movements):
    """Write so many movements with their balances: issues to slabs, and now and then waste out of one."""
    store = places.store(people.site)
    waste = places.of_site(people.site, kind=Place.Kind.WASTE)
    slabs = [places.slab(pour.slab) for pour in pours]
    balance = dict.fromkeys([(slab.pk, one.material.pk) for slab in slabs for one in goods], 0)
    rows = []
    for number in range(movements):
        pour, slab = pours[number % SLABS], slabs[number % SLABS]
        material = goods[number // SLABS % MATERIALS].material
        lost = number % WASTE_EVERY == 0 and balance[slab.pk, material.pk] > 0
        balance[slab.pk, material.pk] += -1 if lost else 1
        rows.append(
            Movement(
                firm=people.firm,
                material=material,
                source=slab if lost else store,
                target=waste if lost else slab,
                quantity=ISSUED_G,
                value_minor=VALUE,
                reason="waste" if lost else "issue",
                pour=pour,
                happened_at=NOW,
                recorded_at=NOW,
                key=f"bench-{number}",
            )
        )
    Movement.objects.bulk_create(rows, batch_size=2_000)
    Stock.objects.bulk_create(
        Stock(place_id=place_id, material_id=pk, quantity=count * ISSUED_G, value_minor=count * VALUE)
        for (place_id, pk), count in balance.items()
    )


def _bare():
    """The same rows through `.values()` and JsonResponse, in as few statements as they need."""
    slab = Place.Kind.SLAB
    sums = {"quantity": Sum("quantity"), "value": Sum("value_minor")}
    slabs = list(Place.objects.filter(kind=slab).values_list("slab_id", flat=True))
    waste = list(Place.objects.filter(kind="waste").values_list("pk", flat=True))
    lost = Movement.objects.filter(target_id__in=waste, source__slab_id__in=slabs)
    back = Movement.objects.filter(source_id__in=waste, target__slab_id__in=slabs)
    good = Sum("receipt_lines__accepted")
    rows = [
        list(Slab.objects.values("pk", "name", "site__name", "closed_at")),
        list(Pour.objects.values("slab_id", "pour_date", "state", "share_ppm")),
        list(Bill.objects.values("design__slab_id", "area_mm2", "volume_cm3", "total_minor")),
        list(Material.objects.values("pk", "code", "name", "show_factor")),
        list(BillLine.objects.values("bill_id", "material_id").annotate(n=Sum("net"), a=Sum("amount_minor"))),
        list(
            Stock.objects.filter(place__kind=slab).values(
                "place__slab_id", "material_id", "quantity", "value_minor"
            )
        ),
        list(lost.values("source__slab_id", "material_id").annotate(**sums)),
        list(back.values("target__slab_id", "material_id").annotate(**sums)),
        list(
            ReceiptLine.objects.values("order_line__pour__slab_id", "material_id").annotate(
                v=Sum("value_minor")
            )
        ),
        list(OrderLine.objects.values("pour__slab_id", "material_id", "quantity").annotate(good=good)),
        list(Stock.objects.values("place__kind").annotate(v=Sum("value_minor"))),
    ]
    return JsonResponse(rows, safe=False)


def _seconds(work, *, rounds):
    spent = []
    for _round in range(rounds):
        start = time.perf_counter()
        work()
        spent.append(time.perf_counter() - start)
    return min(spent)


def test_spend_of_many_movements(full_size, django_assert_num_queries, record_property, capsys):
    movements = 100_000 if full_size else 2_000
    people = cast()
    goods = [make.steel(people.firm.pk, size_mm=size) for size in range(8, 8 + MATERIALS)]
    pours = list(_slabs(people, goods=goods))
    _book(people, pours=pours, goods=goods, movements=movements)
    with django_assert_num_queries(QUERIES):
        found = spend.of_firm(people.olga, today=TODAY)
    # Every movement is an issue of 40,000 or waste out of what was issued: the slab has cost both.
    issued = Movement.objects.filter(reason="issue").count()
    assert (len(found.slabs), found.total.used) == (SLABS, issued * VALUE)
    ours = _seconds(lambda: spend.of_firm(people.olga, today=TODAY), rounds=5)
    bare = _seconds(_bare, rounds=5)
    figures = {
        "movements": movements,
        "queries": QUERIES,
        "spend of all slabs [ms]": round(ours * 1000, 1),
        "bare SQL of the same figures [ms]": round(bare * 1000, 1),
        "ratio": round(ours / bare, 2),
    }
    for name, figure in figures.items():
        record_property(name, figure)
    with capsys.disabled():
        print("", *(f"  {name}: {figure}" for name, figure in figures.items()), sep="\n")  # noqa: T201 - a report
    if full_size:
        assert ours / bare <= RATIO
