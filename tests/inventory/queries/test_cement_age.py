"""Cement that was older than the buyers' guide takes when it came is pointed out on its receipt."""

from datetime import timedelta

import pytest

from inventory.queries import deliveries
from tests.factories import inventory_stock as made
from tests.factories.cast import TODAY

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.mark.parametrize(("days", "said"), [(42, False), (43, True), (60, True)])
def test_cement_older_than_six_weeks_at_receipt_is_pointed_out(days, said):
    at = made.yard()
    receipt = made.receive(at, packs=10, made_date=TODAY - timedelta(days=days))

    remarks = deliveries.receipt(at.cast.bob, receipt_id=receipt.pk).lines[0].remarks

    assert bool(remarks) == said
    if said:
        assert f"made {days} days before it came; bought at no more than 42 days" in remarks[0]


def test_cement_of_unknown_age_is_not_pointed_out():
    at = made.yard()
    receipt = made.receive(at, packs=10)
    assert deliveries.receipt(at.cast.bob, receipt_id=receipt.pk).lines[0].remarks == ()
