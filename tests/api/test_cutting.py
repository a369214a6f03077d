"""A cutting plan over REST: asked for, worked out, reserved, ticked once, issued."""

import pytest

from tests.api.calls import Caller
from tests.factories import cutting as made

pytestmark = pytest.mark.django_db


def test_a_plan_is_carried_from_asking_to_the_slab():
    at = made.shop()
    made.receive(at, "steel-10", bars=7)
    office, bench = Caller("alice"), Caller("bob")

    asked = office.post(
        "cutting-plans/", {"site_id": at.cast.site.pk, "slab_ids": [at.slab.pk], "marks": ["S1"]}
    )
    plan_id = asked.json()["plan"]["id"]
    assert (asked.status_code, asked.json()["plan"]["state"]) == (201, "asked")
    made.worked_out(made.CuttingPlan.objects.get(pk=plan_id))
    reserved = office.post(f"cutting-plans/{plan_id}/reserve/", {}).json()
    patterns = [(one["bars"], one["left"], one["rest_mm"]) for one in reserved["sizes"][0]["patterns"]]
    assert patterns == [(6, 6, 148), (1, 1, 3_111)]

    first = reserved["sizes"][0]["patterns"][0]
    tick = {"bars": 2, "done_before": 0}
    address = f"cutting-patterns/{first['id']}/cut/"
    done = bench.post(address, tick, key="bench-tick-1")
    again = bench.post(address, tick, key="bench-tick-1")
    late = office.post(address, tick)
    assert (done.status_code, done.json()["bars"]) == (201, 2)
    assert again.json()["id"] == done.json()["id"]
    assert again["Idempotent-Replayed"] == "true"
    assert (late.status_code, late.json()["code"]) == (409, "ticked_meanwhile")

    need = office.get(f"cutting-plans/{plan_id}/").json()["pieces"][0]
    assert (need["count"], need["cut"], need["at_bench"]) == (27, 8, 8)
    issued = bench.post(f"pours/{at.pour.pk}/pieces/", {"pieces": [{"need_id": need["id"], "count": 8}]})
    assert issued.json()["lines"][0]["quantity"]["units"] == 8 * 2_960
    undone = bench.post(f"cuts/{done.json()['id']}/undo/", {"reason": "wrong pattern"})
    assert (undone.status_code, undone.json()["code"]) == (409, "pieces_gone")


def test_pieces_that_are_too_long_are_named():
    at = made.shop(
        bars=[
            {
                "mark": "S1",
                "member": "slab",
                "size_mm": 10,
                "shape": "straight",
                "dimensions": {"A": 12_500},
                "per_member": 2,
            }
        ]
    )

    answer = Caller("alice").post("cutting-plans/", {"site_id": at.cast.site.pk, "slab_ids": [at.slab.pk]})

    assert (answer.status_code, answer.json()["code"]) == (400, "piece_too_long")
    assert [fault["path"] for fault in answer.json()["faults"]] == ["S1"]
    assert "12500 mm of 10 mm (longest bar 12000 mm)" in answer.json()["faults"][0]["message"]


def test_steel_of_a_store_is_read_in_bars_metres_and_grams():
    at = made.shop()
    made.receive(at, "steel-16", bars=10, label="H 7")

    row = Caller("bob").get(f"sites/{at.cast.site.pk}/steel/").json()[0]

    # IS 1786: 16 mm is 1.58 kg/m; ten bars of 12 m are 189.6 kg
    assert (row["label"], row["bars"], row["quantity"]["units"], row["mass_g"]) == (
        "H 7",
        10,
        120_000,
        189_600,
    )
