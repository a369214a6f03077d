"""The slab's own page says what to do next, to those who may do it."""

from datetime import date

import pytest
from django.urls import reverse

from projects.models import Person
from projects.services import pours, slabs
from projects.services.pours import ClosingAct, PouredAct
from projects.services.slabs import SlabClosingAct
from tests.factories import estimates as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def team():
    found = cast()
    make.with_rates(found.alice)
    return found


@pytest.fixture
def page_of(client):
    def page(slab, *, username="alice"):
        client.force_login(Person.objects.get(username=username))
        return client.get(f"/slabs/{slab.pk}/").content.decode()

    return page


def test_slab_without_design_asks_for_it(team, page_of):
    slab = make.slab(team.alice, site=team.site)

    button = f'class="button primary" href="/slabs/{slab.pk}/design/new/"'
    assert button in page_of(slab)
    assert "Enter the design" in page_of(slab, username="bob")
    assert button not in page_of(slab, username="bob")


def test_design_without_bill_leads_to_the_take_off(team, page_of):
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site))

    assert f'class="button primary" href="/designs/{design.pk}/"' in page_of(design.slab)
    assert "<svg" in page_of(design.slab, username="bob")


def test_design_newer_than_the_bill_asks_for_a_new_bill(team, page_of):
    bill = make.billed_slab(team.alice, site=team.site)
    later = make.design(team.alice, on=bill.design.slab, thickness_mm=130)

    page = page_of(bill.design.slab)

    assert "newer than the bill" in page
    assert f'class="button primary" href="/designs/{later.pk}/"' in page


def test_bill_without_pour_asks_for_one(team, page_of):
    slab = make.billed_slab(team.alice, site=team.site).design.slab

    assert f'class="button primary" href="/slabs/{slab.pk}/pours/new/?next=/slabs/{slab.pk}/"' in page_of(
        slab
    )


def test_pour_to_come_then_done_then_finished(team, page_of):
    slab = make.billed_slab(team.alice, site=team.site).design.slab
    pour = make.pour(team.alice, on=slab, day=date(2026, 5, 20))
    assert "Order what is short" in page_of(slab)
    assert "its day has passed" in page_of(slab)
    assert f'href="/pours/{pour.pk}/move/' not in page_of(slab, username="bob")
    assert f'href="/pours/{pour.pk}/poured/' in page_of(slab, username="bob")

    pours.mark_poured(actor=team.bob, act=PouredAct(pour_id=pour.pk, poured_at=NOW), key="p", now=NOW)
    assert "Record returns and waste" in page_of(slab)

    pours.close(actor=team.bob, act=ClosingAct(pour_id=pour.pk), key="c", now=NOW)
    slabs.finish(actor=team.alice, act=SlabClosingAct(slab_id=slab.pk), key="f", now=NOW)
    page = page_of(slab)
    assert "This slab is finished" in page
    assert "Plan a pour" not in page


def test_forms_and_props_stay_by_the_codes_table(team, client):
    # IS 456 cl. 11.3.1 for ordinary cement above 15 °C: soffit of a slab 3 days, of a beam 7; props of a slab
    # 7 days up to 4.5 m and 14 beyond, of a beam 14 up to 6 m and 21 beyond. Placed on 20 May.
    slab = make.billed_slab(team.alice, site=team.site).design.slab
    make.pour(team.alice, on=slab, day=date(2026, 5, 20))
    client.force_login(Person.objects.get(username="bob"))

    page = client.get(f"/slabs/{slab.pk}/")

    rows = page.context["strip"].rows
    assert [row.days for row in rows] == [3, 7, 14, 7, 14, 21]
    days = [(2026, 5, 23), (2026, 5, 27), (2026, 6, 3), (2026, 5, 27), (2026, 6, 3), (2026, 6, 10)]
    assert [row.dates for row in rows] == [(date(*day),) for day in days]
    assert page.content.decode().count("engineer to state") == 1


@pytest.mark.parametrize("cement", ["blended", "unknown", "high_early"])
def test_no_day_is_given_for_a_cement_that_the_table_does_not_name(team, client, cement):
    curing = {"cement": cement, "method": "wet_cover"}
    slab = make.slab(team.alice, site=team.site)
    make.design(team.alice, on=slab, curing=curing, beams=[])
    make.pour(team.alice, on=slab, day=date(2026, 5, 20))
    client.force_login(Person.objects.get(username="bob"))

    page = client.get(f"/slabs/{slab.pk}/")

    strip = page.context["strip"]
    assert [row.days for row in strip.rows] == [3, 7, 14]
    assert {row.dates for row in strip.rows} == {(None,)}
    assert page.content.decode().count("engineer to state") == 4
    assert "The engineer states the days." in page.content.decode()


def test_share_of_a_pour_is_shown_to_its_last_part(team, page_of):
    slab = make.billed_slab(team.alice, site=team.site).design.slab
    make.pour(team.alice, on=slab, day=date(2026, 5, 20), share_ppm=333_300)

    assert "33.33 %" in page_of(slab)


def test_pours_of_the_engineers_joint_bring_their_share_to_the_form(team, page_of, client):
    # 4.0 × 3.0 m with a beam along the south edge, parted at x = 1,000: a quarter lies to the left.
    joint = {"name": "J1", "line": [[1000, 0], [1000, 3000]], "engineer": "N. Orveld", "agreed": "2026-05-11"}
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site), construction_joints=[joint])

    page = page_of(design.slab)
    href = next(part.split('"')[0] for part in page.split('href="') if "share=2500" in part)
    form = client.get(href.replace("&amp;", "&")).content.decode()

    assert "share=7500" in page
    assert 'value="25' in form
    assert 'value="pour 1"' in form or 'value="pour 2"' in form


def test_share_that_is_no_share_starts_the_form_with_the_whole(team, client):
    slab = make.slab(team.alice, site=team.site)
    client.force_login(Person.objects.get(username="alice"))
    for share in ("0", "10001", "-5", "abc", "9" * 30):
        form = client.get(reverse("projects:pour_new", args=[slab.pk]), {"share": share})
        assert form.context["form"].initial["share"] == 10_000, share
