from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.core import mail

from inventory import tasks
from inventory.models import Offer, Quotation, QuotationChoice
from inventory.queries import enquiries as rows
from inventory.services import enquiries, quotations
from inventory.services.enquiries import EnquiryAct, EnquiryLineAct, EnquiryStep
from inventory.services.quotations import ChoiceAct
from projects.errors import NotAllowed, NotFound, Refused
from projects.models import Outbox
from tests.factories import buying
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

RUPEE = 1_000_000


def _setting():
    """Sand is asked of two suppliers: 12 m³, kept in loads of 5 m³."""
    people = cast()
    sand = make.sand(people.firm.pk)
    sellers = tuple(
        make.supplier(people.firm.pk, name=name, email=f"{name[:3].lower()}@pits.example")
        for name in ("Blue Hollow", "Weir Sand")
    )
    line = EnquiryLineAct(material_id=sand.material.pk, amount=Decimal(12), specification="coarse, zone II")
    act = EnquiryAct(
        site_id=people.site.pk,
        needed_date=TODAY + timedelta(days=9),
        answer_date=TODAY + timedelta(days=2),
        supplier_ids=tuple(one.pk for one in sellers),
        lines=(line,),
    )
    enquiry = enquiries.write(actor=people.alice, act=act, key="e1", now=NOW)
    return people, sand, sellers, enquiry, act


def _choose(actor, row, *, reason="nearest pit", pack_id=None, key="c1", now=NOW):
    act = ChoiceAct(quoted_id=row.pk, reason=reason, pack_id=pack_id)
    return quotations.choose(actor=actor, act=act, key=key, now=now)


def test_the_chosen_quotation_becomes_the_suppliers_offer_of_the_day():
    # 5,600 a brass with 5 % tax that stays: 5,880 / 2.8316846592 = 2,076.5025 a m³; a load of 5 m³ 10,382.51.
    people, sand, (blue, _weir), enquiry, _act = _setting()
    row = buying.quoted(
        people.alice, enquiry, by=blue, price=5_600 * RUPEE, unit="brass", tax_percent=Decimal(5), lead_days=3
    )
    choice = _choose(people.alice, row, pack_id=sand.pack.pk)
    offer = Offer.objects.get(supplier=blue)
    assert (offer.from_date, offer.lead_days, offer.minimum_packs) == (TODAY, 3, 1)
    assert offer.pack_price == choice.pack_price == pytest.approx(10_382.51 * RUPEE, abs=0.01 * RUPEE)
    assert (choice.reason, choice.chosen_by_id) == ("nearest pit", people.alice.person_id)


def test_the_pack_of_the_same_content_is_found_and_the_minimum_counted_in_it():
    people, sand, (blue, _weir), enquiry, _act = _setting()
    row = buying.quoted(
        people.alice, enquiry, by=blue, price=10_000 * RUPEE, unit="m3", load=Decimal(5), minimum=Decimal(2)
    )
    offer = _choose(people.alice, row).offer
    assert (offer.pack, offer.pack_price, offer.minimum_packs) == (sand.pack, 10_000 * RUPEE, 2)


def test_quotations_stand_side_by_side_the_lowest_on_site_first():
    people, _sand, (blue, weir), enquiry, _act = _setting()
    freight = {"freight": 350 * RUPEE, "freight_basis": "unit"}
    buying.quoted(people.alice, enquiry, by=weir, price=1_900 * RUPEE, unit="m3", **freight)
    buying.quoted(people.alice, enquiry, by=blue, price=5_600 * RUPEE, unit="brass")
    [line] = rows.compared(people.alice, enquiry, today=TODAY)
    # 5,600 / 2.8316846592 = 1,977.62 a m³ against 1,900 + 350.
    shown = [(one.row.quotation.supplier.name, one.per_unit_minor, one.lowest) for one in line.quoted]
    assert shown == [("Blue Hollow", 197_762, True), ("Weir Sand", 225_000, False)]


def test_an_expired_quotation_is_said_to_be_so_and_not_chosen():
    people, _sand, (blue, _weir), enquiry, _act = _setting()
    row = buying.quoted(people.alice, enquiry, by=blue, price=RUPEE, unit="m3", until=TODAY)
    later = NOW + timedelta(days=1)
    [line] = rows.compared(people.alice, enquiry, today=later.date())
    assert [(one.expired, one.lowest) for one in line.quoted] == [(True, False)]
    with pytest.raises(quotations.QuotationExpired) as refused:
        _choose(people.alice, row, now=later)
    assert refused.value.code == "quotation_expired"
    assert "2026-05-04" in refused.value.message


def test_a_quotation_that_was_replaced_is_not_chosen():
    people, _sand, (blue, _weir), enquiry, _act = _setting()
    old = buying.quoted(people.alice, enquiry, by=blue, price=RUPEE, unit="m3")
    buying.quoted(people.alice, enquiry, by=blue, price=2 * RUPEE, unit="m3")
    with pytest.raises(quotations.QuotationReplaced):
        _choose(people.alice, old)
    [line] = rows.compared(people.alice, enquiry, today=TODAY)
    assert [one.replaced for one in line.quoted] == [False, True]


