"""Issuing a bill: what it holds, what it refuses, and that it stays as it was."""

from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal

import pytest

from estimates.models import Bill, BillLine
from estimates.services import bills, rates
from estimates.services.bills import BillAct, MaterialsMissing, NotLatest, RatesMissing, ReasonNeeded
from estimates.services.rates import RateAct
from estimates.standards import load
from projects.errors import NotAllowed, NotFound
from projects.models import Outbox
from tests.factories import estimates as make
from tests.factories.cast import NOW, TODAY, cast

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def team():
    return cast()


@pytest.fixture
def design(team):
    make.with_rates(team.alice)
    return make.design(team.alice, on=make.slab(team.alice, site=team.site))


def line(bill, key):
    return BillLine.objects.get(bill=bill, key=key)


def test_volume_and_area_are_those_of_the_drawing(team, design):
    bill = make.bill(team.alice, of=design)

    # By hand: 4 × 3 × 0.125 m of slab and 4 × 0.23 × 0.3 m of beam below it.
    assert bill.area_mm2 == 12_000_000
    assert bill.volume_cm3 == 1_776_000


def test_amounts_are_quantity_times_rate_rounded_once(team, design):
    bill = make.bill(team.alice, of=design)

    cement = line(bill, "cement")
    # Public analysis of rates: 1.558 of dry volume and 1,412 kg/m³ give 400 kg for 1 m³ of 1:1.5:3.
    grams = Decimal("1.776") * Decimal("1.558") / Decimal("5.5") * 1_412 * 1_000
    assert cement.net == int(grams.quantize(Decimal(1), rounding=ROUND_HALF_EVEN))
    expected = Decimal(cement.allowed) / 1_000 * 8 * 100
    assert cement.amount_minor == int(expected.quantize(Decimal(1), rounding=ROUND_HALF_EVEN))


def test_steel_is_priced_by_nominal_mass(team, design):
    bill = make.bill(team.alice, of=design)

    steel = line(bill, "steel.size.10")
    # 27 bars of 2,960 mm, and IS 1786: 0.617 kg/m at 62 a kilogram.
    assert steel.net == 27 * 2_960
    kilograms = Decimal(steel.allowed) / 1_000 * Decimal("0.617")
    expected = (kilograms * 62 * 100).quantize(Decimal(1), rounding=ROUND_HALF_EVEN)
    assert steel.amount_minor == int(expected)
    assert steel.rate_per == "kg"


def test_total_is_the_sum_of_its_lines(team, design):
    bill = make.bill(team.alice, of=design)

    amounts = [row.amount_minor for row in bill.lines.all() if row.amount_minor is not None]
    assert bill.total_minor == sum(amounts)
    assert len(amounts) == len(bill.lines.exclude(material=None))


def test_bill_freezes_edition_drawing_and_derivation(team, design):
    bill = make.bill(team.alice, of=design)

    profile = load.profile("is")
    assert (bill.profile, bill.edition, bill.standards_digest) == ("is", profile.edition, profile.digest)
    assert (bill.drawing_number, bill.drawing_revision) == ("MY-S-01", "A")
    derivation = line(bill, "cement").derivation
    assert derivation["inputs"]["dry_factor"] == {
        "value": 1.558,
        "unit": "1",
        "source": derivation["inputs"]["dry_factor"]["source"],
    }
    assert derivation["pack"]["content"] == 50


def test_later_rate_leaves_the_bill_as_it_was(team, design):
    bill = make.bill(team.alice, of=design)
    before = list(bill.lines.values_list("key", "rate", "amount_minor"))

    cement = line(bill, "cement").material
    act = RateAct(material_id=cement.pk, from_date=TODAY, basic=9_000_000)
    rates.set_rate(actor=team.alice, act=act, key="dearer", now=NOW)

    assert list(bill.lines.values_list("key", "rate", "amount_minor")) == before


def test_rate_of_the_day_asked_for_holds(team, design):
    cement = make.with_materials(team.alice)["cement"]
    act = RateAct(material_id=cement.pk, from_date=date(2026, 5, 3), basic=9_000_000, freight=500_000)
    rates.set_rate(actor=team.alice, act=act, key="dearer", now=NOW)

    day_before = bills.issue(
        actor=team.alice, act=BillAct(design_id=design.pk, as_of=date(2026, 5, 2)), key="a", now=NOW
    )
    day_of = bills.issue(
        actor=team.alice, act=BillAct(design_id=design.pk, as_of=date(2026, 5, 3)), key="b", now=NOW
    )

    assert (line(day_before, "cement").rate, line(day_of, "cement").rate) == (8_000_000, 9_500_000)


