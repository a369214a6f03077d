"""The page of the standards: values with their documents in words, a search, and the firm's own figures."""

import uuid

import pytest
from django.test import Client

from estimates.models import FirmFigure
from projects.models import Person
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db]

ADDRESS = "/standards/is/curing.days.opc/"


def browser(who):
    client = Client()
    client.force_login(Person.objects.get(username=who))
    return client


def test_values_stand_with_their_documents_in_words():
    cast()
    page = browser("bob").get("/standards/", {"search": "curing opc"}).content.decode()

    assert "IS 456: Plain and reinforced concrete, code of practice (2000), cl. 13.5.1" in page
    assert "as others quote it" in page
    assert "curing.days.opc" in page
    assert "concrete.cement_max" not in page
    assert "Set ours" not in page


def test_office_sets_a_figure_and_sees_it_beside_the_standards():
    cast()
    alice = browser("alice")
    typed = {"value": "9", "reason": "dry wind here, A. Engineer", "key": str(uuid.uuid4())}
    assert alice.post(ADDRESS, typed).status_code == 302

    page = alice.get("/standards/", {"search": "curing.days.opc"}).content.decode()
    assert "<strong>9&nbsp;day</strong>" in page
    assert "Alice: dry wind here, A. Engineer" in page
    assert "dry wind here" in alice.get(ADDRESS).content.decode()


def test_looser_limit_is_refused_and_nothing_typed_is_lost():
    cast()
    typed = {"value": "5", "reason": "it has always been enough", "key": str(uuid.uuid4())}
    answer = browser("alice").post(ADDRESS, typed)

    assert answer.status_code == 422
    page = answer.content.decode()
    assert "5 is below 7 day, the least of the standards; it may only be raised." in page
    assert "it has always been enough" in page
    assert not FirmFigure.objects.exists()


@pytest.mark.parametrize(("profile", "words"), [("en", "EN 206-1"), ("aci", "ACI 318")])
def test_other_profiles_may_be_looked_at(profile, words):
    cast()
    answer = browser("olga").get("/standards/", {"profile": profile, "search": "grade_min"})

    assert answer.status_code == 200
    assert words in answer.content.decode()


@pytest.mark.parametrize(
    "address", ["/standards/?profile=din", "/standards/din/a.b/", "/standards/is/no.such/"]
)
def test_what_is_not_there_is_not_found(address):
    cast()
    assert browser("alice").get(address).status_code == 404
