"""Deliveries, slips, counts and their acts, for the tests of the stores."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import count

from django.db.models import Sum

from inventory.models import LotStock, Place, Stock, Supplier
from inventory.models.ledger import Movement, ValueAdjustment
from inventory.services import counts, deliveries, usage
from inventory.services.counts import CloseAct, CountAct, CountLineAct
from inventory.services.deliveries import ReceiptAct, ReceiptLineAct
from inventory.services.usage import IssueAct, SlipLineAct
from projects.access.actor import Actor
from projects.models import Pour, Site
from projects.services import pours
from projects.services.pours import PouredAct
from tests.factories import inventory_orders as goods
from tests.factories.cast import NOW, Cast, cast
from tests.factories.inventory_orders import Bought

_keys = count(1)


def key() -> str:
    """A key that no other act has."""
    return f"stock-{next(_keys)}"


@dataclass(frozen=True)
class Yard:
    """The cast with a supplier, cement, sand and a pour of the site; Charlie's firm has its own."""

    cast: Cast
    supplier: Supplier
    cement: Bought
    sand: Bought
    pour: Pour


def yard(*, shelf_days: int | None = 90) -> Yard:
    """A yard ready for its first delivery; 50 kg bags at 400.00 by a dated offer."""
    people = cast()
    supplier = goods.supplier(people.firm.pk)
    bags = goods.cement(people.firm.pk, shelf_days=shelf_days)
    goods.offer(supplier, of=bags, pack_price=400_000_000)
    return Yard(
        cast=people,
        supplier=supplier,
        cement=bags,
        sand=goods.sand(people.firm.pk),
        pour=goods.pour(people.site),
    )


def receipt_line(of: Bought, *, packs: int | str, **more) -> ReceiptLineAct:
    """A line of a delivery counted in packs, all of them good and as stated unless more is said."""
    figures = {"stated": Decimal(packs), "found": Decimal(packs), "pack_id": of.pack.pk} | more
    return ReceiptLineAct(material_id=of.material.pk, **figures)


def receipt_act(at: Yard, *lines: ReceiptLineAct, **more) -> ReceiptAct:
    """A delivery of the yard's supplier, not ordered."""
    facts = {"site_id": at.cast.site.pk, "supplier_id": at.supplier.pk, "happened_at": NOW} | more
    return ReceiptAct(lines=lines, **facts)


def receive(at: Yard, *, packs: int | str = 100, of: Bought | None = None, by: Actor | None = None, **more):
    """A delivery that is recorded; cement unless something else is named."""
    line = receipt_line(of or at.cement, packs=packs, **more)
    return deliveries.record(actor=by or at.cast.bob, act=receipt_act(at, line), key=key(), now=NOW)


def issue_act(at: Yard, *, packs: int | str, of: Bought | None = None, **more) -> IssueAct:
    """An issue to the yard's pour."""
    bought = of or at.cement
    line = SlipLineAct(material_id=bought.material.pk, amount=Decimal(packs), pack_id=bought.pack.pk)
    lot = more.pop("lot_id", None)
    return IssueAct(pour_id=at.pour.pk, happened_at=NOW, lines=(replace(line, lot_id=lot),), **more)


def issue(at: Yard, *, packs: int | str, of: Bought | None = None, by: Actor | None = None, **more):
    """An issue that is recorded."""
    act = issue_act(at, packs=packs, of=of, **more)
    return usage.issue(actor=by or at.cast.bob, act=act, key=key(), now=NOW)


def count_act(site: Site, *found: tuple[Bought, str], happened_at=NOW, explanation: str = "") -> CountAct:
    """A count of a store, in packs."""
    lines = tuple(count_line(of, packs=packs, explanation=explanation) for of, packs in found)
    return CountAct(site_id=site.pk, happened_at=happened_at, lines=lines, recounted=True)


def count_line(of: Bought, *, packs: str, explanation: str = "") -> CountLineAct:
    """What was found of a material, in packs."""
    return CountLineAct(
        material_id=of.material.pk, found=Decimal(packs), pack_id=of.pack.pk, explanation=explanation
    )


