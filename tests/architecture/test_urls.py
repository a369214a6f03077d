"""A walk over every address, as everybody: what they are answered is compared with one table."""

from __future__ import annotations

import hashlib

import pytest
from django.apps import apps

from tests.architecture import walking
from tests.architecture.url_table import WHO, table
from tests.factories import cast as people
from tests.factories import world

pytestmark = [pytest.mark.django_db, pytest.mark.data]

NAMES = {
    "nobody": "",
    "office": "alice",
    "own site": "bob",
    "other site": "bob",
    "owner": "olga",
    "other firm": "charlie",
}


@pytest.fixture
def worlds():
    """Two sites of the cast's firm and one of Charlie's, all in full work."""
    firm = people.cast()
    ours = world.furnish(firm.alice, site=firm.site, mark="ORCHARD")
    elsewhere = world.furnish(firm.alice, site=firm.other_site, mark="TANNERY")
    world.furnish(firm.charlie, site=firm.charlie_site, mark="QUAYSIDE")
    return {who: elsewhere if who == "other site" else ours for who in WHO}


def test_every_address_stands_in_the_table():
    assert [str(case) for case in walking.cases() if str(case) not in table()["nobody"]] == []
    assert set(table()["nobody"]) - {str(case) for case in walking.cases()} == set()


@pytest.mark.parametrize("who", WHO)
def test_everybody_is_answered_as_the_table_says(worlds, who):
    expected = table()[who]
    cases = [case for case in walking.cases() if str(case) in expected]
    answered = {str(case): walking.status(case, world=worlds[who], who=NAMES[who]) for case in cases}

    assert {case: code for case, code in answered.items() if code != expected[case]} == {}


def test_nobody_signed_in_gets_no_further_than_the_door():
    open_doors = {"/health/", "/certificate/", "/worker.js", "/sign-in/", "/sign-out/"}
    let_in = [case for case, code in table()["nobody"].items() if code not in {302, 401}]

    assert {case.split(maxsplit=1)[1] for case in let_in} == open_doors


def test_page_that_only_reads_refuses_what_is_sent_to_it():
    asked = table()["owner"]
    read = {
        case.split(maxsplit=1)[1] for case, code in asked.items() if case.startswith("GET ") and code == 200
    }

    assert [address for address in sorted(read) if asked.get(f"POST {address}") == 200] == []


def test_row_of_another_firm_is_never_found():
    found = {
        case: code
        for case, code in table()["other firm"].items()
        if "_id>" in case and code not in {404, 405}  # 405: before any row is looked for
    }

    assert found == {}


@pytest.mark.parametrize("who", ["office", "own site", "owner"])
def test_reading_changes_nothing(worlds, who):
    client = walking.client_of(NAMES[who])
    before = _written()

    for case in walking.cases():
        if case.method == "GET":
            walking.read(client, case, world=worlds[who])

    assert _written() == before


def _written() -> dict[str, str]:
    """A digest of every row of ours."""
    ours = [m for m in apps.get_models() if m._meta.app_label in {"projects", "estimates", "inventory"}]
    return {
        model._meta.label: hashlib.sha256(
            repr(list(model.objects.order_by("pk").values())).encode()
        ).hexdigest()
        for model in ours
    }
