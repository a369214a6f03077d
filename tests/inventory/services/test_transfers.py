"""Material sent from one store to another: on the road, received as found, lost with its owner, called back.

100 bags worth 40,000.00 lie at the first site; 60 are sent: 24,000.00.
"""

from datetime import date
from decimal import Decimal

import pytest

from inventory.models import LotStock, Place, Stock, Transfer
from inventory.queries import on_road
from inventory.services import counts, posting, rebuilding, transfers
from inventory.services.counts import CountAct, CountLineAct
from inventory.services.transfers import ArrivalAct, ArrivedLineAct, CallBackAct, DispatchAct
from inventory.services.usage import NoLines, SlipLineAct
from projects.errors import NotFound
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, cast
from tests.factories.inventory_orders import BAG_G

pytestmark = [pytest.mark.django_db, pytest.mark.data]

STORE, ROAD, WASTE = Place.Kind.STORE, Place.Kind.IN_TRANSIT, Place.Kind.WASTE


@pytest.fixture
def yard():
    people = cast()
    bags = make.cement(people.firm.pk, shelf_days=90)
    make.supplier(people.firm.pk)
    act = {"site": people.site, "of": bags, "value_minor": 2_000_000}
    make.in_store(people.alice, **act, packs=50, made=date(2026, 4, 6))
    make.in_store(people.alice, **act, packs=50, made=date(2026, 4, 13))
    return people, bags


def send(yard, *, bags=60, by=None, key="d1", **changes):
    people, cement = yard
    line = SlipLineAct(material_id=cement.material.pk, pack_id=cement.pack.pk, amount=Decimal(bags))
    act = {
        "from_site_id": people.site.pk,
        "to_site_id": people.other_site.pk,
        "happened_at": NOW,
        "lines": (line,),
    }
    return transfers.dispatch(actor=by or people.bob, act=DispatchAct(**{**act, **changes}), key=key, now=NOW)


def arrive(yard, transfer, *, bags=60, reason="", by=None, key="a1", **changes):
    people, cement = yard
    line = ArrivedLineAct(
        line_id=transfer.lines.get().pk, pack_id=cement.pack.pk, found=Decimal(bags), lost_reason=reason
    )
    act = ArrivalAct(**{"transfer_id": transfer.pk, "happened_at": NOW, "lines": (line,), **changes})
    return transfers.receive(actor=by or people.alice, act=act, key=key, now=NOW)


