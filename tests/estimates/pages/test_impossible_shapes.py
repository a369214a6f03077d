"""A shape that cannot be: refused by form, API and sheet file alike, with the place named."""

import html
import json
import re

import pytest
from babel import Locale
from django.core.files.uploadedfile import SimpleUploadedFile

from estimates.models import Design
from estimates.pages import design_typing
from projects.models import Person
from tests.api.calls import Caller
from tests.factories import estimates as make
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]

BEAM = {"name": "B1", "width_mm": 230, "depth_mm": 425}
DUCT = {"name": "duct", "outline": [[3500, 1000], [4500, 1000], [4500, 1500], [3500, 1500]]}

IMPOSSIBLE = {
    "crossing itself": (
        {"outline": [[0, 0], [4000, 3000], [4000, 0], [0, 3000]]},
        "edge (0, 0) to (4000, 3000) meets edge (4000, 0) to (0, 3000)",
    ),
    "opening outside": ({"openings": [DUCT]}, "as at its corner (4500, 1000)"),
    "beam off the slab": (
        {"beams": [BEAM | {"start": [0, 1500], "end": [5000, 1500]}]},
        "its end (5000, 1500) lies outside the slab's outline",
    ),
    "beam beside the edge": (
        {"beams": [BEAM | {"start": [0, 100], "end": [4000, 100]}]},
        "B1: 0.06 m² of its 230 mm width lie outside the slab's outline",
    ),
    "cover over half": ({"cover_mm": 70}, "cover_mm 70 mm must be less than half the thickness 125 mm"),
}


def by_form(client, slab, *, sheet):
    boxes = design_typing.written(sheet, locale=Locale.parse("en_IN"))
    return client.post(f"/slabs/{slab.pk}/design/new/", {"key": "k", "act": "save"} | boxes)


def by_file(client, slab, *, sheet):
    file = SimpleUploadedFile("design.json", json.dumps(sheet).encode(), content_type="application/json")
    return client.post(f"/slabs/{slab.pk}/design/sheet/", {"key": "k", "file": file})


def by_api(_client, slab, *, sheet):
    return Caller("alice").post(f"slabs/{slab.pk}/designs/", sheet)


@pytest.mark.parametrize(("way", "status"), [(by_form, 422), (by_file, 422), (by_api, 400)])
@pytest.mark.parametrize("shape", IMPOSSIBLE)
def test_impossible_shape_is_refused_and_the_place_named(client, way, status, shape):
    team = cast()
    slab = make.slab(team.alice, site=team.site)
    client.force_login(Person.objects.get(username="alice"))
    changes, place = IMPOSSIBLE[shape]

    answer = way(client, slab, sheet=make.sheet(**changes))

    assert answer.status_code == status
    text = html.unescape(re.sub(r"<[^>]+>", "", answer.content.decode()))
    if way is by_api:
        text = " ".join(fault["message"] for fault in answer.json()["faults"])
    assert place in " ".join(text.split())
    assert not Design.objects.exists()
