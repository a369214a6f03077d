from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimates.models import Rate
from inventory.models import Place, Receipt
from inventory.models.ledger import Movement
from inventory.services import deliveries, lots, measures, places, posting
from inventory.services.posting import Posting, Stamp
from inventory.services.receipt_lines import AbsurdQuantity
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000


def stamp(at, key):
    return Stamp(actor=at.cast.alice, happened_at=NOW, now=NOW, key=key)


def test_what_comes_from_outside_needs_a_value():
    at = made.yard()
    line = Posting(
        material=at.cement.material,
        source=places.of_site(at.cast.site, kind=Place.Kind.OPENING),
        target=places.store(at.cast.site),
        quantity=BAG,
        reason=posting.Reason.OPENING,
    )

    with pytest.raises(ValueError, match="needs a value"):
        posting.post([line], stamp=stamp(at, "k"))


def test_keys_name_firm_act_and_entry():
    at = made.yard()
    made.receive(at, packs=10, made_date=date(2026, 4, 6))
    made.receive(at, packs=10, made_date=date(2026, 4, 13))

    act = made.issue_act(at, packs=15)
    goods.usage.issue(actor=at.cast.bob, act=act, key="slip", now=NOW)

    firm = at.cast.firm.pk
    assert list(Movement.objects.filter(reason="issue").order_by("id").values_list("key", "quantity")) == [
        (f"{firm}:slip:0", 10 * BAG),
        (f"{firm}:slip:1", 5 * BAG),
    ]


def test_last_unit_takes_the_rest_of_the_value():
    """Three bags for 100 minor units are 33, 33 and 34: nothing is lost."""
    at = made.yard()
    act = goods.opening.OpeningAct(
        site_id=at.cast.site.pk,
        happened_at=NOW,
        lines=(goods.OpeningLineAct(at.cement.material.pk, Decimal(3), 100, at.cement.pack.pk),),
    )
    goods.opening.record(actor=at.cast.alice, act=act, key="o", now=NOW)

    for _bag in range(3):
        made.issue(at, packs=1)

    moved = Movement.objects.filter(reason="issue").order_by("id")
    assert [move.value_minor for move in moved] == [33, 34, 33]
    assert made.balance("store", of=at.cement) == (0, 0)


def test_receipt_reversed_below_the_service_is_refused():
    at = made.yard()
    receipt = made.receive(at, packs=1)
    posting.reverse(of=receipt, stamp=stamp(at, "once"))

    with pytest.raises(posting.AlreadyReversed):
        posting.reverse(of=receipt, stamp=stamp(at, "twice"))


def test_receipt_of_nothing_accepted_is_taken_back_without_a_movement():
    at = made.yard()
    receipt = made.receive(at, packs=2, rejected=Decimal(2), reject_reason="all wet")

    goods.taken_back(at.cast.bob, receipt=receipt)

    assert Movement.objects.count() == 0
    assert Receipt.objects.get().reversed_at == NOW


def test_variance_without_an_heir_goes_back_to_where_the_material_came_from():
    """Nothing of the second load has gone anywhere that could bear the difference."""
    at = made.yard()
    goods.offer(at.supplier, of=at.cement, pack_price=9_000_000, from_date=date(2026, 5, 1))
    dear = made.receive(at, packs=10)
    goods.offer(at.supplier, of=at.cement, pack_price=1_000_000, from_date=date(2026, 5, 2))
    made.receive(at, packs=10)
    made.issue(at, packs=10)
    goods.bring_back(at.cast.bob, to=at.pour, of=at.cement, packs=9)
    goods.waste(at.cast.bob, site=at.cast.site, of=at.cement, packs=9)

    goods.taken_back(at.cast.bob, receipt=dear)

    assert made.balance("store", of=at.cement) == (0, 0)
    made.assert_sound()


def test_slip_taken_back_whose_slab_has_moved_on_passes_its_variance_on():
    at = made.yard()
    goods.offer(at.supplier, of=at.cement, pack_price=1_000_000, from_date=date(2026, 5, 1))
    made.receive(at, packs=10)
    first = made.issue(at, packs=10)
    goods.offer(at.supplier, of=at.cement, pack_price=9_000_000, from_date=date(2026, 5, 2))
    made.receive(at, packs=10)
    made.issue(at, packs=10)
    goods.bring_back(at.cast.bob, to=at.pour, of=at.cement, packs=10)

    act = goods.usage.ReverseAct(slip_id=first.pk, reason="wrong pour")
    goods.usage.reverse(actor=at.cast.bob, act=act, key="r", now=NOW)

    assert made.balance("slab", of=at.cement) == (0, 0)
    assert made.balance("store", of=at.cement)[1] == 10 * 100 + 10 * 900
    made.assert_sound()


