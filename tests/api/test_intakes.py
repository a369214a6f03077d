"""Both drawings as received go over REST to a bill, by files and answers alone."""

import base64
import math

import pytest

from tests.api.calls import Caller, code
from tests.estimates import drawings
from tests.factories import estimates as make
from tests.factories.cast import cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def team():
    found = cast()
    make.with_rates(found.alice)
    return found


@pytest.fixture
def office(team):
    return Caller("alice")


def send(office, slab, names):
    files = [{"name": name, "content": base64.b64encode(drawings.content(name)).decode()} for name in names]
    answer = office.post(f"slabs/{slab.pk}/intakes/", {"files": files})
    assert answer.status_code == 201, answer.json()
    return answer.json()


def answered(office, intake, said):
    """Answers what is open, round after round; what is proposed is accepted."""
    for _round in range(6):
        asked = {question["id"] for question in intake["questions"]}
        body = {"answers": {name: value for name, value in said.items() if name in asked}, "accept": True}
        answer = office.post(f"intakes/{intake['id']}/answers/", body)
        assert answer.status_code == 200, answer.json()
        intake = answer.json()
    assert intake["open"] == []
    return intake


def bill_of(office, slab, sheet, reason):
    saved = office.post(f"slabs/{slab.pk}/designs/", sheet)
    assert saved.status_code == 201, saved.json()
    body = {"as_of": "2026-05-04", "reason": reason}
    issued = office.post(f"designs/{saved.json()['id']}/bills/", body)
    assert issued.status_code == 201, issued.json()
    return issued.json()


REASON = "N. Orveld by telephone on 4 May: cover and grade as drawn, trimmers follow on a sketch."


def test_ridge_house_from_files_to_bill(team, office):
    slab = make.slab(team.alice, site=team.site)
    intake = answered(office, send(office, slab, drawings.RIDGE), drawings.SAID)

    bill = bill_of(office, slab, intake["sheet"] | drawings.REST, REASON)

    area = 9.2 * 8.0 - 2.4 * 1.1 - 0.3 * 0.25
    assert bill["area_mm2"] == pytest.approx(area * 1e6, abs=1)
    assert {line["key"] for line in bill["lines"]} >= {"concrete.net", "cement"}
    pdf = office.get(f"bills/{bill['bill']['id']}/pdf/")
    assert pdf["Content-Type"] == "application/pdf"
    assert pdf.content.startswith(b"%PDF")


DAIRY = {
    "schema": "pourtally-design/1",
    "profile": "en",
    "slab": "Dairy Store, first floor",
    "drawing": {"number": "DS-112", "revision": "0", "dated": "2026-05-04", "engineer": "N. Orveld"},
    "thickness_mm": 125,
    "cover_mm": 25,
    "beam_cover_mm": 25,
    "grade": "C25/30",
    "steel_grade": "B500B",
    "exposure": "XC3",
    "mix": {
        "kind": "designed",
        "cement_kg_m3": 320,
        "water_kg_m3": 165,
        "sand_kg_m3": 760,
        "stone_kg_m3": {"20": 680, "10": 450},
        "sand_bulk_kg_m3": 1600,
        "stone_bulk_kg_m3": {"20": 1500, "10": 1500},
        "admixtures": [{"material": "plasticiser", "dose_kg_m3": 1.6, "density_kg_l": 1.1}],
    },
    "curing": {"cement": "unknown", "method": "ponding"},
}
"""What the note beside the drawing of the dairy store says; bulk densities of the heaps are invented."""


def test_dairy_store_from_files_to_take_off(team, office):
    slab = make.slab(team.alice, site=team.site)
    intake = answered(office, send(office, slab, drawings.DAIRY), drawings.DAIRY_SAID)

    assert intake["bar_faults"] == []
    saved = office.post(f"slabs/{slab.pk}/designs/", intake["sheet"] | DAIRY)
    assert saved.status_code == 201, saved.json()
    takeoff = office.get(f"designs/{saved.json()['id']}/takeoff/").json()
    assert "slab_area_m2" in takeoff, takeoff

    outline = 12.4 * 4.2 + 7.6 * 5.7
    hole = math.pi * 0.6**2
    assert takeoff["slab_area_m2"] == pytest.approx(outline - hole - 0.8 * 0.7, rel=1e-4)
    # by the note: 150 thick over 7.6 × 5.7 less the tank's hole; a base of 2.4 × 2.1 in sides of 125, 300
    # high; the rest 125 thick
    thick = (7.6 * 5.7 - hole) * 0.15
    sunk = 2.4 * 2.1 * 0.125 + (2.65 * 2.35 - 2.4 * 2.1) * 0.3
    rest = (12.4 * 4.2 - 2.4 * 2.1 - 0.8 * 0.7) * 0.125
    beams = next(line["value"] for line in takeoff["lines"] if line["key"] == "concrete.beams")
    assert takeoff["concrete_m3"] - beams == pytest.approx(thick + sunk + rest, rel=1e-4)
    # marks 01, 02 and 03 of the schedule: 84 × 4.35 m, 24 × 12 m, 24 × 1.15 m, at 0.617 and 0.395 kg/m
    mass = {line["key"]: line["value"] for line in takeoff["lines"]}
    assert mass["steel.mark.01"] == pytest.approx(84 * 4.35 * 0.617, rel=2e-3)
    assert mass["steel.mark.02"] == pytest.approx(24 * 12 * 0.395, rel=2e-3)
    assert mass["steel.mark.03"] == pytest.approx(24 * 1.15 * 0.395, rel=2e-3)
    pdf = office.get(f"designs/{saved.json()['id']}/bars/pdf/")
    assert pdf.content.startswith(b"%PDF")


def test_file_that_cannot_be_read_is_refused_with_every_reason(team, office):
    slab = make.slab(team.alice, site=team.site)
    files = [
        {"name": name, "content": base64.b64encode(b"x,y\n1,2\n").decode()} for name in ("a.csv", "b.dxf")
    ]

    answer = office.post(f"slabs/{slab.pk}/intakes/", {"files": files})

    assert code(answer) == (400, "faulty_input")
    assert [(fault["path"], fault["code"]) for fault in answer.json()["faults"]] == [
        ("a.csv", "no_heads"),
        ("b.dxf", "wrong_ending"),
    ]


def test_form_with_files_is_taken_too(team, office):
    from django.core.files.uploadedfile import SimpleUploadedFile  # noqa: PLC0415 - only here

    slab = make.slab(team.alice, site=team.site)
    file = SimpleUploadedFile("bars.csv", drawings.content(drawings.RIDGE[1]))

    answer = office.client.post(
        f"/api/v1/slabs/{slab.pk}/intakes/", {"files": [file]}, headers={"Idempotency-Key": "form-files-1"}
    )

    assert answer.status_code == 201
    assert answer.json()["files"][0]["kind"] == "csv"


def test_what_is_not_base64_is_a_fault_of_its_field(team, office):
    slab = make.slab(team.alice, site=team.site)

    answer = office.post(f"slabs/{slab.pk}/intakes/", {"files": [{"name": "a.csv", "content": "§"}]})

    assert code(answer) == (400, "faulty_input")
