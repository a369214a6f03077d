"""Terms of suppliers in the plan and in the orders made of it. NOW is Monday 4 May 2026, Sunday is off.

A bag holds 50 kg; a price of 4,000,000 is 400 minor units a bag.
"""

from dataclasses import replace
from datetime import date

import pytest

from inventory.models import Offer, PurchaseOrder, RateAgreement, Suggestion
from inventory.services import agreements, planning, suggestions, supplier_terms, suppliers
from inventory.services.agreements import AgreementAct
from inventory.services.planning import PlanAct
from inventory.services.suggestions import ApproveAct, BelowLeast, Choice
from inventory.services.supplier_terms import BadTerms, SupplierTermsAct
from inventory.services.suppliers import BadOffer, BreakAct, OfferAct
from projects.access import actor as actors
from projects.errors import KeyReused, NotAllowed, NotFound
from projects.models import Outbox, Site
from projects.services import holidays
from projects.services.holidays import HolidayAct
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAG = make.BAG_G
TUESDAY, FRIDAY, SUNDAY = 1, 4, 6


def _setting():
    people = cast()
    bags = make.cement(people.firm.pk)
    return people, bags, make.supplier(people.firm.pk)


def _terms(people, by, *, key="t1", **figures):
    act = SupplierTermsAct(supplier_id=by.pk, **figures)
    return supplier_terms.set_terms(actor=people.alice, act=act, key=key, now=NOW)


def _offer(people, by, bags, *, key="o1", **more):
    act = OfferAct(
        supplier_id=by.pk,
        material_id=bags.material.pk,
        pack_id=bags.pack.pk,
        from_date=date(2026, 5, 1),
        pack_price=4_000_000,
        lead_days=2,
    )
    return suppliers.set_offer(actor=people.alice, act=replace(act, **more), key=key, now=NOW)


def _need(people, bags, *, packs, on, slab="Roof"):
    make.need(make.pour(people.site, slab=slab, on=on), of=bags, quantity=packs * BAG, on=on)


def _plan(people, *, key="p1"):
    return planning.make_plan(actor=actors.for_jobs(people.firm.pk), act=PlanAct(), key=key, now=NOW)


def _open():
    return list(Suggestion.objects.filter(state="open").order_by("need_date", "id"))


def _approve(people, *rows, key="a1"):
    act = ApproveAct(choices=tuple(Choice(suggestion_id=row.pk) for row in rows))
    return suggestions.approve(actor=people.alice, act=act, key=key, now=NOW)


def test_terms_are_kept_and_ask_for_a_plan():
    people, _bags, by = _setting()
    row = _terms(people, by, trip_minor=90_000, truck_kg=9_000, delivery_days=(FRIDAY, TUESDAY, FRIDAY))
    assert (row.trip_minor, row.truck_kg, row.delivery_days, row.order_days) == (90_000, 9_000, [1, 4], [])
    assert Outbox.objects.filter(job="inventory.plan", firm=people.firm).count() == 1
    again = _terms(people, by, trip_minor=90_000, truck_kg=9_000, delivery_days=(FRIDAY, TUESDAY, FRIDAY))
    assert again == row
    with pytest.raises(KeyReused):
        _terms(people, by, trip_minor=1)


@pytest.mark.parametrize(
    ("figures", "field"),
    [
        ({"trip_minor": -1}, "trip_minor"),
        ({"least_order_minor": 10**14}, "least_order_minor"),
        ({"truck_kg": 0}, "truck_kg"),
        ({"order_days": (7,)}, "order_days"),
        ({"delivery_days": (SUNDAY,)}, "delivery_days"),
    ],
)
def test_terms_out_of_bounds_are_refused(figures, field):
    people, _bags, by = _setting()
    with pytest.raises(BadTerms) as refused:
        _terms(people, by, **figures)
    assert refused.value.field == field


def test_terms_are_the_office_s_and_the_firm_s():
    people, _bags, by = _setting()
    act = SupplierTermsAct(supplier_id=by.pk, trip_minor=1)
    for actor, refusal in ((people.bob, NotAllowed), (people.olga, NotAllowed), (people.charlie, NotFound)):
        with pytest.raises(refusal):
            supplier_terms.set_terms(actor=actor, act=act, key="x", now=NOW)


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"breaks": (BreakAct(1, 3_000_000),)}, "breaks"),
        ({"breaks": (BreakAct(10, 4_000_000),)}, "breaks"),
        ({"breaks": (BreakAct(10, 3_000_000), BreakAct(10, 2_000_000))}, "breaks"),
        ({"breaks": tuple(BreakAct(n, 3_000_000 - n) for n in range(2, 13))}, "breaks"),
        ({"valid_until": date(2026, 4, 30)}, "valid_until"),
        ({"truck_packs": 0}, "truck_packs"),
    ],
)
def test_an_offer_with_terms_that_do_not_fit_is_refused(more, field):
    people, bags, by = _setting()
    with pytest.raises(BadOffer) as refused:
        _offer(people, by, bags, **more)
    assert (refused.value.field, Offer.objects.count()) == (field, 0)


