import pytest
from django.urls import reverse

from inventory.models import Receipt
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.looking import sheet, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]

READINGS = {"r_length": "4.00", "r_width": "2", "r_depth_1": "1.1", "r_depth_2": "1", "r_depth_3": "0.9"}
"""4 × 2 × 1 = 8 m³."""


@pytest.fixture
def at():
    return made.yard()


@pytest.fixture
def bob(at):
    return signed_in("bob")


def url_of(bought, method):
    return reverse("inventory:receipt_measured", args=[bought.material.pk, method])


def test_material_and_way_are_chosen_first(at, bob):
    page = bob.get(reverse("inventory:measure"))

    assert url_of(at.sand, "truck") in page.text
    assert url_of(at.cement, "bags") in page.text


def test_measured_truck_is_recorded_for_its_order(at, bob):
    order = made.ordered(at, packs=2, of=at.sand)
    url = url_of(at.sand, "truck")
    typed = (
        sheet(bob, url) | READINGS | {"assumed_width": "on", "unit": "m3", "order_line": order.lines.get().pk}
    )

    answer = bob.post(url, typed)

    receipt = Receipt.objects.get()
    line = receipt.lines.get()
    assert answer.url == reverse("inventory:receipt", args=[receipt.pk])
    assert (receipt.order, receipt.match, line.found_thousandths) == (order, "ordered", 8_000)
    assert [row["name"] for row in line.readings if not row["measured"]] == ["width"]
    shown = bob.get(answer.url).text
    assert "Width inside: 2 m" in shown
    assert "assumed" in shown


def test_reading_out_of_bounds_is_shown_at_its_box_and_the_rest_is_kept(at, bob):
    url = url_of(at.sand, "truck")
    typed = sheet(bob, url) | READINGS | {"r_depth_2": "44", "unit": "m3", "supplier_id": at.supplier.pk}

    answer = bob.post(url, typed | {"site_id": at.cast.site.pk})

    assert answer.status_code == 422
    assert "The most is 4 m" in answer.text
    assert 'value="4.00"' in answer.text
    assert not Receipt.objects.exists()


def test_load_that_was_not_ordered_needs_site_and_supplier(at, bob):
    url = url_of(at.sand, "truck")
    typed = sheet(bob, url) | READINGS | {"unit": "m3"}

    assert "Choose the supplier" in bob.post(url, typed).text

    bob.post(url, typed | {"site_id": at.cast.site.pk, "supplier_id": at.supplier.pk})
    assert Receipt.objects.get().match == "unordered"


def test_another_way_of_measuring_and_anothers_material_are_not_found(at, bob):
    theirs = goods.sand(at.cast.other_firm.pk)

    assert bob.get(url_of(at.sand, "bags")).status_code == 404
    assert bob.get(url_of(theirs, "truck")).status_code == 404
