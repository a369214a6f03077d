"""The pages for sites, people, slabs and pours, each by role."""

import uuid

import pytest

from projects.models import Membership, Person, Pour, Site, Slab
from projects.services import pours, slabs
from projects.services.pours import PourAct
from projects.services.slabs import SlabAct
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def _in(client, actor):
    client.force_login(Person.objects.get(pk=actor.person_id))
    return client


def _pour(team):
    slab = slabs.add(actor=team.alice, act=SlabAct(team.site.pk, "roof"), key="s", now=NOW)
    return pours.plan(actor=team.alice, act=PourAct(slab.pk, "whole slab", TODAY), key="p", now=NOW)


def test_office_opens_a_site_once_though_the_form_is_sent_twice(client):
    team = cast()
    form = {"key": str(uuid.uuid4()), "name": "Weir Bank", "place": "", "opened_date": "2026-05-04"}

    answers = [_in(client, team.alice).post("/sites/new/", form) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [302, 302]
    assert Site.objects.filter(name="Weir Bank").count() == 1


def test_refusal_stands_at_its_field_and_keeps_what_was_typed(client):
    team = cast()
    form = {
        "key": str(uuid.uuid4()),
        "name": "Mill Yard",
        "place": "by the weir",
        "opened_date": "2026-05-04",
    }

    answer = _in(client, team.alice).post("/sites/new/", form)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "called “Mill Yard” already" in page
    assert 'value="by the weir"' in page


def test_people_are_admitted_and_given_a_password(client):
    team = cast()
    form = {
        "key": str(uuid.uuid4()),
        "name": "Dora",
        "username": "dora",
        "role": "site",
        "site_ids": [team.site.pk],
    }
    weak = {"key": str(uuid.uuid4()), "password": "short"}
    strong = {"key": str(uuid.uuid4()), "password": "gauge-box-and-barrow"}
    office = _in(client, team.alice)

    admitted = office.post("/people/new/", form)
    refused = office.post("/people/dora/password/", weak)
    accepted = office.post("/people/dora/password/", strong)

    assert [a.status_code for a in (admitted, refused, accepted)] == [302, 422, 302]
    assert list(Membership.objects.get(person__username="dora").sites.all()) == [team.site]
    assert Person.objects.get(username="dora").check_password("gauge-box-and-barrow")


def test_slab_is_added_and_its_pour_planned_moved_and_recorded(client):
    team = cast()
    office = _in(client, team.alice)
    office.post("/slabs/new/", {"key": str(uuid.uuid4()), "site_id": team.site.pk, "name": "roof"})
    slab = Slab.objects.get(name="roof")
    plan = {"key": str(uuid.uuid4()), "name": "whole slab", "pour_date": "2026-05-20", "share": "100"}
    office.post(f"/slabs/{slab.pk}/pours/new/", plan)
    pour = Pour.objects.get(slab=slab)
    office.post(f"/pours/{pour.pk}/move/", {"key": str(uuid.uuid4()), "pour_date": "2026-05-22"})
    pour.refresh_from_db()

    assert (pour.share_ppm, pour.pour_date.isoformat()) == (1_000_000, "2026-05-22")

    recorded = {"key": str(uuid.uuid4()), "poured_at": "2026-05-04T14:00"}
    _in(client, team.bob).post(f"/pours/{pour.pk}/poured/", recorded)
    pour.refresh_from_db()

    assert pour.state == Pour.State.POURED


def test_form_returns_to_the_page_it_was_opened_from(client):
    team = cast()
    pour = _pour(team)

    form = {"key": str(uuid.uuid4()), "pour_date": "2026-05-22", "next": "/sites/"}

    assert _in(client, team.alice).post(f"/pours/{pour.pk}/move/", form).url == "/sites/"


@pytest.mark.parametrize(("role", "status"), [("alice", 200), ("bob", 403), ("olga", 403), ("charlie", 404)])
def test_move_form_by_role(client, role, status):
    team = cast()
    pour = _pour(team)

    assert _in(client, getattr(team, role)).get(f"/pours/{pour.pk}/move/").status_code == status


@pytest.mark.parametrize(
    ("role", "names"),
    [
        ("alice", {"Mill Yard", "Tannery Row"}),
        ("bob", {"Mill Yard"}),
        ("olga", {"Mill Yard", "Tannery Row"}),
        ("charlie", {"Ferry Steps"}),
    ],
)
def test_sites_page_lists_the_actors_own(client, role, names):
    team = cast()

    page = _in(client, getattr(team, role)).get("/sites/").content.decode()

    assert {name for name in ("Mill Yard", "Tannery Row", "Ferry Steps") if name in page} == names
