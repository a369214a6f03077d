"""Each rule of the tables of buying, and what the database says to a row that breaks it."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from inventory.models import (
    EnquiryLine,
    OrderAmendment,
    OrderDate,
    OrderLine,
    QuotationChoice,
    QuotationLine,
    RateAgreement,
)
from projects.models import Firm
from tests.factories import buying
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def at():
    """An enquiry with one quotation, an agreement and an order."""
    people = cast()
    bags = make.cement(people.firm.pk)
    by = make.supplier(people.firm.pk)
    enquiry = buying.asked(people.alice, site=people.site, suppliers=(by,), of=bags, packs=9)
    quoted = buying.quoted(people.alice, enquiry, by=by, price=1, unit="kg")
    agreement = buying.agreement(people.alice, supplier=by, of=bags, packs=9)
    act = make.order_act(people.site, by=by, lines=(make.line_of(bags, packs=9),))
    return {
        EnquiryLine: enquiry.lines.get(),
        QuotationLine: quoted,
        RateAgreement: agreement,
        OrderLine: make.drafted(people.alice, act=act).lines.get(),
        Firm: people.firm,
    }


@pytest.mark.parametrize(
    ("model", "rule", "change"),
    [
        (EnquiryLine, "inventory_enquiryline_positive", {"quantity": 0}),
        (QuotationLine, "inventory_quotationline_not_negative", {"freight": -1}),
        (QuotationLine, "inventory_quotationline_pack_or_unit", {"unit": ""}),
        (QuotationLine, "inventory_quotationline_load_positive", {"load_thousandths": 0}),
        (RateAgreement, "inventory_rateagreement_positive", {"total_packs": 0}),
        (
            RateAgreement,
            "inventory_rateagreement_days_in_order",
            {"valid_until": TODAY - timedelta(days=1)},
        ),
        (OrderLine, "inventory_orderline_positive_or_struck", {"packs": 0}),
        (Firm, "projects_firm_cash_limit_not_negative", {"cash_limit_minor": -1}),
    ],
)
def test_a_row_out_of_bounds_is_refused_by_its_rule(at, model, rule, change):
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        model.objects.filter(pk=at[model].pk).update(**change)


def test_a_struck_line_holds_nothing(at):
    struck = {"packs": 0, "quantity": 0, "amount_minor": 0, "mass_g": None}
    assert OrderLine.objects.filter(pk=at[OrderLine].pk).update(**struck) == 1


@pytest.mark.parametrize(
    ("model", "rule", "facts"),
    [
        (
            OrderAmendment,
            "inventory_orderamendment_version_later",
            {"version": 1, "reason": "x", "changes": [], "total_before_minor": 0, "total_after_minor": 0},
        ),
        (
            OrderAmendment,
            "inventory_orderamendment_has_reason",
            {"version": 2, "reason": "", "changes": [], "total_before_minor": 0, "total_after_minor": 0},
        ),
        (
            OrderDate,
            "inventory_orderdate_differs",
            {"was_date": TODAY, "expected_date": TODAY, "reason": "x"},
        ),
        (
            OrderDate,
            "inventory_orderdate_has_reason",
            {"was_date": TODAY, "expected_date": TODAY + timedelta(days=1), "reason": ""},
        ),
    ],
)
def test_a_change_of_an_order_says_why(at, model, rule, facts):
    when = "made_at" if model is OrderAmendment else "changed_at"
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        model.objects.create(order=at[OrderLine].order, **{when: NOW}, **facts)


@pytest.mark.parametrize(
    ("rule", "facts"),
    [
        ("inventory_quotationchoice_has_reason", {"pack_price": 1, "reason": ""}),
        ("inventory_quotationchoice_price_not_negative", {"pack_price": -1, "reason": "x"}),
    ],
)
def test_a_choice_has_a_reason_and_a_price(at, rule, facts):
    quoted = at[QuotationLine]
    offer = quoted.quotation.supplier.offers.create(
        material=quoted.line.material,
        pack=quoted.line.material.packs.get(),
        from_date=TODAY,
        pack_price=1,
        lead_days=1,
    )
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        QuotationChoice.objects.create(quoted=quoted, offer=offer, chosen_at=NOW, **facts)
