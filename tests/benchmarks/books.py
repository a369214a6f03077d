"""A firm with many movements: written in bulk, since the benchmarks read them or write a few beside them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from django.db import connection

from inventory.models import Place, Receipt, Stock
from inventory.models.ledger import Movement
from inventory.services import deliveries, places
from projects.models import Pour
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW
from tests.factories.inventory_orders import Bought

MATERIALS = 10
SLABS = 10
BATCH = 10_000
QUANTITY, VALUE = 12_000, 40_000


@dataclass(frozen=True)
class Books:
    """A yard with its store, the materials in it, its pours, and a receipt with a line of each material."""

    at: made.Yard
    store: Place
    goods: tuple[Bought, ...]
    pours: tuple[Pour, ...]
    receipt: Receipt


def written(movements: int) -> Books:
    """Write so many movements at one site, in turn into the store and out to a slab, with their balances."""
    at = made.yard()
    kept = tuple(goods.steel(at.cast.firm.pk, size_mm=size) for size in range(8, 8 + MATERIALS))
    pours = tuple(goods.pour(at.cast.site, slab=f"Slab {n}") for n in range(SLABS))
    act = made.receipt_act(at, *(made.receipt_line(one, packs=1) for one in kept))
    receipt = deliveries.record(actor=at.cast.bob, act=act, key="bench-receipt", now=NOW)
    books = Books(at=at, store=places.store(at.cast.site), goods=kept, pours=pours, receipt=receipt)
    slabs = [places.slab(pour.slab) for pour in pours]
    first = min(movements, BATCH)
    Movement.objects.bulk_create(_moves(books, slabs=slabs, number=first))
    _repeat(times=movements // first - 1)
    _balance(books, slabs=slabs, turns=movements // 2)
    return books


def _moves(books: Books, *, slabs: list[Place], number: int) -> list[Movement]:
    lines = list(books.receipt.lines.order_by("position"))
    supplier = places.of_site(books.at.cast.site, kind=Place.Kind.SUPPLIER)
    rows = []
    for n in range(number):
        turn = n // 2
        which, slab = turn % MATERIALS, turn // MATERIALS % SLABS
        came = {"source": supplier, "target": books.store, "receipt_line": lines[which], "reason": "receipt"}
        went = {"source": books.store, "target": slabs[slab], "pour": books.pours[slab], "reason": "issue"}
        when = NOW + timedelta(seconds=n)
        row = Movement(
            firm=books.at.cast.firm,
            material=books.goods[which].material,
            quantity=QUANTITY,
            value_minor=VALUE,
            recorded_by_id=books.at.cast.bob.person_id,
            happened_at=when,
            recorded_at=when,
            key=f"bench-{n}",
            **(went if n % 2 else came),
        )
        rows.append(row)
    return rows


def _repeat(*, times: int) -> None:
    """Write the first batch again and again, each a batch of seconds later, in the database itself."""
    later = "m.{0} + make_interval(secs => n.i * %s)"
    if connection.vendor == "sqlite":
        later = "strftime('%%Y-%%m-%%d %%H:%%M:%%S', m.{0}, (n.i * %s) || ' seconds')"
    same = "firm_id, material_id, source_id, target_id, quantity, value_minor, reason"
    same += ", pour_id, receipt_line_id, recorded_by_id"
    with connection.cursor() as cursor:
        cursor.execute(
            f"WITH RECURSIVE n(i) AS (SELECT 1 WHERE %s > 0 UNION ALL SELECT i + 1 FROM n WHERE i < %s) "  # noqa: S608 - our own words
            f"INSERT INTO inventory_movement ({same}, happened_at, recorded_at, key) "
            f"SELECT {same}, {later.format('happened_at')}, {later.format('recorded_at')}, "
            f"m.key || ':' || n.i FROM inventory_movement m, n "
            f"WHERE m.key LIKE 'bench-%%' ORDER BY n.i, m.id",
            [times, times, BATCH, BATCH],
        )


def _balance(books: Books, *, slabs: list[Place], turns: int) -> None:
    """Write the balances of the slabs; what came into the store has left it again."""
    each = turns // (MATERIALS * SLABS)
    Stock.objects.bulk_create(
        Stock(place=slab, material=one.material, quantity=each * QUANTITY, value_minor=each * VALUE)
        for slab in slabs
        for one in books.goods
    )
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
