from datetime import date

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from inventory.models import LotStock, Stock
from inventory.services import rebuilding
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import TODAY

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def spoiled():
    """A yard whose balances were changed behind the ledger's back."""
    at = made.yard()
    made.receive(at, packs=40, made_date=TODAY)
    slip = made.issue(at, packs=10)
    receipt = made.receive(at, packs=7)
    goods.taken_back(at.cast.bob, receipt=receipt)
    Stock.objects.filter(place__kind="store").update(quantity=1, value_minor=2)
    Stock.objects.filter(place__kind="slab").delete()
    LotStock.objects.filter(place__kind="slab").delete()
    return at, slip


def test_sound_balances_agree():
    at = made.yard()
    made.receive(at, packs=40, made_date=TODAY)
    made.issue(at, packs=10)

    assert rebuilding.compare(at.cast.firm.pk) == []


def test_every_difference_is_found_and_rebuilding_mends_it():
    at, _slip = spoiled()

    found = rebuilding.rebuild(at.cast.firm.pk)

    assert {(one.table, one.kept, one.ledger) for one in found} == {
        ("stock", (1, 2), (1_500_000, 1_200_000)),
        ("stock", (0, 0), (500_000, 400_000)),
        ("lot", (0, 0), (500_000, 0)),
    }
    made.assert_sound()


def test_changes_of_value_are_part_of_the_ledger():
    at = made.yard()
    goods.offer(at.supplier, of=at.cement, pack_price=1_000_000, from_date=date(2026, 5, 1))
    first = made.receive(at, packs=10)
    goods.offer(at.supplier, of=at.cement, pack_price=2_000_000, from_date=date(2026, 5, 2))
    made.receive(at, packs=10)
    made.issue(at, packs=10)
    goods.taken_back(at.cast.bob, receipt=first)

    assert rebuilding.compare(at.cast.firm.pk) == []


def test_comparing_changes_nothing():
    at, _slip = spoiled()

    rebuilding.compare(at.cast.firm.pk)

    assert Stock.objects.get(place__kind="store").quantity == 1


def test_other_firms_are_left_alone():
    at, _slip = spoiled()

    assert rebuilding.rebuild(at.cast.other_firm.pk) == []


def test_command_compares_then_writes(capsys):
    spoiled()

    with pytest.raises(CommandError, match="3 balances differ"):
        call_command("rebuild_stock")
    call_command("rebuild_stock", "--write")
    call_command("rebuild_stock")

    assert capsys.readouterr().out.endswith("3 balances put right.\nBalances and ledger agree.\n")