def placed(at: Yard, *, pour: Pour | None = None, poured_at=NOW) -> Pour:
    """A pour that was placed."""
    act = PouredAct(pour_id=(pour or at.pour).pk, poured_at=poured_at)
    return pours.mark_poured(actor=at.cast.bob, act=act, key=key(), now=max(NOW, poured_at))


def close(at: Yard, *heaps: CountLineAct, pour: Pour | None = None, happened_at=NOW) -> Pour:
    """A pour that is closed, with its heaps."""
    act = CloseAct(pour_id=(pour or at.pour).pk, happened_at=happened_at, heaps=heaps)
    return counts.close_pour(actor=at.cast.bob, act=act, key=key(), now=max(NOW, happened_at))


def balance(kind: str, *, of: Bought, site: Site | None = None) -> tuple[int, int]:
    """Quantity and value of a material at the places of a kind, by the balance table."""
    rows = Stock.objects.filter(place__kind=kind, material=of.material)
    if site is not None:
        rows = rows.filter(place__site=site)
    found = rows.aggregate(q=Sum("quantity"), v=Sum("value_minor"))
    return found["q"] or 0, found["v"] or 0


def assert_sound() -> None:
    """Check the whole ledger: balances are its sums, nothing guarded is negative, value is conserved."""
    quantity, value, lots = {}, {}, {}
    columns = ("source_id", "lot_id", "target_id", "becomes_id", "material_id", "quantity", "value_minor")
    for source, lot_id, target, becomes, material, moved, worth in Movement.objects.values_list(*columns):
        for place, lot, sign in ((source, lot_id, -1), (target, becomes or lot_id, 1)):
            at = (place, material)
            quantity[at] = quantity.get(at, 0) + sign * moved
            value[at] = value.get(at, 0) + sign * worth
            if lot:
                lots[place, lot] = lots.get((place, lot), 0) + sign * moved
    for change in ValueAdjustment.objects.all():
        at = (change.place_id, change.material_id)
        value[at] = value.get(at, 0) + change.value_minor
    rows = Stock.objects.all()
    assert {(r.place_id, r.material_id): r.quantity for r in rows if r.quantity} == _without_nothing(quantity)
    assert {(r.place_id, r.material_id): r.value_minor for r in rows if r.value_minor} == _without_nothing(
        value
    )
    kept = LotStock.objects.all()
    assert {(r.place_id, r.lot_id): r.quantity for r in kept if r.quantity} == _without_nothing(lots)
    assert sum(value.values()) == 0
    for row in rows.filter(place__kind__in=Place.GUARDED):
        assert row.quantity >= 0
        assert row.value_minor >= 0
        assert row.quantity or not row.value_minor
        in_lots = (
            kept.filter(place=row.place, lot__material=row.material).aggregate(q=Sum("quantity"))["q"] or 0
        )
        assert 0 <= in_lots <= row.quantity
    assert not kept.filter(place__kind__in=Place.GUARDED, quantity__lt=0).exists()


def _without_nothing(balances: dict) -> dict:
    return {at: figure for at, figure in balances.items() if figure}


def ordered(at, *, packs=80, of=None):
    act = goods.order_act(at.cast.site, by=at.supplier, lines=(goods.line_of(of or at.cement, packs=packs),))
    return goods.ordered(at.cast.alice, act=act)


def charlies(at):
    """Charlie's firm with stock, receipts, slips and counts of its own, which must not show."""
    people = at.cast
    theirs = Yard(
        cast=replace(people, bob=people.charlie, site=people.charlie_site),
        supplier=goods.supplier(people.other_firm.pk),
        cement=goods.cement(people.other_firm.pk),
        sand=goods.sand(people.other_firm.pk),
        pour=goods.pour(people.charlie_site),
    )
    receive(theirs, packs=5)
    issue(theirs, packs=1)
    counts.record(
        actor=people.charlie, act=count_act(people.charlie_site, (theirs.cement, "4")), key="c", now=NOW
    )
    return theirs


def elsewhere(at):
    """A delivery at the firm's other site, which Bob does not see."""
    return deliveries.record(
        actor=at.cast.alice,
        act=receipt_act(at, receipt_line(at.cement, packs=9), site_id=at.cast.other_site.pk),
        key=key(),
        now=NOW,
    )
