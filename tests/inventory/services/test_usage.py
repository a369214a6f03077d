from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from inventory.models import Lot, LotStock, StockSlip
from inventory.models.ledger import Movement
from inventory.services import lots, measures, posting, usage
from inventory.services.usage import ReverseAct, SlipLineAct
from projects.errors import NotAllowed, NotFound
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = 50_000


def take_back(at, slip, *, reason="wrong pour", by=None):
    act = ReverseAct(slip_id=slip.pk, reason=reason)
    return usage.reverse(actor=by or at.cast.bob, act=act, key=made.key(), now=NOW)


def test_issue_carries_the_weighted_average_to_the_slab():
    """IAS 2 paragraph 27: 100 bags at 400.00 and 50 at 430.00 average 410.00."""
    at = made.yard()
    made.receive(at, packs=100)
    goods.offer(at.supplier, of=at.cement, pack_price=430_000_000, from_date=date(2026, 5, 1))
    made.receive(at, packs=50)

    slip = made.issue(at, packs=30)

    assert made.balance("slab", of=at.cement) == (30 * BAG, 30 * 41_000)
    assert made.balance("store", of=at.cement) == (120 * BAG, 120 * 41_000)
    assert slip.lines.get().value_minor == 30 * 41_000
    made.assert_sound()


def test_issue_of_more_than_there_is_is_refused_with_what_is_there():
    at = made.yard()
    made.receive(at, packs=40)

    with pytest.raises(posting.NotEnoughStock) as refused:
        made.issue(at, packs=60)

    assert refused.value.message == (
        "There are 2,000 kg (40 × bag) of Cement in the store; you asked for 3,000 kg (60 × bag). "
        "Count the store or record the delivery first."
    )
    assert refused.value.params == {
        "line": 1,
        "material": "cement",
        "there": 40 * BAG,
        "asked": 60 * BAG,
        "over_age": 0,
        "unit": "g",
    }
    assert StockSlip.objects.count() == 0


def test_two_lines_of_one_slip_cannot_take_the_same_bags_twice():
    at = made.yard()
    made.receive(at, packs=40)
    act = made.issue_act(at, packs=30)

    with pytest.raises(posting.NotEnoughStock):
        usage.issue(actor=at.cast.bob, act=replace(act, lines=act.lines * 2), key=made.key(), now=NOW)


