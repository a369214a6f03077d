"""The bar bending schedule on its page and as CSV."""

import csv
import io

import pytest

from projects.models import Person
from tests.factories import estimates as make
from tests.factories import sheets
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def team():
    return cast()


@pytest.fixture
def get(client):
    def page(url, *, username="alice"):
        client.force_login(Person.objects.get(username=username))
        return client.get(url)

    return page


def ridge_house():
    return {name: sheets.roof()[name] for name in ("outline", "openings", "beams", "bars")}


def test_schedule_shows_marks_figures_and_sums(team, get):
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site), **ridge_house())
    text = get(f"/designs/{design.pk}/bars/").content.decode()

    # RH-S-04 rev B: 62 a member in 2 members of 3,920; ST1 closed stirrup of 180 by 400 is cut to 1,288.
    assert f'href="/designs/{design.pk}/#line-steel.mark.S1"' in text
    assert 'id="mark-ST1"' in text
    assert '<use href="#shape-stirrup"/>' in text
    assert "1,288" in text
    assert "By size" in text


def test_mark_leads_to_its_line_of_the_take_off(team, get):
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site), **ridge_house())
    assert 'id="line-steel.mark.S1"' in get(f"/designs/{design.pk}/").content.decode()


def test_csv_has_a_row_for_every_length(team, get):
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site), **ridge_house())
    answer = get(f"/designs/{design.pk}/bars.csv")
    rows = list(csv.DictReader(io.StringIO(answer.content.decode())))

    stirrup = next(row for row in rows if row["mark"] == "ST1")
    assert (stirrup["A"], stirrup["B"], stirrup["number"], stirrup["cutting_length_mm"]) == (
        "180.0",
        "400.0",
        "124",
        "1288.0",
    )
    assert stirrup["catalogue"] == "IS 2502:1963 and SP 34"


def test_design_without_bars_says_what_to_do(team, get):
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site), bars=[])
    assert "no bars yet" in get(f"/designs/{design.pk}/bars/").content.decode()


def test_bars_of_another_firm_are_not_found(team, get):
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site), **ridge_house())
    assert get(f"/designs/{design.pk}/bars/", username="charlie").status_code == 404


def test_laps_by_the_code_stand_beside_the_schedule(team, get):
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site), **ridge_house())
    text = get(f"/designs/{design.pk}/bars/").content.decode()

    # IS 456, M20 and Fe 500: 56.6 diameters of 16 mm are 906 mm; the working stands behind the figure.
    assert "Anchorage and laps by the code" in text
    assert ">906<" in text
    assert "max(length, least * size)" in text
