from __future__ import annotations

import pytest
from django.contrib.auth import get_user_model
from django.test import Client

from tests.api import addresses
from tests.api.calls import ROOT, Caller, code
from tests.factories.cast import PASSWORD

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.mark.parametrize("address", addresses.reads(), ids=lambda a: a.pattern)
def test_stranger_is_asked_to_sign_in(stranger, address):
    answer = stranger.get(_with_any_id(address.pattern))

    assert code(answer) == (401, "not_authenticated")
    assert answer["WWW-Authenticate"] == 'Session realm="Pourtally"'


@pytest.mark.parametrize("address", addresses.acts(), ids=lambda a: a.pattern)
def test_stranger_does_nothing(stranger, address):
    assert code(stranger.post(_with_any_id(address.pattern))) == (401, "not_authenticated")


def test_act_without_the_csrf_token_is_refused(firm):
    caller = Caller("alice", enforce_csrf_checks=True)

    answer = caller.post("sites/", {"name": "Kiln Field", "opened_date": "2026-05-04"})

    assert code(answer) == (403, "csrf_failed")
    assert {row["name"] for row in caller.get("sites/").json()["rows"]} == {"Mill Yard", "Tannery Row"}


def test_act_after_a_real_sign_in_with_the_token_of_the_session_is_done(firm):
    client = Client(enforce_csrf_checks=True)
    client.get("/sign-in/")
    typed = {"username": "alice", "password": PASSWORD, "csrfmiddlewaretoken": _token(client)}
    client.post("/sign-in/", typed)

    answer = client.post(
        ROOT + "sites/",
        {"name": "Kiln Field", "opened_date": "2026-05-04"},
        content_type="application/json",
        headers={"X-CSRFToken": _token(client), "Idempotency-Key": "kiln-field-1"},
    )

    assert answer.status_code == 201


def test_person_without_a_firm_is_told_so(db):
    get_user_model().objects.create(username="nina", name="Nina")

    assert code(Caller("nina").get("me/")) == (403, "no_firm")


def test_nobody_is_asked_which_acts_there_are(alice):
    assert code(alice.client.options(ROOT + "sites/")) == (405, "method_not_allowed")
    assert "Access-Control-Allow-Origin" not in alice.get("sites/")


def _with_any_id(pattern: str) -> str:
    parts = ("1" if part.startswith("<row:") else part for part in pattern.split("/"))
    return "/".join(parts)


def _token(client: Client) -> str:
    return client.cookies["csrftoken"].value
