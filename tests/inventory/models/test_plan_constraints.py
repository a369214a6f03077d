"""Each rule of the plan's tables, and what the database says to a row that breaks it."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction

from inventory.models import PlanRun, PlanTerms, Suggestion
from projects.models import Site
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def people():
    return cast()


def refused(model, *, rule, **facts):
    """SQLite names a broken check, and the columns of a broken uniqueness."""
    with pytest.raises(IntegrityError) as broken, transaction.atomic():
        model.objects.create(**facts)
    text = str(broken.value)
    assert rule in text or text.startswith("UNIQUE constraint failed: ")


@pytest.mark.parametrize(
    ("figures", "rule"),
    [
        ({"stop_cost_minor": -1}, "inventory_planterms_not_negative"),
        ({"week_budget_minor": -1}, "inventory_planterms_not_negative"),
        ({"freight_minor": -1}, "inventory_planterms_not_negative"),
        ({"rest_permille": 1_001}, "inventory_planterms_rest_is_part"),
        ({"van_kg": 0}, "inventory_planterms_van_positive"),
    ],
)
def test_terms_are_within_reason(people, figures, rule):
    refused(PlanTerms, rule=rule, firm=people.firm, **figures)


def _facts(people, **change):
    bags = make.cement(people.firm.pk)
    run = PlanRun.objects.create(
        firm=people.firm,
        fingerprint="f",
        for_date=TODAY,
        started_at=NOW,
        finished_at=NOW,
        items=1,
        suggested=1,
    )
    facts = {
        "run": run,
        "site": people.site,
        "material": bags.material,
        "pour": make.pour(people.site),
        "supplier": make.supplier(people.firm.pk),
        "pack": bags.pack,
        "packs": 1,
        "quantity": make.BAG_G,
        "need_date": date(2026, 5, 15),
        "order_by_date": date(2026, 5, 12),
        "reason": {},
        "inputs_digest": "d",
    }
    return facts | change


def test_one_lot_is_suggested_once(people):
    facts = _facts(people)
    Suggestion.objects.create(**facts)
    refused(Suggestion, rule="inventory_suggestion_open_once", **facts)
    Suggestion.objects.create(**facts | {"order_by_date": date(2026, 5, 13)})


def test_one_move_is_suggested_once(people):
    idle = Site.objects.create(firm=people.firm, name="Kiln Lane", opened_date=TODAY)
    facts = _facts(people, kind="move", supplier=None, from_site=idle)
    Suggestion.objects.create(**facts)
    refused(Suggestion, rule="inventory_suggestion_move_once", **facts)


def test_a_move_leaves_a_site_and_a_purchase_does_not(people):
    facts = _facts(people)
    for change in ({"kind": "move"}, {"from_site": people.site}):
        refused(Suggestion, rule="inventory_suggestion_kind_has_source", **facts | change)


def test_a_suggestion_is_for_something(people):
    refused(Suggestion, rule="inventory_suggestion_positive", **_facts(people, packs=0))