def test_variance_whose_heir_has_lost_everything_goes_back_to_where_the_material_came_from():
    """The last bag that left the store went to a slab that then lost it: nothing there could bear it."""
    at = made.yard()
    goods.offer(at.supplier, of=at.cement, pack_price=9_000_000, from_date=date(2026, 5, 1))
    dear = made.receive(at, packs=10)
    goods.offer(at.supplier, of=at.cement, pack_price=1_000_000, from_date=date(2026, 5, 2))
    made.receive(at, packs=10)
    goods.waste(at.cast.bob, site=at.cast.site, of=at.cement, packs=9)
    made.issue(at, packs=1)
    goods.waste(at.cast.bob, site=at.cast.site, of=at.cement, packs=1, pour=at.pour)

    goods.taken_back(at.cast.bob, receipt=dear)

    assert made.balance("store", of=at.cement) == (0, 0)
    assert made.balance("slab", of=at.cement) == (0, 0)
    made.assert_sound()


def test_waste_taken_back_is_in_the_store_again_at_its_value():
    at = made.yard()
    made.receive(at, packs=10)
    before = made.balance("store", of=at.cement)
    lost = goods.waste(at.cast.bob, site=at.cast.site, of=at.cement, packs=4)

    act = goods.usage.ReverseAct(slip_id=lost.pk, reason="it was only damp")
    goods.usage.reverse(actor=at.cast.bob, act=act, key="r", now=NOW)

    assert made.balance("store", of=at.cement) == before
    assert made.balance("waste", of=at.cement) == (0, 0)
    made.assert_sound()


def test_delivery_with_a_line_that_its_order_does_not_have_is_flagged():
    at = made.yard()
    act = goods.order_act(at.cast.site, by=at.supplier, lines=(goods.line_of(at.cement, packs=8),))
    order = goods.ordered(at.cast.alice, act=act)
    lines = (
        made.receipt_line(at.cement, packs=8, order_line_id=order.lines.get().pk),
        made.receipt_line(at.sand, packs=1),
    )

    receipt = deliveries.record(
        actor=at.cast.bob, act=made.receipt_act(at, *lines, order_id=order.pk), key="k", now=NOW
    )

    assert receipt.match == Receipt.Match.UNORDERED


def test_known_fact_of_a_lot_may_be_repeated():
    at = made.yard()

    for _load in range(2):
        made.receive(at, packs=1, lot_label="W17", made_date=date(2026, 4, 20))

    assert made.LotStock.objects.get(place__kind="store").quantity == 2 * BAG


def test_taking_stops_at_the_last_heap_and_passes_empty_ones():
    heaps = [lots.Heap(None, 0), lots.Heap(None, 5)]

    assert lots.take(heaps, quantity=9) == [lots.Heap(None, 5)]
    assert lots.take(heaps, quantity=3) == [lots.Heap(None, 3)]


def test_entry_beyond_any_store_is_refused():
    at = made.yard()
    line = replace(made.receipt_line(at.sand, packs=1), pack_id=None, unit="m3", found=Decimal("1E+9"))
    act = made.receipt_act(at, replace(line, stated=Decimal(1)))
    with pytest.raises(AbsurdQuantity):
        deliveries.record(actor=at.cast.bob, act=act, key="no truck", now=NOW)

    loads = made.receipt_act(at, made.receipt_line(at.sand, packs="900000000"))
    with pytest.raises(measures.BadQuantity):
        deliveries.record(actor=at.cast.bob, act=loads, key="beyond", now=NOW)


def test_bars_priced_by_mass_are_valued_by_their_nominal_mass():
    """12 mm bar at 0.888 kg/m (IS 1786): 120 m are 106.56 kg, at 60.00 a kilogram 6,393.60."""
    at = made.yard()
    bars = goods.steel(at.cast.firm.pk)
    Rate.objects.create(
        material=bars.material, from_date=date(2026, 1, 1), per="kg", basic=60_000_000, set_at=NOW
    )

    made.receive(at, packs=10, of=bars)

    assert made.balance("store", of=bars) == (120_000, 639_360)