def test_one_truck_brings_two_pours_and_the_order_bears_it():
    # A truck for 900.00 against 18 bags of 4.00 kept a week: one delivery on Thursday the 14th for both.
    people, bags, by = _setting()
    _offer(people, by, bags)
    _terms(people, by, trip_minor=90_000, truck_kg=9_000)
    _need(people, bags, packs=10, on=date(2026, 5, 15))
    _need(people, bags, packs=8, on=date(2026, 5, 22), slab="Porch")
    _plan(people)
    rows = _open()
    assert [(row.packs, row.order_by_date) for row in rows] == [
        (10, date(2026, 5, 12)),
        (8, date(2026, 5, 12)),
    ]
    assert rows[0].reason["terms"]["trucks"] == {"count": 1, "cost_minor": 90_000, "with": []}
    order = _approve(people, *rows)
    assert (order.freight_minor, order.total_minor) == (90_000, 18 * 400 + 90_000)


def test_trucks_are_counted_by_mass_or_by_the_packs_that_fill_one():
    # 200 bags are 10 t: two trucks of 9 t; where 60 bags fill one, four.
    people, bags, by = _setting()
    _terms(people, by, trip_minor=90_000, truck_kg=9_000)
    for key, more, freight in (("o1", {}, 180_000), ("o2", {"truck_packs": 60}, 360_000)):
        _offer(people, by, bags, key=key, **more)
        act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=200),))
        assert make.drafted(people.alice, act=act).freight_minor == freight


@pytest.mark.parametrize(
    ("incremental", "price", "total"), [(False, 3_600_000, 8_640), (True, 3_833_333, 9_200)]
)
def test_a_price_break_is_planned_and_ordered(incremental, price, total):
    # 24 bags; from 14 on 360: for all 24 x 360 = 8,640, for those beyond 14 x 400 + 10 x 360 = 9,200.
    people, bags, by = _setting()
    _offer(people, by, bags, breaks=(BreakAct(14, 3_600_000),), incremental=incremental)
    _need(people, bags, packs=24, on=date(2026, 5, 15))
    _plan(people)
    [row] = _open()
    assert (row.packs, row.pack_price, row.amount_minor) == (24, price, total)
    assert row.reason["terms"]["break"] == {"from_packs": 14, "first_price": 4_000_000}
    assert (_approve(people, row).total_minor, PurchaseOrder.objects.get().lines.count()) == (total, 1)


def test_a_price_whose_validity_is_over_is_not_planned_with():
    people, bags, by = _setting()
    _offer(people, by, bags, valid_until=date(2026, 5, 3))
    _need(people, bags, packs=5, on=date(2026, 5, 15))
    _plan(people)
    assert [row.supplier for row in _open()] == [None]
    _offer(people, by, bags, key="o2", valid_until=date(2026, 5, 4))
    _plan(people, key="p2")
    [row] = _open()
    assert (row.supplier, row.reason["terms"]) == (by, {"valid_until": "2026-05-04"})


def test_rounds_and_order_days_set_the_day_to_order_by():
    # Needed on Saturday 16 with a day to spare: Friday the 15th is a round. Two working days before it is
    # Wednesday; orders are taken on Tuesdays, so on the 12th.
    people, bags, by = _setting()
    _offer(people, by, bags)
    _terms(people, by, order_days=(TUESDAY,), delivery_days=(TUESDAY, FRIDAY))
    _need(people, bags, packs=5, on=date(2026, 5, 16))
    _plan(people)
    [row] = _open()
    assert (row.order_by_date, row.reason["deliver_by"]) == (date(2026, 5, 12), "2026-05-15")
    assert _approve(people, row).expected_date == date(2026, 5, 15)


