from datetime import date

import pytest
from django.urls import reverse

from inventory.models import Receipt
from tests.factories import inventory_orders as goods
from tests.factories import inventory_stock as made
from tests.factories.inventory_stock import ordered
from tests.factories.looking import sheet, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]


BAG = 50_000


@pytest.fixture
def at():
    return made.yard()


@pytest.fixture
def bob(at):
    return signed_in("bob")


def test_delivery_as_ordered_takes_one_tap_on_its_sheet(at, bob):
    order = ordered(at)
    url = reverse("inventory:receipt_of_order", args=[order.pk])
    typed = sheet(bob, url)

    answer = bob.post(url, typed | {"as_ordered": "1"}, follow=True)

    receipt = Receipt.objects.get()
    assert answer.redirect_chain == [(reverse("inventory:receipt", args=[receipt.pk]), 302)]
    assert made.balance("store", of=at.cement)[0] == 80 * BAG
    assert receipt.match == "ordered"


def test_same_sheet_sent_twice_counts_once(at, bob):
    url = reverse("inventory:receipt_of_order", args=[ordered(at).pk])
    typed = sheet(bob, url) | {"as_ordered": "1"}

    first = bob.post(url, typed)
    again = bob.post(url, typed)

    assert (first.status_code, again.status_code) == (302, 302)
    assert first.url == again.url
    assert Receipt.objects.count() == 1


def test_other_quantities_with_note_lot_and_rejection(at, bob):
    url = reverse("inventory:receipt_of_order", args=[ordered(at).pk])
    typed = sheet(bob, url) | {
        "found_1": "78",
        "stated_1": "80",
        "rejected_1": "2",
        "why_1": "wet",
        "made_1": "2026-04-20",
        "note_number": "B-7",
    }

    bob.post(url, typed)

    line = Receipt.objects.get().lines.get()
    assert (line.stated_thousandths, line.found_thousandths, line.rejected_thousandths) == (
        80_000,
        78_000,
        2_000,
    )
    assert (line.lot.made_date, line.order_line is not None) == (date(2026, 4, 20), True)
    assert Receipt.objects.get().note_number == "B-7"


def test_all_as_ordered_beside_a_changed_figure_is_refused(at, bob):
    url = reverse("inventory:receipt_of_order", args=[ordered(at).pk])
    typed = sheet(bob, url) | {"found_1": "79", "as_ordered": "1"}

    answer = bob.post(url, typed)

    assert answer.status_code == 422
    assert "Figures below were changed" in answer.text
    assert 'value="79"' in answer.text
    assert Receipt.objects.count() == 0


def test_note_used_before_asks_and_keeps_what_was_typed(at, bob):
    act = made.receipt_act(at, made.receipt_line(at.cement, packs=1), note_number="B-7")
    made.deliveries.record(actor=at.cast.bob, act=act, key="k", now=made.NOW)
    url = reverse("inventory:receipt_of_order", args=[ordered(at).pk])
    typed = sheet(bob, url) | {"note_number": "B-7", "as_ordered": "1"}

    asked = bob.post(url, typed)
    answered = bob.post(url, typed | {"same_note_answer": "second truck"})

    assert asked.status_code == 422
    assert "is recorded already" in asked.text
    assert 'name="same_note_answer"' in asked.text
    assert "It is the same load: open RC-" in asked.text
    assert answered.status_code == 302


def test_fault_of_a_line_stands_at_its_box(at, bob):
    url = reverse("inventory:receipt_of_order", args=[ordered(at).pk])
    typed = sheet(bob, url) | {"found_1": "80", "rejected_1": "81", "why_1": "wet"}

    answer = bob.post(url, typed)

    assert answer.status_code == 422
    assert answer.context["form"]["rejected_1"].errors


@pytest.mark.parametrize("typed", ["eighty", "-1", "0.0001"])
def test_figure_that_is_none_keeps_what_was_typed(at, bob, typed):
    url = reverse("inventory:receipt_of_order", args=[ordered(at).pk])

    answer = bob.post(url, sheet(bob, url) | {"found_1": typed})

    assert answer.status_code == 422
    assert f'value="{typed}"' in answer.text


def test_delivery_that_was_not_ordered(at, bob):
    url = reverse("inventory:receipt_new")
    typed = sheet(bob, url) | {
        "site_id": at.cast.site.pk,
        "supplier_id": at.supplier.pk,
        "what_1": f"{at.cement.material.pk}:p{at.cement.pack.pk}",
        "found_1": "12",
        "what_3": f"{at.sand.material.pk}:m3",
        "found_3": "4.5",
    }

    answer = bob.post(url, typed)

    assert answer.status_code == 302
    lines = Receipt.objects.get().lines.order_by("position")
    assert [(line.material.code, line.accepted) for line in lines] == [
        ("cement", 600_000),
        ("sand", 4_500_000),
    ]