@pytest.mark.parametrize(
    ("quoted", "code", "field"),
    [
        ({"unit": "m2"}, "wrong_kind", "unit"),
        ({"unit": "t"}, "wrong_kind", "unit"),
        ({"unit": "sack"}, "wrong_kind", "unit"),
        ({"unit": "m3", "price": -1}, "bad_quotation", "price"),
        ({"unit": "m3", "load": Decimal(0)}, "bad_quotation", "load"),
        ({"unit": "m3", "freight_basis": "by mule"}, "bad_quotation", "freight_basis"),
        ({"unit": "m3", "tax_percent": Decimal(101)}, "bad_quotation", "tax_percent"),
        ({"unit": "m3", "lead_days": 400}, "bad_quotation", "lead_days"),
        ({"unit": "m3", "until": date(2026, 5, 3)}, "bad_quotation", "valid_until"),
    ],
)
def test_a_quotation_that_cannot_be_is_refused(quoted, code, field):
    people, _sand, (blue, _weir), enquiry, _act = _setting()
    with pytest.raises(Refused) as refused:
        buying.quoted(people.alice, enquiry, by=blue, **({"price": RUPEE} | quoted))
    assert (refused.value.code, refused.value.field, Quotation.objects.count()) == (code, field, 0)


def test_a_mass_is_compared_once_the_bulk_density_is_stated():
    people, _sand, (blue, _weir), enquiry, _act = _setting()
    dense = {"unit": "t", "bulk_density_kg_m3": 1_600}
    buying.quoted(people.alice, enquiry, by=blue, price=1_300 * RUPEE, **dense)
    [line] = rows.compared(people.alice, enquiry, today=TODAY)
    assert line.quoted[0].per_unit_minor == 208_000  # 1,300 × 1.6 t/m³


def test_a_choice_asks_for_a_reason_and_for_a_pack_when_none_fits():
    people, _sand, (blue, _weir), enquiry, _act = _setting()
    row = buying.quoted(people.alice, enquiry, by=blue, price=RUPEE, unit="brass")
    codes = []
    for facts in ({"reason": " "}, {}, {"pack_id": make.cement(people.firm.pk).pack.pk}):
        with pytest.raises(Refused) as refused:
            _choose(people.alice, row, **facts)
        codes.append(refused.value.code)
    assert codes == ["reason_missing", "pack_needed", "pack_needed"]
    assert QuotationChoice.objects.count() == 0


def test_an_ended_enquiry_takes_no_quotation():
    people, _sand, (blue, _weir), enquiry, _act = _setting()
    act = EnquiryStep(enquiry_id=enquiry.pk, reason="the slab is put off")
    enquiries.end(actor=people.alice, act=act, key="x1", now=NOW)
    with pytest.raises(enquiries.EnquiryEnded) as refused:
        buying.quoted(people.alice, enquiry, by=blue, price=RUPEE, unit="m3")
    assert "the slab is put off" in refused.value.message


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"lines": ()}, "nothing_asked"),
        ({"supplier_ids": ()}, "nothing_asked"),
        ({"answer_date": TODAY + timedelta(days=10)}, "dates_cross"),
        ({"answer_date": TODAY - timedelta(days=1)}, "dates_cross"),
    ],
)
def test_an_enquiry_about_nothing_or_too_late_is_refused(change, code):
    people, _sand, _sellers, _enquiry, act = _setting()
    with pytest.raises(Refused) as refused:
        enquiries.write(actor=people.alice, act=replace(act, **change), key="e2", now=NOW)
    assert refused.value.code == code


def test_nothing_and_nobody_is_asked_twice():
    people, _sand, (blue, _weir), _enquiry, act = _setting()
    for change in ({"lines": act.lines * 2}, {"supplier_ids": (blue.pk, blue.pk)}):
        with pytest.raises(enquiries.AskedTwice):
            enquiries.write(actor=people.alice, act=replace(act, **change), key="e2", now=NOW)


def test_enquiries_are_the_offices_and_ones_own_firms():
    people, _sand, (blue, _weir), enquiry, act = _setting()
    row = buying.quoted(people.alice, enquiry, by=blue, price=RUPEE, unit="m3")
    for who in (people.bob, people.olga):
        with pytest.raises(NotAllowed):
            enquiries.write(actor=who, act=act, key="e2", now=NOW)
        with pytest.raises(NotAllowed):
            _choose(who, row)
    with pytest.raises(NotFound):
        _choose(people.charlie, row)
    with pytest.raises(NotFound):
        rows.one(people.charlie, enquiry.pk)


def test_each_supplier_with_an_address_is_mailed_once_with_the_paper():
    people, _sand, _sellers, enquiry, _act = _setting()
    step = EnquiryStep(enquiry_id=enquiry.pk)
    for key in ("s1", "s2"):
        enquiries.send(actor=people.alice, act=step, key=key, now=NOW)
    jobs = Outbox.objects.filter(job="inventory.send_enquiry").order_by("id")
    for job in [*jobs, *jobs]:
        tasks.send_enquiry(**job.payload, key=job.key, now=NOW)
    assert [letter.to for letter in mail.outbox] == [["blu@pits.example"], ["wei@pits.example"]]
    body = mail.outbox[0].body.replace("\N{NO-BREAK SPACE}", " ")
    assert "1. Sand: 12.00 m³, coarse, zone II\n" in body
    [(name, content, kind)] = mail.outbox[0].attachments
    assert (name, content[:5], kind) == ("EQ-2026-0001.pdf", b"%PDF-", "application/pdf")
