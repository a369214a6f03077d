from __future__ import annotations

import pytest

from tests.api.calls import ROOT, code
from tests.factories import estimates

pytestmark = [pytest.mark.django_db, pytest.mark.data]
FIELDS = {"code", "message", "field", "params", "faults"}


def test_refusal_has_one_shape(alice):
    body = alice.get("sites/999999/").json()

    assert set(body) == FIELDS
    assert (body["code"], body["field"], body["params"], body["faults"]) == ("not_found", None, {}, [])


def test_what_is_not_yours_answers_like_what_is_not_there(alice, firm):
    not_ours = alice.get(f"sites/{firm.charlie_site.pk}/")
    not_there = alice.get("sites/999999/")

    assert not_ours.status_code == not_there.status_code == 404
    assert not_ours.content == not_there.content


@pytest.mark.parametrize("path", ["nothing/", "sites", "sites/one/", "two\nlines/", f"sites/{'9' * 19}/"])
def test_unknown_address_answers_in_the_same_shape(alice, path):
    answer = alice.get(path)

    assert code(answer) == (404, "not_found")
    assert set(answer.json()) == FIELDS


def test_service_refusal_keeps_its_code_field_and_status(alice, firm):
    answer = alice.post("sites/", {"name": firm.site.name, "opened_date": "2026-05-04"})

    assert code(answer) == (409, "name_taken")
    assert answer.json()["field"] == "name"


def test_every_fault_of_the_input_is_listed_with_its_path(alice):
    body = {
        "site_id": "one",
        "supplier_id": 1,
        "happened_at": "yesterday",
        "colour": "grey",
        "lines": [{"material_id": 1, "stated": "1.2345", "found": -1}],
    }

    answer = alice.post("receipts/", body)

    assert code(answer) == (400, "faulty_input")
    assert {(f["path"], f["code"]) for f in answer.json()["faults"]} == {
        ("site_id", "invalid"),
        ("happened_at", "invalid"),
        ("colour", "unknown_field"),
        ("lines[0].stated", "max_decimal_places"),
        ("lines[0].found", "min_value"),
    }


def test_faults_of_a_design_sheet_come_with_their_paths_and_nothing_is_saved(alice, firm):
    slab = estimates.slab(firm.alice, site=firm.site)
    sheet = estimates.sheet(thickness_mm=-5, cover_mm="thick")

    answer = alice.post(f"slabs/{slab.pk}/designs/", sheet)

    assert code(answer) == (400, "faulty_input")
    assert {"thickness_mm", "cover_mm"} <= {f["path"] for f in answer.json()["faults"]}
    assert alice.get(f"slabs/{slab.pk}/designs/").json()["rows"] == []


def test_role_that_does_not_do_this_is_told_so(bob):
    answer = bob.post("sites/", {"name": "Kiln Field", "opened_date": "2026-05-04"})

    assert code(answer) == (403, "not_allowed")


def test_unknown_query_is_a_fault(alice):
    answer = alice.get("slabs/", colour="grey")

    assert [(f["path"], f["code"]) for f in answer.json()["faults"]] == [("colour", "unknown_field")]


BAD_BODIES = {
    "not JSON": b"{",
    "NaN": b'{"name": NaN}',
    "twice": b'{"name": "a", "name": "b"}',
    "NUL": b'{"name": "a\\u0000"}',
    "lone surrogate": b'{"name": "\\ud800"}',
    "not UTF-8": b'{"name": "\xff"}',
    "deep": b"[" * 5_000 + b"]" * 5_000,
    "less deep": b'{"name": ' + b"[" * 40 + b"]" * 40 + b"}",
    "long number": b'{"name": ' + b"9" * 5_000 + b"}",
}


@pytest.mark.parametrize("body", BAD_BODIES.values(), ids=BAD_BODIES)
def test_unsound_json_is_refused(alice, body):
    answer = alice.client.post(ROOT + "sites/", body, content_type="application/json")

    assert code(answer) == (400, "parse_error")


@pytest.mark.parametrize("number", [7, 7.5, 0])
def test_number_is_no_text(alice, number):
    """Kept as a text it would be another one: 007 and 7.50 both lose what was written."""
    answer = alice.post("sites/", {"name": number, "opened_date": "2026-05-04"})

    assert [(f["path"], f["code"]) for f in answer.json()["faults"]] == [("name", "not_text")]


def test_body_beyond_reason_is_refused(alice):
    body = b'{"name": "' + b"a" * 2_000_001 + b'"}'

    assert code(alice.client.post(ROOT + "sites/", body, content_type="application/json")) == (
        413,
        "too_large",
    )


def test_form_is_not_json(alice):
    assert code(alice.client.post(ROOT + "sites/", {"name": "a"})) == (415, "unsupported_media_type")


@pytest.mark.parametrize(
    ("moment", "fault"),
    [
        ("1989-12-31T00:00:00Z", "out_of_reason"),
        ("2200-01-01T00:00:00Z", "out_of_reason"),
        ("0001-01-01T00:00:00Z", "out_of_reason"),
        ("0001-01-01", "out_of_reason"),
        ("0001-01-01T00:00", "out_of_reason"),
        ("9999-12-31T23:59", "out_of_reason"),
        ("9999-12-31T23:59:59Z", "overflow"),
    ],
)
def test_year_out_of_reason_is_refused(alice, ours, moment, fault):
    line = {"material_id": ours.cement.material.pk, "amount": 1}
    body = {"pour_id": ours.pour.pk, "happened_at": moment, "lines": [line]}

    answer = alice.post("slips/issues/", body)

    assert [(f["path"], f["code"]) for f in answer.json()["faults"]] == [("happened_at", fault)]
