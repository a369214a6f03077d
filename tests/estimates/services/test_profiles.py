"""A firm of each profile goes from the example sheet to an issued bill, in that profile's materials."""

import json
from importlib.resources import files

import pytest

from estimates.models import Material
from estimates.services import bills, designs, materials, rates
from estimates.services.bills import BillAct
from estimates.services.designs import DesignAct
from estimates.services.materials import AdoptionAct, BadGrade
from estimates.services.rates import RateAct
from projects.access import actor as actors
from tests.factories import estimates as make
from tests.factories.cast import NOW, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def firm_of(profile):
    team = cast()
    team.site.firm.profile = profile
    team.site.firm.save()
    return team, actors.for_jobs(team.site.firm_id)


@pytest.mark.parametrize(
    ("profile", "example", "grade", "bar"),
    [
        ("en", "floor-over-mill-wynd", "B500B", "steel-12"),
        ("aci", "roof-over-larch-court", "Grade 60", "steel-13"),
    ],
)
def test_firm_issues_the_bill_of_its_profiles_example(profile, example, grade, bar):
    team, office = firm_of(profile)
    materials.adopt(actor=office, act=AdoptionAct(), key="materials", now=NOW)
    kept = {row.code: row for row in Material.objects.filter(firm=office.firm_id)}
    assert kept[bar].grade == grade
    for code, material in kept.items():
        act = RateAct(material_id=material.pk, from_date=make.RATES_FROM, basic=1_000_000)
        rates.set_rate(actor=office, act=act, key=f"rate {code}", now=NOW)
    slab = make.slab(office, site=team.site)
    sheet = json.loads(files("estimates").joinpath(f"examples/{example}.json").read_text(encoding="utf-8"))
    design = designs.save(actor=office, act=DesignAct(slab_id=slab.pk, sheet=sheet), key="design", now=NOW)
    bill = bills.issue(actor=office, act=BillAct(design_id=design.pk, as_of=make.TODAY), key="bill", now=NOW)
    assert (bill.profile, bill.edition) == (profile, f"{profile}-2026.1")
    assert {row["severity"] for row in bill.findings} <= {"warn", "note"}


@pytest.mark.parametrize(("profile", "grade"), [("is", "B500"), ("en", "S355"), ("aci", "60")])
def test_grade_of_no_profile_is_refused(profile, grade):
    _team, office = firm_of(profile)
    with pytest.raises(BadGrade) as refused:
        materials.adopt(actor=office, act=AdoptionAct(steel_grade=grade), key="m", now=NOW)
    assert refused.value.field == "steel_grade"
    assert not Material.objects.filter(firm=office.firm_id).exists()