def held(yard, site, kind=STORE):
    row = Stock.objects.filter(place__site=site, place__kind=kind, material=yard[1].material).first()
    return (row.quantity // BAG_G, row.value_minor) if row else (0, 0)


def test_what_is_sent_is_on_the_road_with_its_value_and_its_lots(yard):
    people, _ = yard
    transfer = send(yard)
    assert (transfer.state, transfer.lines.get().value_minor) == ("on_road", 2_400_000)
    assert held(yard, people.site) == (40, 1_600_000)
    assert held(yard, people.other_site, ROAD) == (60, 2_400_000)
    lots = LotStock.objects.filter(place__kind=ROAD).order_by("lot__made_date")
    assert [row.quantity // BAG_G for row in lots] == [50, 10]


def test_what_arrives_is_in_the_other_store_at_its_value(yard):
    people, _ = yard
    transfer = arrive(yard, send(yard))
    assert (transfer.state, transfer.by_one_person, transfer.loss_owner) == ("received", False, None)
    assert held(yard, people.other_site) == (60, 2_400_000)
    assert held(yard, people.other_site, ROAD) == (0, 0)
    assert rebuilding.compare(people.firm.pk) == []


def test_what_is_missing_is_a_loss_on_the_road_with_its_owner(yard):
    people, _ = yard
    transfer = arrive(yard, send(yard), bags=57, reason="three bags burst on the road")
    assert held(yard, people.other_site) == (57, 2_280_000)
    assert held(yard, people.other_site, WASTE) == (3, 120_000)
    assert transfer.loss_owner == transfer.dispatched_by
    assert rebuilding.compare(people.firm.pk) == []


def test_a_loss_is_given_to_a_person(yard):
    people, _ = yard
    olga = people.firm.memberships.get(person__username="olga").person
    transfer = arrive(yard, send(yard), bags=59, reason="torn", loss_owner_id=olga.pk)
    assert transfer.loss_owner == olga


def test_freight_is_part_of_what_the_material_is_worth_there(yard):
    people, _ = yard
    arrive(yard, send(yard, freight_minor=60_000))
    assert held(yard, people.other_site) == (60, 2_460_000)
    assert rebuilding.compare(people.firm.pk) == []


def test_material_of_no_value_bears_its_freight_too(yard):
    people, cement = yard
    Stock.objects.filter(material=cement.material).delete()
    make.in_store(people.alice, site=people.site, of=cement, packs=10, value_minor=0)
    arrive(yard, send(yard, bags=10, freight_minor=500), bags=10)
    assert held(yard, people.other_site) == (10, 500)


def test_one_person_at_both_ends_is_allowed_and_marked(yard):
    people, _ = yard
    assert arrive(yard, send(yard, by=people.alice)).by_one_person


def test_a_count_of_the_store_leaves_what_is_on_the_road_alone(yard):
    people, cement = yard
    send(yard)
    line = CountLineAct(material_id=cement.material.pk, pack_id=cement.pack.pk, found=Decimal(40))
    act = CountAct(site_id=people.site.pk, happened_at=NOW, lines=(line,))
    count = counts.record(actor=people.alice, act=act, key="c", now=NOW)
    assert [row.difference for row in count.lines.all()] == [0]
    assert held(yard, people.other_site, ROAD) == (60, 2_400_000)


def test_a_transfer_called_back_is_in_its_store_again(yard):
    people, _ = yard
    transfer = send(yard)
    act = CallBackAct(transfer_id=transfer.pk, reason="the lorry broke down")
    assert transfers.call_back(actor=people.bob, act=act, key="b", now=NOW).state == "called_back"
    assert held(yard, people.site) == (100, 4_000_000)
    with pytest.raises(transfers.NotOnRoad):
        arrive(yard, transfer)
    assert rebuilding.compare(people.firm.pk) == []


def test_a_call_back_says_why(yard):
    people, _ = yard
    with pytest.raises(transfers.BadArrival):
        transfers.call_back(
            actor=people.bob, act=CallBackAct(transfer_id=send(yard).pk, reason=" "), key="b", now=NOW
        )


def test_more_than_the_store_holds_is_not_sent(yard):
    with pytest.raises(posting.NotEnoughStock):
        send(yard, bags=101)
    assert not Transfer.objects.exists()


@pytest.mark.parametrize(
    ("changes", "error"),
    [
        ({"lines": ()}, NoLines),
        ({"freight_minor": -1}, transfers.measures.BadQuantity),
    ],
)
def test_a_transfer_that_cannot_be_is_refused(yard, changes, error):
    with pytest.raises(error):
        send(yard, **changes)


def test_a_store_does_not_send_to_itself(yard):
    with pytest.raises(transfers.SameSite):
        send(yard, to_site_id=yard[0].site.pk)


@pytest.mark.parametrize(("bags", "reason"), [(61, ""), (59, "")])
def test_more_than_was_sent_and_a_loss_without_reason_are_refused(yard, bags, reason):
    people, _ = yard
    with pytest.raises(transfers.BadArrival) as refused:
        arrive(yard, send(yard), bags=bags, reason=reason)
    assert refused.value.params["line"] == 1
    assert held(yard, people.other_site) == (0, 0)


def test_every_line_is_counted(yard):
    with pytest.raises(transfers.BadArrival, match="Count every line"):
        arrive(yard, send(yard), lines=())


def test_the_same_key_sends_once(yard):
    assert send(yard) == send(yard)
    assert held(yard, yard[0].site) == (40, 1_600_000)


def test_a_site_manager_sends_from_the_own_site_and_receives_at_the_own_site(yard):
    people, _ = yard
    with pytest.raises(NotFound):
        send(yard, from_site_id=people.other_site.pk, to_site_id=people.site.pk)
    transfer = send(yard)
    with pytest.raises(NotFound):
        arrive(yard, transfer, by=people.bob)
    sheet = on_road.one(people.bob, transfer_id=transfer.pk)
    assert (sheet.may_receive, sheet.may_call_back) == (False, True)
    with pytest.raises(NotFound):
        on_road.one(people.charlie, transfer_id=transfer.pk)
    with pytest.raises(NotFound):
        send(yard, to_site_id=people.charlie_site.pk, key="d2")


def test_the_number_of_queries_does_not_grow(yard, django_assert_num_queries):
    people, _ = yard
    for n in range(3):
        transfer = send(yard, bags=5, key=f"d{n}")
        with django_assert_num_queries(1):
            assert len(on_road.listing(people.alice).rows) == n + 1
    assert len(on_road.coming(people.alice, site_id=people.other_site.pk)) == 3
    with django_assert_num_queries(3):
        on_road.one(people.alice, transfer_id=transfer.pk)