def test_oldest_lot_goes_first_and_a_lot_over_age_is_passed_over():
    at = made.yard(shelf_days=90)
    made.receive(at, packs=10, made_date=date(2026, 4, 13))
    made.receive(at, packs=10, made_date=date(2026, 4, 6))
    made.receive(at, packs=10, made_date=date(2026, 1, 5))

    made.issue(at, packs=15)

    left = {row.lot.label: row.quantity // BAG for row in LotStock.objects.filter(place__kind="store")}
    assert left == {"2026-01-05": 10, "2026-04-06": 0, "2026-04-13": 5}
    made.assert_sound()


def test_what_is_over_age_is_named_in_the_refusal():
    at = made.yard(shelf_days=90)
    made.receive(at, packs=10, made_date=date(2026, 4, 13))
    made.receive(at, packs=10, made_date=date(2026, 1, 5))

    with pytest.raises(posting.NotEnoughStock) as refused:
        made.issue(at, packs=15)

    assert refused.value.message.endswith("Another 500 kg (10 × bag) are blocked: over age.")


def test_lot_over_age_is_not_issued_by_a_word():
    at = made.yard(shelf_days=90)
    made.receive(at, packs=10, made_date=date(2026, 1, 5))
    lot = Lot.objects.get()

    with pytest.raises(lots.OverAge) as refused:
        made.issue(at, packs=5, lot_id=lot.pk, reason="compression test 14/26 passed")

    assert refused.value.field == "reason"
    assert made.balance("slab", of=at.cement)[0] == 0


def test_named_lot_lasts_only_as_far_as_it_goes():
    at = made.yard()
    made.receive(at, packs=10, made_date=date(2026, 4, 13))
    made.receive(at, packs=10, made_date=date(2026, 4, 6))

    with pytest.raises(posting.NotEnoughStock):
        made.issue(at, packs=11, lot_id=Lot.objects.first().pk)


def test_return_comes_back_at_the_slab_average():
    at = made.yard()
    made.receive(at, packs=100)
    made.issue(at, packs=60)
    goods.offer(at.supplier, of=at.cement, pack_price=460_000_000, from_date=date(2026, 5, 1))
    made.receive(at, packs=20)
    made.issue(at, packs=60)

    goods.bring_back(at.cast.bob, to=at.pour, of=at.cement, packs=30)

    # The store held 40 at 400.00 and 20 at 460.00, so the slab has 60 at 400.00 and 60 at 420.00.
    assert made.balance("store", of=at.cement) == (30 * BAG, 30 * 41_000)
    assert made.balance("slab", of=at.cement) == (90 * BAG, 90 * 41_000)


def test_return_of_more_than_the_slab_has_is_refused():
    at = made.yard()
    made.receive(at, packs=10)
    made.issue(at, packs=5)

    with pytest.raises(posting.NotEnoughStock):
        goods.bring_back(at.cast.bob, to=at.pour, of=at.cement, packs=6)


def test_waste_leaves_the_store_or_the_slab_with_its_value():
    at = made.yard()
    made.receive(at, packs=10)
    made.issue(at, packs=6)

    goods.waste(at.cast.bob, site=at.cast.site, of=at.cement, packs=1)
    goods.waste(at.cast.bob, site=at.cast.site, of=at.cement, packs=2, pour=at.pour)

    assert made.balance("waste", of=at.cement) == (3 * BAG, 3 * 40_000)
    assert made.balance("store", of=at.cement)[0] == 3 * BAG
    assert made.balance("slab", of=at.cement)[0] == 4 * BAG


def test_waste_without_a_cause_is_refused():
    at = made.yard()
    act = usage.WasteAct(site_id=at.cast.site.pk, reason="  ", happened_at=NOW, lines=())

    with pytest.raises(usage.ReasonMissing):
        usage.waste(actor=at.cast.bob, act=act, key=made.key(), now=NOW)


def test_closed_pour_takes_and_gives_nothing():
    at = made.yard()
    made.receive(at, packs=10)
    made.issue(at, packs=5)
    made.placed(at)
    made.close(at)

    with pytest.raises(usage.PourClosed):
        made.issue(at, packs=1)
    with pytest.raises(usage.PourClosed):
        goods.bring_back(at.cast.bob, to=at.pour, of=at.cement, packs=1)


def test_taking_back_an_issue_restores_the_original_value_and_lots():
    at = made.yard()
    made.receive(at, packs=100, made_date=date(2026, 4, 6))
    slip = made.issue(at, packs=30)
    goods.offer(at.supplier, of=at.cement, pack_price=460_000_000, from_date=date(2026, 5, 1))
    made.receive(at, packs=100)

    take_back(at, slip)

    assert made.balance("store", of=at.cement) == (200 * BAG, 100 * 40_000 + 100 * 46_000)
    assert LotStock.objects.get(place__kind="store").quantity == 100 * BAG
    assert StockSlip.objects.get(pk=slip.pk).reason == "wrong pour"
    made.assert_sound()


def test_taking_back_a_slip_twice_or_without_a_reason_is_refused():
    at = made.yard()
    made.receive(at, packs=10)
    slip = made.issue(at, packs=3)

    with pytest.raises(usage.ReasonMissing):
        take_back(at, slip, reason="")
    take_back(at, slip)
    with pytest.raises(posting.AlreadyReversed):
        take_back(at, slip)


def test_value_that_a_pool_cannot_hold_follows_the_material():
    """Two loads of ten at 100 and at 200 average 150; taking one back leaves 500 that the slab bears."""
    at = made.yard()
    goods.offer(at.supplier, of=at.cement, pack_price=1_000_000, from_date=date(2026, 5, 1))
    first = made.receive(at, packs=10)
    goods.offer(at.supplier, of=at.cement, pack_price=2_000_000, from_date=date(2026, 5, 2))
    made.receive(at, packs=10)
    made.issue(at, packs=10)

    goods.taken_back(at.cast.bob, receipt=first)

    assert made.balance("store", of=at.cement) == (0, 0)
    assert made.balance("slab", of=at.cement) == (10 * BAG, 2_000)
    made.assert_sound()


def test_value_that_a_pool_lacks_is_taken_from_where_the_material_went():
    at = made.yard()
    goods.offer(at.supplier, of=at.cement, pack_price=1_000_000, from_date=date(2026, 5, 1))
    made.receive(at, packs=10)
    goods.offer(at.supplier, of=at.cement, pack_price=2_000_000, from_date=date(2026, 5, 2))
    second = made.receive(at, packs=10)
    made.issue(at, packs=10)

    goods.taken_back(at.cast.bob, receipt=second)

    assert made.balance("store", of=at.cement) == (0, 0)
    assert made.balance("slab", of=at.cement) == (10 * BAG, 1_000)
    made.assert_sound()


def test_value_that_no_pool_can_bear_goes_to_where_the_material_came_from():
    at = made.yard()
    goods.offer(at.supplier, of=at.cement, pack_price=1_000_000, from_date=date(2026, 5, 1))
    made.receive(at, packs=10)
    goods.offer(at.supplier, of=at.cement, pack_price=9_000_000, from_date=date(2026, 5, 2))
    second = made.receive(at, packs=10)
    made.issue(at, packs=9)
    goods.bring_back(at.cast.bob, to=at.pour, of=at.cement, packs=8)

    goods.taken_back(at.cast.bob, receipt=second)

    made.assert_sound()


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ({"amount": Decimal(0)}, measures.BadQuantity),
        ({"amount": Decimal(-1)}, measures.BadQuantity),
        ({"unit": "m3", "pack_id": None}, measures.BadUnit),
        ({"material_id": 0}, NotFound),
        ({"lot_id": 0}, NotFound),
        ({"pack_id": 0}, NotFound),
    ],
)
def test_bad_line_is_refused(line, fault):
    at = made.yard()
    made.receive(at, packs=10)
    act = made.issue_act(at, packs=1)
    act = replace(act, lines=(replace(act.lines[0], **line),))

    with pytest.raises(fault):
        usage.issue(actor=at.cast.bob, act=act, key=made.key(), now=NOW)


