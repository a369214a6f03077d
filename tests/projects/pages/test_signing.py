"""Signing in and out, and what a stranger meets."""

import pytest
from django.core.cache import cache

from projects.models import Membership, Person
from tests.factories.cast import NOW, PASSWORD, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture(autouse=True)
def no_earlier_failures():
    cache.clear()


def _sign_in(client, *, username="alice", password=PASSWORD, goal=""):
    return client.post("/sign-in/", {"username": username, "password": password, "next": goal})


def test_right_password_leads_to_today(client):
    cast()

    answer = _sign_in(client)

    assert (answer.status_code, answer.url) == (302, "/")


def test_page_asked_for_comes_after_signing_in(client):
    cast()
    asked = client.get("/sites/")

    answer = _sign_in(client, goal="/sites/")

    assert asked.url == "/sign-in/?next=/sites/"
    assert answer.url == "/sites/"


@pytest.mark.parametrize(
    "goal", ["https://elsewhere.example/", "//elsewhere.example/", "javascript:alert(1)"]
)
def test_signing_in_never_leads_elsewhere(client, goal):
    cast()

    assert _sign_in(client, goal=goal).url == "/"


def test_wrong_password_says_so_and_keeps_the_name(client):
    cast()

    answer = _sign_in(client, password="something-else")

    assert answer.status_code == 422
    assert 'value="alice"' in answer.content.decode()


def test_sixth_try_waits_even_with_the_right_password(client):
    cast()
    for _ in range(5):
        _sign_in(client, password="guess")

    assert _sign_in(client).status_code == 429


def test_signing_out_needs_a_post_and_ends_the_session(client):
    cast()
    _sign_in(client)

    assert client.get("/sign-out/").status_code == 405
    assert client.post("/sign-out/").status_code == 302
    assert client.get("/sites/").url.startswith("/sign-in/")


def test_person_without_a_firm_is_told_so(client):
    team = cast()
    Membership.objects.filter(person__username="alice").update(ended_at=NOW)
    client.force_login(Person.objects.get(pk=team.alice.person_id))

    answer = client.get("/sites/")

    assert answer.status_code == 403
    assert "no role in a firm" in answer.content.decode()
