"""The engineer's answer enters by the API as by the form: without it no lap, with it the line shows it."""

from __future__ import annotations

import pytest

from tests.api.calls import code
from tests.factories import estimates

pytestmark = [pytest.mark.django_db, pytest.mark.data]

LONG = {
    "mark": "L9",
    "member": "slab",
    "size_mm": 12,
    "shape": "straight",
    "dimensions": {"A": 13_000},
    "per_member": 10,
}
ANSWER = {
    "question": "lap",
    "marks": ["L9"],
    "decision": "one lap of 700, alternate ends",
    "engineer": "N. Orveld",
    "dated": "2026-05-11",
    "lap_mm": 700,
    "share_percent": 50,
}


def line_of(alice, slab, **changes):
    saved = alice.post(f"slabs/{slab.pk}/designs/", estimates.sheet(bars=[LONG], **changes))
    assert saved.status_code == 201
    takeoff = alice.get(f"designs/{saved.json()['id']}/takeoff/", as_of="2026-05-04").json()
    return next(line for line in takeoff["lines"] if line["key"] == "steel.mark.L9")


def test_lap_enters_the_line_only_with_the_answer(alice, firm):
    slab = estimates.slab(firm.alice, site=firm.site)
    estimates.with_materials(firm.alice)
    plain = line_of(alice, slab)
    lapped = line_of(alice, slab, answers=[ANSWER])

    # 10 bars of 13 m, then of 13.7 m, of 12 mm at 0.888 kg/m: 115.44 and 121.656 kg.
    assert float(plain["value"]) == pytest.approx(115.44, abs=0.001)
    assert float(lapped["value"]) == pytest.approx(121.656, abs=0.001)
    assert "N. Orveld, 2026-05-11" in str(lapped)


def test_answer_about_no_bar_of_the_sheet_is_a_fault_with_its_path(alice, firm):
    slab = estimates.slab(firm.alice, site=firm.site)
    sheet = estimates.sheet(bars=[LONG], answers=[ANSWER | {"marks": ["L8"]}])

    answer = alice.post(f"slabs/{slab.pk}/designs/", sheet)

    assert code(answer) == (400, "faulty_input")
    assert [fault["path"] for fault in answer.json()["faults"]] == ["answers[0].marks"]
