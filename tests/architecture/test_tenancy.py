"""Every model declares its road to a firm, and the road exists."""

from __future__ import annotations

import pytest
from django.apps import apps
from django.core.exceptions import FieldDoesNotExist

OURS = [m for m in apps.get_models() if m._meta.app_label in {"projects", "estimates", "inventory"}]


def _walk(model, road: str):
    step = model
    for part in road.split("__"):
        if part == "pk":
            continue
        step = step._meta.get_field(part).related_model
    return step


@pytest.mark.parametrize("model", OURS, ids=lambda m: m._meta.label)
def test_model_has_a_road_to_its_firm(model):
    assert _walk(model, model.FIRM_ROAD)._meta.label == "projects.Firm"


@pytest.mark.parametrize("model", [m for m in OURS if hasattr(m, "SITE_ROAD")], ids=lambda m: m._meta.label)
def test_model_has_a_road_to_its_site(model):
    for road in (model.SITE_ROAD, getattr(model, "OTHER_SITE_ROAD", model.SITE_ROAD)):
        assert _walk(model, road)._meta.label == "projects.Site"


@pytest.mark.parametrize("model", OURS, ids=lambda m: m._meta.label)
def test_row_with_history_cannot_be_swept_away(model):
    swept = [
        field.name
        for field in model._meta.concrete_fields
        if field.is_relation and field.remote_field.on_delete.__name__ != "PROTECT"
    ]

    assert swept == []


@pytest.mark.parametrize("model", OURS, ids=lambda m: m._meta.label)
def test_constraint_is_named_for_app_and_rule(model):
    app, name = model._meta.app_label, model._meta.model_name
    odd = [c.name for c in model._meta.constraints if not c.name.startswith(f"{app}_")]

    assert odd == [], name


def test_stored_quantities_are_integers():
    loose = [
        f"{m._meta.label}.{f.name}"
        for m in OURS
        for f in m._meta.concrete_fields
        if f.get_internal_type() in {"FloatField", "DecimalField"}
    ]

    assert loose == []


def test_a_road_that_does_not_exist_would_be_noticed():
    with pytest.raises(FieldDoesNotExist):
        _walk(OURS[0], "no_such_step")
