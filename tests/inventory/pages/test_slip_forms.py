import pytest
from django.urls import reverse

from inventory.models import StockSlip
from tests.factories import inventory_stock as made
from tests.factories.looking import sheet, signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]


BAG = 50_000


@pytest.fixture
def at():
    return made.yard()


@pytest.fixture
def bob(at):
    return signed_in("bob")


def test_issue_to_a_pour(at, bob):
    made.receive(at, packs=10)
    url = reverse("inventory:issue_new", args=[at.pour.pk])
    box = f"amount_{at.cement.material.pk}"

    answer = bob.post(url, sheet(bob, url) | {box: "4", "given_to": "Mason Ravi"}, follow=True)

    assert "Mason Ravi" in answer.text
    assert made.balance("slab", of=at.cement)[0] == 4 * BAG


def test_last_bags_issued_twice_with_one_sheet_count_once(at, bob):
    made.receive(at, packs=10)
    url = reverse("inventory:issue_new", args=[at.pour.pk])
    typed = sheet(bob, url) | {f"amount_{at.cement.material.pk}": "10"}

    answers = [bob.post(url, typed).status_code for _again in range(2)]

    assert answers == [302, 302]
    assert StockSlip.objects.count() == 1


def test_issue_of_more_than_there_is_says_what_is_there(at, bob):
    made.receive(at, packs=10)
    url = reverse("inventory:issue_new", args=[at.pour.pk])
    box = f"amount_{at.cement.material.pk}"

    answer = bob.post(url, sheet(bob, url) | {box: "11"})

    assert answer.status_code == 422
    assert "There are 500 kg (10 × bag) of Cement in the store" in answer.text
    assert answer.context["form"][box].errors


def test_heaps_are_not_issued_by_slip(at, bob):
    made.receive(at, packs=10)
    made.receive(at, packs=1, of=at.sand)

    typed = sheet(bob, reverse("inventory:issue_new", args=[at.pour.pk]))

    assert f"amount_{at.cement.material.pk}" in typed
    assert f"amount_{at.sand.material.pk}" not in typed


def test_empty_slip_asks_for_an_amount(at, bob):
    made.receive(at, packs=10)
    url = reverse("inventory:issue_new", args=[at.pour.pk])

    answer = bob.post(url, sheet(bob, url))

    assert "Enter the amount of at least one material" in answer.text


def test_return_and_waste(at, bob):
    made.receive(at, packs=10)
    made.issue(at, packs=6)
    box = f"amount_{at.cement.material.pk}"
    back = reverse("inventory:return_new", args=[at.pour.pk])
    lost = reverse("inventory:waste_new", args=[at.cast.site.pk])
    spilt = reverse("inventory:pour_waste_new", args=[at.pour.pk])

    bob.post(back, sheet(bob, back) | {box: "1"})
    bob.post(lost, sheet(bob, lost) | {box: "2", "reason": "torn"})
    bob.post(spilt, sheet(bob, spilt) | {box: "0.5", "reason": "set hard"})

    assert made.balance("store", of=at.cement)[0] == 3 * BAG
    assert made.balance("slab", of=at.cement)[0] == 225_000
    assert made.balance("waste", of=at.cement)[0] == 125_000


def test_slip_is_taken_back(at, bob):
    made.receive(at, packs=10)
    slip = made.issue(at, packs=6)
    url = reverse("inventory:slip_take_back", args=[slip.pk])

    bob.post(url, sheet(bob, url) | {"reason": "other slab"})

    assert made.balance("store", of=at.cement)[0] == 10 * BAG


ACTS = [
    ("count_new", "site"),
    ("waste_new", "site"),
    ("issue_new", "pour"),
    ("return_new", "pour"),
    ("pour_waste_new", "pour"),
    ("pour_close", "pour"),
]


@pytest.mark.parametrize(("page", "of"), ACTS)
def test_forms_by_role(at, page, of):
    url = reverse(f"inventory:{page}", args=[at.cast.site.pk if of == "site" else at.pour.pk])

    answers = {who: signed_in(who).get(url).status_code for who in ("alice", "bob", "olga", "charlie")}

    assert answers == {"alice": 200, "bob": 200, "olga": 403, "charlie": 404}


def test_manager_of_another_site_finds_no_form(at, bob):
    for page in ("count_new", "waste_new", "store"):
        assert bob.get(reverse(f"inventory:{page}", args=[at.cast.other_site.pk])).status_code == 404
