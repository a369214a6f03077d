"""Entering a design by form: saved, drawn, given more rows, or refused with everything typed kept."""

import uuid

import pytest
from babel import Locale

from estimates.models import Design
from estimates.pages import design_typing
from projects.models import Person
from tests.factories import estimates as make
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

INDIA = Locale.parse("en_IN")


@pytest.fixture
def team():
    return cast()


@pytest.fixture
def slab(team):
    return make.slab(team.alice, site=team.site)


@pytest.fixture
def office(client, team):
    client.force_login(Person.objects.get(username="alice"))
    return client


def typed(**changes):
    found = design_typing.written(make.sheet(), locale=INDIA)
    return {"key": str(uuid.uuid4()), "act": "save"} | found | changes


def send(office, slab, **changes):
    return office.post(f"/slabs/{slab.pk}/design/new/", typed(**changes))


def test_same_design_by_form_and_by_sheet_is_one_design(office, slab, team):
    answer = send(office, slab)

    by_form = Design.objects.get()
    assert answer.url == f"/designs/{by_form.pk}/"
    assert make.design(team.alice, on=slab) == by_form


def test_form_sent_twice_saves_once(office, slab):
    key = str(uuid.uuid4())

    first, second = (send(office, slab, key=key) for _time in range(2))

    assert first.url == second.url
    assert Design.objects.count() == 1


def test_next_design_starts_from_the_latest(office, slab, team):
    make.design(team.alice, on=slab, thickness_mm=140)

    page = office.get(f"/slabs/{slab.pk}/design/new/").content.decode()

    assert 'name="thickness_mm" value="140"' in page
    assert 'name="bars[1].mark" value="B1-1"' in page
    assert "<svg" in page


def test_design_with_more_boxes_than_a_browser_sends_leads_to_its_sheet(office, slab, team):
    bars = [make.SHEET["bars"][0] | {"mark": f"S{number}"} for number in range(60)]
    make.design(team.alice, on=slab, bars=bars)

    page = office.get(f"/slabs/{slab.pk}/design/new/").content.decode()

    assert "more boxes than a browser sends" in page
    assert 'name="thickness_mm"' not in page


def test_first_design_starts_with_the_slabs_name(office, slab):
    page = office.get(f"/slabs/{slab.pk}/design/new/").content.decode()

    assert 'name="slab" value="Porch roof"' in page
    assert "The drawing appears here" in page


def test_refused_design_keeps_everything_and_names_every_fault(office, slab):
    changes = {"thickness_mm": "thick", "grade": "20", "bars[0].size_mm": "11", "beams[0].end": "4000"}

    answer = send(office, slab, **changes)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'name="thickness_mm" value="thick"' in page
    assert 'name="bars[0].size_mm" value="11"' in page
    for target in ("box-thickness-mm", "box-grade", "box-beams-0-end"):
        assert f'href="#{target}"' in page
    assert Design.objects.count() == 0


def test_faults_of_the_sheet_stand_at_their_boxes(office, slab):
    answer = send(office, slab, outline="0, 0\n4000, 3000\n4000, 0\n0, 3000")

    assert answer.status_code == 422
    assert 'id="box-outline-faults"' in answer.content.decode()


def test_drawing_button_draws_and_saves_nothing(office, slab):
    answer = send(office, slab, act="preview", grade="")

    assert answer.status_code == 200
    assert "<svg" in answer.content.decode()
    assert Design.objects.count() == 0


def test_more_rows_keep_what_is_typed(office, slab):
    page = send(office, slab, more="beams", thickness_mm="thick").content.decode()

    assert 'name="thickness_mm" value="thick"' in page
    assert 'name="beams[5].name"' in page
    assert Design.objects.count() == 0


def test_drawing_beside_the_form_follows_what_is_typed(office, slab):
    url = f"/slabs/{slab.pk}/design/preview/"

    assert "<svg" in office.post(url, typed()).content.decode()
    assert "appears here" in office.post(url, typed(outline="0, 0")).content.decode()
    assert office.get(url).status_code == 405


def test_form_without_a_key_is_saved_all_the_same(office, slab):
    assert send(office, slab, key="").status_code == 302


@pytest.mark.parametrize(("username", "status"), [("bob", 403), ("olga", 403), ("charlie", 404)])
def test_others_enter_no_design(client, team, slab, username, status):
    client.force_login(Person.objects.get(username=username))

    for place in ("new", "preview", "sheet"):
        assert client.post(f"/slabs/{slab.pk}/design/{place}/", typed()).status_code == status
    assert Design.objects.count() == 0
