"""Two slabs worked out by hand: one supplied short and still to be poured, one finished with overuse.

Money in minor units. A bag of cement is 50 kg; the estimate is 8.00 a kg, so 40,000 a bag.

Roof, on the first site: the bill allows 196 + 4 bags, so a budget of 200 x 40,000 = 8,000,000.
  180 bags ordered at 41,000 = 7,380,000; the note says 180, 175 are found: 7,175,000.
  5 bags, 205,000, are still to come.
  160 issued (6,560,000), 10 brought back (410,000), 3 lost out of the slab (123,000).
  So used 150 bags, 6,150,000; of these 147 are in the slab, 6,027,000; 25 lie in the store, 1,025,000.
  Still to use 50 bags: 25 from the store, 1,025,000; 5 on order, 205,000; 20 at the estimate, 800,000.
  Together 2,030,000.
  Forecast 8,180,000. At the estimate the 200 bags are 8,000,000: usage 0, price 180,000.
  Short: 200 - (150 + 25 + 5) = 20 bags, 800,000 at the estimate.

Stair, on the other site: the bill allows 20 bags, 800,000.
  The store opened with 30 bags worth 1,260,000, 42,000 each.
  23 issued: 966,000; the pour is closed. Over by 3 bags, 120,000 at the estimate.
  Usage 23 x 40,000 - 800,000 = 120,000; price 966,000 - 920,000 = 46,000.
  7 bags lie in the store: 294,000.

Bought and brought in: 7,175,000 + 1,260,000 = 8,435,000.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from inventory.models import PurchaseOrder
from projects.models import Pour
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, Cast, cast
from tests.factories.inventory_orders import BAG_G, Bought, Priced

RATE = 8_000_000
AREA_MM2 = 120_000_000
VOLUME_CM3 = 20_000_000


@dataclass(frozen=True)
class TwoSlabs:
    """The slabs' pours with what was bought for them."""

    people: Cast
    bags: Bought
    roof: Pour
    stair: Pour
    order: PurchaseOrder


def build() -> TwoSlabs:
    """Build both slabs through the services."""
    people = cast()
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk)
    roof = _roof(people, bags=bags)
    act = make.order_act(
        people.site, by=by, lines=(make.line_of(bags, packs=180, price=410_000_000, pour=roof),)
    )
    order = make.ordered(people.alice, act=act)
    make.received(people.bob, order=order, packs=(175,), stated=(180,))
    make.issue(people.bob, to=roof, of=bags, packs=160)
    make.bring_back(people.bob, to=roof, of=bags, packs=10)
    make.waste(people.bob, site=people.site, of=bags, packs=3, pour=roof)
    stair = _stair(people, bags=bags)
    return TwoSlabs(people=people, bags=bags, roof=roof, stair=stair, order=order)


def _roof(people: Cast, *, bags: Bought) -> Pour:
    pour = make.pour(people.site, slab="Roof", on=date(2026, 5, 20))
    line = Priced(
        material=bags.material, net=196 * BAG_G, allowance=4 * BAG_G, rate=RATE, amount_minor=8_000_000
    )
    bill = make.bill(pour.slab, [line], area_mm2=AREA_MM2, volume_cm3=VOLUME_CM3)
    make.requirement(pour, line=bill.lines.get(), quantity=200 * BAG_G, on=date(2026, 5, 18))
    return pour


def _stair(people: Cast, *, bags: Bought) -> Pour:
    pour = make.pour(people.other_site, slab="Stair", on=date(2026, 4, 20))
    line = Priced(material=bags.material, net=20 * BAG_G, allowance=0, rate=RATE, amount_minor=800_000)
    make.bill(pour.slab, [line], area_mm2=AREA_MM2, volume_cm3=VOLUME_CM3)
    make.in_store(people.alice, site=people.other_site, of=bags, packs=30, value_minor=1_260_000)
    make.issue(people.alice, to=pour, of=bags, packs=23)
    Pour.objects.filter(pk=pour.pk).update(state="closed", poured_at=NOW, closed_at=NOW)
    pour.refresh_from_db()
    return pour