def test_no_order_is_suggested_or_made_below_what_a_supplier_takes():
    # Five bags are 2,000; orders are taken from 3,000 on: eight bags.
    people, bags, by = _setting()
    _offer(people, by, bags)
    _terms(people, by, least_order_minor=3_000)
    _need(people, bags, packs=5, on=date(2026, 5, 15))
    _plan(people)
    [row] = _open()
    assert (row.packs, row.reason["terms"]["extra_packs"]) == (8, 3)
    assert row.reason["terms"]["least_order"] == {"least_minor": 3_000, "value_minor": 3_200}
    with pytest.raises(BelowLeast):
        suggestions.approve(
            actor=people.alice,
            act=ApproveAct(choices=(Choice(suggestion_id=row.pk, packs=7),)),
            key="few",
            now=NOW,
        )
    assert PurchaseOrder.objects.count() == 0
    assert _approve(people, row).total_minor == 3_200


def test_a_holiday_brings_the_order_forward():
    # Needed on Friday 15 May: on site by Thursday, ordered on Tuesday. With Wednesday and Thursday closed it
    # comes on Tuesday and is ordered on Saturday.
    people, bags, by = _setting()
    _offer(people, by, bags)
    _need(people, bags, packs=5, on=date(2026, 5, 15))
    for day in (13, 14):
        act = HolidayAct(day=date(2026, 5, day), name="Harvest")
        holidays.put(actor=people.alice, act=act, key=f"h{day}", now=NOW)
    _plan(people)
    [row] = _open()
    assert (row.reason["deliver_by"], row.order_by_date) == ("2026-05-12", date(2026, 5, 9))


def _agreed(people, by, bags, *, packs, key="g1", **more):
    act = AgreementAct(
        supplier_id=by.pk,
        pack_id=bags.pack.pk,
        pack_price=3_500_000,
        total_packs=packs,
        from_date=date(2026, 5, 1),
        valid_until=date(2026, 5, 31),
        lead_days=2,
    )
    return agreements.agree(actor=people.alice, act=replace(act, **more), key=key, now=NOW)


def test_the_plan_buys_at_the_agreed_rate_and_the_order_calls_it_off():
    # 30 bags were agreed: the first pour's 20 are called off, the second's 20 are bought at the offer.
    people, bags, by = _setting()
    _offer(people, by, bags)
    agreed = _agreed(people, by, bags, packs=30)
    _need(people, bags, packs=20, on=date(2026, 5, 15))
    _need(people, bags, packs=20, on=date(2026, 5, 22), slab="Porch")
    _plan(people)
    rows = _open()
    assert [(row.agreement, row.packs, row.pack_price) for row in rows] == [
        (agreed, 20, 3_500_000),
        (None, 20, 4_000_000),
    ]
    assert rows[0].reason["terms"]["agreement"]["number"] == agreed.number
    order = _approve(people, *rows)
    lines = list(order.lines.order_by("position").values_list("agreement", "packs", "pack_price"))
    assert lines == [(agreed.pk, 20, 3_500_000), (None, 20, 4_000_000)]
    assert RateAgreement.objects.get().order_lines.count() == 1


def test_what_is_beyond_an_agreed_total_waits_for_an_offer():
    people, bags, by = _setting()
    _agreed(people, by, bags, packs=30)
    for at, day in enumerate((15, 22)):
        _need(people, bags, packs=20, on=date(2026, 5, day), slab=f"Slab {at}")
    _plan(people)
    assert [(row.supplier, row.packs) for row in _open()] == [(by, 20), (None, 20)]


def test_an_agreement_serves_no_order_after_its_days():
    # Needed on 12 June with a day to spare and two to come: ordered on 9 June, after the agreement.
    people, bags, by = _setting()
    _offer(people, by, bags)
    _agreed(people, by, bags, packs=100)
    _need(people, bags, packs=20, on=date(2026, 6, 12))
    _plan(people)
    assert [(row.agreement, row.pack_price) for row in _open()] == [(None, 4_000_000)]


def test_two_sites_together_take_no_more_than_was_agreed():
    people, bags, by = _setting()
    _offer(people, by, bags)
    _agreed(people, by, bags, packs=30)
    _need(people, bags, packs=20, on=date(2026, 5, 15))
    other = Site.objects.create(firm=people.firm, name="Kiln Lane", opened_date=TODAY)
    make.need(make.pour(other, on=date(2026, 5, 15)), of=bags, quantity=20 * BAG, on=date(2026, 5, 15))
    _plan(people)
    assert sum(row.packs for row in _open() if row.agreement_id) == 20
    assert len(_open()) == 2
