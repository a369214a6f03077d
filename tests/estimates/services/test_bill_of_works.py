"""A bill that buys hire, crew and ready-mixed concrete: days in thousandths, nothing of them in a store."""

from datetime import date

import pytest

from estimates.models import Material
from estimates.services import bills, materials, rates
from estimates.services.bills import BillAct
from estimates.services.materials import AdoptionAct
from estimates.services.rates import RateAct
from tests.factories import estimates as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def test_days_of_hire_are_billed_unrounded_and_not_kept_in_a_store():
    team = cast()
    make.with_rates(team.alice)
    materials.adopt(actor=team.alice, act=AdoptionAct(beside=True), key="adopt-beside", now=NOW)
    for row in Material.objects.filter(firm=team.firm, rates__isnull=True):
        act = RateAct(material_id=row.pk, from_date=date(2026, 1, 1), basic=10_000_000)
        rates.set_rate(actor=team.alice, act=act, key=f"rate-{row.pk}", now=NOW)
    design = make.design(
        team.alice,
        on=make.slab(team.alice, site=team.site),
        supply={"kind": "ready_mixed"},
        plant={"vibrator_days": 1.5},
        crew={"mason_days": 2.25, "norm": "analysis_of_rates"},
    )

    act = BillAct(design_id=design.pk, as_of=date(2026, 6, 1), reason="R. Almqvist agrees by letter.")
    bill = bills.issue(actor=team.alice, act=act, key="bill", now=NOW)

    found = {line.key: line for line in bill.lines.select_related("material")}
    assert found["cement"].material is None
    assert found["ready_mixed.concrete"].material.code == "ready-mixed"
    assert (found["plant.vibrator"].net, found["plant.vibrator"].material.show_unit) == (3_000, "day")
    assert found["crew.mason"].net == 2_250
    assert not found["crew.mason"].material.stocked