def test_slip_without_lines_is_refused():
    at = made.yard()

    with pytest.raises(usage.NoLines):
        usage.issue(actor=at.cast.bob, act=replace(made.issue_act(at, packs=1), lines=()), key="k", now=NOW)


def test_amount_in_a_unit_needs_no_pack():
    at = made.yard()
    made.receive(at, packs=10)
    act = made.issue_act(at, packs=1)
    kilograms = SlipLineAct(material_id=at.cement.material.pk, amount=Decimal("12.5"), unit="kg")

    usage.issue(actor=at.cast.bob, act=replace(act, lines=(kilograms,)), key="k", now=NOW)

    assert made.balance("slab", of=at.cement) == (12_500, 10_000)


def test_strangers_find_nothing_and_the_owner_moves_nothing():
    at = made.yard()
    made.receive(at, packs=10)
    slip = made.issue(at, packs=1)
    elsewhere = goods.pour(at.cast.other_site)

    with pytest.raises(NotFound):
        made.issue(at, packs=1, by=at.cast.charlie)
    with pytest.raises(NotFound):
        usage.issue(
            actor=at.cast.bob,
            act=replace(made.issue_act(at, packs=1), pour_id=elsewhere.pk),
            key="k",
            now=NOW,
        )
    with pytest.raises(NotFound):
        take_back(at, slip, by=at.cast.charlie)
    with pytest.raises(NotAllowed):
        made.issue(at, packs=1, by=at.cast.olga)


def test_waste_of_a_pour_of_another_site_is_not_found():
    at = made.yard()
    elsewhere = goods.pour(at.cast.other_site)

    with pytest.raises(NotFound):
        goods.waste(at.cast.alice, site=at.cast.site, of=at.cement, packs=1, pour=elsewhere)


def test_slip_sent_twice_counts_once():
    at = made.yard()
    made.receive(at, packs=10)
    act = made.issue_act(at, packs=4)

    for _again in range(3):
        usage.issue(actor=at.cast.bob, act=act, key="same", now=NOW)

    assert Movement.objects.filter(reason="issue").count() == 1
    assert made.balance("store", of=at.cement)[0] == 6 * BAG
