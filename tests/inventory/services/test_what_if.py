"""The plan as it would be, on the days of test_planning: NOW is Monday 4 May 2026, Sunday is off."""

from datetime import date

import pytest

from estimates.models import Requirement
from inventory.models import Offer, PlanRun, Suggestion
from inventory.services import what_if
from inventory.services.what_if import Change
from projects.errors import NotAllowed, NotFound
from projects.models import Outbox, Pour
from tests.factories import inventory_orders as make
from tests.factories import world
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def firm():
    return cast()


@pytest.fixture
def ours(firm):
    return world.furnish(firm.alice, site=firm.site, mark="ORCHARD")


def _written():
    models = (Pour, Requirement, Offer, PlanRun, Suggestion, Outbox)
    return [list(model.objects.order_by("pk").values()) for model in models]


def test_a_pour_moved_moves_what_is_ordered_for_it_and_nothing_is_kept(firm, ours):
    before = _written()
    later = ours.pour.pour_date.replace(month=ours.pour.pour_date.month + 1)

    found = what_if.compare(actor=firm.alice, change=Change(pour_id=ours.pour.pk, pour_date=later), now=NOW)

    assert found.pairs
    for pair in found.pairs:
        assert pair.now.need_date < pair.then.need_date <= later
    assert _written() == before


def test_a_price_doubled_doubles_what_is_ordered(firm):
    bags, by = make.cement(firm.firm.pk), make.supplier(firm.firm.pk)
    make.offer(by, of=bags)
    make.need(make.pour(firm.site), of=bags, quantity=10 * make.BAG_G, on=date(2026, 5, 15))

    change = Change(material_id=bags.material.pk, price_percent=200)
    found = what_if.compare(actor=firm.alice, change=change, now=NOW)

    # 10 bags at 4.00 are 40.00, at 8.00 they are 80.00.
    assert (found.now_minor, found.then_minor, found.same) == (40_00, 80_00, 0)


def test_a_slow_supplier_is_ordered_from_sooner_or_passed_over(firm):
    bags, by = make.cement(firm.firm.pk), make.supplier(firm.firm.pk)
    make.offer(by, of=bags, lead_days=1)
    make.need(make.pour(firm.site), of=bags, quantity=10 * make.BAG_G, on=date(2026, 5, 29))

    change = Change(supplier_id=by.pk, lead_days=8)
    [pair] = what_if.compare(actor=firm.alice, change=change, now=NOW).pairs

    # Eight working days instead of one: seven earlier, over one Sunday.
    assert (pair.now.order_by_date - pair.then.order_by_date).days == 8


def test_a_large_firm_is_planned_where_the_change_touches_it(firm, ours, monkeypatch):
    monkeypatch.setattr(what_if, "MOST_ITEMS", 1)
    change = Change(pour_id=ours.pour.pk, pour_date=ours.pour.pour_date.replace(day=28))

    with pytest.raises(what_if.TooMuch):
        what_if.compare(actor=firm.alice, change=change, now=NOW)


def test_a_change_has_to_be_given_and_its_pour_planned_and_ones_own(firm, ours):
    with pytest.raises(what_if.NothingChanged):
        what_if.compare(actor=firm.alice, change=Change(), now=NOW)
    change = Change(pour_id=ours.pour.pk, pour_date=date(2026, 6, 1))
    with pytest.raises(NotFound):
        what_if.compare(actor=firm.charlie, change=change, now=NOW)
    with pytest.raises(NotAllowed):
        what_if.compare(actor=firm.bob, change=change, now=NOW)
    Pour.objects.filter(pk=ours.pour.pk).update(state=Pour.State.POURED, poured_at=NOW)
    with pytest.raises(what_if.PourDone):
        what_if.compare(actor=firm.alice, change=change, now=NOW)
