"""The register of hire on the pages: what came, its price, what went back, and what is out."""

import uuid
from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.models import Hire, HireEnd
from inventory.services import firm_days
from projects.models import Person
from tests.factories import buying
from tests.factories import inventory_stock as made

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def at():
    return made.yard()


def _as(client, username):
    client.force_login(Person.objects.get(username=username))
    return client


def _text(answer):
    return " ".join(answer.content.decode().replace("\N{NO-BREAK SPACE}", " ").split())


def _post(client, address, **typed):
    return client.post(address, {"key": str(uuid.uuid4())} | typed)


def _today(at):
    return firm_days.of(timezone.now(), actor=at.cast.bob)


def _came(client, at, **changes):
    today = _today(at)
    typed = {
        "material_id": buying.hired_kind(at.cast.firm.pk).pk,
        "what": "steel prop, 3.5 m",
        "pieces": "60",
        "supplier_id": at.supplier.pk,
        "out_date": (today - timedelta(days=9)).isoformat(),
        "due_date": (today - timedelta(days=1)).isoformat(),
        "serves": f"pour:{at.pour.pk}",
    }
    return _post(client, f"/stores/{at.cast.site.pk}/hire/new/", **(typed | changes))


def test_props_from_the_gate_to_the_last_one_back(client, at):
    answer = _came(_as(client, "bob"), at)
    row = Hire.objects.get()
    assert (answer.status_code, answer.url, row.pour) == (302, f"/stores/hire/{row.pk}/", at.pour)
    page = _text(client.get(answer.url))
    assert "late by 1 day" in page
    assert "Cost" not in page
    assert client.get(f"{answer.url}price/").status_code == 403

    _post(
        _as(client, "alice"),
        f"{answer.url}price/",
        rate="1.25",
        basis="piece_day",
        day_count="both",
        minimum_days="1",
        lost_price_minor="900",
    )
    assert "750.00" in _text(client.get(answer.url))

    lost = {"kind": "lost", "pieces": "1", "day": _today(at).isoformat()}
    answer = _post(_as(client, "bob"), f"/stores/hire/{row.pk}/end/", **lost)
    assert (answer.status_code, "Say what was found" in _text(answer)) == (422, True)
    facts = {"found": "not in the count", "seen_by": "the foreman"}
    _post(client, f"/stores/hire/{row.pk}/end/", **lost, **facts)
    back = lost | {"kind": "back", "pieces": "59"}
    _post(client, f"/stores/hire/{row.pk}/end/", **back)

    page = _text(_as(client, "alice").get(f"/stores/hire/{row.pk}/"))
    assert "0 of 60" in page
    assert "not in the count" in page
    assert "1,650.00" in page  # 750.00 of hire and 900.00 for the one that is lost


def test_list_filters_by_state_and_site_and_leads_to_its_table(client, at):
    _came(_as(client, "alice"), at)
    assert "steel prop, 3.5 m" in _text(client.get("/stores/hire/"))
    assert "steel prop, 3.5 m" in _text(client.get("/stores/hire/?state=late"))
    assert "Nothing of this kind" in _text(client.get("/stores/hire/?state=ended"))
    assert "steel prop" not in _text(client.get(f"/stores/hire/?site={at.cast.other_site.pk}"))
    assert client.get("/stores/hire/?site=999999").status_code == 404
    assert "steel prop" in client.get("/stores/hire.csv?state=all").content.decode()
    assert client.get("/stores/hire.csv?site=999999").content.decode().count("\n") == 1


def test_return_is_planned_anew_and_wrong_entries_are_taken_back(client, at):
    _came(_as(client, "bob"), at)
    row, today = Hire.objects.get(), _today(at)
    _post(client, f"/stores/hire/{row.pk}/due/", due_date=(today + timedelta(days=5)).isoformat())
    _post(client, f"/stores/hire/{row.pk}/end/", kind="back", pieces="60", day=today.isoformat())
    end = HireEnd.objects.get()
    _post(client, f"/stores/hire/ends/{end.pk}/take-back/", reason="counted at another site")
    page = _text(client.get(f"/stores/hire/{row.pk}/"))
    assert "60 of 60" in page
    assert "counted at another site" in page
    _post(client, f"/stores/hire/{row.pk}/take-back/", reason="it came to the depot")
    page = _text(client.get(f"/stores/hire/{row.pk}/"))
    assert "it came to the depot" in page
    assert "Plan the return" not in page


def test_refusal_of_the_slab_stands_at_its_box_and_keeps_what_was_typed(client, at):
    answer = _came(_as(client, "alice"), at, due_date="2020-01-01")
    assert answer.status_code == 422
    assert "steel prop, 3.5 m" in answer.content.decode()
    assert "before it came" in _text(answer)
    answer = _came(client, at, serves="pour:999999")
    assert answer.status_code == 422


def test_page_says_so_while_no_kind_is_hired(client, at):
    assert "adds them on the page of materials" in _text(
        _as(client, "bob").get(f"/stores/{at.cast.site.pk}/hire/new/")
    )


def test_spend_shows_the_hire_and_where_it_adds_up(client, at):
    row = buying.hired(at.cast.alice, site=at.cast.site, supplier=at.supplier, pour_id=at.pour.pk)
    buying.hired_at(at.cast.alice, row, rate=1_000_000_000_000, basis="whole")
    page = _text(_as(client, "olga").get("/spend/"))
    assert "Things on hire have cost ₹10,00,000.00 for the slabs so far." in page
    assert "10,00,000.00 of the used is hire so far" in _text(client.get(f"/spend/slabs/{at.pour.slab_id}/"))
