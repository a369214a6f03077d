"""Closing a pour asks about bars beyond its bill that are neither back nor waste."""

from datetime import timedelta

import pytest

from inventory.services import counts, usage
from inventory.services.counts import CloseAct
from inventory.services.usage import ReturnAct, WasteAct
from projects.services import pours
from projects.services.pours import PourAct, PouredAct
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.cast import NOW, TODAY
from tests.factories.looking import sheet, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BAR = 12_000


@pytest.fixture
def at():
    return made.yard()


def issued(at, *, bars, net=20, allowance=1, pour=None):
    """A pour whose bill asks for bars of 12 mm, and that was issued so many; placed today."""
    steel = goods.steel(at.cast.firm.pk)
    priced = goods.Priced(
        material=steel.material,
        net=net * BAR,
        allowance=allowance * BAR,
        rate=60_000_000,
        amount_minor=1,
    )
    goods.bill(at.pour.slab, [priced])
    goods.in_store(at.cast.alice, site=at.cast.site, of=steel, packs=60, value_minor=600_000)
    made.issue(at, packs=bars, of=steel)
    pours.mark_poured(actor=at.cast.bob, act=PouredAct(at.pour.pk, NOW), key="placed", now=NOW)
    return steel


def closed(at, **said):
    act = CloseAct(pour_id=at.pour.pk, happened_at=NOW, **said)
    return counts.close_pour(actor=at.cast.bob, act=act, key=made.key(), now=NOW)


def test_what_the_bill_allows_is_not_asked_about(at):
    issued(at, bars=21)
    assert closed(at).state == "closed"


def test_bars_beyond_the_bill_are_asked_about_by_size(at):
    issued(at, bars=24)
    with pytest.raises(counts.SteelLeft) as refused:
        closed(at)
    assert (refused.value.code, refused.value.field, refused.value.status) == (
        "steel_left",
        "steel_reason",
        409,
    )
    assert "Steel 12 mm: 36 m" in refused.value.message
    assert closed(at, steel_reason="laid in the stair, revision C").state == "closed"


def test_brought_back_it_is_not_asked_about_any_more(at):
    steel = issued(at, bars=24)
    back = ReturnAct(pour_id=at.pour.pk, happened_at=NOW, lines=(goods.slip_line(steel, packs=3),))
    usage.bring_back(actor=at.cast.bob, act=back, key="back", now=NOW)
    assert closed(at).state == "closed"


def test_recorded_as_waste_it_is_not_asked_about_any_more(at):
    # 3 beyond the bill; 4 wasted: the allowance of 1 is used up by them, and 3 have their place as waste.
    steel = issued(at, bars=24)
    lost = WasteAct(
        site_id=at.cast.site.pk,
        pour_id=at.pour.pk,
        reason="cut wrongly",
        happened_at=NOW,
        lines=(goods.slip_line(steel, packs=4),),
    )
    usage.waste(actor=at.cast.bob, act=lost, key="lost", now=NOW)
    assert closed(at).state == "closed"


def test_a_pour_that_is_a_part_of_its_slab_is_held_against_its_share(at):
    at.pour.share_ppm = 500_000
    at.pour.save()
    plan = PourAct(
        slab_id=at.pour.slab_id, name="south", pour_date=TODAY + timedelta(days=30), share_ppm=500_000
    )
    pours.plan(actor=at.cast.alice, act=plan, key="south", now=NOW)
    issued(at, bars=12)
    with pytest.raises(counts.SteelLeft, match=r"Steel 12 mm: 18 m"):
        closed(at)


def test_without_a_bill_nothing_is_known_to_be_too_much(at):
    steel = goods.steel(at.cast.firm.pk)
    goods.in_store(at.cast.alice, site=at.cast.site, of=steel, packs=60, value_minor=600_000)
    made.issue(at, packs=30, of=steel)
    pours.mark_poured(actor=at.cast.bob, act=PouredAct(at.pour.pk, NOW), key="placed", now=NOW)
    assert closed(at).state == "closed"


def test_the_page_asks_and_keeps_what_was_typed(at):
    issued(at, bars=24)
    bob = signed_in("bob")
    url = f"/stores/pours/{at.pour.pk}/close/"
    assert "Steel left over" not in bob.get(url).content.decode()

    asked = bob.post(url, sheet(bob, url) | {"remark": "after the rain"})
    page = asked.content.decode()
    assert (asked.status_code, "Steel 12 mm: 36" in page.replace("\N{NO-BREAK SPACE}", " ")) == (422, True)
    assert "Steel left over: why it stays" in page
    assert "after the rain" in page

    done = bob.post(url, sheet(bob, url) | {"steel_reason": "laid in the stair"})
    assert done.status_code == 302
