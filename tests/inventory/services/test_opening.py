from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from inventory.models import Lot
from inventory.services import lots, opening, usage
from inventory.services.opening import OpeningAct, OpeningLineAct
from projects.errors import NotAllowed, NotFound
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def act_of(at, **more):
    facts = {"amount": Decimal(20), "value_minor": 760_000, "pack_id": at.cement.pack.pk} | more
    line = OpeningLineAct(material_id=at.cement.material.pk, **facts)
    return OpeningAct(site_id=at.cast.site.pk, happened_at=NOW, lines=(line,))


def record(at, act, *, by=None):
    return opening.record(actor=by or at.cast.alice, act=act, key=made.key(), now=NOW)


def test_opening_stock_comes_in_with_its_value_and_lot():
    at = made.yard()

    record(at, act_of(at, supplier_id=at.supplier.pk, made_date=date(2026, 4, 20)))

    assert made.balance("store", of=at.cement) == (1_000_000, 760_000)
    assert made.balance("opening", of=at.cement) == (-1_000_000, -760_000)
    assert Lot.objects.get().label == "2026-04-20"
    made.assert_sound()


def test_opening_stock_can_be_taken_back():
    at = made.yard()
    slip = record(at, act_of(at))

    usage.reverse(
        actor=at.cast.alice,
        act=usage.ReverseAct(slip_id=slip.pk, reason="counted wrong"),
        key="k",
        now=NOW,
    )

    assert made.balance("store", of=at.cement) == (0, 0)


@pytest.mark.parametrize("value", [-1, 10**15 + 1])
def test_value_out_of_bounds_is_refused(value):
    at = made.yard()

    with pytest.raises(opening.BadValue):
        record(at, act_of(at, value_minor=value))


def test_opening_stock_without_lines_is_refused():
    at = made.yard()

    with pytest.raises(usage.NoLines):
        record(at, replace(act_of(at), lines=()))


def test_site_manager_does_not_value_stock_and_strangers_find_nothing():
    at = made.yard()

    with pytest.raises(NotAllowed):
        record(at, act_of(at), by=at.cast.bob)
    with pytest.raises(NotFound):
        record(at, act_of(at), by=at.cast.charlie)


@pytest.mark.parametrize("lot", [{"lot_label": "W-17"}, {"made_date": date(2026, 4, 20)}])
def test_lot_without_its_supplier_is_refused_and_not_lost(lot):
    at = made.yard()

    with pytest.raises(opening.LotOfNobody):
        record(at, act_of(at, **lot))


def test_lot_is_not_made_after_it_was_there():
    at = made.yard()

    with pytest.raises(lots.MadeLater):
        record(at, act_of(at, supplier_id=at.supplier.pk, made_date=date(2026, 5, 5)))
