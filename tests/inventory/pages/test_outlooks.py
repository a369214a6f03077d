from types import SimpleNamespace

from inventory.pages import outlooks

PART = {"short_ppm": 1_000_000, "idle_short_ppm": 1_000_000, "behind": []}
REMEDY = {"supplier": "Hillfoot Cement Depot", "last_day": "2026-05-06", "cost_minor": 100}


def looked(*parts):
    chances = dict.fromkeys(("short_ppm", "least_ppm", "most_ppm", "idle_short_ppm"), 1_000_000)
    outlook = SimpleNamespace(**chances, parts=parts, worst=object())
    return outlooks.look(SimpleNamespace(pour=None, outlook=outlook), locale="en")


def test_what_helps_is_said_of_the_material_that_decides_and_of_no_other():
    formwork = PART | {"material": "Formwork", "remedies": []}
    cement = PART | {"material": "Cement", "remedies": [REMEDY]}

    assert looked(formwork, cement)["remedy"] is None
    assert looked(cement, formwork)["remedy"]["supplier"] == "Hillfoot Cement Depot"
