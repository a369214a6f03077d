"""Each rule of the tables of estimates, and what the database says to a row that breaks it."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction

from estimates.models import Bill, BillLine, Design, Material, Pack, Rate, Requirement
from tests.factories import estimates as make
from tests.factories.cast import TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def bill():
    team = cast()
    make.with_rates(team.alice)
    found = make.billed_slab(team.alice, site=team.site)
    make.pour(team.alice, on=found.design.slab, day=date(2026, 5, 20))
    return found


def refused(rule, save):
    """Check that the database refuses by this rule; SQLite names only the columns of a broken uniqueness."""
    with pytest.raises(IntegrityError) as broken, transaction.atomic():
        save()
    text = str(broken.value)
    assert rule in text or text.startswith("UNIQUE constraint failed: estimates_")


def changed(row, **facts):
    for name, value in facts.items():
        setattr(row, name, value)
    return row.save


def again(row, **facts):
    row.pk = None
    row._state.adding = True
    return changed(row, **facts)


@pytest.mark.parametrize(
    ("rule", "facts"),
    [
        ("estimates_material_unit_known", {"stock_unit": "stone"}),
        ("estimates_material_factor_positive", {"show_factor": 0}),
        ("estimates_material_steel_has_mass", {"nominal_mg_per_mm": None}),
        ("estimates_material_steel_has_mass", {"nominal_mg_per_mm": 0}),
        ("estimates_material_code_once", {"code": "cement"}),
    ],
)
def test_material(bill, rule, facts):
    refused(rule, changed(Material.objects.get(code="steel-10"), **facts))


@pytest.mark.parametrize(
    ("rule", "facts"),
    [("estimates_pack_content_positive", {"name": "other", "content": 0}), ("estimates_pack_name_once", {})],
)
def test_pack(bill, rule, facts):
    refused(rule, again(Pack.objects.get(material__code="cement"), **facts))


@pytest.mark.parametrize(
    ("rule", "facts"),
    [
        ("estimates_rate_not_negative", {"basic": -1}),
        ("estimates_rate_not_negative", {"freight": -1}),
        ("estimates_rate_not_negative", {"loading": -1}),
        ("estimates_rate_not_negative", {"tax": -1}),
    ],
)
def test_rate(bill, rule, facts):
    refused(rule, again(Rate.objects.get(material__code="cement"), from_date=TODAY, **facts))


def test_rate_of_a_day_stands_once(bill):
    refused("estimates_rate_date_once", again(Rate.objects.get(material__code="cement")))


def test_design_number_stands_once(bill):
    refused("estimates_design_number_once", again(Design.objects.get()))


@pytest.mark.parametrize(
    ("rule", "facts"),
    [
        ("estimates_bill_number_once", {}),
        ("estimates_bill_total_not_negative", {"number": 2, "total_minor": -1}),
    ],
)
def test_bill(bill, rule, facts):
    refused(rule, again(Bill.objects.get(), **facts))


@pytest.mark.parametrize("figure", [-1, None])
@pytest.mark.parametrize("field", ["net", "allowance", "rate", "amount_minor"])
def test_bought_line_has_every_figure(bill, field, figure):
    row = BillLine.objects.get(key="cement")

    refused("estimates_billline_material_is_priced", changed(row, **{field: figure}))


def test_key_of_a_line_stands_once(bill):
    refused("estimates_billline_key_once", again(BillLine.objects.get(key="cement")))


@pytest.mark.parametrize(
    ("rule", "facts"),
    [("estimates_requirement_positive", {"quantity": 0}), ("estimates_requirement_once", {})],
)
def test_requirement(bill, rule, facts):
    line = BillLine.objects.get(key="cement")
    row = Requirement.objects.create(
        pour=bill.design.slab.pours.get(),
        material=line.material,
        bill_line=line,
        need_date=TODAY,
        quantity=1,
    )

    refused(rule, changed(row, **facts) if facts else again(row))


def test_rows_say_what_they_are(bill):
    line = BillLine.objects.get(key="cement")
    pour = bill.design.slab.pours.get()
    need = Requirement(pour=pour, material=line.material, need_date=TODAY)

    assert str(bill) == "Porch roof, bill 1"
    assert str(bill.design) == "Porch roof, design 1"
    assert str(line) == "cement"
    assert str(line.material) == "Cement"
    assert str(line.material.packs.get()) == "bag"
    assert str(line.material.rates.get()) == "Cement from 2026-04-01"
    assert str(need) == "Cement for Porch roof, whole slab by 2026-05-04"
