"""Mix and proportioning as pages: what they show, refuse and carry on."""

import re

import pytest

from projects.models import Person
from tests.factories import estimates as make
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def design():
    team = cast()
    return make.design(team.alice, on=make.slab(team.alice, site=team.site))


@pytest.fixture
def get(client):
    def page(url, query=None, *, username="alice"):
        client.force_login(Person.objects.get(username=username))
        answer = client.get(url, query or {})
        return answer.status_code, re.sub(r"\s+", " ", answer.content.decode())

    return page


def test_mix_shows_every_method_and_the_ready_mixed_alternative(design, get):
    status, page = get(f"/designs/{design.pk}/mix/")

    assert status == 200
    for name in ("absolute volumes", "analysis of rates", "dry volume 152", "dry volume 157"):
        assert name in page
    # One word in the lead, one beside the method that the bill follows.
    assert page.count("chosen") == 2
    assert re.search(r"analysis of rates .{0,200}chosen", page)
    assert "truck loads" in page


def test_mix_of_another_firm_is_not_found(design, get):
    assert get(f"/designs/{design.pk}/mix/", username="charlie")[0] == 404


@pytest.mark.parametrize("name", ["is_10262", "aci_211"])
def test_proportioning_shows_every_step_and_says_who_decides(design, get, name):
    status, page = get("/mixes/proportioning/", {"method_name": name})

    assert status == 200
    assert "Trial mixes on the real materials and the engineer decide" in page
    assert page.count('class="formula"') >= 8


def test_proportioning_keeps_what_was_typed_and_names_the_fault(design, get):
    query = {"method_name": "aci_211", "average_strength": "9000"}
    status, page = get("/mixes/proportioning/", query)

    assert status == 422
    assert "lies outside the table" in page
    assert 'value="9000"' in page


def test_proportioned_mix_goes_into_the_boxes_of_a_design(design, get):
    slab = design.slab
    query = {"method_name": "is_10262", "slab": slab.pk}
    page = get("/mixes/proportioning/", query)[1]
    carried = re.search(rf'href="(/slabs/{slab.pk}/design/new/\?[^"]+)"', page)[1].replace("&amp;", "&")

    form = get(carried)[1]

    assert '<option value="designed" selected>' in form
    assert '<option value="proportioned_not_trialled" selected>' in form
    assert 'name="mix.proportioned_by" value="is_10262_2019"' in form
    # 186 kg of water raised by 3 % for 25 mm of slump, over 0.45: 425.7 kg of cement.
    assert 'name="mix.cement_kg_m3" value="425.7"' in form
    # What the latest design says beside the mix is still there.
    assert design.drawing.number in form


def test_proportioning_offers_no_design_to_those_who_may_not_enter_it(design, get):
    query = {"method_name": "is_10262", "slab": design.slab.pk}
    status, page = get("/mixes/proportioning/", query, username="bob")

    assert status == 200
    assert "/design/new/" not in page


def test_proportioning_for_a_slab_of_another_firm_is_not_found(design, get):
    query = {"method_name": "is_10262", "slab": design.slab.pk}
    assert get("/mixes/proportioning/", query, username="charlie")[0] == 404