def test_row_without_figure_or_without_material_is_asked_for(at, bob):
    url = reverse("inventory:receipt_new")
    typed = sheet(bob, url) | {
        "site_id": at.cast.site.pk,
        "supplier_id": at.supplier.pk,
        "what_1": f"{at.cement.material.pk}:p{at.cement.pack.pk}",
        "found_2": "3",
    }

    answer = bob.post(url, typed)

    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"found_1", "what_2"}


@pytest.mark.parametrize("part", ["stated_2", "rejected_2", "lot_2"])
def test_row_of_which_only_a_part_is_typed_is_asked_for_and_not_left_out(at, bob, part):
    url = reverse("inventory:receipt_new")
    typed = sheet(bob, url) | {
        "site_id": at.cast.site.pk,
        "supplier_id": at.supplier.pk,
        "what_1": f"{at.cement.material.pk}:p{at.cement.pack.pk}",
        "found_1": "3",
        part: "2",
    }

    answer = bob.post(url, typed)

    assert (answer.status_code, set(answer.context["form"].errors)) == (422, {"what_2"})


def test_fault_in_the_third_row_stands_there_though_the_second_is_empty(at, bob):
    url = reverse("inventory:receipt_new")
    typed = sheet(bob, url) | {
        "site_id": at.cast.site.pk,
        "supplier_id": at.supplier.pk,
        "what_1": f"{at.cement.material.pk}:p{at.cement.pack.pk}",
        "found_1": "12",
        "what_3": f"{at.sand.material.pk}:m3",
        "found_3": "4",
        "rejected_3": "5",
        "why_3": "full of roots",
    }

    answer = bob.post(url, typed)

    assert set(answer.context["form"].errors) == {"rejected_3"}


def test_weighed_bars_of_an_order_keep_heat_and_mass(at, bob):
    bars = goods.steel(at.cast.firm.pk)
    url = reverse("inventory:receipt_of_order", args=[ordered(at, packs=45, of=bars).pk])

    bob.post(url, sheet(bob, url) | {"lot_1": "H-204", "mass_1": "0.875"})

    lot = Receipt.objects.get().lines.get().lot
    assert (lot.label, lot.measured_mg_per_mm) == ("H-204", 875)


def test_line_of_which_nothing_came_and_nothing_was_noted_is_left_out(at, bob):
    lines = (goods.line_of(at.cement, packs=8), goods.line_of(at.sand, packs=1))
    order = goods.ordered(at.cast.alice, act=goods.order_act(at.cast.site, by=at.supplier, lines=lines))
    url = reverse("inventory:receipt_of_order", args=[order.pk])

    nothing = bob.post(url, sheet(bob, url) | {"found_1": "0", "found_2": ""})
    bob.post(url, sheet(bob, url) | {"found_1": "8", "found_2": ""})

    assert "Enter what was found of at least one material" in nothing.text
    assert [line.material.code for line in Receipt.objects.get().lines.all()] == ["cement"]


def test_rejection_without_what_was_found_is_asked_for_and_not_left_out(at, bob):
    lines = (goods.line_of(at.cement, packs=8), goods.line_of(at.sand, packs=1))
    order = goods.ordered(at.cast.alice, act=goods.order_act(at.cast.site, by=at.supplier, lines=lines))
    url = reverse("inventory:receipt_of_order", args=[order.pk])

    answer = bob.post(url, sheet(bob, url) | {"found_2": "", "rejected_2": "1", "why_2": "roots"})

    assert (answer.status_code, set(answer.context["form"].errors)) == (422, {"found_2"})


def test_figure_in_the_firms_own_grouping_is_read(at, bob):
    url = reverse("inventory:receipt_of_order", args=[ordered(at, packs=1200).pk])

    bob.post(url, sheet(bob, url) | {"found_1": "1,199.5 bags"})

    assert Receipt.objects.get().lines.get().found_thousandths == 1_199_500


def test_receipt_is_taken_back_with_a_reason(at, bob):
    receipt = made.receive(at, packs=10)
    url = reverse("inventory:receipt_take_back", args=[receipt.pk])

    refused = bob.post(url, sheet(bob, url))
    done = bob.post(url, sheet(bob, url) | {"reason": "wrong site"}, follow=True)

    assert refused.status_code == 422
    assert "was taken back; it no longer counts" in done.text
    assert made.balance("store", of=at.cement)[0] == 0


def test_receiving_by_role(at):
    pages = [
        reverse("inventory:expected"),
        reverse("inventory:receipt_new"),
        reverse("inventory:receipt_of_order", args=[ordered(at).pk]),
    ]

    answers = {
        who: [signed_in(who).get(url).status_code for url in pages] for who in ("alice", "bob", "olga")
    }

    assert answers == {"alice": [200, 200, 200], "bob": [200, 200, 200], "olga": [403, 403, 403]}
    assert signed_in("charlie").get(pages[2]).status_code == 404