def test_new_bill_takes_the_place_of_the_earlier_one(team, design):
    first = make.bill(team.alice, of=design)
    second = make.bill(team.alice, of=make.design(team.alice, on=design.slab, thickness_mm=130))

    first.refresh_from_db()
    assert (first.state, second.state, second.number) == (Bill.State.SUPERSEDED, Bill.State.ISSUED, 2)


def test_bill_of_another_slab_stays(team, design):
    first = make.bill(team.alice, of=design)
    make.billed_slab(team.alice, site=team.other_site)

    first.refresh_from_db()
    assert first.state == Bill.State.ISSUED


def test_same_key_issues_once(team, design):
    assert make.bill(team.alice, of=design) == make.bill(team.alice, of=design)
    assert Bill.objects.count() == 1


def test_needs_are_asked_for(team, design):
    make.bill(team.alice, of=design)

    assert [row.payload for row in Outbox.objects.filter(job="estimates.requirements")] == [
        {"firm_id": team.firm.pk}
    ]


def test_missing_rates_are_named(team):
    make.with_materials(team.alice)
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site))

    with pytest.raises(RatesMissing) as refused:
        make.bill(team.alice, of=design)

    assert refused.value.params["materials"] == [
        "cement",
        "sand",
        "stone-20",
        "stone-10",
        "formwork",
        "steel-10",
        "steel-16",
        "binding-wire",
        "curing-cover",
    ]
    assert Bill.objects.count() == 0


def test_rate_set_for_a_later_day_does_not_count(team, design):
    with pytest.raises(RatesMissing):
        make.bill(team.alice, of=design, as_of=date(2026, 3, 31))


def test_missing_materials_are_named(team):
    design = make.design(team.alice, on=make.slab(team.alice, site=team.site))

    with pytest.raises(MaterialsMissing) as refused:
        make.bill(team.alice, of=design)

    assert "steel-16 Fe500" in refused.value.params["materials"]


def test_bars_of_another_grade_are_not_taken_instead(team):
    make.with_rates(team.alice)
    slab = make.slab(team.alice, site=team.site)

    with pytest.raises(MaterialsMissing) as refused:
        make.bill(team.alice, of=make.design(team.alice, on=slab, steel_grade="Fe550"))

    assert refused.value.params["materials"] == ["steel-10 Fe550", "steel-16 Fe550"]


def test_check_that_says_stop_needs_a_reason(team, design):
    # M20 in severe exposure is below the least grade of IS 456, table 5 (M30).
    harsh = make.design(team.alice, on=design.slab, exposure="severe")

    with pytest.raises(ReasonNeeded) as refused:
        make.bill(team.alice, of=harsh, reason="engineer agrees")
    bill = make.bill(team.alice, of=harsh, reason="R. Almqvist on 3 May: coated after stripping, M20 stands.")

    assert refused.value.field == "reason"
    assert bill.reason.startswith("R. Almqvist")
    assert [row["severity"] for row in bill.findings].count("stop") == refused.value.params["stops"]


def test_earlier_design_is_not_billed(team, design):
    latest = make.design(team.alice, on=design.slab, thickness_mm=130)

    with pytest.raises(NotLatest) as refused:
        make.bill(team.alice, of=design)

    assert refused.value.params["latest_id"] == latest.pk


@pytest.mark.parametrize("who", ["bob", "olga"])
def test_only_the_office_issues_bills(team, design, who):
    with pytest.raises(NotAllowed):
        make.bill(getattr(team, who), of=design)


def test_stranger_finds_no_design(team, design):
    with pytest.raises(NotFound):
        make.bill(team.charlie, of=design)


def test_stranger_with_the_same_codes_prices_nothing_of_ours(team, design):
    make.with_materials(team.charlie)
    theirs = make.design(team.charlie, on=make.slab(team.charlie, site=team.charlie_site))

    with pytest.raises(RatesMissing):
        make.bill(team.charlie, of=theirs)
